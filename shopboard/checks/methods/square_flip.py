"""Line-flip: a square drawn along on a straight board edge, turned over, drawn along again.

Both lines start at one point of the edge and lean apart by the square's error,
once each way: error = atan(gap / 2 / at), the gap between them at a distance
from the edge. Positive: the blade leans toward its stock, so that it shows
light at the top against a face that is true.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.leaning import two_lines
from shopboard.checks.job import CheckContext, Proves
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.proving import LIGHT_AT_BOTTOM, LIGHT_AT_TOP, blade_length, proven, tool_name
from shopboard.checks.reckoning import Field
from shopboard.checks.steps import Do
from shopboard.checks.within_reach import proven_blade
from shopboard.metrology.instruments import RULE_WITHIN_MM
from shopboard.metrology.sources import Remedy
from shopboard.metrology.uncertainty import Source

_STRAIGHTER = Remedy("board-edge", "a board with a straighter edge")

LINE_U_MM = 0.03
"""Standard uncertainty with which a knife follows a blade: common practice, no source."""

EDGE_WITHIN_MM = 0.01
"""Bow of a board edge along which no light is seen under a straightedge: common practice, no
source."""

_SIDES = {"right": 1.0, "left": -1.0, "none": 1.0}


class LineFlip(MeasuredCheck):
    """The guided check; it proves a square of the drawer."""

    name = "square-flip"
    title = "Line-flip of a square"
    finds = "a square is square, by a line drawn along it and another with it turned over"
    signs = "plus: it shows light at the top against a face that is true"
    tools = "calliper"
    minutes = 10.0
    clears = False
    hands_near = False
    proves: Proves = "square"
    fields = (
        Field("gap", "length", "gap between the two lines", reads="calliper"),
        Field("at", "length", "distance from the edge at which it is read", reads="rule"),
        Field(
            "lies",
            "word",
            "where the line lies that was drawn with the stock to the right: right, left or none",
            needed=False,
            words=("right", "left", "none"),
        ),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    steps = (
        Do(
            key="edge",
            title="Take a wide board with one straight edge.",
            lines=(
                "No light under a straightedge along that edge. Wipe square and edge.",
                "Lay it flat with that edge toward you.",
            ),
        ),
        Do(
            key="line1",
            title="Stock to the right: draw line 1 with a knife.",
            lines=(
                "{tool}: stock against the edge, blade flat on the board.",
                "Along the edge of the blade that you use at the machines, its whole length.",
                "The hand that holds the square stays out of the knife's way.",
            ),
        ),
        Do(
            key="line2",
            title="Turn it over, stock to the left: draw line 2.",
            lines=("From the same point of the board edge, along the same edge of the blade.",),
        ),
    )
    tells = ("lies", {"right": 1, "left": -1})
    formula_is = "error = atan(gap / 2 / at): both lines carry it, once each way"

    def said_of(self, job: CheckContext) -> dict[str, str]:
        """Name the tool that is proven."""
        return {**super().said_of(job), "tool": tool_name(job)}

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """How far out, on which side, how wide."""
        return (
            Reading(
                "at",
                "How far from the edge do you read the gap?",
                "rule",
                ("The farther the better; no farther than the blade reached.",),
                above=20,
                at_most=min(2000.0, proven_blade(job) + RULE_WITHIN_MM),
                size="length",
            ),
            Pick(
                "lies",
                "Out there, where does line 1 lie?",
                (
                    ("right", "to the right of line 2"),
                    ("left", "to the left of line 2"),
                    ("none", "on line 2"),
                ),
                ("Seen with the board edge toward you.",),
            ),
            Reading(
                "gap",
                "How wide is the gap between the lines?",
                "calliper",
                ("From the middle of one line to the middle of the other; 0 if there is none.",),
                may_equal=True,
                at_most=100,
            ),
        )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw both lines on the board."""
        return two_lines(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a gap that no square draws, or one that contradicts where the lines lie."""
        if values["gap"] > values["at"] / 10:
            return contradict(
                "gap: it is more than a tenth of the distance from the edge; read both again",
                "gap",
                "at",
            )
        if words.get("lies") == "none" and values["gap"] > 0:
            return contradict(
                "gap: the lines lie on each other, so it is 0; look again where line 1 lies",
                "lies",
                "gap",
            )
        if words.get("lies") in ("right", "left") and values["gap"] == 0:
            return contradict(
                "gap: line 1 lies to one side, so it is more than 0; read it again", "lies", "gap"
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give half the angle between the lines; plus: each leans toward its stock."""
        return _SIDES[words.get("lies", "right")] * math.atan(values["gap"] / 2 / values["at"])

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Give what the board edge does: bowed, it holds the stock at two angles.

        A bow s over the length L of both stocks turns each by 2 s / L; a stock is taken as half
        as long as the distance `at`.
        """
        return (
            Source.within(
                "board-edge",
                "board edge, not straight",
                2 * EDGE_WITHIN_MM / values["at"],
                remedy=_STRAIGHTER,
            ),
        )

    def repeats_to(self, values: Values) -> float:
        """Give how well two lines are drawn, at both ends, as an angle."""
        return 2 * LINE_U_MM / 2 / values["at"]

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give lines that lie on each other."""
        return {"at": blade_length(job), "gap": 0.0}, {"lies": "none"}

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the blade leans."""
        return proven(job, outcome, self.kind, LIGHT_AT_TOP, LIGHT_AT_BOTTOM)


METHOD = LineFlip()
