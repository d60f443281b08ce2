"""The narrowest band between two parallel lines or planes that holds every point.

The band is found by exchange: its two sides touch three points of a line or four
of a plane with weights that hold it there, and as long as some point lies outside, it
takes the place of one of them (the simplex method on the dual of the minimax
linear programme). The weights prove that no band is narrower; where rounding
leaves a doubt, the same exchange is done once more in exact fractions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from shopboard.metrology.form import FittedForm, FormError, Points, solve, spread_out

_ENOUGH = 1e-11
"""Band and proof agree to this part of the whole range of heights."""
_STALLS = 40
"""Exchanges after which the slow rule is taken that cannot go round in circles (Bland)."""
_MOST = 2000


def minimum_zone(points: Points) -> float:
    """Give the height of the narrowest band that holds every point, mm.

    Raises:
        FormError: when the points lie too badly.
    """
    return _height(tuple(tuple(point) for point in points))


@lru_cache(maxsize=4096)
def _height(points: tuple[tuple[float, ...], ...]) -> float:
    """Keep what was found: a check asks for the same bands again at its every step."""
    return narrowest(points).peak_to_valley(points)


def narrowest(points: Points) -> FittedForm:
    """Give the line or plane half way between the two sides of the narrowest band.

    Raises:
        FormError: when the points lie too badly.
    """
    start = spread_out(points)
    first = points[start[0]]
    around = [[value - base for value, base in zip(p, first, strict=True)] for p in points]
    reach = [max(abs(p[axis]) for p in around) or 1.0 for axis in range(len(first))]
    scaled = [[value / size for value, size in zip(p, reach, strict=True)] for p in around]
    touching = [(start[0], 1), (start[0], -1), *((at, 1) for at in start[1:])]
    for number in (float, Fraction):
        band = _exchange([[number(value) for value in p] for p in scaled], list(touching))
        if band is None:
            continue
        slopes = tuple(
            float(slope) * reach[-1] / size
            for slope, size in zip(band.slopes, reach[:-1], strict=True)
        )
        level = FittedForm(0.0, slopes).deviations(points)
        found = FittedForm((max(level) + min(level)) / 2, slopes)
        if found.peak_to_valley(points) - 2 * float(band.half) * reach[-1] <= _ENOUGH * reach[-1]:
            return found
    raise FormError("these points lie too badly for a line or plane")


@dataclass(frozen=True)
class _Band:
    slopes: Sequence[Any]
    half: Any
    """Half of its height."""


def _exchange(points: Sequence[Sequence[Any]], touching: list[tuple[int, int]]) -> _Band | None:
    """Exchange touching points until none lies outside; None when rounding spoils it.

    Args:
        points: scaled to about 1.
        touching: (number of the point, 1: it touches the upper side, -1: the lower).
    """
    exact = isinstance(points[0][0], Fraction)
    doubt = 0 if exact else 1e-13
    unknowns = len(points[0]) + 1
    zero = points[0][0] * 0
    for turn in range(_MOST):
        columns = [_column(points[at], side) for at, side in touching]
        try:
            found = solve(columns, [side * points[at][-1] for at, side in touching])
            outside = _outside(points, found, doubt, by_number=turn >= _STALLS)
            if outside is None:
                return _Band(found[1:-1], found[-1])
            rows = [[column[row] for column in columns] for row in range(unknowns)]
            weights = solve(rows, [zero] * (unknowns - 1) + [zero + 1])
            change = solve(rows, _column(points[outside[0]], outside[1]))
        except ZeroDivisionError:
            return None
        falling = [row for row in range(unknowns) if change[row] > doubt * 100]
        if not falling:
            return None
        leaves = min(falling, key=lambda row: (weights[row] / change[row], touching[row]))
        touching[leaves] = outside
    return None


def _column(point: Sequence[Any], side: int) -> list[Any]:
    return [point[0] * 0 + side, *(side * value for value in point[:-1]), point[0] * 0 + 1]


def _outside(
    points: Sequence[Sequence[Any]], found: Sequence[Any], doubt: float, *, by_number: bool
) -> tuple[int, int] | None:
    """Give the point farthest outside the band (or the first that is), and on which side."""
    farthest, outside = doubt, None
    for at, point in enumerate(points):
        above = point[-1] - found[0]
        for slope, place in zip(found[1:-1], point[:-1], strict=True):
            above -= slope * place
        for side in (1, -1):
            if side * above - found[-1] > farthest:
                farthest, outside = side * above - found[-1], (at, side)
                if by_number:
                    return outside
    return outside
