"""What a check with typed readings declares: what is read, the formula, what makes it uncertain.

The formula alone is enough for `reckon`; how a person is led through it is in `measured`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TypeVar

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.asking import too_large
from shopboard.checks.contradiction import Contradiction
from shopboard.checks.inputs import typical_input
from shopboard.checks.job import CheckContext
from shopboard.checks.mean_of_sets import usual_scatter
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import with_own_hand
from shopboard.checks.reckoning import Field, Given, ReckoningError, read_fields, tolerance_of
from shopboard.checks.repeated import RepeatedCheck
from shopboard.checks.steps import Do
from shopboard.checks.usual import USUAL_JOB
from shopboard.metrology.propagate import Input, propagate
from shopboard.metrology.quantity import Unit
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.metrology.wording import own_words

SpokenT = TypeVar("SpokenT", Do, Reading, Pick, Reading | Pick)


class DeclaredCheck(RepeatedCheck[Taken]):
    """Base of `MeasuredCheck`: what a method fills in."""

    fields: tuple[Field, ...] = ()
    """Names of the values that `reckon` takes."""
    care: tuple[str, ...] = ()
    """What to take care of, one short sentence each, before anything is cut or moved. Here, in what
    is refused and in `formula_is` a round length is written for both shops, too."""
    hand = ""
    """Sort of reading whose repeating by hand `repeats_to` tells; empty: its own, by its name."""
    over = ""
    """Name of the length over which a tolerance typed as a length is taken, for an angle."""
    steps: tuple[Do, ...] = ()
    """What to do before reading, such as cutting the test pieces; keys without prefix. In titles
    and lines, here and in `reads`, ``{datum}`` and ``{face}`` stand for the shop file's words, or
    for these where it has none; a round length is written for both shops (`own_words`)."""
    usual_datum = "left of the blade"
    usual_face = ""
    reads: tuple[Reading | Pick, ...] = ()
    """What is read, in this order."""
    formula_is = ""
    """The formula as it is written: ``error = atan(gap / (2 width))``."""
    plus = ""
    """What an error above 0 is, in words, where the shop file has none of its own."""
    minus = ""
    tells: tuple[str, Mapping[str, int]] = ("", {})
    """Key of the pick that tells the way of the error: 1 or -1 by its values."""
    aims = ("", "")
    """What must be moved to lessen an error above 0, and the other way: two short sentences."""

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone, by the budget of the check with tools that are usual.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        self.refuse_sizes(given, values)
        return self.reckoned(given, given.words)

    def reckoned(self, given: Given, words: Chosen) -> Outcome:
        """Evaluate values that were read.

        Args:
            given: the values.
            words: what is picked in the check.

        Raises:
            ReckoningError: when they contradict each other.
        """
        inputs = {
            one.name: typical_input(one.name, one.reads, given.number(one.name))
            for one in self.fields
            if one.name in given.numbers
        }
        taken = Taken(inputs, words)
        wrong = self.refuse(taken.values, taken.words)
        if wrong is not None and not wrong.may_be:
            raise ReckoningError([own_words(wrong.why, None)])
        budget = self.budget_of_one(USUAL_JOB, taken)
        found = self.sized(Estimate(self.formula(taken.values, words), budget))
        return Outcome(
            method=self.name,
            estimate=found,
            tolerance=tolerance_of(given, self.kind, self.over),
            kind=self.kind,
            working=(own_words(self.formula_words(words), None),),
            adds=self.adds(taken.values, taken.words),
            note=f"{wrong.what}." if wrong else "",
        )

    def refuse_sizes(self, given: Given, values: Mapping[str, str]) -> None:
        """Refuse what the check would refuse as too small, such as no width at all, or too large.

        Raises:
            ReckoningError: with one sentence for each.
        """
        read = {one.key: one for one in self.asked(USUAL_JOB) if isinstance(one, Reading)}
        reasons = []
        for name, value in given.numbers.items():
            one = read.get(name)
            if one is None:
                continue
            # No gap is one, too, though no leaf shows it.
            nought_may_be = one.above or one.may_equal or one.tool == "leaves"
            if value > one.at_most:
                reasons.append(f"{name}={values[name][:60]}: {too_large(one, None)}")
            elif value == 0.0 and not nought_may_be:
                reasons.append(f"{name}={values[name][:60]}: it must be larger than 0")
        if reasons:
            raise ReckoningError(reasons)

    def budget_of_one(self, job: CheckContext, taken: Taken) -> Budget:
        """Put together what makes the error from one set of readings uncertain."""
        scatter = self.repeats_to(taken.values)
        usual = usual_scatter(scatter, self.hand or self.name)
        others = (
            *self.more(taken.values, taken.words),
            *self.also(job, taken.values, taken.words),
            *((usual,) if usual.u else ()),
        )
        inputs = {**taken.inputs, **self.own(job)}
        formula = self.near({name: one.value for name, one in inputs.items()}, taken.words)
        return with_own_hand(propagate(formula, inputs, others).budget, job.hands)

    def sized(self, found: Estimate) -> Estimate:
        """Give a result as it counts: with its sign, or as a size."""
        return found._replace(size=self.is_size)

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give what the method tells beside the error, ready for JSON, units in the names."""
        return {}

    def cautions(self, job: CheckContext) -> tuple[str, ...]:
        """Give what to take care of at this point."""
        return tuple(own_words(one, job.unit) for one in self.care)

    def to_do(self, job: CheckContext) -> Sequence[Do]:
        """Give what to do before reading at this point."""
        return self.spoken(self.steps, job)

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Give what is read at this point."""
        return self.spoken(self.reads, job)

    def said_of(self, job: CheckContext) -> dict[str, str]:
        """Give what names in braces stand for in titles and lines: of this point, of its drawer."""
        here = job.geometry
        return {"datum": here.datum or self.usual_datum, "face": here.face or self.usual_face}

    def spoken(self, asked: Sequence[SpokenT], job: CheckContext) -> tuple[SpokenT, ...]:
        """Say in the shop's unit, and of this point, what is done or read."""
        return _spoken(tuple(asked), job.unit, tuple(self.said_of(job).items()))

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the signed error from the readings (mm, s; the error in the unit of `kind`)."""
        raise NotImplementedError

    def formula_words(self, words: Chosen) -> str:
        """Write the formula, by what was picked."""
        return self.formula_is

    def near(self, values: Values, words: Chosen) -> Callable[[Values], float]:
        """Give the formula through which uncertainties go, near these readings.

        A size without a sign has no slope at 0, where it would seem to be known exactly: such a
        method gives the signed value along the direction that was found.
        """
        return lambda read: self.formula(read, words)

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Give what makes the error uncertain beside the readings, in the error's own unit."""
        return ()

    def fit(self, job: CheckContext) -> CheckContext:
        """Leave in the drawer what is large enough for the sizes here.

        Raises:
            NotPossibleError: when nothing is.
        """
        return job

    def own(self, job: CheckContext) -> Mapping[str, Input]:
        """Give what goes into the formula without being read, such as a tool's own bow (0)."""
        return {}

    def also(self, job: CheckContext, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Give what tools of the drawer that are not read add, in the error's own unit."""
        return ()

    def open_about(self, job: CheckContext) -> float | None:
        """Give the value that errors are wanted at, where the worst of several counts, either way.

        There the side can be open: one is as much above as another is below. None: it never is.
        """
        return None

    def rival(self, job: CheckContext, taken: Taken) -> float:
        """Give how far off the worst on the other side is, where the side can be open."""
        return 0.0

    def repeats_to(self, values: Values) -> float:
        """Give the standard uncertainty by which the error usually repeats (common practice)."""
        return 0.0

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Say which readings contradict each other and must be repeated; None when none do."""
        return None

    def beyond_the_job(
        self, job: CheckContext, values: Values, words: Chosen
    ) -> Contradiction | None:
        """Say which readings cannot be at this point, by the sizes and tools of the shop file."""
        return None

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give readings (mm, s) and picked words of a point without error, for `best`."""
        values, words = {}, {}
        for one in self.asked(job):
            if isinstance(one, Pick) and one.true:
                words[one.key] = one.true
            elif isinstance(one, Reading) and one.true is not None:
                values[one.key] = job.sizes.get(one.size, one.true)
        return values, words

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give readings (mm, s) and picked words of some points that are true, for `best`.

        Where leaves tell nothing finer of a perfect point than of one that shows a gap, these have
        errors spread over the tolerance.
        """
        return (self.perfect(job),)

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Put words, aims and additions to an outcome: which way it is off, and what must move."""
        here = job.geometry
        plus, minus = here.light_at_top or self.plus, here.light_at_bottom or self.minus
        lean = which_way(outcome.estimate, self.kind, job.unit, plus, minus)
        return replace(outcome, lean=lean, aims=self.aims)

    def told(self, job: CheckContext, taken: Taken) -> Taken:
        """Put to a set of readings what the formula must know of the job."""
        return taken


@lru_cache(maxsize=64)  # every step of a check asks for the same again
def _spoken(
    asked: tuple[SpokenT, ...], unit: Unit, said: tuple[tuple[str, str], ...]
) -> tuple[SpokenT, ...]:
    names = dict(said)

    def told(words: str) -> str:
        return own_words(words, unit).format_map(names)

    return tuple(
        replace(one, title=told(one.title), lines=tuple(map(told, one.lines))) for one in asked
    )
