"""Indicator sweep: is a blade or fence parallel to the mitre slot?

An indicator rides in the slot and reads the blade in front and at the back, on
the same tooth, which is turned along: its own wobble is the same at both ends
and drops out. A fence is read the same way. A reading grows as the surface
comes nearer, so error = atan((front - back) / span); plus: the front is nearer
to the slot, it opens toward the back.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from shopboard.checks.asked import Chosen, Pick, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.dials import sweep
from shopboard.checks.indicator import (
    COUNTS_UP,
    LEVER_ANGLE,
    IndicatorCheck,
    dial,
    shown,
    true_share,
)
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do

RIDES_MM = 0.01
"""Standard uncertainty with which a base that is held to one side of a slot rides along it:
common practice, no source."""

SHORTEST_SPAN_MM = 20.0
"""A shorter span tells nothing."""

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
    return job.geometry.in_slot or not job.geometry.datum


class IndicatorSweep(IndicatorCheck):
    """The guided check."""

    name = "sweep"
    title = "Indicator sweep, front and back"
    finds = "a blade or fence is parallel to the slot, by an indicator at its front and its back"
    tools = "indicator"
    minutes = 8.0
    over = "span"
    fields = (
        shown("front", "reading in front"),
        shown("back", "reading at the back"),
        Field("span", "length", "between the two places", reads="rule"),
        LEVER_ANGLE,
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )
    care = ("Plug out. Turn the blade by hand only, by its body: teeth cut at rest, too.",)
    formula_is = "error = atan((front - back){x_cos} / span), the same tooth at both ends"
    plus = "the front is nearer to the slot"
    minus = "the back is nearer to the slot"
    aims = (
        "The back must move nearer to the slot, or the front move away from it.",
        "The front must move nearer to the slot, or the back move away from it.",
    )

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
                    f"It touches: {job.geometry.face or 'blade or fence'}; preloaded half a turn.",
                    COUNTS_UP,
                ),
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

    def dials(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """How far apart, what it shows."""
        grows = "The reading grows as the surface comes nearer."
        same = "The same tooth, turned to the back."
        span = "How far apart are the two places?"
        return (
            Reading("span", span, "rule", above=20, size="span", true=200.0),
            dial("front", "What does the indicator show in front?", grows),
            dial("back", "What does it show at the back?", same, grows),
        )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw slot, surface and indicator."""
        return sweep(job.geometry, seen, "slot" if _rides_in_slot(job) else "carriage", size)

    def impossible(self, values: Values, words: Chosen) -> Contradiction | None:
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
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the angle to the slot; plus: the front is nearer."""
        return math.atan(_difference(values, words) / values["span"])

    def repeats_to(self, values: Values) -> float:
        """Give how well the base rides, as an angle."""
        return RIDES_MM / values["span"]

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Speak of the slot only where there is one."""
        found = super().describe(job, outcome, taken)
        if _rides_in_slot(job):
            return found
        aims = tuple(one.replace("the slot", "the indicator") for one in self.aims)
        own_words = found.lean in (self.plus, self.minus)
        lean = found.lean.replace("the slot", "the indicator") if own_words else found.lean
        return replace(found, lean=lean, aims=(aims[0], aims[1]))

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give the difference over the span, and which end is nearer."""
        difference = _difference(values, words)
        nearer = "neither" if difference == 0 else "front" if difference > 0 else "back"
        return {"difference": value_json(difference, "length"), "nearer_to_the_slot": nearer}


def _difference(values: Values, words: Chosen) -> float:
    """Give how much nearer the front is, mm."""
    return (values["front"] - values["back"]) * true_share(values, words)


METHOD = IndicatorSweep()
