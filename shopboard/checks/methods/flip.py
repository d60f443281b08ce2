"""Flip test cut: a board is cut, one half is flipped, and the cut is closed.

Each half carries the error of the cut; flipped, they add. The gap that stays
open at one end, over the board's width, is twice the error:
error = atan(gap / width) / 2. For crosscuts, for rips on edge (tilt of fence
or blade), and for mitres (two make a corner, held against a square).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asking import Pick, Reading, Taken
from shopboard.checks.job import Job
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.steps import Do

SEATING_MM = 0.02
"""Standard uncertainty with which a board seats against a fence and a cut closes: common practice,
no source. The gap repeats no better than this."""

_DRAWING = (
    "   ┌────────────┐▒┌────────────┐",
    "   │            │▒│    turned  │   near end: closed",
    "   │   half     │▒│    face    │",
    "   │            │ │    down    │",
    "   └────────────┘ └────────────┘   far end: gap",
    "   (seen from above, gap drawn far too large)",
)


class FlipTestCut(MeasuredCheck):
    """The guided check."""

    name = "flip"
    title = "Flip test cut"
    hands_near = False
    fields = (
        Field("gap", "length", "gap at the open end", reads="leaves"),
        Field("width", "length", "width of the board", reads="rule"),
        Field("open", "word", "end that is open: far or near", needed=False, words=("far", "near")),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    def cautions(self, job: Job) -> tuple[str, ...]:
        """Say what to take care of when cutting."""
        del job
        return ("A test cut is a cut: guard on, push stick at hand, offcut free to fall.",)

    def to_do(self, job: Job) -> Sequence[Do]:
        """Cut, flip, close."""
        del job
        return (
            Do(
                key="cut",
                title="Cut a straight board in two.",
                lines=("Both edges straight and parallel; wider tells more.",),
            ),
            Do(
                key="flip",
                title="Turn one half over and close the cut.",
                lines=("Both halves against one straightedge, edges on the same side as cut.",),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """Where is it open, how wide is the board, how wide the gap."""
        del job
        return (
            Pick(
                "open",
                "At which end is the cut open?",
                (
                    ("far", "at the end that was cut last"),
                    ("near", "at the end that was cut first"),
                    ("none", "closed all along"),
                ),
            ),
            Reading("width", "How wide is the board?", "rule", above=20, size="width"),
            Reading(
                "gap",
                "How wide is the gap at the open end?",
                "leaves",
                at_most=50,
                closed_if=("open", "none"),
            ),
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> str:
        """Refuse a gap that no cut makes."""
        del words
        if values["gap"] > values["width"] / 5:
            return "gap: it is more than a fifth of the width; read it again"
        return ""

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give half the angle of the gap; plus: open where the cut ended."""
        sign = -1.0 if words.get("open") == "near" else 1.0
        return sign * math.atan(values["gap"] / values["width"]) / 2

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        del words
        return "error = atan(gap / width) / 2: both halves carry it"

    def repeats_to(self, values: Mapping[str, float]) -> float:
        """Give how well the board seats, as an angle."""
        return SEATING_MM / values["width"] / 2

    def perfect(self, job: Job) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give a cut that closes all along."""
        return {"gap": 0.0, "width": job.sizes.get("width", 150.0)}, {"open": "none"}

    def describe(self, job: Job, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the cut is off."""
        del taken
        plus = job.geometry.light_at_top or "more than asked for where the cut ends"
        minus = job.geometry.light_at_bottom or "less than asked for where the cut ends"
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "angle", job.unit, plus, minus),
            aims=(
                "It must turn to close the end that was cut last.",
                "It must turn to close the end that was cut first.",
            ),
        )


METHOD = FlipTestCut()
