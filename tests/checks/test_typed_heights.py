"""Heights and angles that are typed for `reckon`: how well they are known goes into the result."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from tests.cli.program import Program
from tests.metrology.programme import band_weights, by_linear_programme

OUT = [(2, 0, 0.2), (2, 7, -0.2), (14, 0, 0.1), (14, 7, 0.3), (28, 0, -0.1), (28, 7, -0.3)]
IN = [(-2, 0, -31.0), (-2, 7, -30.0), (-14, 0, -33.1), (-14, 7, -31.9), (-28, 0, -35.2),
      (-28, 7, -34.0)]  # fmt: skip


def typed(points: Sequence[tuple[float, float, float]]) -> str:
    return "; ".join(f"{x} in,{y} in,{z} thou" for x, y, z in points)


TABLES = (f"outfeed={typed(OUT)}", f"infeed={typed(IN)}")


def test_two_tables_by_least_squares_of_numpy(program: Program) -> None:
    """Half a thou either way at every station: u of the twist from the planes' covariance (GUM).

    By numpy: u² of a slope is the variance of a height times the diagonal of (X'X)^-1.
    """
    data = program.bare("reckon", "coplanar", *TABLES, "within=0.5thou", "--json").json
    variance = 0.0
    for points in (OUT, IN):
        x = np.array([(1.0, px, py) for px, py, _ in points])
        variance += 0.5**2 / 3 * np.linalg.inv(x.T @ x)[2, 2]
    u = data["uncertainty"]["standard"]["thou_per_ft"]
    assert u == pytest.approx(math.sqrt(variance) * 12, rel=1e-6)
    assert data["error"]["thou_per_ft"] == pytest.approx(2.17143, abs=1e-5)
    assert data["note"] == "the step is the depth of cut, not an error"


def test_where_pitch_and_twist_are_alike_no_less_than_a_monte_carlo(program: Program) -> None:
    """JCGM 101: the larger of the two drawn, within a few per cent or more."""
    level = [(x, y, 0.0) for x, y, _ in IN]
    words = (f"outfeed={typed([(x, y, 0.0) for x, y, _ in OUT])}", f"infeed={typed(level)}")
    data = program.bare("reckon", "coplanar", *words, "within=0.5thou", "--json").json
    rng = np.random.default_rng(17)
    slopes = []
    for points in (OUT, IN):
        x = np.array([(1.0, px, py) for px, py, _ in points])
        slopes.append(rng.uniform(-0.5, 0.5, (20_000, len(points))) @ np.linalg.pinv(x).T)
    along, across = ((slopes[1] - slopes[0])[:, axis] for axis in (1, 2))
    worse = np.where(np.abs(along) >= np.abs(across), along, across) * 12
    assert data["uncertainty"]["standard"]["thou_per_ft"] >= 0.97 * float(np.std(worse))


def test_without_it_the_heights_are_said_to_be_exact(program: Program) -> None:
    data = program.bare("reckon", "coplanar", *TABLES, "--json").json
    assert data["uncertainty"]["standard"]["thou_per_ft"] == 0
    assert "taken as exact" in data["note"]


@pytest.mark.parametrize(
    "points", ["0,0,0; 30,0,6; 0,20,6; 30,20,0", "0,0,0; 10,0,1; 20,0,9; 0,9,2; 10,9,1; 20,9,3"]
)
def test_flatness_by_a_monte_carlo(program: Program, points: str) -> None:
    """JCGM 101: corners of a twisted table, and a ridge: which points hold the band is clear."""
    words = (f"points={points}", "unit=in,in,thou", "within=0.3thou", "--json")
    data = program.bare("reckon", "flatness", *words).json
    rng = np.random.default_rng(18)
    p = np.array([[float(v) for v in one.split(",")] for one in points.split(";")])
    moved = p[:, 2] + rng.uniform(-0.3, 0.3, (1500, len(p)))
    weights = band_weights([(x, y) for x, y, _ in p])
    drawn = np.max(np.abs(weights @ moved.T), axis=0)
    assert drawn[0] == pytest.approx(by_linear_programme(np.c_[p[:, :2], moved[0]]))
    u = data["uncertainty"]["standard"]["thou"]
    assert u == pytest.approx(float(np.std(drawn)), rel=0.06)


def test_three_squares_typed_as_angles(program: Program) -> None:
    """Derived: half of each of three, evenly within 5 seconds: root 3 x 2.5 / root 3 = 2.5."""
    words = ("ab=20arcsec", "bc=-6arcsec", "ac=4arcsec")
    data = program.bare("reckon", "three-squares", *words, "within=5arcsec", "--json").json
    assert data["uncertainty"]["standard"]["deg"] * 3600 == pytest.approx(2.5, rel=1e-6)
    assert [one["source"] for one in data["uncertainty"]["budget"]] == [
        "ab, as typed", "ac, as typed", "bc, as typed",
    ]  # fmt: skip
    assert data["note"] == ""
    exact = program.bare("reckon", "three-squares", *words, "--json").json
    assert exact["uncertainty"]["standard"]["deg"] == 0
    assert "taken as exact" in exact["note"]


@pytest.mark.parametrize(
    "words",
    [
        ("frame", "width=60mm", "angle_error=0.1deg"),
        ("carry", "height=1thou", "circle=3in"),
        ("straightness", "points=0in,0thou;1in,1thou;2in,0thou"),
        ("level", "plane=1thou,0,0", "screws=0in,0in;9,0;0,9"),
    ],
)
def test_an_uncertainty_of_nothing_is_explained(program: Program, words: tuple[str, ...]) -> None:
    """Nobody takes 0 for the whole of it."""
    data = program.bare("reckon", *words, "--json").json
    assert set(data["uncertainty"]["expanded"].values()) == {0}
    assert "exact" in data["note"]


def test_a_carry_of_nothing_is_not_known_exactly(program: Program) -> None:
    """The sagitta has no slope at 0, but a rule may be half a millimetre off: 0.8 micrometres."""
    data = program.bare("reckon", "carry", "carry=0", "circle=3in", "--json").json
    most = 38.1 - math.sqrt(38.1**2 - 0.25**2)
    assert 0.4 * most < data["uncertainty"]["expanded"]["mm"] < 2 * most
