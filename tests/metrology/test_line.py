"""Straight lines by least squares, against certified values and a general library."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from shopboard.metrology.line import through_origin


def test_no_intercept() -> None:
    """NIST StRD, linear regression, NoInt1: certified slope, its and the residual's deviation.

    The residual's is from memory. No uncertainty is stated there: with 1 for each, the scatter of
    the 11 values scales them.
    """
    found = through_origin(range(60, 71), range(130, 141), [1.0] * 11)
    scatter = math.sqrt(found.chi2 / 10)
    assert found.slope == pytest.approx(2.07438016528926, rel=1e-14)
    assert found.u_slope * scatter == pytest.approx(0.165289256198347e-1, rel=1e-12)
    assert scatter == pytest.approx(3.56753034006338, rel=1e-12)


def test_unequal_uncertainties_are_those_of_numpy() -> None:
    """numpy.linalg.lstsq of values and places over their uncertainties."""
    chance = random.Random(1)
    for _ in range(20):
        xs = np.array([chance.uniform(-5, 20) for _ in range(9)])
        us = np.array([chance.uniform(0.1, 3) for _ in range(9)])
        ys = -0.7 * xs + np.array([chance.gauss(0, u) for u in us])
        known, left, _, _ = np.linalg.lstsq((xs / us)[:, None], ys / us, rcond=None)
        found = through_origin(list(xs), list(ys), list(us**2))
        assert found.slope == pytest.approx(known[0], rel=1e-12)
        assert found.chi2 == pytest.approx(left[0], rel=1e-9)
        assert found.u_slope == pytest.approx(1 / np.linalg.norm(xs / us), rel=1e-12)


def test_it_is_a_weighted_mean_of_ratios() -> None:
    """Derived: each y/x with its own u/x, weighted by the inverse of the variance."""
    xs, ys, us = (1.0, 4.0, 10.0), (2.2, 7.0, 21.0), (0.3, 0.5, 2.0)
    weights = [(x / u) ** 2 for x, u in zip(xs, us, strict=True)]
    ratios = [y / x for x, y in zip(xs, ys, strict=True)]
    found = through_origin(xs, ys, [u * u for u in us])
    assert found.slope == pytest.approx(np.average(ratios, weights=weights), rel=1e-14)
    assert found.u_slope == pytest.approx(1 / math.sqrt(sum(weights)), rel=1e-14)


def test_a_line_needs_a_place_beside_the_origin() -> None:
    with pytest.raises(ZeroDivisionError):
        through_origin((0, 0), (1, 3), (1, 1))
