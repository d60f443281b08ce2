"""Student factors, against the table of the GUM and scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from shopboard.metrology.student import coverage_factor, normal_cdf, normal_density, student_cdf

PROBABILITIES = (0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973)

# JCGM 100:2008 Table G.2, also NIST Technical Note 1297 Table B.1: t for the probabilities above.
TABLE_G2: dict[float, tuple[float, ...]] = {
    1: (1.84, 6.31, 12.71, 13.97, 63.66, 235.8),
    2: (1.32, 2.92, 4.30, 4.53, 9.92, 19.21),
    3: (1.20, 2.35, 3.18, 3.31, 5.84, 9.22),
    4: (1.14, 2.13, 2.78, 2.87, 4.60, 6.62),
    5: (1.11, 2.02, 2.57, 2.65, 4.03, 5.51),
    6: (1.09, 1.94, 2.45, 2.52, 3.71, 4.90),
    7: (1.08, 1.89, 2.36, 2.43, 3.50, 4.53),
    8: (1.07, 1.86, 2.31, 2.37, 3.36, 4.28),
    9: (1.06, 1.83, 2.26, 2.32, 3.25, 4.09),
    10: (1.05, 1.81, 2.23, 2.28, 3.17, 3.96),
    12: (1.04, 1.78, 2.18, 2.23, 3.05, 3.76),
    15: (1.03, 1.75, 2.13, 2.18, 2.95, 3.59),
    16: (1.03, 1.75, 2.12, 2.17, 2.92, 3.54),
    20: (1.03, 1.72, 2.09, 2.13, 2.85, 3.42),
    30: (1.02, 1.70, 2.04, 2.09, 2.75, 3.27),
    math.inf: (1.000, 1.645, 1.960, 2.000, 2.576, 3.000),
}


@pytest.mark.parametrize("dof", TABLE_G2)
def test_every_cell_of_table_g2(dof: float) -> None:
    """JCGM 100:2008 Table G.2, to the digits printed."""
    for probability, printed in zip(PROBABILITIES, TABLE_G2[dof], strict=True):
        digits = 3 if math.isinf(dof) else 1 if printed > 100 else 2
        assert round(coverage_factor(dof, probability), digits) == printed


def test_the_one_wrong_cell_of_table_g2_is_not_copied() -> None:
    """JCGM 100:2008 Table G.2 prints 1.70 for 35 degrees of freedom at 90 %; it is 1.68957."""
    assert coverage_factor(35, 0.90) == pytest.approx(1.68957, abs=5e-6)


def test_degrees_of_freedom_that_are_not_whole_are_not_truncated() -> None:
    """JCGM 100:2008 G.4 allows both; truncation would give 2.1199 and 4.3027."""
    assert coverage_factor(16.7) == pytest.approx(2.1127, abs=5e-5)
    assert coverage_factor(2.5) == pytest.approx(3.5747, abs=5e-5)


@pytest.mark.parametrize(
    "dof",
    [1, 1.5, 2, 2.5, 3.3, 5, 8, 10.125, 25.4, 50, 999, 1e5, 9e5, 1.1e6, 1e8, 1e12, 1e16, 1e300],
)
def test_the_distribution_and_the_factor_agree_with_scipy_from_one_to_near_infinity(
    dof: float,
) -> None:
    """A coarse square makes the feel's 8 degrees of freedom count for almost nothing: 1e13."""
    for t in np.linspace(-40, 40, 161):
        assert student_cdf(t, dof) == pytest.approx(stats.t.cdf(t, dof), abs=1e-9)
    for probability in (0.5, *PROBABILITIES, 0.99999):
        exact = stats.t.ppf(0.5 + probability / 2, dof)
        assert coverage_factor(dof, probability) == pytest.approx(exact, rel=2e-7)


@given(st.floats(-50, 50), st.floats(1, 1e6))
@settings(deadline=None)
def test_the_distribution_is_symmetric_and_grows(t: float, dof: float) -> None:
    assert student_cdf(t, dof) + student_cdf(-t, dof) == pytest.approx(1, abs=1e-12)
    assert student_cdf(t + 0.01, dof) >= student_cdf(t, dof) - 1e-12


def test_the_normal_distribution_and_its_density() -> None:
    for z in np.linspace(-9, 9, 73):
        assert normal_cdf(z) == pytest.approx(stats.norm.cdf(z), rel=1e-12)
        assert normal_density(z) == pytest.approx(stats.norm.pdf(z), rel=1e-12)


@pytest.mark.parametrize(("dof", "probability"), [(0.9, 0.95), (math.nan, 0.95), (5, 0), (5, 1)])
def test_less_than_one_degree_of_freedom_and_certainty_are_refused(
    dof: float, probability: float
) -> None:
    with pytest.raises(ValueError, match=r"degree of freedom|between 0 and 1"):
        coverage_factor(dof, probability)
