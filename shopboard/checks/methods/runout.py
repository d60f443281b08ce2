"""Run-out: what an indicator reads on something that turns, over one whole turn.

Total indicator reading = high - low. On a flange or blade body it is the
wobble, on an arbor or a bit in a chuck twice the offset of its axis. Two
readings half a turn apart lie as far above as below the truth: their mean is
free of run-out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.indicator import (
    LEVER,
    LEVER_ANGLE,
    LOWEST_READING,
    REPEATS_MM,
    SAME,
    lever_sources,
    refuse_indicator,
    true_share,
)
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import angle_json, value_json
from shopboard.checks.steps import Do
from shopboard.metrology.kind import Kind, measure
from shopboard.metrology.own_hand import DIAL
from shopboard.metrology.quantity import Unit
from shopboard.metrology.uncertainty import Source

SHORTEST_DIAMETER_MM = 1.0
"""Nothing thinner is touched with an indicator."""

_DRAWING = (
    "           ║▒║   ┌────┐",
    "   ════════║▒║◄──┤dial│  stands still",
    "   ════════║▒║   └────┘",
    "           ║▒║",
    "   turned by hand, one whole turn   (side view)",
)


class RunOut(MeasuredCheck):
    """The guided check."""

    name = "runout"
    hand = DIAL
    title = "Run-out by indicator"
    kind: Kind = "length"
    fields = (
        Field("high", "length", "highest reading of a turn", reads="indicator", signed=True),
        Field("low", "length", "lowest reading of a turn", reads="indicator", signed=True),
        Field("diameter", "length", "circle on which a face is touched", needed=False),
        LEVER_ANGLE,
        Field("tolerance", "tolerance", "what it may be", needed=False),
    )

    def cautions(self, job: CheckContext) -> tuple[str, ...]:
        """Say what to take care of."""
        del job
        return ("Plug out. Turn it by hand only, fingers away from teeth and pinch points.",)

    def to_do(self, job: CheckContext) -> Sequence[Do]:
        """Set the indicator up."""
        return (
            Do(
                key="mount",
                title="Stand the indicator so that nothing gives way.",
                lines=(
                    f"It touches: {job.geometry.face or 'flange, blade body, arbor or chuck'}.",
                    "Wipe the face first; push the plunger in half a turn.",
                    "A blade is touched on its body below the teeth.",
                ),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """How it touches, lowest, highest, does it come back."""
        del job
        return (
            LEVER,
            Reading(
                "low",
                "Turn it by hand to the lowest reading: what is it?",
                "indicator",
                lines=("The reading grows as the plunger goes in.",),
                above=LOWEST_READING,
                at_most=-LOWEST_READING,
            ),
            Reading(
                "high",
                "Turn on to the highest reading: what is it?",
                "indicator",
                lines=("Within one whole turn, always turned the same way.",),
                above=LOWEST_READING,
                at_most=-LOWEST_READING,
            ),
            SAME,
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> Contradiction | None:
        """Refuse a highest reading below the lowest, and what cannot be run-out."""
        if values["high"] < values["low"]:
            return contradict("high: it is lower than low; read both again", "low", "high")
        if values["high"] - values["low"] > 5:
            return contradict(
                "high and low differ by more than [3/16 in|5 mm]: that is no run-out;"
                " read both again",
                "low",
                "high",
            )
        if 0.0 <= values.get("diameter", math.inf) < SHORTEST_DIAMETER_MM:
            return contradict("diameter: it must be more than [0.04 in|1 mm]", "diameter")
        return refuse_indicator(values, words)

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the total indicator reading, mm."""
        return (values["high"] - values["low"]) * true_share(values, words)

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        lever = words.get("lever", "square")
        share = "" if lever == "square" else f" x cos {lever}°"
        return f"run-out = (high - low){share} over one whole turn"

    def more(self, values: Mapping[str, float], words: Mapping[str, str]) -> tuple[Source, ...]:
        """Add what the lever's angle leaves uncertain."""
        return lever_sources(self.formula(values, words), values, words)

    def repeats_to(self, values: Mapping[str, float]) -> float:
        """Give how well an indicator repeats."""
        del values
        return REPEATS_MM

    def perfect(self, job: CheckContext) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give something that runs true."""
        del job
        return {"high": 0.0, "low": 0.0}, {}

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give the mean that is free of it, the offset of the axis, a face's wobble."""
        run_out = self.formula(values, words)
        told: dict[str, object] = {
            "mean": value_json((values["high"] + values["low"]) / 2, "length"),
            "offset_of_axis": value_json(run_out / 2, "length"),
        }
        if "diameter" in values:
            told["wobble_of_face"] = angle_json(math.atan(run_out / values["diameter"]))
        return told

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone."""
        outcome = super().reckon(values)
        size = outcome.estimate._replace(size=True)
        return replace(outcome, estimate=size, note=_how_to_cancel(outcome, "inch"))

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say how to measure through it, and where to look when it is too much."""
        del taken
        look = "Clean both seats, feel for burrs, read again; only then suspect the bearings."
        out = outcome.verdict == "out"
        return replace(
            outcome,
            estimate=outcome.estimate._replace(size=True),
            called="Run-out",
            lean="runs out so far from lowest to highest, in one turn",
            note=_how_to_cancel(outcome, job.unit) + (f" {look}" if out else ""),
            # Its high side turns with it: no screw or tap goes by the size of it.
            moves=(look,) if job.adjuster else (),
            aims=("It must run out less.", "It must run out more."),
        )


def _how_to_cancel(outcome: Outcome, unit: Unit) -> str:
    if outcome.estimate.error <= 0:  # nothing was seen: there is nothing to cancel
        return ""
    half = measure(outcome.estimate.error / 2, "length", unit)
    return (
        f"One reading can be off by {half} through it; the mean of two readings half a turn"
        " apart is free of it."
    )


METHOD = RunOut()
