"""Run-out: total indicator reading over one turn."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.checks.contradiction import Recheck
from shopboard.metrology.adjuster import Screw, Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
from tests.checks import machines
from tests.cli.program import Program

METHOD = machines.measured("runout")
FLANGE = Tolerance(-0.03, 0.03, "0.03 mm", "length")
"""Flange and arbor of a circular saw: 0.03 mm (GOST 9335-89, 2.4 and 2.5)."""
JOB = machines.dial_job(FLANGE)
ANSWERS = {"care": "understood", "low": "0.001 in", "high": "0.003 in"}
TURN = np.linspace(0, math.tau, 721)


def shaft(radius: float, offset: float, start: float) -> np.ndarray:
    """Turn a round shaft about an axis that lies `offset` beside its own; give what a plunger sees.

    The plunger looks at the axis; the shaft's surface is where its ray meets the circle.
    """
    along = offset * np.cos(TURN + start)
    across = offset * np.sin(TURN + start)
    out: np.ndarray = along + np.sqrt(radius**2 - across**2)
    return out


def flange(radius: float, wobble: float, start: float) -> np.ndarray:
    """Turn a flange whose face is tilted by `wobble` (rad); give its height at the radius."""
    out: np.ndarray = radius * math.tan(wobble) * np.cos(TURN + start)
    return out


def trial(rng: np.random.Generator, part: str) -> tuple[float, Estimate]:
    """Turn an eccentric shaft or a tilted flange once under a dial."""
    size, start = rng.uniform(0, 0.1), rng.uniform(0, math.tau)
    if part == "shaft":
        seen, true = shaft(8.0, size, start), 2 * size
    else:
        seen, true = flange(40.0, size / 40, start), 2 * 40 * math.tan(size / 40)
    zero = rng.uniform(0, 0.0254)  # nobody sets a dial's 0 to the middle of what runs out
    low = machines.dial(rng, zero + float(seen.min()))
    high = machines.dial(rng, zero + float(seen.max()) + rng.normal(0, 0.003))
    values = {"low": low, "high": max(low, high)}
    return true, machines.fed(METHOD, JOB, values).estimate


@pytest.mark.parametrize("part", ["shaft", "flange"])
def test_planted_run_out_is_found_within_u_in_95_of_100(part: str) -> None:
    """Simulated: an eccentric shaft, a tilted flange, turned once under a dial."""
    machines.holds(lambda rng: trial(rng, part), 41)


def test_two_readings_half_a_turn_apart_are_free_of_it() -> None:
    """Simulated: the mean at any two places half a turn apart is the shaft's true radius."""
    seen = shaft(8.0, 0.08, 0.7)
    for at in range(0, 360, 30):
        assert (seen[at] + seen[at + 360]) / 2 == pytest.approx(8.0, abs=0.0005)
    assert np.ptp(seen) == pytest.approx(0.16, rel=1e-4)


def test_the_note_says_how_to_measure_through_it() -> None:
    found = machines.closed("runout", JOB, ANSWERS)
    assert "half a turn apart" in found.note
    assert "1.0 thou" in found.note
    assert found.adds["offset_of_axis"] == pytest.approx({"in": 0.001, "thou": 1, "mm": 0.0254})


def test_no_tap_and_no_screw_goes_by_its_size() -> None:
    """Derived: what is off its axis by 10 runs out by 20; a tap of 20 leaves it off by 10."""
    found = {"care": "understood", "low": "0", "high": "0.5 mm", "next": "adjust"}
    for adjuster in (Slot(250.0), Screw(1.0, 250.0, "toward")):
        on = machines.walked("runout", JOB._replace(adjuster=adjuster), found)
        step = next(one for one, _ in on.answered if one.key == "left.adjust")
        said = " ".join(step.lines)
        assert "seats" in said
        assert "Tap" not in said
        assert "Turn" not in said


def test_the_uncertainty_is_that_of_a_monte_carlo() -> None:
    """JCGM 101: both readings drawn 200,000 times, and how an indicator repeats."""
    rng = np.random.default_rng(42)
    count = 200_000

    def read() -> np.ndarray:
        out: np.ndarray = rng.uniform(
            -machines.INDICATOR.limit, machines.INDICATOR.limit, count
        ) + rng.uniform(-machines.HALF_STEP, machines.HALF_STEP, count)
        return out

    u = machines.monte_carlo_u(
        lambda d: d["high"] - d["low"] + rng.normal(0, 0.003, count),
        {"high": 0.05 + read(), "low": read()},
    )
    found = machines.fed(METHOD, JOB, {"high": 0.05, "low": 0.0})
    assert found.estimate.budget.u == pytest.approx(u, rel=0.01)


def test_from_first_step_to_closed() -> None:
    job = machines.dial_job(FLANGE, cutter_near=True)
    done = machines.walked("runout", job, {**ANSWERS, "unplugged": "plug out"})
    assert done.step is None
    keys = [step.key for step, _ in done.answered]
    assert keys[:4] == ["unplugged", "care", "mount", "lever"]
    assert keys[-2:] == ["record", "close"]
    assert done.findings[0].outcome.kind == "length"


@pytest.mark.parametrize(
    ("wrong", "says"), [({"high": "0"}, "high"), ({"comes_back": "no"}, "slipped")]
)
def test_readings_that_contradict_are_not_recorded(wrong: dict[str, str], says: str) -> None:
    """A highest reading below the lowest; a first reading that is gone after a turn."""
    done = machines.walked("runout", JOB, {**ANSWERS, **wrong})
    assert isinstance(done.step, Recheck)
    assert says in done.step.refusal
    assert not done.findings


def test_reckoned(program: Program) -> None:
    """Derived: 2 thou on 3 in is 8 thou a foot of wobble; the fixed form, a length."""
    words = ("high=1thou", "low=-1thou", "diameter=3in", "tolerance=0.03mm", "--json")
    data = program.bare("reckon", "runout", *words).json
    assert data["error"] == pytest.approx({"in": 0.002, "thou": 2.0, "mm": 0.0508})
    assert data["wobble_of_face"]["thou_per_ft"] == pytest.approx(8.0)
    assert data["offset_of_axis"]["thou"] == pytest.approx(1.0)
    assert "mean" not in data  # of a dial's highest and lowest reading: a matter of its zero
    assert data["verdict"] == "near"  # 0.05 mm, give or take 0.026: not proven
    assert "half a turn" in data["note"]


def test_trap_a_lever_over_reads(program: Program) -> None:
    """Derived: 10 thou read with a lever at 30 degrees are 8.660."""
    words = ("high=10thou", "low=0", "lever_angle=30deg", "--json")
    data = program.bare("reckon", "runout", *words).json
    assert data["error"]["thou"] == pytest.approx(8.660254)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("high=0", "low=1thou"), "high"),
        (("high=1in", "low=0"), "5 mm"),
        (("high=1thou", "low=0", "diameter=0"), "diameter"),
        (("high=1thou", "low=0", "tolerance=1deg"), "angle"),
    ],
)
def test_what_cannot_be_is_refused(program: Program, words: tuple[str, ...], says: str) -> None:
    ran = program.bare("reckon", "runout", *words)
    assert ran.code == 2
    assert says in ran.err
