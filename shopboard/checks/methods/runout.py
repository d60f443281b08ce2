"""Run-out: what an indicator reads on something that turns, over one whole turn.

Total indicator reading = high - low. On a flange or blade body it is the
wobble, on an arbor or a bit in a chuck twice the offset of its axis. Two
readings half a turn apart lie as far above as below the truth: their mean is
free of run-out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from shopboard.checks.asked import Chosen, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.dials import run_out
from shopboard.checks.indicator import (
    LEVER_ANGLE,
    REPEATS_MM,
    IndicatorCheck,
    dial,
    shown,
    true_share,
)
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import angle_json, value_json
from shopboard.checks.steps import Do
from shopboard.metrology.kind import Kind, measure
from shopboard.metrology.quantity import Unit

SHORTEST_DIAMETER_MM = 1.0
"""Nothing thinner is touched with an indicator."""


class RunOut(IndicatorCheck):
    """The guided check."""

    name = "runout"
    title = "Run-out by indicator"
    finds = "what turns runs true, by the highest less the lowest reading of one turn"
    tools = "indicator"
    minutes = 5.0
    kind: Kind = "length"
    is_size = True
    fields = (
        shown("high", "highest reading of a turn"),
        shown("low", "lowest reading of a turn"),
        Field("diameter", "length", "circle on which a face is touched", needed=False),
        LEVER_ANGLE,
        Field("tolerance", "tolerance", "what it may be", needed=False),
    )
    care = ("Plug out. Turn it by hand only, fingers away from teeth and pinch points.",)
    usual_face = "flange, blade body, arbor or chuck"
    steps = (
        Do(
            key="mount",
            title="Set up the indicator so that nothing gives.",
            lines=(
                "It touches: {face}.",
                "Wipe the face first; preload the plunger half a turn.",
                "A blade is touched on its body below the teeth.",
            ),
        ),
    )
    reads = (
        dial(
            "low",
            "Turn it by hand to the lowest reading: what is it?",
            "The reading grows as the plunger goes in.",
        ),
        dial(
            "high",
            "Turn on to the highest reading: what is it?",
            "Within one whole turn, always turned the same way.",
        ),
    )
    formula_is = "run-out = (high - low){x_cos} over one whole turn"

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw what turns, leaning as it is read."""
        return run_out(job.geometry.face or self.usual_face, seen, size)

    def impossible(self, values: Values, words: Chosen) -> Contradiction | None:
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
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the total indicator reading, mm."""
        return (values["high"] - values["low"]) * true_share(values, words)

    def repeats_to(self, values: Values) -> float:
        """Give how well an indicator repeats."""
        return REPEATS_MM

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give the offset of the axis, a face's wobble."""
        run_out = self.formula(values, words)
        told: dict[str, object] = {"offset_of_axis": value_json(run_out / 2, "length")}
        if "diameter" in values:
            told["wobble_of_face"] = angle_json(math.atan(run_out / values["diameter"]))
        return told

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone."""
        outcome = super().reckon(values)
        return replace(outcome, note=_how_to_cancel(outcome, "inch"))

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say how to measure through it, and where to look when it is too much."""
        look = "Clean both seats, feel for burrs, read again; only then suspect the bearings."
        out = outcome.verdict == "out"
        return replace(
            outcome,
            called="Run-out",
            lean="total run-out, in one turn",
            note=_how_to_cancel(outcome, job.unit) + (f" {look}" if out else ""),
            # Its high side turns with it: no screw or tap goes by the size of it.
            moves=(look,) if job.adjuster else (),
            aims=("Run-out must be less.", "Run-out must be more."),
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
