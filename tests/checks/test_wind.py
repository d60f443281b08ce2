"""Wind of a bed by two winding sticks, the far one raised until both are one line."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
from tests.checks.machines import closed, dial_job, fed, holds, measured, rule, walked
from tests.cli.program import Program

METHOD = measured("wind")
JOB = dial_job(Tolerance(-0.002, 0.002, "2 mm/m"))
ANSWERS = {
    "unplugged": "plug out",
    "care": "understood",
    "high": "right",
    "sticks": "20 in",
    "across": "6 in",
    "raised.goes": ".030",
    "raised.refused": ".033",
}


def raised(wind: float, across: float, heights: tuple[float, float]) -> float:
    """Lay a stick on twisted ways in coordinates; find the leaf that brings it parallel, mm.

    y to the right, z up; the near stick lies level. The far pair of ways is turned by `wind` about
    the bed's length, right side up; the stick's ends differ in height by `heights`. What goes under
    the low bearing until its upper edge is level is the height that this bearing lacks.
    """
    turn = Rotation.from_euler("x", wind)
    bearings = [turn.apply([0.0, side * across / 2, 0.0]) for side in (-1, 1)]
    left, right = (one[2] + high for one, high in zip(bearings, heights, strict=True))
    # The leaf stands on the way, square to it.
    return float((right - left) / math.cos(wind))


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Plant wind up to 6 mm/m; sticks that differ, an eye that lays edge on edge, single leaves."""
    wind = rng.uniform(-0.006, 0.006)
    across, sticks = 150.0, 500.0
    differ = rng.uniform(-0.1, 0.1) * across / sticks
    seen = rng.normal(0, 0.15, 2) * across / sticks
    gap = raised(wind, across, (0.0, differ)) + seen[0] - seen[1]
    high = "right" if gap > 0 else "left"
    gap = abs(gap) + rng.normal(0, 0.0076)  # the feel of a leaf
    leaf = max(0.0254 * round(gap / 0.0254), 0.0)  # half a thousandth either way, as leaves stack
    if leaf < 0.0381:
        high, leaf = "none", 0.0
    values = {"raised": leaf, "across": rule(rng, across), "sticks": rule(rng, sticks)}
    return wind, fed(METHOD, JOB, values, {"high": high}).estimate


def test_planted_wind_is_found_within_u_in_95_of_100() -> None:
    """Simulated: a twisted pair of ways, sticks that are not quite alike, an eye and leaves."""
    holds(trial, 97, 600)


def test_a_leaf_under_the_low_end_is_the_wind() -> None:
    """In coordinates: sticks that are alike, no error of the eye."""
    for wind in (-0.004, 0.001, 0.02):
        values = {"raised": abs(raised(wind, 150.0, (0.0, 0.0))), "across": 150.0, "sticks": 500.0}
        high = {"high": "right" if wind > 0 else "left"}
        assert METHOD.formula(values, high) == pytest.approx(wind, rel=3e-4)


def test_longer_sticks_tell_more() -> None:
    """Derived: what eye and sticks leave goes by their length, what leaves do by the bearings."""
    values = {"raised": 0.5, "across": 150.0}
    short, long = (
        fed(METHOD, JOB, {**values, "sticks": one}, {"high": "left"}).estimate.budget.u
        for one in (300.0, 900.0)
    )
    assert short > 1.8 * long


def test_which_end_and_which_way() -> None:
    found = closed("wind", JOB, ANSWERS)
    assert found.lean == "the far end is high at the right"
    assert found.verdict == "out"
    left = closed("wind", JOB, ANSWERS | {"high": "left"})
    assert left.estimate.error == pytest.approx(-found.estimate.error)
    level = {key: text for key, text in ANSWERS.items() if key != "raised.goes"}
    none = closed("wind", JOB, level | {"high": "none", "raised.refused": ".0015"})
    assert none.estimate.error == 0.0
    assert none.lean.startswith("no error detectable")


def test_a_lathe_is_unplugged_first() -> None:
    job = dial_job(JOB.tolerance, cutter_near=True)
    keys = [step.key for step, _ in walked("wind", job, ANSWERS).answered]
    assert keys[:4] == ["unplugged", "care", "lay", "high"]
    assert keys[-1] == "close"


def test_reckoned(program: Program) -> None:
    words = ("raised=3thou", "across=6in", "sticks=20in", "high=left", "--json")
    data = program.bare("reckon", "wind", *words).json
    assert data["error"]["thou_per_ft"] == pytest.approx(-6.0)
    assert program.bare("reckon", "wind", "raised=1in", "across=6in", "sticks=20in").code == 2
    assert program.bare("reckon", "wind", "raised=0", "across=6in", "sticks=5in").code == 2
