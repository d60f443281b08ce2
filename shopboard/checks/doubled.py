"""Test cuts whose error shows doubled: one piece is turned over, and the gap tells twice the error.

Each of two pieces carries the error of the cut. Turned over against each other
they add, and what stays open over a lever is twice the error:
error = atan(gap / lever) / 2. The sign is the same everywhere: plus when the
corner between where the piece bore (fence or table) and its cut is more than
asked for, as a square in that corner would show light at its top or tip.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.cutting import SEATING_MM
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.inputs import off_at_most, open_at, tool_of, truest_square
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.steps import Choice, Do, Option, Step
from shopboard.checks.walk import Answers
from shopboard.checks.within_reach import longer_than_blade, longer_than_straightedge
from shopboard.metrology.reach import true_errors
from shopboard.metrology.sources import STRAIGHTEDGE
from shopboard.metrology.square import own_error
from shopboard.metrology.uncertainty import Estimate, Source

LEAST_SHARE = 5
"""A gap wider than the lever divided by this is no gap of a test cut (over 5 degrees)."""

FLUSH = "flush"
"""Answer that the pieces lay as they must while the gap was read."""

MINUS = ("away", "top", "heel")
"""Ends that, when open, mean a corner of less than asked for."""
_PLUS = ("fence", "table", "tip", "hollow")
"""And of more."""


@dataclass(frozen=True)
class TestUse:
    """One way of making and reading such a test."""

    name: str
    """What a file of answers says: ``crosscut``."""
    label: str
    steps: tuple[Do, ...]
    """What to do; ``{datum}`` stands for the side of the half that stays, ``{tool}`` for the tool
    that the gap is read against."""
    where: Pick
    """Where it is open: an end that means plus, one of `MINUS`, or none."""
    lever: Reading
    plus: str
    """What a positive error is, in words."""
    minus: str
    aims: tuple[str, str]
    """What must be moved to lessen a positive error, and the other way."""
    closes_to: float = SEATING_MM
    """Standard uncertainty with which the pieces seat and close, mm."""
    crooked: Source | None = None
    """What the pieces themselves add to the error, rad."""
    kept: Pick | None = None
    """Asks whether the pieces lie as they must; another answer than `FLUSH` is no reading."""
    not_kept: str = ""
    """Why it is none then, and what to do."""
    needs: Literal["", "square", "straightedge"] = ""
    """Tool that the gap is read against."""
    lever_is: str = ""
    """What the lever is here, where its name says something else."""
    gap: str = "How wide is the gap at the open end?"
    draw: Callable[[Geometry, AtStep, int], Lines] = lambda _geometry, _seen, _size: ()
    """Draws the pieces as they are closed."""


class DoubledGap(MeasuredCheck):
    """Base of these checks; `use` is the way taken, None before it is chosen."""

    hands_near = False
    uses: tuple[TestUse, ...] = ()
    tells = "open", {**dict.fromkeys(_PLUS, 1), **dict.fromkeys(MINUS, -1)}

    def __init__(self, use: TestUse | None = None) -> None:
        self.use = use

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone, in the use that they name, or whose end is open."""
        used, end = values.get("use", "").strip().lower(), values.get("open", "").strip().lower()
        named = [one for one in self.uses if one.name == used]
        by_end = [one for one in self.uses if end in dict(one.where.options)]
        use = (named or by_end or [self.uses[0]])[0]
        return super(DoubledGap, type(self)(use)).reckon(values)

    def usual(self, job: CheckContext) -> TestUse:
        """Give the use that is offered first."""
        return self.uses[0]

    def next_step(self, job: CheckContext, answers: Answers) -> Step | None:
        """Follow the use that was chosen."""
        chosen = next((one for one in self.uses if one.name == answers.get("use")), self.use)
        return super(DoubledGap, type(self)(chosen)).next_step(job, answers)

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        """Show the cautions, then ask which test is made."""
        step = super().prepare(job, answers)
        possible = [one for one in self.uses if _at_hand(job, one)]
        if step is not None or "use" in answers or len(possible) < 2:
            return step
        usual = self.usual(job).name
        return Choice(
            key="use",
            title="Which test is it?",
            options=tuple(Option(one.name, one.label) for one in possible),
            default=usual,
            unasked=usual,
        )

    def said_of(self, job: CheckContext) -> dict[str, str]:
        """Name the tool whose own error is in the budget, so that this one is taken.

        Where a square is used on the same point, its side is kept: then plus means the same.
        """
        needs, tool = self._use(job).needs, ""
        if needs == "square":
            tool = truest_square(job.drawer).name
        elif needs == "straightedge":
            tool = tool_of(job, "straightedge").name
        return {**super().said_of(job), "tool": tool}

    def to_do(self, job: CheckContext) -> Sequence[Do]:
        """Cut, turn over, close."""
        return self.spoken(self._use(job).steps, job)

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Where is it open, over which lever, how wide is the gap."""
        use = self._use(job)
        gap = Reading("gap", use.gap, "leaves", at_most=50, closed_if=("open", "none"))
        return (use.where, use.lever, gap, *((use.kept,) if use.kept else ()))

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a gap that no cut makes, and one read of pieces that did not lie as they must."""
        use = self.use or self.uses[0]
        if use.kept and words.get(use.kept.key, FLUSH) != FLUSH:
            return contradict(use.not_kept)
        ends = dict(use.where.options)
        if "use" in words and words.get("open", "none") not in ends:
            told = " or ".join(end for end in ends if end != "none")
            return contradict(f"open: with use={use.name} it can be {told}", "open")
        lever = self._lever(values)
        if lever <= 0 or values["gap"] > lever / LEAST_SHARE:
            name = self.fields[1].name
            why = f"gap: it is more than a fifth of the {name}; read both again"
            return contradict(why, "gap", name)
        return None

    def beyond_the_job(
        self, job: CheckContext, values: Values, words: Chosen
    ) -> Contradiction | None:
        """Refuse a lever that is longer than what the gap is read against allows."""
        needs, name = self._use(job).needs, self.fields[1].name
        if needs == "square":
            longest = max(one.length for one in job.drawer.squares)
            return longer_than_blade(job, name, self._lever(values), longest)
        if needs == "straightedge":
            return longer_than_straightedge(job, name, self._lever(values))
        return None

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the pieces as they are closed; nothing while they are cut."""
        return () if seen.at == "cut" else self._use(job).draw(job.geometry, seen, size)

    def formula(self, values: Values, words: Chosen) -> float:
        """Give half the angle of the gap, plus or minus by the end that is open."""
        sign = -1.0 if words.get("open") in MINUS else 1.0
        return sign * math.atan(values["gap"] / self._lever(values)) / 2

    def formula_words(self, words: Chosen) -> str:
        """Write the formula."""
        name, here = self.fields[1].name, (self.use or self.uses[0]).lever_is
        note = f"; {name}: {here}" if here else ""
        return f"error = atan(gap / {name}) / 2: both pieces carry it{note}"

    def repeats_to(self, values: Values) -> float:
        """Give how well the pieces seat and close, as an angle."""
        return (self.use or self.uses[0]).closes_to / self._lever(values) / 2

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Give what the pieces themselves add."""
        crooked = (self.use or self.uses[0]).crooked
        return (crooked,) if crooked else ()

    def also(self, job: CheckContext, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Give what the square or straightedge adds: half, since the gap is twice the error."""
        needs = self._use(job).needs
        if needs == "square":
            most = off_at_most(truest_square(job.drawer))
            return (own_error(most / 2),)
        if needs == "straightedge":
            most = tool_of(job, "straightedge").limit / self._lever(values)
            return (
                Source.within(STRAIGHTEDGE, "straightedge, its own error", most / 2, lasting=True),
            )
        return ()

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give a test that closes all along."""
        lever = self._use(job).lever
        return {"gap": 0.0, lever.key: job.sizes.get(lever.size, 150.0)}, {"open": "none"}

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give tests of points whose errors lie within the tolerance: open at one end."""
        (plus, _), (minus, _), *_ = self._use(job).where.options
        perfect, _ = self.perfect(job)
        found = []
        for error in true_errors(job.tolerance):
            gap = math.tan(2 * error) * self._lever(perfect)
            end = open_at(job, gap, plus, minus)
            found.append(({**perfect, "gap": 0.0 if end == "none" else abs(gap)}, {"open": end}))
        return found

    def _measured_as(self, job: CheckContext, values: Values, words: Chosen) -> Estimate:
        """Go by the usual test."""
        usual = type(self)(self._use(job))
        return super(DoubledGap, usual)._measured_as(job, values, words)

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the cut is off."""
        use, seen = self._use(job), job.geometry
        plus, minus = seen.light_at_top or use.plus, seen.light_at_bottom or use.minus
        lean = which_way(outcome.estimate, "angle", job.unit, plus, minus)
        return replace(outcome, lean=lean, aims=use.aims)

    def _use(self, job: CheckContext) -> TestUse:
        return self.use or self.usual(job)

    def _lever(self, values: Values) -> float:
        return values[self.fields[1].name]


def closed_or(title: str, plus: tuple[str, str], minus: tuple[str, str]) -> Pick:
    """Ask where it is open."""
    return Pick("open", title, (plus, minus, ("none", "nowhere: closed all along")))


def gap_fields(gap: str, lever: str, lever_help: str, uses: Sequence[TestUse]) -> tuple[Field, ...]:
    """Declare for `reckon` gap, lever, the end that is open (left out, it is plus), and the use."""
    names = tuple(one.name for one in uses)
    ends = tuple(dict.fromkeys(end for one in uses for end, _ in one.where.options[:2]))
    return (
        Field("gap", "length", gap, reads="leaves"),
        Field(lever, "length", lever_help, reads="rule"),
        Field("open", "word", "where it is open", needed=False, words=ends),
        Field("use", "word", "which test it was", needed=False, words=names),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )


def _at_hand(job: CheckContext, use: TestUse) -> bool:
    if use.needs == "square":
        return bool(job.drawer.squares)
    kinds = {one.kind for one in job.drawer.others}
    return not use.needs or use.needs in kinds
