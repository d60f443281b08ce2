"""Angle of a drilled hole: how far is a rod that stands in it off the angle that is wanted?

A square stands on the board beside the rod, or a bevel gauge that is set to the lean that is
wanted, as of a chair's leg. From its blade, square across to the rod, is measured low down and
higher up:

    error = atan((high - low) / rise)

and nothing is off where both are alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from shopboard.checks.asked import Chosen, Pick, Reading, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.leaning import rod
from shopboard.checks.inputs import off_at_most, truest_square
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.checks.within_reach import longer_than_blade
from shopboard.metrology.sources import Remedy
from shopboard.metrology.square import own_error
from shopboard.metrology.uncertainty import Source

STRAYS_MM = 0.1
"""Standard uncertainty with which a bit strays over the depth of its hole: common practice, no
source."""

ROCKS_MM = 0.1
"""Half-width within which a rod that just slides in can rock over its depth: common practice, no
source."""

BEVEL_SET_TO = 0.5 / 250
"""Half-width, rad, within which a bevel gauge is set to a line that was drawn by rise and run: half
a millimetre over its blade: common practice, no source."""

STEEPEST = math.radians(10)
"""rad; further off it is another angle and no error of this one."""

SQUARE, BEVEL = "square", "bevel"
"""What the rod is held against."""

_CLOSER = Remedy("rod", "a rod that fits closer, in a deeper hole")
_FINER = Remedy("bevel", "the bevel gauge set to a longer line")


class DrilledAngle(MeasuredCheck):
    """The guided check."""

    name = "drilled-angle"
    title = "Angle of a drilled hole"
    finds = "table or jig of a drill press drill at the angle wanted, by a rod in a test hole"
    tools = "square or bevel gauge, rule"
    minutes = 12.0
    farther = "a longer rod"
    hands_near = False
    over = "rise"
    fields = (
        Field("low", "length", "from blade to rod, low down", reads="rule"),
        Field("high", "length", "from blade to rod, higher up", reads="rule"),
        Field("rise", "length", "from the one along the blade to the other", reads="rule"),
        Field("depth", "length", "how deep the rod stands in the hole", reads="rule"),
        Field("against", "word", "what the blade is of", False, (SQUARE, BEVEL)),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )
    care = (
        "Clamp the board to table, fence or jig: a bit that grabs spins it. No gloves, sleeves up.",
        "Chuck key out before it starts; everything has stopped before anything is touched.",
    )
    usual_datum = "the side that the hole leans away from"
    usual_face = "a straight one, as thick as the bit"
    steps = (
        Do(
            key="drill",
            title="Drill a test hole the way the work is drilled.",
            lines=("A thick, flat offcut on table or jig, clamped; the work's own bit, deep.",),
        ),
        Do(
            key="stand",
            title="Stand a rod in it, and the square or bevel gauge beside it.",
            lines=(
                "The rod, some [12 in|300 mm] long: {face}. If it rocks, hold it in the middle.",
                "The blade stands here: {datum}.",
                "Its stock along the line in which the lean is meant, tight on the board.",
            ),
        ),
    )
    reads = (
        Pick(
            "against",
            "What stands beside the rod?",
            (
                (SQUARE, "a square: the hole should be square to the board"),
                (BEVEL, "the bevel gauge, set to the lean that it should have"),
            ),
            lines=(
                "Set it to a line drawn by rise and run, not to a scale of degrees.",
                "Rake and splay combine to one lean: `shopboard work-out leg` works it out.",
            ),
            true=BEVEL,
        ),
        Reading(
            "low",
            "How far is it from blade to rod, low down?",
            "rule",
            ("Square across from the blade; always to the same side of the rod.",),
            may_equal=True,
            at_most=2000,
            true=20.0,
        ),
        Reading(
            "high",
            "How far is it as high up as both reach?",
            "rule",
            ("The same way, to the same side of the rod.",),
            may_equal=True,
            at_most=2000,
            true=20.0,
        ),
        Reading(
            "rise",
            "How far is it from the one to the other?",
            "rule",
            ("Along the blade.",),
            above=30,
            size="length",
            true=150.0,
        ),
        Reading(
            "depth",
            "How deep is the rod in its hole?",
            "rule",
            above=5,
            size="thickness",
            true=38.0,
        ),
    )
    formula_is = "error = atan((high - low) / rise)"
    plus = "leans further away from the blade than it should"
    minus = "leans more toward the blade than it should"
    aims = (
        "The hole must lean less away from where the blade stands.",
        "The hole must lean more away from where the blade stands.",
    )

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Offer a square where there is one."""
        against, *others = super().asked(job)
        if isinstance(against, Pick) and not job.drawer.squares:
            against = replace(against, options=against.options[1:])
        return (against, *others)

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the rod and the blade beside it."""
        return () if seen.at == "drill" else rod(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse an error that is another angle."""
        if abs(self.formula(values, words)) > STEEPEST:
            return contradict(
                "low and high: over 10 degrees off is another angle; read both again",
                "low",
                "high",
                "rise",
            )
        return None

    def beyond_the_job(
        self, job: CheckContext, values: Values, words: Chosen
    ) -> Contradiction | None:
        """Refuse a rise that is longer than the blade of the longest square."""
        if words.get("against") != SQUARE:
            return None
        longest = max(one.length for one in job.drawer.squares)
        return longer_than_blade(job, "rise", values["rise"], longest)

    def formula(self, values: Values, words: Chosen) -> float:
        """Give how far the hole is off its angle, plus: further away from the blade."""
        return math.atan((values["high"] - values["low"]) / values["rise"])

    def repeats_to(self, values: Values) -> float:
        """Give how a bit strays, as an angle."""
        return STRAYS_MM / values["depth"]

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Add how the rod rocks, and how a bevel gauge is set."""
        rocks = ROCKS_MM / values["depth"]
        rod = Source.within("rod", "rod in its hole", rocks, remedy=_CLOSER)
        if words.get("against", SQUARE) == SQUARE:
            return (rod,)
        name = "bevel gauge, how it is set"
        return rod, Source.within("bevel", name, BEVEL_SET_TO, remedy=_FINER)

    def also(self, job: CheckContext, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Add the square's own error."""
        if words.get("against") != SQUARE or not job.drawer.squares:
            return ()
        return (own_error(off_at_most(truest_square(job.drawer))),)

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give how much more it leans over the rise."""
        return {"leans_over_rise": value_json(values["high"] - values["low"], "length")}


METHOD = DrilledAngle()
