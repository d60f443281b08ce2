"""Straightness and flatness, against published surveys, a general solver and geometry."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology import zone
from shopboard.metrology.form import FittedForm, FormError, end_point, least_squares, spread_out
from shopboard.metrology.zone import minimum_zone, narrowest
from tests.in_turn import part
from tests.metrology.moody import eight_lines
from tests.metrology.programme import by_linear_programme

SECOND = math.radians(1 / 3600)


def evenly(step: float, heights: str) -> list[tuple[float, float]]:
    return [(at * step, float(z)) for at, z in enumerate(heights.split())]


def grid(text: str) -> list[tuple[float, ...]]:
    return [tuple(float(v) for v in point.split(",")) for point in text.split()]


LASER = evenly(0.1, "-0.3 0.9 1.5 2.5 2.9 3.6 4.2 5.1 5.9 7.2")
"""Readings of one axis, µm over m: user's guide of a laser measurement system, October 1987,
section 21, squareness and straightness."""


def test_the_published_end_point_fit() -> None:
    """Printed: slope 8.33 µm/m, deviations 0.0 0.4 0.1 0.3 -0.1 -0.3 -0.5 -0.4 -0.5 0.0."""
    fit = end_point(LASER)
    assert fit.slopes[0] == pytest.approx(8.33, abs=0.005)
    printed = [0.0, 0.4, 0.1, 0.3, -0.1, -0.3, -0.5, -0.4, -0.5, 0.0]
    assert fit.deviations(LASER) == pytest.approx(printed, abs=0.051)
    assert fit.peak_to_valley(LASER) == pytest.approx(0.866667, abs=1e-6)


def test_the_published_least_squares_fit() -> None:
    """Printed: slope 7.65 µm/m."""
    fit = least_squares(LASER)
    assert fit.slopes[0] == pytest.approx(7.65, abs=0.005)
    assert fit.at_origin == pytest.approx(-0.094545, abs=1e-6)
    assert fit.peak_to_valley(LASER) == pytest.approx(0.703636, abs=1e-6)


def test_the_minimum_zone_of_the_published_readings() -> None:
    """Not printed; by linear programme."""
    assert minimum_zone(LASER) == pytest.approx(0.65, abs=1e-9)
    assert narrowest(LASER).slopes[0] == pytest.approx(7.833333, abs=1e-6)


def test_straightness_from_tilt_readings() -> None:
    """University lecture slides: 100 mm steps, 0.5 µm a second: straightness 3 µm.

    The first step is the datum: heights 0 0 1.5 5 4 4 6.
    """
    seconds = [130, 130, 133, 137, 128, 130, 134]
    rises = [0.5 * (one - 130) for one in seconds]
    points = [(100.0 * at, sum(rises[: at + 1])) for at in range(7)]
    assert end_point(points).peak_to_valley(points) == pytest.approx(3.0, abs=1e-12)
    assert least_squares(points).peak_to_valley(points) == pytest.approx(3.0357, abs=5e-5)
    assert minimum_zone(points) == pytest.approx(3.0, abs=1e-12)
    exact = SECOND * 1e5  # µm a second over 100 mm
    finer = [(x, z / 0.5 * exact) for x, z in points]
    assert end_point(finer).peak_to_valley(finer) == pytest.approx(2.909, abs=5e-4)


def test_the_published_surface_plate_survey() -> None:
    """Moody, The Tool Engineer, October 1955 (data as quoted since); heights in 10 µin.

    Corners 6.206 and 2.909, middle 13.187, highest 17.841; about the least-squares plane 17.537,
    minimum zone 16.367 (recomputed by linear programme).
    """
    points = eight_lines()
    assert len(points) == 126
    z = [point[2] for point in points]
    assert max(z) - min(z) == pytest.approx(17.841, abs=5e-4)
    assert least_squares(points).peak_to_valley(points) == pytest.approx(17.537, abs=5e-4)
    assert minimum_zone(points) == pytest.approx(16.367, abs=5e-4)
    assert minimum_zone(points) == pytest.approx(by_linear_programme(points), abs=1e-9)


LINES = [
    # Derived: points, end-point, least-squares, minimum zone.
    (evenly(1, "0 1 0"), 1.0, 1.0, 1.0),
    (evenly(6, "0 2 3 5 3 1 0"), 5.0, 5.2143, 5.0),
    (evenly(100, "0 10 5 20 10 0"), 20.0, 20.8571, 20.0),
]


@pytest.mark.parametrize(("points", "ends", "squares", "band"), LINES)
def test_small_lines(
    points: list[tuple[float, float]], ends: float, squares: float, band: float
) -> None:
    """Derived by hand and by linear programme."""
    assert end_point(points).peak_to_valley(points) == pytest.approx(ends, abs=1e-9)
    assert least_squares(points).peak_to_valley(points) == pytest.approx(squares, abs=5e-5)
    assert minimum_zone(points) == pytest.approx(band, abs=1e-9)


TABLES = [
    # Derived: points, least-squares, minimum zone.
    ("0,0,0 0,10,2 0,20,0 15,0,1 15,10,4 15,20,1 30,0,0 30,10,2 30,20,0", 4.0, 4.0),
    ("0,0,0 30,0,6 0,20,6 30,20,0", 6.0, 6.0),  # nothing but twist
    ("0,0,0 0,12,3 0,24,1 18,0,-2 18,12,0 18,24,2 36,0,1 36,12,5 36,24,-1", 6.5, 6.0),
]


@pytest.mark.parametrize(("text", "squares", "band"), TABLES)
def test_small_tables(text: str, squares: float, band: float) -> None:
    """Derived by hand and by linear programme."""
    points = grid(text)
    assert least_squares(points).peak_to_valley(points) == pytest.approx(squares, abs=1e-9)
    assert minimum_zone(points) == pytest.approx(band, abs=1e-9)


def test_the_least_squares_plane_of_a_table() -> None:
    """Derived: z = .333333 + .00925926 x + .0416667 y, root mean square 1.953155."""
    points = grid(TABLES[2][0])
    plane = least_squares(points)
    assert plane.at_origin == pytest.approx(1 / 3, abs=1e-9)
    assert plane.slopes == pytest.approx((0.00925926, 0.0416667), abs=1e-7)
    squares = [one**2 for one in plane.deviations(points)]
    assert math.sqrt(sum(squares) / 9) == pytest.approx(1.953155, abs=1e-6)


def test_least_squares_can_be_wider_than_end_point_and_the_minimum_zone_never() -> None:
    """The trap: 5.2143 about the least-squares line where the ends give 5."""
    points = LINES[1][0]
    ends = end_point(points).peak_to_valley(points)
    assert least_squares(points).peak_to_valley(points) > ends + 0.2
    assert minimum_zone(points) <= ends


heights = st.floats(-1, 1).map(lambda z: round(z, 3))


@given(st.lists(heights, min_size=3, max_size=12))
def test_the_minimum_zone_is_never_wider_than_the_other_two(z: list[float]) -> None:
    """Of any profile."""
    points = [(float(at), height) for at, height in enumerate(z)]
    band = minimum_zone(points)
    assert band <= end_point(points).peak_to_valley(points) + 1e-12
    assert band <= least_squares(points).peak_to_valley(points) + 1e-12


@given(st.lists(heights, min_size=9, max_size=9), st.floats(-0.1, 0.1), st.floats(-0.1, 0.1))
def test_a_tilt_changes_no_form(z: list[float], b: float, c: float) -> None:
    """Tilting or lifting a table leaves its flatness as it is."""
    flat = [(float(at % 3), float(at // 3), height) for at, height in enumerate(z)]
    tilted = [(x, y, height + b * x + c * y + 5) for x, y, height in flat]
    assert minimum_zone(tilted) == pytest.approx(minimum_zone(flat), abs=1e-9)


def some_points(rng: np.random.Generator, kind: int) -> list[tuple[float, ...]]:
    """Lines and tables, on grids and scattered, readings of two decimals with many ties."""
    if kind % 2:
        places = rng.uniform(-500, 500, (rng.integers(4, 100), 1 + kind % 3 // 2))
    else:
        n = int(rng.integers(3, 10))
        places = np.array([(x, y) for x in range(n) for y in range(n)]) * 50.0
    z = rng.normal(0, 0.05, len(places)) + places @ np.full(places.shape[1], 1e-3)
    z = np.round(z, 2) if kind % 3 == 0 else z
    return [tuple(map(float, point)) for point in np.column_stack([places, z])]


def test_the_minimum_zone_agrees_with_a_linear_programme() -> None:
    """400 times where all is tried, to 1e-9."""
    rng = np.random.default_rng(20)
    for trial in range(part(400, 4)):
        points = some_points(rng, trial)
        assert minimum_zone(points) == pytest.approx(by_linear_programme(points), abs=1e-9)


def test_exact_fractions_give_the_same_band(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where rounding spoils the quick way, the exact one answers."""
    real, used = zone._exchange, []

    def only_exact(points: Any, touching: Any) -> Any:
        if not isinstance(points[0][0], Fraction):
            return None
        used.append(1)
        return real(points, touching)

    rng = np.random.default_rng(4)
    tables = [some_points(rng, kind) for kind in (0, 2, 6)] + [grid(text) for text, _, _ in TABLES]
    quick = [minimum_zone(points[:40]) for points in tables]
    zone._height.cache_clear()
    monkeypatch.setattr(zone, "_exchange", only_exact)
    assert [minimum_zone(points[:40]) for points in tables] == pytest.approx(quick, abs=1e-12)
    assert len(used) == len(tables)


def test_the_slow_rule_against_going_round_in_circles(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bland's rule from the first exchange on gives the same bands."""
    rng = np.random.default_rng(5)
    tables = [some_points(rng, kind) for kind in range(30)]
    quick = [minimum_zone(points) for points in tables]
    zone._height.cache_clear()
    monkeypatch.setattr(zone, "_STALLS", 0)
    assert [minimum_zone(points) for points in tables] == pytest.approx(quick, abs=1e-10)


def test_the_band_lies_half_way() -> None:
    """As far above as below."""
    points = grid(TABLES[2][0])
    deviations = narrowest(points).deviations(points)
    assert max(deviations) == pytest.approx(-min(deviations))


def test_points_that_hold_no_line_or_plane_are_refused() -> None:
    """And the reason is told."""
    with pytest.raises(FormError, match="too few"):
        least_squares([])
    with pytest.raises(FormError, match="too few"):
        minimum_zone([(0.0, 1.0)])
    with pytest.raises(FormError, match="one place"):
        minimum_zone([(1.0, 1.0), (1.0, 2.0)])
    with pytest.raises(FormError, match="two places"):
        end_point([(1.0, 1.0), (1.0, 2.0)])
    with pytest.raises(FormError, match="one line"):
        least_squares([(float(at), 2.0 * at, 0.1 * at) for at in range(5)])


def test_exactly_enough_points_are_flat() -> None:
    """Two points are straight, three are flat."""
    assert minimum_zone([(0.0, 3.0), (5.0, 1.0)]) == pytest.approx(0.0, abs=1e-12)
    assert minimum_zone([(0.0, 0.0, 3.0), (5.0, 0.0, 1.0), (0.0, 4.0, 9.0)]) == pytest.approx(
        0.0, abs=1e-12
    )
    assert FittedForm(1.0, (2.0, 3.0)).height((1.0, 1.0)) == 6.0


@pytest.mark.parametrize("scale", [1e-3, 1.0, 1e3])
def test_a_triangle_is_thin_against_its_own_spread(scale: float) -> None:
    """Beside a line by a part in ten thousand million of it, and by a hundred times as much."""
    for beside, flat in ((1e-10, True), (1e-8, False)):
        points = [(0.0, 0.0, 0.0), (scale, 0.0, 0.0), (scale / 2, beside * scale, 1.0)]
        if flat:
            with pytest.raises(FormError, match="all points lie on one line"):
                spread_out(points)
        else:
            assert spread_out(points) == (0, 1, 2)


def test_two_places_make_a_line_and_one_makes_none() -> None:
    """From 1 up to 5 over 2: two a unit, by either way."""
    for line in (end_point, least_squares, narrowest):
        found = line([(1.0, 1.0), (3.0, 5.0)])
        assert (found.at_origin, *found.slopes) == pytest.approx((-1.0, 2.0))
        for points in ([(1.0, 1.0), (1.0, 5.0)], [(1.0, 1.0)]):
            with pytest.raises(FormError):
                line(points)
    with pytest.raises(FormError, match="too few points: 0"):
        least_squares([])
    plane = least_squares([(0.0, 0.0, 1.0), (2.0, 0.0, 2.0), (0.0, 4.0, 3.0)])
    assert (plane.at_origin, *plane.slopes) == pytest.approx((1.0, 0.5, 0.5))
    with pytest.raises(FormError, match="too few points: 2"):
        spread_out([(0.0, 0.0, 1.0), (2.0, 0.0, 2.0)])
