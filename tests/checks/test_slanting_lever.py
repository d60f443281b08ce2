"""A lever indicator on a slant, built in coordinates: its pointer shows more than there is."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from shopboard.metrology.conformity import Tolerance
from tests.checks.machines import at_least, dial, dial_job, fed, hits, measured, rule

ARM = 15.0
"""From the lever's pivot to the middle of its ball, mm."""
SWEEP, RUNOUT = measured("sweep"), measured("runout")
JOB = dial_job(Tolerance(-1e-3, 1e-3, "1 mm/m"))
LENGTH_JOB = dial_job(Tolerance(-0.1, 0.1, "0.1 mm", "length"))


def shown(move: float, slant: float) -> float:
    """Let a surface rise under the ball by `move`; give what the pointer shows.

    The pivot stands still, the ball rides on the surface (its height is that of the surface, plus a
    radius that drops out). The lever, at `slant` to the surface, turns until the ball is `move`
    higher; the pointer turns with it and counts the way across the lever.
    """
    start = -ARM * math.sin(slant)  # the ball below the pivot
    turned = brentq(lambda by: -ARM * math.sin(slant - by) - start - move, -0.5, 0.5)
    return ARM * float(turned)


@pytest.mark.parametrize(("degrees", "more"), [(0, 0.0), (15, 0.0353), (30, 0.1547), (45, 0.4142)])
def test_the_pointer_shows_more_by_one_over_the_cosine(degrees: int, more: float) -> None:
    """Simulated, and derived: 1 / cos less 1; the words on the screen say 3, 15 and 41 %."""
    assert shown(1e-3, math.radians(degrees)) / 1e-3 - 1 == pytest.approx(more, abs=2e-4)


@pytest.mark.parametrize("word", ["15", "30", "45"])
def test_a_sweep_with_a_slanting_lever_holds_the_planted_error(word: str) -> None:
    """Simulated: the lever stands within 5 degrees of what the eye says; 95 of 100 within U."""
    rng = np.random.default_rng(int(word))
    trials, untaken = [], []
    for _ in range(500):
        error, slant = rng.uniform(-0.003, 0.003), math.radians(float(word) + rng.uniform(-5, 5))
        ends = [shown(side * math.tan(error) * 100, slant) for side in (1, -1)]
        zero = rng.uniform(-0.0127, 0.0127)
        front, back = (dial(rng, one + zero) for one in ends)
        values = {"front": front, "back": back, "span": rule(rng, 200.0)}
        trials.append((error, fed(SWEEP, JOB, values, {"lever": word}).estimate))
        untaken.append((error, fed(SWEEP, JOB, values, {"lever": "square"}).estimate))
    assert hits(trials) >= at_least(len(trials))
    assert word == "15" or hits(untaken) < 0.6 * len(untaken)  # the trap: it is not taken off


def test_a_run_out_with_a_slanting_lever() -> None:
    """Simulated: a flange that runs out by 0.3 mm, read at 30 degrees: 0.346 on the dial."""
    dial_says = shown(0.15, math.radians(30)) - shown(-0.15, math.radians(30))
    assert dial_says == pytest.approx(0.3464, abs=5e-4)
    found = fed(RUNOUT, LENGTH_JOB, {"high": dial_says, "low": 0.0}, {"lever": "30"})
    assert found.estimate.error == pytest.approx(0.3, abs=5e-4)
