"""Drift angle of a bandsaw: at what angle does the band cut straight?

A board with a straight edge is fed freehand along a line parallel to that
edge; where it is held at the end of the cut, its edge lies off the mitre slot
or fence by the drift. drift = atan(offset / length); plus: the far end lies to
the right.
"""

from __future__ import annotations

import math

from shopboard.checks.asked import Chosen, Pick, Reading, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.leaning import drift
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do

WANDER_MM = 0.5
"""Standard uncertainty with which a hand keeps a band on a line: common practice, no source."""

SHORTEST_MM = 50.0
"""A shorter edge tells nothing of an angle."""


class DriftAngle(MeasuredCheck):
    """The guided check."""

    name = "drift-angle"
    title = "Drift angle by a freehand cut"
    finds = "a band cuts straight, by the angle at which a board must be fed"
    tools = "rule"
    minutes = 12.0
    farther = "a longer mark"
    hands_near = False
    over = "length"
    fields = (
        Field("offset", "length", "how far the edge leaves the slot", reads="rule"),
        Field("length", "length", "over this length of the edge", reads="rule"),
        Field("side", "word", "side of the far end", needed=False, words=("right", "left")),
        Field("tolerance", "tolerance", "what the drift may be", needed=False),
    )

    care = (
        "A test cut is a cut: guard down to the board, hands to the sides of the line.",
        "Stop the saw and wait until the band has stopped before anything is marked.",
    )
    usual_datum = "mitre slot, or the fence that is to follow"
    steps = (
        Do(
            key="cut",
            title="Cut freehand along a line parallel to a straight edge.",
            lines=("Half the board's length, until the feed finds its own angle; hold still.",),
        ),
        Do(
            key="mark",
            title="Stop the saw, hold the board, mark its edge on the table.",
            lines=("Once the band has stopped, compare that mark with this: {datum}.",),
        ),
    )
    reads = (
        Pick(
            "side",
            "Which way does the far end of the mark lean?",
            (("right", "to the right"), ("left", "to the left")),
            lines=("Seen from where you feed. Not at all: choose either, then 0.",),
            true="right",
        ),
        Reading(
            "length", "Over what length is it marked?", "rule", above=50, size="length", true=400.0
        ),
        Reading(
            "offset",
            "By how much do the two distances differ?",
            "rule",
            lines=("From the mark to this, at both ends: {datum}.",),
            may_equal=True,
            at_most=500,
            true=0.0,
        ),
    )
    tells = ("side", {"right": 1, "left": -1})
    formula_is = "drift = atan(offset / length)"
    plus = "feeds straight with the far end to the right"
    minus = "feeds straight with the far end to the left"
    aims = (
        "The far end of the fence must move right, to follow the drift.",
        "The far end of the fence must move left, to follow the drift.",
    )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the mark of the edge beside slot or fence."""
        return () if seen.at == "cut" else drift("slot or fence", seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse an edge too short to tell, and a drift that no band has."""
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

    def repeats_to(self, values: Values) -> float:
        """Give how well a hand keeps the line, as an angle."""
        return WANDER_MM / values["length"]

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give how far a fence must follow over a foot and over the length."""
        slope = math.tan(self.formula(values, words))
        return {
            "fence_follows_over_length": value_json(slope * values["length"], "length"),
            "far_end": "right" if slope > 0 else "left" if slope < 0 else "neither",
        }


METHOD = DriftAngle()
