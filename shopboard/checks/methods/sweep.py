"""Indicator sweep: is a blade or fence parallel to the mitre slot?

An indicator rides in the slot and reads the blade in front and at the back, on
the same tooth, which is turned along: its own wobble is the same at both ends
and drops out. A fence is read the same way. A reading grows as the surface
comes nearer, so error = atan((front - back) / span); plus: the front is nearer
to the slot, it opens toward the back.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.diagram import stands
from shopboard.checks.indicator import (
    COUNTS_UP,
    LEVER,
    LEVER_ANGLE,
    LOWEST_READING,
    SAME,
    lever_sources,
    refuse_indicator,
    true_share,
)
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.own_hand import DIAL
from shopboard.metrology.uncertainty import Source

RIDES_MM = 0.01
"""Standard uncertainty with which a base that is held to one side of a slot rides along it:
common practice, no source."""

SHORTEST_SPAN_MM = 20.0
"""A shorter span tells nothing."""

_GUIDE_RIGHT = (
    "   back   ○ same tooth, turned here",
    "          │    ┌────┐",
    "          │◄───┤dial│     ║   ║",
    "    span  │    └────┘     ║   ║  {guide}",
    "          │    ┌────┐     ║   ║",
    "          │◄───┤dial│     ║   ║",
    "   front  ●    └────┘  (seen from above, you stand here)",
)
_GUIDE_LEFT = (
    "                 back   ○ same tooth, turned here",
    "             ┌────┐     │",
    "   ║   ║     │dial├────►│",
    "   ║   ║     └────┘     │  span",
    "   ║   ║     ┌────┐     │",
    "   ║   ║     │dial├────►│",
    "             └────┘     ●  front",
    "   {guide}  (seen from above, you stand here)",
)


def _rides_in_slot(job: CheckContext) -> bool:
    return not job.geometry.datum or "slot" in job.geometry.datum.lower()


def _drawing(job: CheckContext) -> tuple[str, ...]:
    """Draw it from above, slot or carriage on the side where the shop file puts it."""
    face, datum = job.geometry.face, job.geometry.datum
    # A fence that stands right of the slot has the slot on its left.
    left = stands(face) == "right" if "slot" in face.lower() else stands(datum) == "left"
    guide = "slot: the base rides in it" if _rides_in_slot(job) else "carried along here"
    return tuple(row.format(guide=guide) for row in (_GUIDE_LEFT if left else _GUIDE_RIGHT))


class IndicatorSweep(MeasuredCheck):
    """The guided check."""

    name = "sweep"
    hand = DIAL
    title = "Indicator sweep, front and back"
    over = "span"
    fields = (
        Field("front", "length", "reading in front", reads="indicator", signed=True),
        Field("back", "length", "reading at the back", reads="indicator", signed=True),
        Field("span", "length", "between the two places", reads="rule"),
        LEVER_ANGLE,
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    def cautions(self, job: CheckContext) -> tuple[str, ...]:
        """Say what to take care of."""
        del job
        return ("Plug out. Turn the blade by hand only, by its body: teeth cut at rest, too.",)

    def to_do(self, job: CheckContext) -> Sequence[Do]:
        """Set the indicator up, and mark the tooth."""
        datum = job.geometry.datum or "mitre slot"
        in_slot = _rides_in_slot(job)
        return (
            Do(
                key="mount",
                title="Let the indicator ride in the slot." if in_slot else "Mount the indicator.",
                lines=(
                    f"Its base held to one side of: {datum}."
                    if in_slot
                    else f"Carried along by: {datum}, so that it cannot turn.",
                    f"It touches: {job.geometry.face or 'blade or fence'}; pushed in half a turn.",
                    COUNTS_UP,
                ),
                diagram=_drawing(job),
            ),
            Do(
                key="tooth",
                title="Mark one tooth; read that tooth at both ends.",
                lines=(
                    "Turn the blade by hand: the tooth comes in front first, then to the back.",
                    "Another tooth would add the wobble of the blade. A fence needs no mark.",
                ),
            ),
        )

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """How it touches, how far apart, what it shows."""
        more = ("The reading grows as the surface comes nearer.",)
        return (
            LEVER,
            Reading("span", "How far apart are the two places?", "rule", above=20, size="span"),
            Reading(
                "front",
                "What does the indicator show in front?",
                "indicator",
                lines=more,
                diagram=_drawing(job),
                above=LOWEST_READING,
                at_most=-LOWEST_READING,
            ),
            Reading(
                "back",
                "What does it show at the back?",
                "indicator",
                lines=("The same tooth, turned to the back.", *more),
                diagram=_drawing(job),
                above=LOWEST_READING,
                at_most=-LOWEST_READING,
            ),
            SAME,
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> Contradiction | None:
        """Refuse a span that tells nothing, and readings that no machine gives."""
        if values["span"] < SHORTEST_SPAN_MM:
            return contradict("span: it is too short to tell an angle; read farther apart")
        if abs(values["front"] - values["back"]) > values["span"] / 10:
            return contradict(
                "front and back differ by more than a tenth of the span; read both again",
                "span",
                "front",
                "back",
            )
        return refuse_indicator(values, words)

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the angle to the slot; plus: the front is nearer."""
        return math.atan(_difference(values, words) / values["span"])

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        lever = words.get("lever", "square")
        share = "" if lever == "square" else f" x cos {lever}°"
        return f"error = atan((front - back){share} / span), the same tooth at both ends"

    def more(self, values: Mapping[str, float], words: Mapping[str, str]) -> tuple[Source, ...]:
        """Add what the lever's angle leaves uncertain."""
        return lever_sources(self.formula(values, words), values, words)

    def repeats_to(self, values: Mapping[str, float]) -> float:
        """Give how well the base rides, as an angle."""
        return RIDES_MM / values["span"]

    def perfect(self, job: CheckContext) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give a blade that shows the same at both ends."""
        return {"front": 0.0, "back": 0.0, "span": job.sizes.get("span", 200.0)}, {}

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give the difference over the span, and which end is nearer."""
        difference = _difference(values, words)
        nearer = "neither" if difference == 0 else "front" if difference > 0 else "back"
        return {"difference": value_json(difference, "length"), "nearer_to_the_slot": nearer}

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which end is nearer to the slot, and which must go which way."""
        del taken
        plus = job.geometry.light_at_top or "the front is nearer to the slot"
        minus = job.geometry.light_at_bottom or "the back is nearer to the slot"
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "angle", job.unit, plus, minus),
            aims=(
                "The back must come nearer to the slot, or the front go away from it.",
                "The front must come nearer to the slot, or the back go away from it.",
            ),
        )


def _difference(values: Mapping[str, float], words: Mapping[str, str]) -> float:
    """Give how much nearer the front is, mm."""
    return (values["front"] - values["back"]) * true_share(values, words)


METHOD = IndicatorSweep()
