"""A reading that does not belong: the handbook's example, scipy, the standard's table, chance."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from shopboard.metrology.outlier import (
    disagree,
    grubbs,
    grubbs_limit,
    modified_scores,
    repeatability_limit,
    stray,
)

MASSES = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)
"""Mass spectrometer data of NIST/SEMATECH e-Handbook 1.3.5.17.1 (Tietjen and Moore)."""

ISO_5725_2 = {
    3: (1.155, 1.155),
    4: (1.496, 1.481),
    5: (1.764, 1.715),
    6: (1.973, 1.887),
    7: (2.139, 2.020),
    8: (2.274, 2.126),
    9: (2.387, 2.215),
    10: (2.482, 2.290),
}
"""Critical values for one outlier, upper 1 % and 5 %: ISO 5725-2, table 5, from memory."""

ROSNER = {54: 3.158794, 53: 3.151430, 52: 3.143890}
"""Critical values at 5 %, two-sided: NIST/SEMATECH e-Handbook 1.3.5.17.3, from memory."""


def test_the_handbooks_example() -> None:
    """1.3.5.17.1: G = 2.4687, critical value 2.032 for n = 8 at 5 %, one-sided: an outlier."""
    at, size = grubbs(MASSES)
    assert (at, round(size, 4)) == (7, 2.4688)  # the handbook cuts 2.46876 off to 2.4687
    assert grubbs_limit(8, 0.05, one_sided=True) == pytest.approx(2.032, abs=5e-4)
    assert size > grubbs_limit(8, 0.05, one_sided=True)
    assert stray(MASSES, 1.0) == 7


@pytest.mark.parametrize("count", ISO_5725_2)
def test_critical_values_of_the_standard(count: int) -> None:
    one, five = ISO_5725_2[count]
    assert grubbs_limit(count, 0.01) == pytest.approx(one, abs=1.1e-3)
    assert grubbs_limit(count, 0.05) == pytest.approx(five, abs=1.1e-3)


@pytest.mark.parametrize("count", ROSNER)
def test_critical_values_of_the_handbooks_other_example(count: int) -> None:
    assert grubbs_limit(count, 0.05) == pytest.approx(ROSNER[count], abs=1e-6)


@pytest.mark.parametrize("count", [3, 4, 8, 30])
@pytest.mark.parametrize("significance", [0.001, 0.01, 0.05])
@pytest.mark.parametrize("one_sided", [True, False])
def test_critical_values_with_scipys_t(count: int, significance: float, one_sided: bool) -> None:
    """The handbook's formula, with the upper critical value of t from scipy."""
    t = stats.t.isf(significance / count / (1 if one_sided else 2), count - 2)
    by_scipy = (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))
    assert grubbs_limit(count, significance, one_sided=one_sided) == pytest.approx(by_scipy)


@given(st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=9))
def test_modified_scores_with_scipys_mad(values: list[float]) -> None:
    """Iglewicz and Hoaglin: 0.6745 (x - median) / MAD; MAD and median by scipy and numpy."""
    mad = float(stats.median_abs_deviation(values))
    if mad < 1e-9:
        return
    by_scipy = 0.6745 * (np.array(values) - np.median(values)) / mad
    assert modified_scores(values) == pytest.approx(by_scipy.tolist(), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("count", range(3, 10))
@pytest.mark.parametrize("wild", [30.0, -30.0, 3000.0])
def test_one_of_ten_times_the_rest_is_named_wherever_it_stands(count: int, wild: float) -> None:
    rest = [3.0, 3.1, 2.8, 3.0, 3.2, 2.9, 3.1, 3.0][: count - 1]
    for place in range(count):
        values = [*rest[:place], wild, *rest[place:]]
        assert stray(values, 0.1) == place


def test_two_wild_ones_do_not_hide_each_other() -> None:
    """Grubbs' test alone is masked by a second one; the median is not."""
    values = [3.0, 3.1, 2.9, 3.0, 3.1, 2.9, 31.0, 30.0]
    assert grubbs(values)[1] < grubbs_limit(8)
    assert stray(values, 0.1) == 6
    assert stray([*values[:6], 30.0], 0.1) == 6


@given(
    st.floats(-100, 100),
    st.floats(1e-3, 10),
    st.lists(st.floats(-1.39, 1.39), min_size=2, max_size=9),
)
def test_readings_within_the_repeatability_limit_are_never_named(
    centre: float, repeats_to: float, apart: list[float]
) -> None:
    """No two of these differ by more than 2.8 standard deviations: ISO 5725-6."""
    values = [centre + one * repeats_to for one in apart]
    assert stray(values, repeats_to) is None
    assert not disagree(min(values), max(values), repeats_to)


@pytest.mark.parametrize("values", [[], [3.0], [3.0, 300.0], [3.0, 300.0, 600.0], [1, 1, 9, 9]])
def test_where_nothing_tells_which_one_is_wrong_none_is_named(values: list[float]) -> None:
    assert stray(values, 0.1) is None


def test_readings_that_are_all_the_same_belong() -> None:
    assert stray([2.0, 2.0, 2.0], 0.0) is None
    assert grubbs([2.0, 2.0, 2.0])[1] == 0
    assert stray([2.0, 2.0, 2.0, 2.1], 0.01) == 3


@pytest.mark.parametrize("count", [0, 2])
def test_too_few_are_refused(count: int) -> None:
    with pytest.raises(ValueError, match="three"):
        grubbs([1.0] * count)
    with pytest.raises(ValueError, match="three"):
        grubbs_limit(count)


def false_alarms(count: int, scatter: float, shape: str, trials: int = 20_000) -> float:
    """How often one of a set without any fault is named, where s = 1 is known; by simulation."""
    rng = np.random.default_rng(20261125 + count)
    drawn = (
        rng.normal(0, scatter, (trials, count))
        if shape == "normal"
        else rng.uniform(-scatter * math.sqrt(3), scatter * math.sqrt(3), (trials, count))
    )
    return sum(stray(row.tolist(), 1.0) is not None for row in drawn) / trials


@pytest.mark.parametrize("shape", ["normal", "even"])
@pytest.mark.parametrize("count", [3, 5, 9])
def test_false_alarms_are_as_rare_as_stated(count: int, shape: str) -> None:
    """Under 1 of 100 sets where they scatter as known; about 1 of 10 where twice as much."""
    assert false_alarms(count, 1.0, shape) < 0.01
    assert false_alarms(count, 2.0, shape, 5000) < 0.16


@pytest.mark.parametrize("count", [3, 8])
def test_grubbs_alone_errs_at_its_significance(count: int) -> None:
    """At 1 % it names one of a normal set in 1 of 100 cases: within 4 deviations of the count."""
    rng = np.random.default_rng(7)
    trials = 40_000
    limit = grubbs_limit(count)
    wrong = sum(grubbs(row.tolist())[1] > limit for row in rng.normal(size=(trials, count)))
    assert wrong / trials == pytest.approx(0.01, abs=4 * math.sqrt(0.01 * 0.99 / trials))


def test_the_repeatability_limit_is_exceeded_in_five_of_a_hundred() -> None:
    """ISO 5725-6: two readings of s = 1."""
    rng = np.random.default_rng(3)
    pairs = rng.normal(size=(100_000, 2))
    share = float(np.mean(np.abs(pairs[:, 0] - pairs[:, 1]) > repeatability_limit(1.0)))
    assert share == pytest.approx(0.048, abs=0.003)  # 2.8 is rounded up from 2.77
