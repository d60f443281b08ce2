"""Five-cut test: a board is cut on all four sides and once more, each fresh edge to the fence.

Every cut adds the same error to the corner, so that the last strip is a wedge
of four errors: error = (a - b) / (4 length), with a its width at the end that
was at the fence. Plus: the corner is cut more than 90 degrees.
"""

from __future__ import annotations

import math
from dataclasses import replace

from shopboard.checks.asked import Chosen, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.cutting import SEATING_MM
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.plans import strip
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.adjuster import Screw, Slot
from shopboard.metrology.wording import length, own_words

CORNERS = 4
"""Errors in the strip: one for each corner of the board. The first cut is only where it starts."""

MOST_WEDGE = 10
"""A strip whose widths differ by more than its length over this is misread (1.4 degrees)."""


_WAYS = (
    "on the board's side of the pivot, the fence goes toward the work",
    "on the board's side of the pivot, the fence goes away from the work",
)


class FiveCutTest(MeasuredCheck):
    """The guided check."""

    name = "five-cut"
    title = "Five-cut test"
    finds = (
        "a fence is square to the blade: all sides of a board are cut, the first one"
        " twice, and the last strip is a wedge of four errors"
    )
    tools = "calliper"
    minutes = 25.0
    farther = "a larger board"
    hands_near = False
    fields = (
        Field("a", "length", "strip's width at the end at the fence", reads="calliper"),
        Field("b", "length", "strip's width at the other end", reads="calliper"),
        Field("length", "length", "length of the strip", reads="rule"),
        Field("pivot", "length", "from the fence's pivot to where it is moved", needed=False),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    care = (
        "Five cuts: guard on; hands hold the board well beside the blade, never in its line.",
        "Stop the blade before you reach for the last strip.",
    )
    steps = (
        Do(
            key="cut",
            title="Cut all four sides, turning the board after each.",
            lines=(
                "A flat board, nearly square; it lies here: {datum}.",
                "{start} Every cut takes off a full kerf, all along.",
                "The edge just cut goes to the fence each time, the same face up throughout.",
            ),
        ),
        Do(
            key="fifth",
            title="Cut the first side once more: keep the strip.",
            lines=("[An inch|25 mm] wide. Mark the end that is at the fence: a.",),
        ),
    )
    reads = (
        Reading("a", "How wide is the strip at the fence end?", "calliper", at_most=150, true=25.0),
        Reading("b", "How wide is it at the other end?", "calliper", at_most=150, true=25.0),
        Reading("length", "How long is the strip?", "rule", above=50, size="length", true=400.0),
    )
    formula_is = "error = (a - b) / (4 length): four corners, four errors"
    plus = "the corner at the fence is cut more than 90 degrees"
    minus = "the corner at the fence is cut less than 90 degrees"
    aims = (f"{_WAYS[0]}.".capitalize(), f"{_WAYS[1]}.".capitalize())

    def said_of(self, job: CheckContext) -> dict[str, str]:
        """Say how large the board must be, too."""
        return {**super().said_of(job), "start": _start(job)}

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the board and its last strip."""
        return () if seen.at == "cut" else strip(job.geometry.side == "right", seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a strip that no five cuts leave."""
        a, b, length = values["a"], values["b"], values["length"]
        for name, width in (("a", a), ("b", b)):
            if width >= length:
                return contradict(
                    f"{name}: the strip is wider than the board; read it again", name, "length"
                )
        if abs(a - b) > length / MOST_WEDGE:
            return contradict(
                "a and b: they differ by more than a tenth of the length; read both again",
                "a",
                "b",
                "length",
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give a quarter of the wedge; plus: wider at the fence."""
        return (values["a"] - values["b"]) / (CORNERS * values["length"])

    def repeats_to(self, values: Values) -> float:
        """Give how well four cuts seat, each by itself: 4 independent errors, a quarter taken."""
        return SEATING_MM / values["length"] / math.sqrt(CORNERS)

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give the fence's move at a distance from its pivot."""
        if "pivot" not in values:
            return {}
        return _move(self.formula(values, words), values["pivot"])

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the corner is off, and how far the fence moves at its adjuster."""
        outcome = super().describe(job, outcome, taken)
        if not isinstance(job.adjuster, Screw | Slot):
            return outcome
        move = _move(outcome.estimate.error, job.adjuster.arm)
        return replace(outcome, adds={**outcome.adds, **move})


def _start(job: CheckContext) -> str:
    """Say how much larger the board must be than the strip is to be long.

    Along the strip cuts 2 and 4 take off a kerf and a little more each; across it cuts 1, 3 and 5,
    and the strip itself is an inch.
    """
    strip = job.sizes.get("length")
    long = f"the strip is to be long ({length(strip, job.unit)})" if strip else "the last cut"
    more = own_words("[2 in|50 mm]", job.unit)
    return f"Start {more} larger both ways than {long}."


def _move(error: float, arm: float) -> dict[str, object]:
    """Give error times arm, mm; plus: the end on the board's side goes toward the work."""
    move = error * arm
    return {
        "fence_move": value_json(move, "length"),
        "fence_move_way": "none" if move == 0 else _WAYS[0 if move > 0 else 1],
    }


METHOD = FiveCutTest()
