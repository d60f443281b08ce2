"""A time by the watch, against limits: how long a cutter runs on after the switch is off.

The time is what was read; reading it again and again tells how well the hand
on the watch repeats.
"""

from __future__ import annotations

from dataclasses import replace

from shopboard.checks.asked import Chosen, Reading, Taken, TruePoint, Values
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.run_down import run_down
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.steps import Do
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind, measure

HAND_U_S = 0.2
"""Standard uncertainty, s, by which a hand starts and stops a watch: common practice, no source."""

LONGEST_S = 900.0
"""s; a cutter that runs on for longer is never braked at all."""


class Timed(MeasuredCheck):
    """The guided check; the machine runs, and nobody is near the cutter."""

    name = "timed"
    title = "Time by the watch"
    finds = "something takes no longer than allowed, such as a blade running down"
    signs = "it is the time, never below 0"
    tools = "a watch"
    minutes = 3.0
    clears = False
    kind: Kind = "time"
    hands_near = False
    fields = (
        Field("time", "number", "the time, in seconds", reads="watch"),
        Field("tolerance", "tolerance", "what the time may be", needed=False),
    )

    care = (
        "It runs: every guard on, table clear, sleeves and hair out of the way.",
        "Stand out of the cutter's line. Never slow it down by hand or with wood.",
    )
    usual_face = "the cutter"
    steps = (
        Do(key="run", title="Switch on. Let it reach full speed."),
        Do(
            key="off",
            title="Switch off and start the watch together.",
            lines=("Stop the watch when this has stopped: {face}.",),
        ),
    )
    reads = (Reading("time", "How many seconds did it take?", "watch", at_most=LONGEST_S),)
    formula_is = "the time by the watch"

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw when the watch is started and stopped; then the time to its limit."""
        face = job.geometry.face or self.usual_face
        limit = _limit(seen.values.get("time", 0.0), job.tolerance)
        return run_down(face, limit, seen, size)

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the time."""
        return values["time"]

    def repeats_to(self, values: Values) -> float:
        """Give how well a hand repeats."""
        return HAND_U_S

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give a time in the middle of what is allowed."""
        return {"time": job.tolerance.middle}, {}

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say how the time lies to its limits."""
        time = outcome.estimate.error
        limit = _limit(time, job.tolerance)
        over = "over" if time >= limit else "under"
        short = f"{measure(abs(time - limit), 'time', job.unit)} {over} {limit:g} s"
        bad = outcome.verdict == "out"
        see_to_it = (
            "Have the brake fixed as the maker's manual says; do not work with it like this."
        )
        return replace(outcome, lean=short, moves=(see_to_it,) if bad else ())


def _limit(time: float, limits: Tolerance) -> float:
    """Give the limit that a time is told by."""
    below = time < limits.middle and limits.low > 0  # nothing takes less than no time
    return limits.low if below else limits.high


METHOD = Timed()
