"""Angle of a drilled hole: a rod in it, beside a square or a bevel gauge; rake and splay."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, grade_limit
from shopboard.metrology.leg import leg
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

METHOD = measured("drilled-angle")
JOB = dial_job(Tolerance(-math.radians(1), math.radians(1), "1 deg"))
ANSWERS = {
    "care": "understood",
    "against": "bevel",
    "low": "1 in",
    "high": "1 1/8 in",
    "rise": "6 in",
    "depth": "1.5 in",
}
DEPTH = 38.0


def stood(hole: float, gauge: float, places: tuple[float, float]) -> list[float]:
    """Stand rod and blade on a board in coordinates; give how far apart they are at two places.

    x along the line in which the lean is meant, z up from the board. The rod, 8 mm thick, leans by
    `hole` (rad) toward +x, and its near side is read; the blade leans by `gauge` from a foot 30 mm
    short of the rod's. From the places along the blade one goes square to it to the rod.
    """
    rod, blade = Rotation.from_euler("y", hole), Rotation.from_euler("y", gauge)
    side, out = rod.apply([-4.0, 0.0, 0.0]), rod.apply([1.0, 0.0, 0.0])
    across = blade.apply([1.0, 0.0, 0.0])
    found = []
    for along in places:
        at = np.array([-30.0, 0.0, 0.0]) + blade.apply([0.0, 0.0, along])
        found.append(float(((side - at) @ out) / (across @ out)))
    return found


def trial(rng: np.random.Generator, against: str) -> tuple[float, Estimate]:
    """A hole off by up to 2 degrees that strays, a rod that rocks, a gauge that is set as one does.

    Against a bevel gauge the hole leans by 12 degrees, as a chair's leg.
    """
    off = rng.uniform(-0.035, 0.035)
    wanted = math.radians(12) if against == "bevel" else 0.0
    rocks = rng.normal(0, 0.1 / DEPTH) + rng.uniform(-0.1, 0.1) / DEPTH
    if against == "bevel":
        blade = rng.uniform(-0.5, 0.5) / 250
    else:
        limit = grade_limit("2", 150) / 150
        blade = rng.uniform(-limit, limit)
    low, high = stood(wanted + off + rocks, wanted + blade, (20.0, 140.0))
    values = {
        "low": rule(rng, low),
        "high": rule(rng, high),
        "rise": rule(rng, 120.0),
        "depth": rule(rng, DEPTH),
    }
    return off, fed(METHOD, JOB, values, {"against": against}).estimate


@pytest.mark.parametrize("against", ["square", "bevel"])
def test_planted_errors_are_found_within_u_in_95_of_100(against: str) -> None:
    """Simulated: a hole square to the board, and one for a leg that leans by 12 degrees."""
    holds(lambda rng: trial(rng, against), 93, 600)


@pytest.mark.parametrize("wanted", [0.0, 8.0, 15.0])
def test_the_error_is_that_of_the_hole_from_its_angle(wanted: float) -> None:
    """In coordinates: square across from the blade it is the same at any lean."""
    gauge = math.radians(wanted)
    low, high = stood(gauge + math.radians(1), gauge, (20.0, 140.0))
    values = {"low": low, "high": high, "rise": 120.0, "depth": DEPTH}
    assert math.degrees(METHOD.formula(values, {})) == pytest.approx(1.0)


@pytest.mark.parametrize("against", ["square", "bevel"])
def test_the_uncertainty_is_that_of_a_monte_carlo(against: str) -> None:
    """JCGM 101: rule, bit, rod and gauge drawn 200,000 times."""
    rng = np.random.default_rng(94)
    count = 200_000

    def read(mm: float) -> np.ndarray:
        out: np.ndarray = mm + rng.uniform(-0.5, 0.5, count)
        return out

    square = JOB.drawer.squares[0]
    limit = 0.5 / 250 if against == "bevel" else square.limit
    others = (
        rng.normal(0, 0.1 / 38, count)
        + rng.uniform(-0.1 / 38, 0.1 / 38, count)
        + rng.uniform(-limit, limit, count)
    )
    u = monte_carlo_u(
        lambda d: np.arctan((d["high"] - d["low"]) / d["rise"]) + others,
        {"low": read(20.0), "high": read(23.0), "rise": read(140.0)},
    )
    values = {"low": 20.0, "high": 23.0, "rise": 140.0, "depth": 38.0}
    found = fed(METHOD, JOB, values, {"against": against})
    assert found.estimate.budget.u == pytest.approx(u, rel=0.01)


def test_what_is_said_of_it_and_without_a_square_the_bevel_gauge_is_left() -> None:
    found = closed("drilled-angle", JOB, ANSWERS)
    assert found.estimate.error == pytest.approx(math.atan(1 / 48))
    assert found.lean.startswith("leans further away from the blade")
    other = closed("drilled-angle", JOB, ANSWERS | {"high": "7/8 in"})
    assert other.lean.startswith("leans more toward the blade")
    pick = METHOD.asked(JOB._replace(drawer=Drawer()))[0]
    assert [value for value, _ in pick.options] == ["bevel"]  # type: ignore[union-attr]


def test_a_drill_presss_cautions_come_first() -> None:
    done = walked("drilled-angle", JOB, {})
    assert done.step is not None
    told = " ".join(done.step.lines)
    for words in ("Clamp the board", "No gloves", "Chuck key out", "manual"):
        assert words in told


def planes(rake: float, splay: float) -> np.ndarray:
    """Find a leg's direction as the line in which two planes meet.

    x forward, y to the left, z up. One plane holds the line left to right and the leg's slope as
    it is seen from the side; the other holds the line front to back and the slope from the front.
    """
    seen_from_side = np.cross([0, 1, 0], [-math.sin(rake), 0, -math.cos(rake)])
    seen_from_front = np.cross([1, 0, 0], [0, -math.sin(splay), -math.cos(splay)])
    line = np.cross(seen_from_side, seen_from_front)
    out: np.ndarray = line / np.linalg.norm(line) * -np.sign(line[2])
    return out


@pytest.mark.parametrize(("rake", "splay"), [(12, 8), (10, 10), (22, 4), (5, 14), (9, 0)])
def test_rake_and_splay_make_one_lean_along_the_line_of_sight(rake: float, splay: float) -> None:
    """Two planes that meet, by numpy; and turned about the sight line by the lean it is the leg."""
    line = planes(math.radians(rake), math.radians(splay))
    found = leg(math.radians(rake), math.radians(splay))
    assert found.lean == pytest.approx(math.acos(-line[2]), abs=1e-9)
    tilt = Rotation.from_euler("y", found.lean)  # a bit that points down leans back
    turned = Rotation.from_euler("z", found.sight_line) * tilt
    assert turned.apply([0, 0, -1]) == pytest.approx(line, abs=1e-9)
    assert found.length(430.0) == pytest.approx(430.0 / -line[2])


def test_the_sum_of_a_leg(program: Program) -> None:
    """Derived: 10 and 10 make 14.0019 degrees, 45 degrees off front to back."""
    data = program.bare("reckon", "leg", "rake=10deg", "splay=10deg", "--json").json
    assert data["error"]["deg"] == pytest.approx(
        math.degrees(math.atan(math.sqrt(2) * math.tan(math.radians(10))))
    )
    assert data["sight_line"]["deg"] == pytest.approx(45.0)
    stands = program.bare("reckon", "leg", "rake=12deg", "splay=8deg", "height=17in", "--json").json
    feet = [stands[one]["in"] for one in ("foot_back", "foot_out")]
    assert stands["leg_length"]["in"] == pytest.approx(math.hypot(17.0, *feet))
    assert program.bare("reckon", "leg", "rake=50deg", "splay=8deg").code == 2
    assert program.bare("reckon", "leg", "rake=5deg", "splay=-8deg").code == 2


def test_reckoned(program: Program) -> None:
    words = ("low=20mm", "high=23mm", "rise=150mm", "depth=38mm", "--json")
    data = program.bare("reckon", "drilled-angle", *words).json
    assert data["error"]["mm_per_m"] == pytest.approx(20.0)
    assert data["leans_over_rise"]["mm"] == pytest.approx(3.0)
    far = program.bare("reckon", "drilled-angle", "low=0", "high=3in", "rise=6in", "depth=1in")
    assert far.code == 2
