"""Four-corner frame: eight mitres from one stop, and all their errors in the last corner.

All other corners are closed; the last stays open by eight errors (2 n with n
sides), over the mitre face: error = asin(gap / (2 face)) / n, with
face = width / cos(180 deg / n). Plus: each mitre's point is blunter than it
should be, and the last corner is open at its toe, outside.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asking import Pick, Reading, Taken
from shopboard.checks.cutting import SEATING_MM
from shopboard.checks.job import Job
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology import mitre

SIDES = {"three": 3, "four": 4, "five": 5, "six": 6, "eight": 8}
"""Frames that are made; in words, since a figure means the number of an answer."""

MOST_SIDES = 100
"""A ring of staves has no more."""

_DRAWING = (
    "▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒╲  ╲    toe, outside: open when the points are too blunt",
    "▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒╲ ▒╲",
    "▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒╲▒▒   heel, inside",
    "                 ▒▒▒",
    "                 ▒▒▒",
    "(the last corner, gap drawn far too large)",
)


class FourCornerFrame(MeasuredCheck):
    """The guided check."""

    name = "frame"
    title = "Four-corner frame"
    hands_near = False
    fields = (
        Field("width", "length", "width of the stock", reads="rule"),
        Field("gap", "length", "gap in the last corner", needed=False, reads="leaves"),
        Field("angle_error", "angle", "error of each mitre", needed=False, signed=True),
        Field("sides", "number", "sides of the frame; 4 when left out", needed=False),
        Field("open", "word", "toe or heel", needed=False, words=("toe", "heel")),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    def cautions(self, job: Job) -> tuple[str, ...]:
        """Say what to take care of when cutting."""
        del job
        return (
            "Each mitre is a cut: guard on, the piece held to fence or stop, hands clear.",
            "Short pieces are clamped, never held by hand.",
        )

    def to_do(self, job: Job) -> Sequence[Do]:
        """Cut, lay out, close."""
        del job
        return (
            Do(
                key="cut",
                title="Cut a mitre on both ends of every side.",
                lines=(
                    "All at the stop that is checked; four sides, eight mitres.",
                    "Straight stock of one width; opposite sides of one length.",
                ),
            ),
            Do(
                key="lay",
                title="Lay the frame flat; close every corner but one.",
                lines=(
                    "The faces tight all along; let them slide, not open.",
                    "In the last corner the faces touch at one end: toe or heel.",
                ),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """How many sides, are they closed, where and how far is the last one open."""
        del job
        sides = tuple((word, f"{count} sides") for word, count in SIDES.items())
        tight = (("yes", "yes, tight all along"), ("no", "no, one of them is open"))
        open_at = (
            ("toe", "at the toe, outside"),
            ("heel", "at the heel, inside"),
            ("none", "nowhere: closed all along"),
        )
        return (
            Pick("sides", "How many sides has the frame?", sides, usual="four"),
            Pick("others", "Is every other corner tight?", tight, usual="yes"),
            Pick("open", "Where is the last corner open?", open_at),
            Reading("width", "How wide is the stock?", "rule", above=10, size="width"),
            Reading(
                "gap",
                "How wide is the gap at the open end?",
                "leaves",
                at_most=50,
                closed_if=("open", "none"),
            ),
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> str:
        """Refuse a frame that cannot be."""
        sides = values.get("sides", 4.0)
        if sides != round(sides) or not 3 <= sides <= MOST_SIDES:
            return f"sides: a frame has whole sides, from 3 to {MOST_SIDES}"
        if ("gap" in values) == ("angle_error" in values):
            return "give either gap= or angle_error=, one of them"
        if values["width"] <= 0:
            return "width: it must be larger than 0"
        if words.get("others") == "no":
            return "others: close every other corner first, then read the last one"
        if values.get("gap", 0.0) > mitre.face(values["width"], _sides(values, words)) / 5:
            return "gap: it is more than a fifth of the mitre's face; read it again"
        return ""

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the error of one mitre; plus: open at the toe."""
        if "angle_error" in values:
            return values["angle_error"]
        sign = -1.0 if words.get("open") == "heel" else 1.0
        size = mitre.error_of(values["width"], abs(values["gap"]), _sides(values, words))
        return math.copysign(size, sign * values["gap"])

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        del words
        return (
            "error = asin(gap / (2 face)) / sides, face = width / cos(180 / sides):"
            " two errors for each side"
        )

    def repeats_to(self, values: Mapping[str, float]) -> float:
        """Give how well the joints close, each by itself: as many as sides, two errors in each.

        Four sides stand for any number: with others it comes out the same or a little less.
        """
        face = mitre.face(values["width"], 4)
        return SEATING_MM * math.sqrt(4) / face / (2 * 4)

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give the closing angle, the gap of the last corner, and that of each corner alone."""
        sides, error = _sides(values, words), self.formula(values, words)
        last = mitre.gap(values["width"], error, sides)
        alone = 2 * mitre.face(values["width"], sides) * math.sin(abs(error))
        return {
            "closing_deg": math.degrees(mitre.closing(error, sides)),
            "gap": value_json(last, "length"),
            "gap_of_each_corner_alone": value_json(alone, "length"),
            "open_at": "toe" if error > 0 else "heel" if error < 0 else "none",
        }

    def perfect(self, job: Job) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give a frame that closes."""
        words = {"sides": "four", "others": "yes", "open": "none"}
        return {"gap": 0.0, "width": job.sizes.get("width", 60.0)}, words

    def describe(self, job: Job, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the mitres are off."""
        point = f"{90 - 180 / _sides(taken.values, taken.words):g} degrees"
        plus = job.geometry.light_at_top or f"each mitre's point is more than {point}"
        minus = job.geometry.light_at_bottom or f"each mitre's point is less than {point}"
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "angle", job.unit, plus, minus),
            aims=("The mitre's point must become sharper.", "The point must become blunter."),
        )


def _sides(values: Mapping[str, float], words: Mapping[str, str]) -> int:
    """Give the number of sides, typed or picked."""
    return round(values.get("sides", 0)) or SIDES[words.get("sides", "four")]


METHOD = FourCornerFrame()
