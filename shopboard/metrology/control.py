"""The limits within which single values of a steady process lie: Shewhart's individuals chart.

NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shopboard.base.light_tuple import NamedTuple

D2_OF_TWO = 1.128
"""Mean range of two normal values in standard deviations (e-Handbook 6.3.2.1)."""

_SIGMAS = 3.0
"""Limits stand this many standard deviations off: a steady process passes them 27 in 10,000."""


class Limits(NamedTuple):
    """A centre line and what a steady process seldom goes beyond."""

    low: float
    centre: float
    high: float


def sigma_of_moves(values: Sequence[float]) -> float:
    """Estimate the standard deviation from the mean moving range of two, over d2 = 1.128.

    Raises:
        ValueError: for fewer than two values.
    """
    if len(values) < 2:
        raise ValueError("a moving range needs two values at least")
    moves = [abs(later - before) for before, later in pairwise(values)]
    return math.fsum(moves) / len(moves) / D2_OF_TWO


def individuals(values: Sequence[float]) -> Limits:
    """Give the limits of single values from their moving ranges (e-Handbook 6.3.2.2).

    Raises:
        ValueError: for fewer than two values.
    """
    reach = _SIGMAS * sigma_of_moves(values)
    mean = math.fsum(values) / len(values)
    return Limits(mean - reach, mean, mean + reach)
