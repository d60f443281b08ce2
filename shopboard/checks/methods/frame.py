"""Four-corner frame: eight mitres from one stop, and all their errors in the last corner.

All other corners are closed; the last stays open by eight errors (2 n with n
sides), over the mitre face: error = asin(gap / (2 face)) / n, with
face = width / cos(180 deg / n). Plus: each mitre's point is blunter than it
should be, and the last corner is open at its toe, outside.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.cutting import SEATING_MM
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.plans import last_corner
from shopboard.checks.inputs import open_at
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import AnswerError, Do, Number, Step
from shopboard.checks.walk import Answers
from shopboard.metrology import mitre
from shopboard.metrology.reach import true_errors

USUAL_SIDES = 4
FEWEST_SIDES = 3
MOST_SIDES = 100
"""A ring of staves has no more."""


@dataclass(frozen=True, kw_only=True)
class HowMany(Number):
    """The number of sides: a whole one."""

    def accept(self, text: str) -> str:
        """Take a whole number."""
        said = super().accept(text)
        if not said.isdigit():
            raise AnswerError(f"{said}: a frame has whole sides")
        return said


class FourCornerFrame(MeasuredCheck):
    """The guided check."""

    name = "frame"
    title = "Four-corner frame"
    finds = "the mitres of a frame are right, by all their errors together in its last corner"
    signs = "plus: each mitre's point is blunter than it should be; minus: sharper"
    tools = "leaves"
    minutes = 30.0
    farther = "wider stock"
    hands_near = False
    fields = (
        Field("width", "length", "width of the stock", reads="rule"),
        Field("gap", "length", "gap in the last corner", needed=False, reads="leaves"),
        Field("angle_error", "angle", "error of each mitre", needed=False, signed=True),
        Field("sides", "number", "sides of the frame; 4 when left out", needed=False),
        Field("open", "word", "toe or heel", needed=False, words=("toe", "heel")),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )
    care = (
        "Each mitre is a cut: guard on, the piece held to fence or stop, hands clear.",
        "Short pieces are clamped, never held by hand.",
        "Let the blade stop before you reach for pieces.",
    )
    steps = (
        Do(
            key="cut",
            title="Cut a mitre on both ends of every side.",
            lines=(
                "{sides} sides, {mitres} mitres, all at the stop that is checked.",
                "Turn each piece over for its other end.",
                "Straight stock of one width; {alike} of one length.",
            ),
        ),
        Do(
            key="lay",
            title="Lay the frame flat; close every corner but one.",
            lines=(
                "The faces tight all along; let them slide, not open.",
                "In the last corner the faces touch at one end: toe or heel.",
            ),
        ),
        Do(
            key="others",
            title="Check that every other corner is tight, all along.",
            lines=("One that is open hides part of the error: close it first.",),
        ),
    )
    reads = (
        Pick(
            "open",
            "Where is the last corner open?",
            (
                ("toe", "at the toe, outside"),
                ("heel", "at the heel, inside"),
                ("none", "nowhere: closed all along"),
            ),
            true="none",
        ),
        Reading("width", "How wide is the stock?", "rule", above=10, size="width", true=60.0),
        Reading(
            "gap",
            "How wide is the gap at the open end?",
            "leaves",
            at_most=50,
            closed_if=("open", "none"),
            true=0.0,
        ),
    )
    tells = ("open", {"toe": 1, "heel": -1})
    aims = ("The mitre's point must become sharper.", "The mitre's point must become blunter.")

    def __init__(self, sides: int = 0) -> None:
        self.sides = sides
        """Sides of the frame that is made; 0 before it is known."""

    def next_step(self, job: CheckContext, answers: Answers) -> Step | None:
        """Go on with as many sides as were said."""
        sides = int(answers.get("sides", "0"))
        return super(FourCornerFrame, type(self)(sides)).next_step(job, answers)

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        """Show the cautions, then ask for the sides: so many must be cut."""
        step = super().prepare(job, answers)
        if step is not None or "sides" in answers:
            return step
        return HowMany(
            key="sides",
            title="How many sides will the frame have?",
            lines=(f"Enter alone takes {USUAL_SIDES}.",),
            unit=job.unit,
            plain="count",
            above=FEWEST_SIDES,
            may_equal=True,
            at_most=MOST_SIDES,
            too_small=f"a frame has at least {FEWEST_SIDES} sides",
            default=str(USUAL_SIDES),
            unasked=str(USUAL_SIDES),
        )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone; say what is taken for granted."""
        found = super().reckon(values)
        if "angle_error" not in values:
            return found
        return replace(found, note="the error of the mitres is taken as exact")

    def said_of(self, job: CheckContext) -> dict[str, str]:
        """Say how many sides are cut."""
        sides = self.sides or USUAL_SIDES
        alike = "all sides" if sides % 2 else "opposite sides"
        return {
            **super().said_of(job),
            "sides": str(sides),
            "mitres": str(2 * sides),
            "alike": alike,
        }

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the last corner."""
        return () if seen.at == "cut" else last_corner(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a frame that cannot be."""
        sides = values.get("sides", float(self.sides or USUAL_SIDES))
        if sides != round(sides) or not FEWEST_SIDES <= sides <= MOST_SIDES:
            return contradict(
                f"sides: a frame has whole sides, from {FEWEST_SIDES} to {MOST_SIDES}"
            )
        if ("gap" in values) == ("angle_error" in values):
            return contradict("give either gap= or angle_error=, one of them")
        if values["width"] <= 0:
            return contradict("width: it must be larger than 0", "width")
        if values.get("gap", 0.0) > mitre.face(values["width"], self._count(values)) / 5:
            return contradict(
                "gap: it is more than a fifth of the mitre's face; read it again", "width", "gap"
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the error of one mitre; plus: open at the toe."""
        if "angle_error" in values:
            return values["angle_error"]
        sign = -1.0 if words.get("open") == "heel" else 1.0
        size = mitre.error_of(values["width"], abs(values["gap"]), self._count(values))
        return math.copysign(size, sign * values["gap"])

    def formula_words(self, words: Chosen) -> str:
        """Write the formula."""
        sides = self.sides or "sides"
        return (
            f"error = asin(gap / (2 face)) / {sides}, face = width / cos(180 / {sides}):"
            " two errors for each side"
        )

    def repeats_to(self, values: Values) -> float:
        """Give how well the joints close, each by itself: as many as sides, two errors in each.

        Four sides stand for any number: with five it comes out a fortieth more, with others less.
        """
        if "angle_error" in values:
            return 0.0  # taken as exact
        face = mitre.face(values["width"], 4)
        return SEATING_MM * math.sqrt(4) / face / (2 * 4)

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give the closing angle, the gap of the last corner, and that of each corner alone."""
        sides, error = self._count(values), self.formula(values, words)
        last = mitre.gap(values["width"], error, sides)
        alone = 2 * mitre.face(values["width"], sides) * math.sin(abs(error))
        return {
            "closing_deg": math.degrees(mitre.closing(error, sides)),
            "gap": value_json(last, "length"),
            "gap_of_each_corner_alone": value_json(alone, "length"),
            "open_at": "toe" if error > 0 else "heel" if error < 0 else "none",
        }

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give frames whose mitres are off within the tolerance."""
        perfect, _ = self.perfect(job)
        found = []
        for error in true_errors(job.tolerance):
            gap = mitre.gap(perfect["width"], abs(error), self._count({}))
            end = open_at(job, math.copysign(gap, error), "toe", "heel")
            found.append(({**perfect, "gap": 0.0 if end == "none" else gap}, {"open": end}))
        return found

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the mitres are off."""
        sides = self._count(taken.values)
        point = f"{90 - 180 / sides:g} degrees"
        seen = job.geometry
        plus = seen.light_at_top or f"each mitre's point is more than {point}"
        minus = seen.light_at_bottom or f"each mitre's point is less than {point}"
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "angle", job.unit, plus, minus),
            aims=self.aims,
            readings={**outcome.readings, "sides": sides},
        )

    def _count(self, values: Values) -> int:
        """Give the number of sides, typed for `reckon` or said before the frame was cut."""
        return round(values.get("sides", 0)) or self.sides or USUAL_SIDES


METHOD = FourCornerFrame()
