"""Readings that are repeated: which one is out of line with the others, and what becomes of it.

A reading is one set of values and the error that follows from it. One that does not belong is named
with its number and value, and taken again, or kept on purpose; either way a remark stays on record.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from statistics import median
from typing import TYPE_CHECKING, Generic, TypeVar

from shopboard.checks.advice import is_open, wanted_of
from shopboard.checks.asked import Reading, Taken, answer_names
from shopboard.checks.contradiction import AGAIN, KEEP, Recheck, value_words
from shopboard.checks.job import CheckContext
from shopboard.checks.mean_of_sets import MOST_SETS
from shopboard.checks.outcome import Outcome
from shopboard.checks.remedies import READ_AGAIN, best_remedy
from shopboard.checks.settle import WORTH_READING, chance_to_settle, chance_words
from shopboard.checks.steps import Choice, Option, Step
from shopboard.checks.walk import Answers
from shopboard.metrology.kind import KINDS, measure
from shopboard.metrology.outlier import disagree, stray

if TYPE_CHECKING:
    from shopboard.checks.repeated import RepeatedCheck

SO_FAR = "Read through so far:"
"""Before how often all that a check reads was read: one of its readings may be several."""
_TIMES = {1: "once", 2: "twice"}
SetT = TypeVar("SetT", bound=Taken)


@dataclass
class SetsRead(Generic[SetT]):
    """The sets of one measurement, as far as the answers lead; built anew from them each time."""

    method: RepeatedCheck[SetT]
    job: CheckContext
    answers: Answers
    prefix: str
    sets: list[SetT] = field(default_factory=list)
    """Those that count."""
    set_aside: list[SetT] = field(default_factory=list)
    """Those that were taken again."""
    kept: dict[int, str] = field(default_factory=dict)
    """Remark on each set that does not belong and was kept on purpose, by its index."""
    remarks: list[str] = field(default_factory=list)
    _known: dict[int, tuple[SetT, float]] = field(default_factory=dict)
    """How well a set repeats, by its identity: worked out once, it takes longest."""

    @property
    def number(self) -> int:
        """How many count."""
        return len(self.sets)

    def lead(self) -> Step | Outcome:
        """Ask for sets of readings until they are enough, or give the outcome."""
        while True:
            step = self.take_one()
            if step is not None:
                return step
            key = f"{self.prefix}repeat{self.number}"
            said = self.answers.get(key)
            if self.number >= MOST_SETS or said == "no":
                return self.with_remarks(self.method.outcome_of(self.job, self.sets))
            if said is None:
                asked = self.ask_more(key, self.method.outcome_of(self.job, self.sets))
                in_vain = asked.default == "no" and not self.method.ask_in_vain
                return replace(asked, assumed="no") if in_vain else asked

    def take_one(self) -> Step | None:
        """Take one more set and settle which ones belong; give the step that is open."""
        number = self.number + 1
        here = self.prefix if number == 1 else f"{self.prefix}again{number}."
        taken = self.method.take(self.job, self.answers, here, number)
        if isinstance(taken, Step):
            return taken
        self.sets.append(taken)
        return self._settle()

    def ask_more(self, key: str, outcome: Outcome) -> Choice:
        """Ask whether it is read once more, as it stands now.

        Of two that differ too much nothing tells which one is wrong: a third one is proposed, and
        a file of answers must say what it is to be.
        """
        apart = self._apart()
        why, worth = "It is not needed.", False
        if is_open(self.job, outcome):
            chance = chance_to_settle(outcome, self.number, wanted_of(self.job, outcome))
            worth = chance >= WORTH_READING
            why = f"It would help{'' if worth else ' little'}: {chance_words(chance)}."
            remedy, share = best_remedy(outcome.estimate.budget)
            if worth and remedy == READ_AGAIN:
                most = "most of the uncertainty" if share > 0.5 else "the largest part of it"
                settles = f"; {chance_words(chance)}"
                why = f"It would help: how well it repeats is {most}{settles}."
        if apart:
            why = f"{apart}. A third one will tell which."
        following = f"{self.prefix}again{self.number + 1}."
        names = answer_names(self.method.asked(self.job))
        usual = "yes" if worth or apart else "no"
        return Choice(
            key=key,
            title="Take the readings again?",
            lines=(f"{SO_FAR} {_TIMES.get(self.number, f'{self.number} times')}.", why),
            options=(Option("no", "no, that will do"), Option("yes", "yes, read again")),
            default=usual,
            so_far=outcome,
            unasked=None if apart else "no",
            implied_by=tuple((f"{following}{name}", "yes") for name in names),
        )

    def with_remarks(self, outcome: Outcome) -> Outcome:
        """Put to an outcome what became of readings that did not belong."""
        apart = self._apart()
        remarks = [
            *(remark for taken in self.sets for remark in taken.remarks),
            *self.remarks,
            *(self.kept[at] for at in sorted(self.kept)),
            *((f"{apart}; both were kept.",) if apart else ()),
        ]
        if not remarks:
            return outcome
        readings = dict(outcome.readings)
        if self.set_aside:
            readings["set_aside"] = [as_kept(one) for one in self.set_aside]
        if self.kept:
            readings["kept_on_purpose"] = [at + 1 for at in sorted(self.kept)]
        note = " ".join((outcome.note, *remarks)).strip()
        return replace(outcome, note=note, readings=readings)

    def _apart(self) -> str:
        """Say that two readings differ by more than they should; empty when they do not."""
        if self.number != 2:
            return ""
        one, other = (self.method.error_of(self.job, taken) for taken in self.sets)
        if not disagree(one, other, self._within(0)):
            return ""
        return f"Readings 1 and 2 are {self._value(0)} and {self._value(1)}: too far apart"

    def _settle(self) -> Step | None:
        """Ask about one that does not belong, until all do or are kept."""
        while (at := self._stray()) is not None:
            turn = len(self.set_aside) + len(self.kept) + 1
            key = f"{self.prefix}apart{turn}"
            anew = f"{self.prefix}retake{turn}."
            said = self.answers.get(key)
            if said is None:
                return self._ask(at, key, anew)
            named = f"Reading {at + 1} ({self._value(at)}) is out of line with the others"
            if said == KEEP:
                self.kept[at] = f"{named}; it was kept on purpose."
                continue
            taken = self.method.take(self.job, self.answers, anew, at + 1)
            if isinstance(taken, Step):
                return taken
            self.remarks.append(f"{named}; it was taken again.")
            self.set_aside.append(self.sets[at])
            self.sets[at] = taken
        return None

    def _stray(self) -> int | None:
        """Find the one that does not belong; those that are kept are not asked about again."""
        free = [at for at in range(self.number) if at not in self.kept]
        if len(free) < 3:
            return None
        errors = [self.method.error_of(self.job, self.sets[at]) for at in free]
        if stray(errors, 0.0) is None:  # then none is, however well they repeat; that takes longer
            return None
        within = self._within(free[_middle(errors)])
        found = stray(errors, within)
        return None if found is None else free[found]

    def _ask(self, at: int, key: str, anew: str) -> Recheck:
        others = [index for index in range(self.number) if index != at and index not in self.kept]
        errors = sorted((self.method.error_of(self.job, self.sets[one]), one) for one in others)
        low, high = (self._value(errors[end][1]) for end in (0, -1))
        span = low if low == high else f"{low} to {high}"
        why = f"reading {at + 1}: {self._value(at)}, the others {span}: it is out of line"
        again = answer_names(self.method.asked(self.job))
        return Recheck(
            key=key,
            title=f"Reading {at + 1} is out of line with the others.",
            lines=(
                f"Reading {at + 1}: {self._value(at)}. The others: {span}.",
                *self._culprits(at, others),
            ),
            options=(
                Option(AGAIN, f"take reading {at + 1} again"),
                Option(KEEP, "it is right: keep it, with a remark"),
            ),
            default=AGAIN,
            implied_by=tuple((f"{anew}{name}", AGAIN) for name in again),
            refusal=f'{why}; read number {at + 1} again (or {key} = "{KEEP}", where it is right)',
        )

    def _culprits(self, at: int, others: Sequence[int]) -> tuple[str, ...]:
        """Name the values of a set that alone make it stand apart."""
        lines = []
        for one in self.method.asked(self.job):
            if not isinstance(one, Reading) or any(
                one.key not in self.sets[index].inputs for index in (at, *others)
            ):
                continue
            usual = median(self.sets[index].values[one.key] for index in others)
            if self._belongs_with(at, one.key, usual, others):
                mine, theirs = (
                    value_words(one, value, self.job)
                    for value in (self.sets[at].values[one.key], usual)
                )
                asked = one.title.removesuffix(".")
                colon = "" if asked.endswith("?") else ":"
                lines.append(f"{asked}{colon} {mine}; the others: {theirs}.")
        return tuple(lines[:2])

    def _belongs_with(self, at: int, key: str, usual: float, others: Sequence[int]) -> bool:
        """Tell whether the set would belong if that one value were as in the others."""
        taken = self.sets[at]
        inputs = {**taken.inputs, key: type(taken.inputs[key])(usual)}
        mended = self.method.error_of(self.job, replace(taken, inputs=inputs))
        errors = [self.method.error_of(self.job, self.sets[index]) for index in others]
        within = self._within(others[_middle(errors)])
        return stray([*errors, mended], within) != len(errors)

    def _within(self, at: int) -> float:
        """Give the standard deviation by which a set repeats."""
        taken = self.sets[at]
        if id(taken) not in self._known:
            self._known[id(taken)] = taken, self.method.repeats_within(self.job, taken)
        return self._known[id(taken)][1]

    def _value(self, at: int) -> str:
        error = self.method.found_in(self.job, self.sets[at])
        method = self.method
        has_way = KINDS[method.kind].departs and not method.is_size
        return measure(error, method.kind, self.job.unit, signed=has_way)


def _middle(values: Sequence[float]) -> int:
    """Give the index of the value in the middle."""
    return sorted(range(len(values)), key=values.__getitem__)[len(values) // 2]


def as_kept(taken: Taken) -> dict[str, object]:
    """Give a set as a record keeps it: words, and whole millionths (nanometres, microseconds)."""
    return {**taken.words, **{name: round(mm * 1e6) for name, mm in taken.values.items()}}
