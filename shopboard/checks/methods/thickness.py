"""Thickness pair for the planer: is the bed parallel to the cutterhead?

A board is planed and measured at its left and right edge:
error = atan((left - right) / width), one-sided, as every face. Plus: thicker
at the left, seen from where the board is fed.
"""

from __future__ import annotations

import math
from dataclasses import replace

from shopboard.checks.asked import Chosen, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.lying import thickness
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.planed import PLANED_MM, PlanedBoard
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.adjuster import Shim

STEEPEST = 20
"""A difference of more than the width over this is misread."""


_MIDDLE = ("Halfway along the board, clear of snipe.",)


class ThicknessPair(PlanedBoard):
    """The guided check."""

    name = "thickness"
    title = "Thickness pair"
    finds = "bed and head of a planer are parallel, by a board measured at left and right"
    tools = "calliper"
    minutes = 10.0
    farther = "a wider board"
    widest_board = True
    fields = (
        Field("left", "length", "thickness at the left", reads="calliper"),
        Field("right", "length", "thickness at the right", reads="calliper"),
        Field("width", "length", "between the two places", reads="rule"),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )
    steps = (
        Do(
            key="plane",
            title="Plane a wide board with a flat underside.",
            lines=(
                "Nearly as wide as the planer; two light passes, the same face up.",
                "Mark its left edge, seen from where you feed it.",
            ),
        ),
    )

    reads = (
        Reading(
            "left", "How thick is it at the left edge?", "calliper", _MIDDLE, at_most=300, true=19
        ),
        Reading(
            "right", "How thick is it at the right edge?", "calliper", _MIDDLE, at_most=300, true=19
        ),
        Reading(
            "width", "How far apart are the places?", "rule", above=30, size="width", true=300.0
        ),
    )
    formula_is = "error = atan((left - right) / width)"
    plus = "bed and head are further apart at the left"
    minus = "bed and head are further apart at the right"

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw bed, board and head."""
        return thickness(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a board that no planer leaves."""
        if values["width"] <= 0:
            return contradict("width: it must be larger than 0", "width")
        if abs(values["left"] - values["right"]) > values["width"] / STEEPEST:
            return contradict(
                "left and right: they differ by over a twentieth of the width; read both again",
                "left",
                "right",
                "width",
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the angle between bed and head."""
        return math.atan((values["left"] - values["right"]) / values["width"])

    def repeats_to(self, values: Values) -> float:
        """Give how well two thicknesses repeat, as an angle."""
        return math.sqrt(2) * PLANED_MM / values["width"]

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give the difference itself."""
        return {"difference": value_json(values["left"] - values["right"], "length")}

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which side is thicker."""
        return replace(super().describe(job, outcome, taken), aims=_aims(job))


def _aims(job: CheckContext) -> tuple[str, str]:
    """Say how the part that moves must go: closer at one side does as much as apart at the other.

    Of a part that is on one side, such as a left post, only that side is spoken of.
    """
    side = "" if job.adjuster is None or isinstance(job.adjuster, Shim) else job.adjuster.side
    if side:
        closer, apart = (_MUST.format(side, way) for way in _WAYS)
        return (closer, apart) if side == "left" else (apart, closer)
    return (
        "Bed and head must come closer at the left, or move further apart at the right.",
        "Bed and head must come closer at the right, or move further apart at the left.",
    )


_MUST = "At the {}, bed and head must {}."
_WAYS = ("come closer", "go further apart")


METHOD = ThicknessPair()
