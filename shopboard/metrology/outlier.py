"""Which of several repeated readings is out of line with the others.

Two published criteria, either of which is enough, and a floor below both:

- Grubbs' test (NIST/SEMATECH e-Handbook 1.3.5.17.1; ISO 5725-2, from memory), at 1 %;
- for the few readings that a person takes, the modified z-score of Iglewicz and Hoaglin, above 3.5
  (NIST/SEMATECH e-Handbook 1.3.5.17): from the median, which a wild reading does not move;
- nothing is named that lies within the repeatability limit of the median: 2.8 times the standard
  deviation by which such readings are known to repeat (ISO 5725-6, from memory).

Where readings scatter as they are known to, a reading of a set of 3 to 9 is named without cause in
fewer than 1 of 100 sets; where they scatter by twice that, in about 1 of 10 (both by simulation, in
the tests). To be named costs a question, never a reading.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from statistics import fmean, median

from shopboard.metrology.student import coverage_factor

SIGNIFICANCE = 0.01
"""Of Grubbs' test: so often it names one of a normal set without cause."""

FARTHEST_SCORE = 3.5
"""Modified z-score from which a value is named (Iglewicz and Hoaglin)."""

NORMAL_MAD = 0.6745
"""Median absolute deviation of a normal distribution over its standard deviation."""

REPEATABILITY_FACTOR = 2.8
"""Two readings differ by more than so many standard deviations in 5 of 100 cases: 1.96 root 2."""

FEWEST = 3
"""Of two that differ nothing tells which one is wrong."""


def grubbs(values: Sequence[float]) -> tuple[int, float]:
    """Find the value that is farthest from the mean, and how far it is.

    Returns:
        Its index, and G = largest |value - mean| / s, with s the standard deviation; G = 0 where
        all are the same.

    Raises:
        ValueError: for fewer than three values.
    """
    _enough(len(values))
    mean = fmean(values)
    s = math.sqrt(math.fsum((one - mean) ** 2 for one in values) / (len(values) - 1))
    at = max(range(len(values)), key=lambda index: abs(values[index] - mean))
    return at, abs(values[at] - mean) / s if s > 0 else 0.0


@cache
def grubbs_limit(
    count: int, significance: float = SIGNIFICANCE, *, one_sided: bool = False
) -> float:
    """Give the critical value of G: (n - 1) / sqrt(n) * sqrt(t^2 / (n - 2 + t^2)).

    t is the upper critical value of Student's distribution with n - 2 degrees of freedom at
    significance / (2 n), or at significance / n for a test of one end alone.

    Raises:
        ValueError: for fewer than three values.
    """
    _enough(count)
    tail = significance / count / (1 if one_sided else 2)
    t = coverage_factor(count - 2, 1 - 2 * tail)
    return (count - 1) / math.sqrt(count) * math.sqrt(t**2 / (count - 2 + t**2))


def modified_scores(values: Sequence[float], least: float = 0.0) -> tuple[float, ...]:
    """Give the modified z-score of each value: 0.6745 (value - median) / MAD.

    Args:
        values: the readings.
        least: the standard deviation to count on at the least, in place of MAD / 0.6745: few
            readings may agree by chance, or because they were read to whole divisions.
    """
    middle = median(values)
    scale = max(median(abs(one - middle) for one in values) / NORMAL_MAD, least)
    apart = (one - middle for one in values)
    if scale > 0:
        return tuple(one / scale for one in apart)
    return tuple(math.copysign(math.inf, one) if one else 0.0 for one in apart)


def repeatability_limit(repeats_to: float) -> float:
    """Give what two readings may differ by, from the standard deviation of one."""
    return REPEATABILITY_FACTOR * repeats_to


def disagree(one: float, other: float, repeats_to: float) -> bool:
    """Tell whether two readings differ by more than such readings do."""
    return abs(one - other) > repeatability_limit(repeats_to)


def stray(values: Sequence[float], repeats_to: float) -> int | None:
    """Give the index of the one reading that is out of line with the others, or None.

    Args:
        values: the readings; of fewer than three none is named.
        repeats_to: standard deviation by which such readings are known to repeat.
    """
    if len(values) < FEWEST:
        return None
    middle = median(values)
    at = max(range(len(values)), key=lambda index: abs(values[index] - middle))
    if not disagree(values[at], middle, repeats_to):
        return None
    if abs(modified_scores(values, repeats_to)[at]) > FARTHEST_SCORE:
        return at
    farthest, size = grubbs(values)
    return at if farthest == at and size > grubbs_limit(len(values)) else None


def _enough(count: int) -> None:
    if count < FEWEST:
        raise ValueError("three values are needed at the least")
