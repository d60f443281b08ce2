"""Limits of single values, against the worked example of the NIST/SEMATECH e-Handbook."""

from __future__ import annotations

import math
import random

import pytest

from shopboard.metrology.control import D2_OF_TWO, individuals, sigma_of_moves

FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)


def test_single_values() -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.2: mean 50.81, mean moving range 1.8778."""
    limits = individuals(FLOW)
    assert limits.centre == pytest.approx(50.81, abs=1e-12)
    assert sigma_of_moves(FLOW) * D2_OF_TWO == pytest.approx(1.8778, abs=5e-5)
    assert limits.high == pytest.approx(55.8041, abs=1e-3)  # from the rounded range there
    assert limits.low == pytest.approx(45.8159, abs=1e-3)
    assert all(limits.low < one < limits.high for one in FLOW)


def test_the_moving_range_of_two_over_its_factor_is_the_standard_deviation() -> None:
    """d2 of two is 2 / sqrt(pi) = 1.1284 (mean of the difference of two normal values)."""
    assert pytest.approx(2 / math.sqrt(math.pi), abs=5e-4) == D2_OF_TWO
    chance = random.Random(4)
    assert sigma_of_moves([chance.gauss(3, 2) for _ in range(20000)]) == pytest.approx(2, rel=0.02)


def test_a_range_needs_two_values() -> None:
    with pytest.raises(ValueError, match="two values"):
        individuals([1.0])
