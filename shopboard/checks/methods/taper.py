"""Taper of what a lathe turns: two diameters of a test piece turned between centres.

    taper = atan((head - tail) / (2 length))

on one side, as the surface runs to the axis; plus: thicker at the headstock. A tool that the bed
carries goes straight past a piece whose tail point is off: the point stands too near the tool by
half of what the diameters would differ from centre to centre (the handbooks' set-over of a
tailstock, here found from the taper). Turned by hand, the hand makes the taper, and the piece tells
how parallel a tenon comes off.
"""

from __future__ import annotations

import math
from dataclasses import replace

from shopboard.checks.asked import Chosen, Pick, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.lying import taper
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.kind import measure

TURNED_MM = 0.025
"""Standard uncertainty with which a turned and scraped diameter repeats at one place: common
practice, no source."""

STEEPEST = 8
"""A difference of more than the length over this is no taper of a lathe, but of a hand."""

BY_TOOL = "bed"
"""Answer that the tool was carried along the bed."""


class Taper(MeasuredCheck):
    """The guided check."""

    name = "taper"
    title = "Taper of a turned test piece"
    finds = "a lathe turns parallel, by two diameters of a piece turned between centres"
    tools = "calliper"
    minutes = 15.0
    farther = "a longer piece"
    hands_near = False
    over = "length"
    fields = (
        Field("head", "length", "diameter near the headstock", reads="calliper"),
        Field("tail", "length", "diameter near the tailstock", reads="calliper"),
        Field("length", "length", "from the one to the other", reads="rule"),
        Field("between", "length", "from centre to centre", needed=False, reads="rule"),
        Field("carried", "word", "what carried the tool", False, (BY_TOOL, "hand")),
        Field("tolerance", "tolerance", "what the taper may be", needed=False),
    )
    care = (
        "Face shield on; sleeves rolled up, hair tied back, no gloves.",
        "Turn it once by hand before it starts: it clears the rest. Stand aside as it starts.",
        "Rest out of the way and lathe stopped before anything is measured.",
    )
    steps = (
        Do(
            key="turn",
            title="Turn a straight piece between centres.",
            lines=(
                "Sound wood, or scrap of the work; the last cuts light and from end to end.",
                "The tool's setting stays as it is from the one end to the other.",
            ),
        ),
    )
    reads = (
        Pick(
            "carried",
            "What led the tool along the piece?",
            (
                ("hand", "my hand, along the rest"),
                (BY_TOOL, "the bed: a slide, a carriage or a jig that rides on it"),
            ),
            lines=("By hand the taper is your hand's, whatever the centres do.",),
            usual="hand",
            true=BY_TOOL,
        ),
        Reading(
            "head",
            "What is its diameter near the headstock?",
            "calliper",
            ("Lathe stopped. Twice, crosswise; the mean of both.",),
            at_most=300,
            true=38.0,
        ),
        Reading(
            "tail",
            "What is its diameter near the tailstock?",
            "calliper",
            ("The same way.",),
            at_most=300,
            true=38.0,
        ),
        Reading(
            "length",
            "How far apart are the two places?",
            "rule",
            above=20,
            size="length",
            true=300.0,
        ),
        Reading(
            "between",
            "How long is the piece, from centre to centre?",
            "rule",
            above=20,
            only_if=("carried", (BY_TOOL,)),
            size="span",
            true=400.0,
        ),
    )
    formula_is = "taper = atan((head - tail) / (2 length)): one side, not both"
    plus = "thicker at the headstock"
    minus = "thicker at the tailstock"
    aims = (
        "The tail point must move away from the tool.",
        "The tail point must move toward the tool.",
    )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the piece between its centres."""
        return taper(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse what no lathe turns, and centres closer together than what lies between them."""
        if values["length"] <= 0:
            return contradict("length: it must be larger than 0", "length")
        if abs(values["head"] - values["tail"]) > values["length"] / STEEPEST:
            return contradict(
                "head and tail: they differ by over an eighth of the length; read both again",
                "head",
                "tail",
                "length",
            )
        if values.get("between", math.inf) < values["length"]:
            return contradict(
                "between: the length lies between the centres and cannot be more; read both again",
                "length",
                "between",
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the angle of the surface to the axis."""
        return math.atan((values["head"] - values["tail"]) / 2 / values["length"])

    def repeats_to(self, values: Values) -> float:
        """Give how well two diameters repeat, as an angle."""
        return TURNED_MM / math.sqrt(2) / values["length"]

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give the difference, and how far the tail point is off where the bed led the tool."""
        told: dict[str, object] = {
            "difference": value_json(values["head"] - values["tail"], "length")
        }
        if words.get("carried") != "hand" and "between" in values:
            told["tail_off"] = value_json(_tail_off(values), "length")
        return told

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which end is thicker, and how far the tailstock must go."""
        told = super().describe(job, outcome, taken)
        if taken.words.get("carried") == "hand":
            again = "By hand: lighter last cuts, and the calliper at both ends while they are made."
            return replace(told, moves=(again,) if outcome.verdict == "out" or job.adjuster else ())
        off = _tail_off(taken.values)
        if not off or job.adjuster:  # a screw tells how far in turns
            return told
        way = "away from" if off > 0 else "toward"
        size = measure(abs(off), "length", job.unit)
        return replace(told, moves=(f"The tail point must move {size} {way} the tool.",))


def _tail_off(values: Values) -> float:
    """Give how far the tail point stands too near the tool, mm."""
    return (values["head"] - values["tail"]) / 2 * values["between"] / values["length"]


METHOD = Taper()
