"""Drift angle of a bandsaw: at what angle does the band cut straight?

A board with a straight edge is fed freehand along a line parallel to that
edge; where it is held at the end of the cut, its edge lies off the mitre slot
or fence by the drift. drift = atan(offset / length); plus: the far end lies to
the right.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import Chosen, MeasuredCheck, Values
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do

WANDER_MM = 0.5
"""Standard uncertainty with which a hand keeps a band on a line: common practice, no source."""

_DATUM = "mitre slot, or the fence that shall follow"

SHORTEST_MM = 50.0
"""A shorter edge tells nothing of an angle."""

_DRAWING = (
    "     offset: the far distance less the near one",
    "     |<-->|",
    "     ║   ╱     far end",
    "     ║  ╱      edge of the board, held where it is",
    "     ║ ╱       at the end of the cut",
    "     ║╱        ",
    "     ║   slot or fence        (seen from above)",
)


class DriftAngle(MeasuredCheck):
    """The guided check."""

    name = "drift-angle"
    title = "Drift angle by a freehand cut"
    hands_near = False
    over = "length"
    fields = (
        Field("offset", "length", "how far the edge leaves the slot", reads="rule"),
        Field("length", "length", "over this length of the edge", reads="rule"),
        Field("side", "word", "side of the far end", needed=False, words=("right", "left")),
        Field("tolerance", "tolerance", "what the drift may be", needed=False),
    )

    def cautions(self, job: CheckContext) -> tuple[str, ...]:
        """Say what to take care of when cutting."""
        del job
        return (
            "A test cut is a cut: guard down to the board, hands to the sides of the line.",
            "Stop the saw and wait until the band stands before anything is marked.",
        )

    def to_do(self, job: CheckContext) -> Sequence[Do]:
        """Draw a line, cut along it, stop, mark."""
        datum = job.geometry.datum or _DATUM
        return (
            Do(
                key="cut",
                title="Cut freehand along a line parallel to a straight edge.",
                lines=("Half the board's length, until the feed finds its own angle; hold still.",),
            ),
            Do(
                key="mark",
                title="Stop the saw, hold the board, mark its edge on the table.",
                lines=(f"Once the band stands, compare that mark with this: {datum}.",),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Which side, over what length, how far."""
        datum = job.geometry.datum or _DATUM
        return (
            Pick(
                "side",
                "To which side does the far end of the mark lean?",
                (("right", "to the right"), ("left", "to the left")),
                lines=("Seen from where you feed. Not at all: take either, and then 0.",),
                diagram=_DRAWING,
            ),
            Reading("length", "Over what length is it marked?", "rule", above=50, size="length"),
            Reading(
                "offset",
                "By how much do the two distances differ?",
                "rule",
                lines=(f"From the mark to this, at both ends: {datum}.",),
                diagram=_DRAWING,
                may_equal=True,
                at_most=500,
            ),
        )

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse an edge too short to tell, and a drift that no band has."""
        del words
        if values["length"] < SHORTEST_MM:
            return contradict("length: it is too short to tell an angle; mark a longer edge")
        if values["offset"] > values["length"] / 4:
            return contradict(
                "offset: more than a quarter of the length; read both again", "length", "offset"
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the angle of the edge; plus: the far end lies to the right."""
        sign = -1.0 if words.get("side") == "left" else 1.0
        return sign * math.atan(values["offset"] / values["length"])

    def formula_words(self, words: Chosen) -> str:
        """Write the formula."""
        del words
        return "drift = atan(offset / length)"

    def repeats_to(self, values: Values) -> float:
        """Give how well a hand keeps the line, as an angle."""
        return WANDER_MM / values["length"]

    def perfect(self, job: CheckContext) -> tuple[Values, Chosen]:
        """Give a band that cuts along the slot."""
        return {"offset": 0.0, "length": job.sizes.get("length", 400.0)}, {"side": "right"}

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give how far a fence must follow over a foot and over the length."""
        slope = math.tan(self.formula(values, words))
        return {
            "fence_follows_over_length": value_json(slope * values["length"], "length"),
            "far_end": "right" if slope > 0 else "left" if slope < 0 else "neither",
        }

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say to which side it drifts, and how the fence must follow."""
        del taken
        plus = job.geometry.light_at_top or "feeds straight with the far end to the right"
        minus = job.geometry.light_at_bottom or "feeds straight with the far end to the left"
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "angle", job.unit, plus, minus),
            aims=(
                "The far end of the fence must go right, to follow the drift.",
                "The far end of the fence must go left, to follow the drift.",
            ),
        )


METHOD = DriftAngle()
