"""Drift angle of a bandsaw: offset over length."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.checks.contradiction import Recheck
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
from tests.checks.machines import (
    closed,
    dial_job,
    fed,
    holds,
    measured,
    monte_carlo_u,
    rule,
    walked,
)
from tests.cli.program import Program

METHOD = measured("drift-angle")
JOB = dial_job(Tolerance(-math.radians(0.5), math.radians(0.5), "0.5 deg"))
ANSWERS = {"care": "understood", "side": "right", "length": "20 in", "offset": "1/2 in"}


def fed_freehand(drift: float, wander: float, rng: np.random.Generator) -> tuple[str, float, float]:
    """Feed a board past a band that cuts along its own direction; mark its edge; read the marks.

    x to the right, y away from the person. The band cuts where its teeth look, `drift` to the
    right of the slot, so a hand that keeps the line turns the board until the line, and the edge
    parallel to it, points that way. The edge is compared with the slot (x = 0) at two places.
    """
    length = 500.0
    way = drift + rng.normal(0, wander / length)
    near_end = np.array([60.0, -300.0])
    direction = np.array([math.sin(way), math.cos(way)])
    far_end = near_end + direction * (length / math.cos(way))
    offset = float(far_end[0] - near_end[0])
    read = max(0.0, rule(rng, abs(offset)))
    return ("right" if offset >= 0 else "left"), read, rule(rng, float(far_end[1] - near_end[1]))


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Up to 4 degrees either way, a wandering hand, a rule."""
    drift = rng.uniform(-0.07, 0.07)
    side, offset, length = fed_freehand(drift, 0.5, rng)
    found = fed(METHOD, JOB, {"offset": offset, "length": length}, {"side": side})
    return drift, found.estimate


def test_planted_drift_is_found_within_u_in_95_of_100() -> None:
    """Simulated: U holds it."""
    holds(trial, 71, 600)


def test_the_uncertainty_is_that_of_a_monte_carlo() -> None:
    """JCGM 101: offset, length and hand drawn 200,000 times."""
    rng = np.random.default_rng(72)
    count = 200_000
    u = monte_carlo_u(
        lambda d: np.arctan(d["offset"] / d["length"]) + rng.normal(0, 0.5 / 400, count),
        {
            "offset": 10 + rng.uniform(-0.5, 0.5, count),
            "length": 400 + rng.uniform(-0.5, 0.5, count),
        },
    )
    found = fed(METHOD, JOB, {"offset": 10.0, "length": 400.0}, {"side": "right"})
    assert found.estimate.budget.u == pytest.approx(u, rel=0.01)


@pytest.mark.parametrize(("side", "sign"), [("right", 1), ("left", -1)])
def test_the_side_gives_the_sign_and_the_words(side: str, sign: int) -> None:
    found = closed("drift-angle", JOB, {**ANSWERS, "side": side})
    assert math.tan(found.estimate.error) == pytest.approx(sign * 0.5 / 20)
    assert side in found.lean
    assert found.adds["far_end"] == side
    assert f"must move {side}" in found.aims[0 if sign > 0 else 1]


def test_from_first_step_to_closed() -> None:
    """A cut: the machine runs, so no plug is asked for before it; caution comes first."""
    job = dial_job(JOB.tolerance, cutter_near=True)
    done = walked("drift-angle", job, {**ANSWERS, "next": "done"})
    assert done.step is None
    keys = [step.key for step, _ in done.answered]
    assert keys == ["care", "cut", "mark", "side", "length", "offset", "repeat1", "record", "next"]


def test_an_offset_that_no_band_has_is_not_recorded() -> None:
    done = walked("drift-angle", JOB, {**ANSWERS, "offset": "8 in"})
    assert isinstance(done.step, Recheck)
    assert "offset" in done.step.refusal
    assert not done.findings


def test_reckoned(program: Program) -> None:
    """Derived: 1/2 in over 20 in is 300 thou a foot, 1.4321 degrees."""
    words = ("offset=1/2in", "length=20in", "--json")
    data = program.bare("reckon", "drift-angle", *words).json
    assert data["error"]["thou_per_ft"] == pytest.approx(300.0)
    assert data["error"]["deg"] == pytest.approx(1.4320962)
    left = program.bare("reckon", "drift-angle", *words[:2], "side=left", "--json").json
    assert left["error"]["deg"] == pytest.approx(-1.4320962)
    assert left["uncertainty"] == data["uncertainty"]


@pytest.mark.parametrize(
    ("words", "says"),
    [(("offset=0", "length=0"), "length"), (("offset=9in", "length=20in"), "offset")],
)
def test_what_cannot_be_is_refused(program: Program, words: tuple[str, ...], says: str) -> None:
    ran = program.bare("reckon", "drift-angle", *words)
    assert ran.code == 2
    assert says in ran.err
