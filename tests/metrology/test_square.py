"""Square and feeler, against the hand formula, chance, and published reversals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from shopboard.metrology.angle import mm_per_m, thou_per_ft
from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.instruments import grade_limit
from shopboard.metrology.square import (
    FEEL_U_MM,
    LEVER_WITHIN_MM,
    Light,
    ReadingError,
    SetUp,
    SquareReading,
    estimate,
    square_error,
)
from shopboard.metrology.uncertainty import Estimate, Source

INCH = 25.4


def light_of(gap: float) -> Light:
    return "top" if gap > 0 else "bottom"


def around(gap: float, half_width: float) -> SquareReading:
    """Make a reading whose bracket is centred on a signed gap, mm."""
    return SquareReading(light_of(gap), abs(gap) - half_width, abs(gap) + half_width)


def source(found: Estimate, start: str) -> Source:
    (one,) = [one for one in found.budget.sources if one.name.startswith(start)]
    return one


@pytest.mark.parametrize(
    ("light", "goes", "refused", "middle", "half"),
    [
        ("top", 0.10, 0.15, 0.125, 0.025),
        ("bottom", 0.10, 0.15, -0.125, 0.025),
        ("top", 0.0, 0.05, 0.025, 0.025),
        ("bottom", 0.0, 0.05, -0.025, 0.025),
        ("none", 0.0, 0.05, 0.0, 0.05),
    ],
)
def test_light_gives_the_sign_and_no_light_is_either_way(
    light: Light, goes: float, refused: float, middle: float, half: float
) -> None:
    reading = SquareReading(light, goes, refused)
    assert reading.middle == pytest.approx(middle)
    assert reading.half_width == pytest.approx(half)


@pytest.mark.parametrize(
    ("light", "goes", "refused"),
    [
        ("top", 0.15, 0.10),
        ("top", 0.10, 0.10),
        ("top", -0.1, 0.1),
        ("none", 0.05, 0.10),
        ("top", math.nan, 0.1),
        ("top", 0.1, math.nan),
    ],
)
def test_a_reading_that_cannot_be_is_refused(light: Light, goes: float, refused: float) -> None:
    with pytest.raises(ReadingError):
        SquareReading(light, goes, refused)


@pytest.mark.parametrize("lever", [0.0, -100.0, math.nan, 0.1])
def test_a_lever_of_nothing_or_shorter_than_the_gap_is_refused(lever: float) -> None:
    with pytest.raises(ReadingError):
        estimate(SetUp(lever), SquareReading("top", 0.10, 0.15))
    with pytest.raises(ReadingError):
        estimate(SetUp(lever), SquareReading("none", 0.0, 0.05), SquareReading("top", 0.10, 0.15))


def test_a_thinnest_leaf_that_will_not_pass_leaves_the_bracket_from_nothing_to_it() -> None:
    """Derived: 0 to .0015 in over 6 in: u .00043301 in; with no light it is either way, double."""
    setup = SetUp(6 * INCH)
    seen = source(estimate(setup, SquareReading("top", 0.0, 0.0015 * INCH)), "bracket")
    unseen = source(estimate(setup, SquareReading("none", 0.0, 0.0015 * INCH)), "bracket")
    assert seen.even
    assert seen.u * 6 == pytest.approx(0.00043301, rel=2e-5)
    assert unseen.u * 6 == pytest.approx(0.00086603, rel=2e-5)


def test_a_grade_2_square_of_150_mm_enters_the_budget_evenly() -> None:
    """DIN 875-1 and GUM 4.3.7, derived: 35 um over 150 mm is u = 1.617 thou/ft."""
    limit = grade_limit("2", 150) / 150
    square = source(estimate(SetUp(150, limit), SquareReading("none", 0, 0.0381)), "square")
    assert square.even
    assert thou_per_ft(square.u) == pytest.approx(1.617, abs=5e-4)
    assert mm_per_m(square.u) == pytest.approx(0.1347, abs=5e-5)


@given(
    st.floats(20, 600),
    st.floats(0.03, 2),
    st.floats(0.001, 0.03),
    st.floats(0, 1e-3),
    st.integers(1, 3),
    st.booleans(),
)
@settings(deadline=None)
def test_the_error_and_its_budget_follow_the_hand_formula(
    lever: float, size: float, half: float, limit: float, leaves: int, top: bool
) -> None:
    """GUM 5.1.2 with a = atan(g/L): da/dg = L/(L2+g2), da/dL = -g/(L2+g2); checked numerically."""
    gap = size if top else -size
    found = estimate(SetUp(lever, limit, leaf_tolerance=0.003, leaves=leaves), around(gap, half))
    step = 1e-5
    by_gap = (math.atan((gap + step) / lever) - math.atan((gap - step) / lever)) / (2 * step)
    by_lever = (math.atan(gap / (lever + step)) - math.atan(gap / (lever - step))) / (2 * step)
    in_gap = half**2 / 3 + FEEL_U_MM**2 + leaves * 0.003**2 / 3
    in_lever = LEVER_WITHIN_MM**2 / 3
    variance = in_gap * by_gap**2 + in_lever * by_lever**2 + limit**2 / 3
    assert found.error == pytest.approx(math.atan(gap / lever), rel=1e-12)
    assert found.budget.u == pytest.approx(math.sqrt(variance), rel=1e-5)


@pytest.mark.parametrize(
    ("reading", "turned", "limit"),
    [
        (SquareReading("top", 0.10, 0.15), None, 0.035 / 150),
        (SquareReading("bottom", 0.4, 0.5), None, 0.01 / 150),
        (SquareReading("none", 0.0, 0.0381), None, 0.018 / 150),
        (SquareReading("top", 1.9, 2.0), None, 0.0),
    ],
)
def test_the_budget_agrees_with_chance_through_the_same_model(
    reading: SquareReading, turned: SquareReading | None, limit: float
) -> None:
    """JCGM 101 (Monte Carlo): 200,000 draws of every source through atan(gap / lever)."""
    rng, draws = np.random.default_rng(101), 200_000
    setup = SetUp(150, limit, leaf_tolerance=0.003, leaves=2)
    low, high = reading.ends
    leaves = rng.uniform(-0.003, 0.003, (2, draws)).sum(axis=0)
    gap = rng.uniform(low, high, draws) + leaves + rng.normal(0, FEEL_U_MM, draws)
    lever = 150 + rng.uniform(-LEVER_WITHIN_MM, LEVER_WITHIN_MM, draws)
    error = np.arctan2(gap, lever) - rng.uniform(-limit, limit, draws)
    found = estimate(setup, reading)
    assert found.error == pytest.approx(error.mean(), abs=4 * found.budget.u / math.sqrt(draws))
    assert found.budget.u == pytest.approx(error.std(), rel=0.01)
    tolerance = Tolerance(found.error - 2 * found.budget.u, found.error + found.budget.u)
    drawn = np.mean((error > tolerance.low) & (error < tolerance.high))
    assert probability_within(found.spread, tolerance) == pytest.approx(drawn, abs=0.005)


def test_a_certified_square_is_taken_off_and_only_its_certificate_is_uncertain() -> None:
    """Positive: the square shows light at the top on a true face; that much is not the face's."""
    setup = SetUp(150, square_known=2e-4, square_u=3e-5)
    found = estimate(setup, around(150 * math.tan(5e-4), 0.005))
    assert found.error == pytest.approx(3e-4, rel=1e-9)
    assert source(found, "square, as certified or proven").u == 3e-5
    assert source(found, "square, its own error").u == 0


def test_a_square_turned_against_a_column() -> None:
    """Derived: +.0031 and, turned, -.0009 in at 6 in.

    Half the difference is the square, half the sum the column (reversal; Evans, Hocken and Estler,
    "Self-calibration", CIRP 1996, from memory).
    """
    setup = SetUp(6 * INCH)
    one, other = around(0.0031 * INCH, 0.0005 * INCH), around(-0.0009 * INCH, 0.0005 * INCH)
    square = square_error(setup, one, other)
    column = estimate(setup, one, other).error
    assert math.tan(square) == pytest.approx(0.00033333, abs=5e-9)
    assert math.degrees(square) == pytest.approx(0.0190986, abs=5e-8)
    assert math.tan(column) == pytest.approx(0.00018333, abs=5e-9)
    assert math.degrees(column) == pytest.approx(0.0105042, abs=5e-8)


@pytest.mark.parametrize(
    ("gap", "lever", "degrees", "metric"),
    [(0.010 * INCH, 12 * INCH, 0.0238732, 0.416667), (0.4, 300, 0.0381972, 0.666667)],
)
def test_a_flipped_square_shows_twice_its_error(
    gap: float, lever: float, degrees: float, metric: float
) -> None:
    """Derived (flip against a line): half the gap over the blade; .010 at 12 in, .4 at 300."""
    one, other = around(gap / 2, gap / 10), around(-gap / 2, gap / 10)
    error = square_error(SetUp(lever), one, other)
    assert math.degrees(error) == pytest.approx(degrees, abs=5e-8)
    assert mm_per_m(error) == pytest.approx(metric, abs=5e-7)
    assert estimate(SetUp(lever), one, other).error == 0


@given(st.floats(-2e-3, 2e-3), st.floats(-2e-3, 2e-3), st.floats(30, 600))
@settings(deadline=None)
def test_turned_over_the_square_cancels_exactly(face: float, square: float, lever: float) -> None:
    """Planted: the readings are face + square and face - square; each comes out alone."""
    gaps = (face + square) * lever, (face - square) * lever
    assume(min(map(abs, gaps)) > 1e-6)
    one, other = (around(gap, abs(gap) / 2) for gap in gaps)
    setup = SetUp(lever, square_limit=1e-3, square_known=5e-4, square_u=1e-4)
    found = estimate(setup, one, other)
    assert math.tan(found.error) == pytest.approx(face, abs=1e-12)
    assert math.tan(square_error(setup, one, other)) == pytest.approx(square, abs=1e-12)
    assert found == estimate(SetUp(lever), one, other)


@given(st.floats(-2e-3, 2e-3), st.floats(-2e-3, 2e-3))
@settings(deadline=None)
def test_turned_over_with_real_leaves_the_face_is_within_the_mean_bracket(
    face: float, square: float
) -> None:
    """Leaves by 0.05 mm to 1 mm over 300 mm, whatever the square."""

    def read(gap: float) -> SquareReading:
        steps = math.floor(abs(gap) / 0.05)
        light = light_of(gap) if steps else "none"
        return SquareReading(light, steps * 0.05, (steps + 1) * 0.05)

    found = estimate(SetUp(300), read((face + square) * 300), read((face - square) * 300))
    bracket = source(found, "bracket")
    assert abs(math.tan(found.error) - face) <= bracket.u * math.sqrt(3) * 1.00001 + 1e-12


def test_turning_over_does_not_make_the_bracket_finer_than_the_leaves_are() -> None:
    """GUM 5.2.2: a good square turned over reads the same bracket again, which proves no more."""
    reading = SquareReading("top", 0.10, 0.15)
    once, twice = estimate(SetUp(150), reading), estimate(SetUp(150), reading, reading)
    assert twice.error == once.error
    assert source(twice, "bracket").u == source(once, "bracket").u
    assert source(twice, "feel").u == pytest.approx(source(once, "feel").u / math.sqrt(2))


def test_only_the_square_lasts_from_one_reading_to_the_next() -> None:
    """What a screw did is the difference of two readings, free of the square's own error."""
    budget = estimate(SetUp(150, 2e-4, 0.0, 3e-5), SquareReading("top", 0.10, 0.15)).budget
    assert {one.name for one in budget.sources if one.lasting} == {
        "square, its own error",
        "square, as certified or proven",
    }
