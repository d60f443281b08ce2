"""Time by the watch: a hand starts and stops it."""

from __future__ import annotations

import numpy as np

from shopboard.checks.correction_steps import lock
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.uncertainty import Estimate
from tests.checks.machines import dial_job, fed, holds, measured

METHOD = measured("timed")
JOB = dial_job(parse_limits("0 to 10 s"))


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """A cutter runs on; a hand stops the watch a fifth of a second too early or too late."""
    true = rng.uniform(1, 11)
    read = true + rng.normal(0, 0.2) + rng.uniform(-0.5, 0.5)
    return true, fed(METHOD, JOB, {"time": max(read, 0.1)}).estimate


def test_the_planted_time_comes_back() -> None:
    holds(trial, 91)


def test_nothing_was_slackened_where_a_brake_was_seen_to() -> None:
    """Seen: a brake had been mended, and the lock of what was slackened was asked for."""
    assert (
        lock(JOB, "lock", "time", runs=True).title
        == "Put back everything that you took off to get at it."
    )
    assert lock(JOB, "lock", "angle", runs=True).title == "Tighten everything that you slackened."
