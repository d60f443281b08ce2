"""Robust slope and test for a trend, against worked examples, every order, and scipy."""

from __future__ import annotations

import math
import random
from itertools import permutations

import numpy as np
import pytest
from scipy import stats

from shopboard.metrology.trend import EXACT_UP_TO, mann_kendall, median, theil_sen


def test_the_line_of_seven_values_of_which_one_is_wild() -> None:
    """Helsel and Hirsch, Statistical Methods in Water Resources, ch. 10 (USGS TM 4-A3)."""
    xs, ys = (1, 2, 3, 4, 5, 6, 7), (1, 2, 3, 4, 5, 16, 7)
    assert theil_sen(xs, ys).slope == 1
    test = mann_kendall(ys)
    assert test.s == 19
    assert test.p == pytest.approx(0.0027778, abs=5e-8)


def test_fourteen_values_of_which_two_are_the_same() -> None:
    """A worked example of the normal form with the correction for ties: S 54, Z 2.9058."""
    found = mann_kendall(
        (
            12.9,
            14.8,
            13.2,
            15.7,
            13.8,
            15.6,
            12.9,
            11.0,
            17.3,
            15.9,
            19.0,
            18.3,
            20.1,
            21.7,
        )
    )
    assert found.s == 54
    assert found.z == pytest.approx(2.9058, abs=5e-5)
    assert found.p == pytest.approx(2 * stats.norm.sf(2.9058), rel=1e-3)


@pytest.mark.parametrize("count", [2, 3, 4, 5, 7, 10, EXACT_UP_TO])
def test_few_values_are_counted_exactly(count: int) -> None:
    """scipy.stats.kendalltau with method="exact"."""
    chance = random.Random(count)
    for _ in range(20):
        values = [chance.random() for _ in range(count)]
        known = stats.kendalltau(range(count), values, method="exact").pvalue
        assert mann_kendall(values).p == pytest.approx(known, rel=1e-9)


def test_many_values_go_by_the_normal_form() -> None:
    """scipy.stats.kendalltau with method="asymptotic", which has no correction for continuity."""
    chance = random.Random(3)
    for _ in range(20):
        values = [round(chance.gauss(0.02 * i, 1), 1) for i in range(60)]  # some are the same
        found = mann_kendall(values)
        known = stats.kendalltau(range(60), values, method="asymptotic").pvalue
        assert 2 * stats.norm.sf(abs(found.z) * abs(found.s) / (abs(found.s) - 1)) == (
            pytest.approx(known, rel=1e-9)
        )


def test_values_that_are_all_the_same_show_no_trend() -> None:
    assert mann_kendall([3.0] * 30) == (0, 0.0, 1.0)
    assert mann_kendall([3.0] * 4) == (0, 0.0, 1.0)
    assert mann_kendall([3.0]).p == 1.0


@pytest.mark.parametrize("same", [False, True])
@pytest.mark.parametrize("level", [0.9, 0.95, 0.99])
def test_a_long_line_is_that_of_scipy(level: float, same: bool) -> None:
    """scipy.stats.theilslopes: its interval is the normal form."""
    chance = random.Random(5)
    for _ in range(10):
        xs = [chance.uniform(0, 10) for _ in range(45)]
        ys = [0.3 * x + chance.gauss(0, 1) for x in xs]
        if same:
            xs, ys = [round(x) for x in xs], [round(y, 1) for y in ys]
        found = theil_sen(xs, ys, level)
        known = stats.theilslopes(ys, xs, alpha=level, method="separate")
        assert found == pytest.approx((known.slope, known.low_slope, known.high_slope), rel=1e-12)


@pytest.mark.parametrize(("count", "level"), [(5, 0.95), (6, 0.95), (7, 0.95), (7, 0.99)])
def test_a_short_interval_covers_in_as_many_orders_as_it_says(count: int, level: float) -> None:
    """Every order of what lies off the line is as likely; one slope further in would be too few."""
    xs = [i + 0.01 * i * i for i in range(count)]
    covered = narrower = total = 0
    for order in permutations(range(count)):
        ys = [2.0 * x + 0.1 * math.sqrt(place + 1) for x, place in zip(xs, order, strict=True)]
        found = theil_sen(xs, ys, level)
        covered += found.low <= 2.0 <= found.high
        slopes = sorted((ys[j] - ys[i]) / (xs[j] - xs[i]) for j in range(count) for i in range(j))
        rank = slopes.index(found.low)
        narrower += slopes[rank + 1] <= 2.0 <= slopes[-rank - 2]
        total += 1
    assert narrower / total < level <= covered / total


def test_four_values_have_no_interval_of_95_percent() -> None:
    """The likeliest order of four is 1 in 24, either way 8.3 %."""
    found = theil_sen((1, 2, 3, 4), (1, 2.1, 2.9, 4.2))
    assert (found.low, found.high) == (-math.inf, math.inf)


def test_a_third_of_wild_values_hardly_move_the_slope() -> None:
    """Breakdown point 29 % (Rousseeuw and Leroy, from memory); least squares follows at once."""
    chance = random.Random(8)
    xs = list(range(30))
    ys = [0.5 * x + chance.gauss(0, 0.1) for x in xs]
    for wild in range(22, 30):
        ys[wild] += 1000
    assert theil_sen(xs, ys).slope == pytest.approx(0.5, abs=0.1)
    assert abs(np.polyfit(xs, ys, 1)[0] - 0.5) > 10


def test_a_slope_needs_two_places() -> None:
    with pytest.raises(ValueError, match="two different x"):
        theil_sen((1, 1, 1), (1, 2, 3))
    with pytest.raises(ValueError, match="zip"):
        theil_sen((1, 2, 3), (1, 2))


@pytest.mark.parametrize("count", [1, 2, 3, 8])
def test_the_median_is_that_of_numpy(count: int) -> None:
    chance = random.Random(count)
    values = [chance.random() for _ in range(count)]
    assert median(values) == pytest.approx(float(np.median(values)), rel=1e-15)


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95, 0.99])
@pytest.mark.parametrize("count", [EXACT_UP_TO - 1, EXACT_UP_TO])
def test_up_to_twenty_values_the_end_of_the_interval_is_counted(count: int, level: float) -> None:
    """Orders by their inversions: the coefficients of 1 (1 + x) (1 + x + x^2) ..., by numpy."""
    orders = np.ones(1)
    for size in range(1, count + 1):
        orders = np.convolve(orders, np.ones(size)) / size
    rank = int((2 * np.cumsum(orders) <= 1 - level).sum())
    chance = random.Random(9)
    xs = [float(i) for i in range(count)]
    ys = [chance.gauss(0, 1) for _ in xs]
    slopes = sorted((ys[j] - ys[i]) / (j - i) for j in range(count) for i in range(j))
    found = theil_sen(xs, ys, level)
    assert (found.low, found.high) == (slopes[rank - 1], slopes[-rank])
