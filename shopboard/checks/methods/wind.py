"""Wind of a bed or bench: two winding sticks, sighted over each other.

Two straight sticks of one height lie across the ways, one near, one far. Where one end of the far
one stands up behind the near one, its other end is raised with leaves until the edges are one line:

    wind = atan(raised / across)

with across from bearing to bearing of the stick. Plus: the far end of the bed is high at the right,
seen from where one sights.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopboard.checks.asked import Chosen, Pick, Reading, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.leaning import sticks
from shopboard.checks.inputs import open_at
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.reckoning import Field
from shopboard.checks.steps import Do
from shopboard.metrology.reach import true_errors
from shopboard.metrology.sources import Remedy
from shopboard.metrology.uncertainty import Source

SIGHTED_MM = 0.15
"""Standard uncertainty with which an eye lays one edge on another at the end of a stick: common
practice, no source."""

PARALLEL_MM = 0.1
"""Half-width within which two sticks that show no light on each other, turned end for end, are of
one height at both ends: common practice, no source."""

STEEPEST = 10
"""More than across over this is no wind."""

_LONGER = Remedy("sticks", "longer winding sticks, truer to each other", longer="distance")


class Wind(MeasuredCheck):
    """The guided check."""

    name = "wind"
    title = "Wind by two sticks"
    finds = "a lathe's bed or a bench has no wind, by two winding sticks sighted over each other"
    tools = "leaves, winding sticks, rule"
    minutes = 8.0
    farther = "bearings further apart"
    over = "across"
    fields = (
        Field("raised", "length", "by how much the low end was raised", reads="leaves"),
        Field("across", "length", "from bearing to bearing of a stick", reads="rule"),
        Field("sticks", "length", "how long the sticks are", reads="rule"),
        Field("high", "word", "end of the far stick that is high", False, ("right", "left")),
        Field("tolerance", "tolerance", "what the wind may be", needed=False),
    )
    care = (
        "Plug out; nothing in chuck or between centres. Bed and bench wiped clean.",
        "Sight from beside the end of the bed, not from under a lamp or a shelf.",
    )
    steps = (
        Do(
            key="lay",
            title="Lay a winding stick across each end of what is tried.",
            lines=(
                "Square across, as far apart as it goes, on both ways or both edges.",
                "Use sticks that show no light between them, turned end for end, too.",
                "Step back and sight over the near one to the far one, one eye shut.",
            ),
        ),
    )
    reads = (
        Pick(
            "high",
            "Which end of the far stick stands up?",
            (
                ("right", "the right one"),
                ("left", "the left one"),
                ("none", "neither: they line up"),
            ),
        ),
        Reading(
            "sticks",
            "How long are the sticks?",
            "rule",
            above=100,
            true=500.0,
        ),
        Reading(
            "across",
            "How far is it from bearing to bearing of a stick?",
            "rule",
            ("From way to way, or edge to edge: from leaf to bearing.",),
            above=30,
            size="width",
            true=150.0,
        ),
        Reading(
            "raised",
            "Raise its low end with leaves until both line up: by how much?",
            "leaves",
            ("Between the way and the stick.",),
            at_most=50,
            closed_if=("high", "none"),
        ),
    )
    tells = ("high", {"right": 1, "left": -1})
    formula_is = "wind = atan(raised / across)"
    plus = "the far end is high at the right"
    minus = "the far end is high at the left"
    aims = (
        "At the far end the right side must come down, or the left one up.",
        "At the far end the left side must come down, or the right one up.",
    )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw both sticks as they are sighted."""
        return sticks(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a wind that is none, and bearings that no stick reaches."""
        if values["across"] > values["sticks"]:
            return contradict(
                "across: the sticks are shorter than that; read both again", "sticks", "across"
            )
        if values["raised"] > values["across"] / STEEPEST:
            return contradict(
                "raised: it is more than a tenth of across; read both again", "across", "raised"
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the angle between the sticks."""
        sign = -1.0 if words.get("high") == "left" else 1.0
        return sign * math.atan(values["raised"] / values["across"])

    def repeats_to(self, values: Values) -> float:
        """Give how well an eye lays the sticks in one line, at either end."""
        return SIGHTED_MM * math.sqrt(2) / values["sticks"]

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Add what the sticks differ by."""
        half = PARALLEL_MM / values["sticks"]
        return (Source.within("sticks", "heights of the sticks", half, remedy=_LONGER),)

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give sticks in one line."""
        values, _ = super().perfect(job)
        return {**values, "raised": 0.0}, {"high": "none"}

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give beds whose wind lies within the tolerance."""
        perfect, _ = self.perfect(job)
        found = []
        for error in true_errors(job.tolerance):
            raised = math.tan(error) * perfect["across"]
            end = open_at(job, raised, "right", "left")
            known = 0.0 if end == "none" else abs(raised)
            found.append(({**perfect, "raised": known}, {"high": end}))
        return found


METHOD = Wind()
