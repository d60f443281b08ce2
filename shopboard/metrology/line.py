"""A straight line through the origin by least squares, with stated uncertainties.

The slope's own uncertainty follows from those stated (ISO/TS 28037:2010, sections 6 and 7, without
an intercept).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import mul

from shopboard.base.light_tuple import NamedTuple


class StraightLine(NamedTuple):
    """A straight line y = slope x."""

    slope: float
    u_slope: float
    """Standard uncertainty of the slope."""
    chi2: float
    """Weighted sum of squares of what is left over."""


def through_origin(
    xs: Sequence[float], ys: Sequence[float], variances: Sequence[float]
) -> StraightLine:
    """Fit a line that goes through the origin.

    Args:
        xs: exact.
        ys: as many values.
        variances: squares of their standard uncertainties.

    Raises:
        ZeroDivisionError: when every x is 0.
    """
    weighted = [x / v for x, v in zip(xs, variances, strict=True)]
    weight = sum(map(mul, weighted, xs), 0.0)
    slope = sum(map(mul, weighted, ys), 0.0) / weight
    left = [y - slope * x for x, y in zip(xs, ys, strict=True)]
    chi2 = sum(e * e / v for e, v in zip(left, variances, strict=True))
    return StraightLine(slope, math.sqrt(1 / weight), chi2)
