"""Straightness and flatness: how far points lie from a line or a plane.

A point is ``(x, height)`` for a line and ``(x, y, height)`` for a plane, all in
mm; deviations are taken upright, along the height. Three ways of telling the
form of a surface: from the line through both end points, from the
least-squares line or plane, and the minimum zone, the narrowest band between
two parallel lines or planes that holds every point (the definition; the other
two are allowed evaluations, and never narrower: ISO 230-1, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

Points = Sequence[Sequence[float]]

_FLAT_TRIANGLE = 1e-9
"""Points whose triangle is this thin, against their spread, lie on one line."""


class FormError(ValueError):
    """Points through which no line or plane can be laid; the message says why."""


@dataclass(frozen=True)
class FittedForm:
    """A line or plane: height = at_origin + slopes · place."""

    at_origin: float
    """Height at x = 0 (and y = 0), mm."""
    slopes: tuple[float, ...]
    """Rise along x (and y), mm per mm."""

    def height(self, place: Sequence[float]) -> float:
        """Height over a place, mm."""
        return self.at_origin + sum(s * x for s, x in zip(self.slopes, place, strict=True))

    def deviations(self, points: Points) -> tuple[float, ...]:
        """How far each point lies above it, mm."""
        return tuple(point[-1] - self.height(point[:-1]) for point in points)

    def peak_to_valley(self, points: Points) -> float:
        """From the lowest to the highest deviation, mm."""
        deviations = self.deviations(points)
        return max(deviations) - min(deviations)


def end_point(points: Points) -> FittedForm:
    """Lay a line through the points at both ends.

    Raises:
        FormError: when there are fewer than two places.
    """
    if len({point[0] for point in points}) < 2:
        raise FormError("a line needs points at two places at least")
    first, last = (pick(points, key=lambda point: point[0]) for pick in (min, max))
    slope = (last[-1] - first[-1]) / (last[0] - first[0])
    return FittedForm(first[-1] - slope * first[0], (slope,))


def least_squares(points: Points) -> FittedForm:
    """Lay the line or plane with the least sum of squared deviations.

    Raises:
        FormError: when the points lie too badly.
    """
    spread_out(points)
    count, width = len(points), len(points[0]) - 1
    middle = [sum(point[axis] for point in points) / count for axis in range(width + 1)]
    around = [[value - mean for value, mean in zip(p, middle, strict=True)] for p in points]
    normal = [
        [sum(point[row] * point[column] for point in around) for column in range(width)]
        for row in range(width)
    ]
    slopes = solve(
        normal, [sum(point[row] * point[-1] for point in around) for row in range(width)]
    )
    lift = sum(s * mean for s, mean in zip(slopes, middle[:-1], strict=True))
    return FittedForm(middle[-1] - lift, tuple(slopes))


def solve(matrix: Sequence[Sequence[Any]], right: Sequence[Any]) -> list[Any]:
    """Solve a small set of linear equations, in floats or in fractions (pivot: the largest).

    Raises:
        ZeroDivisionError: when it has no single solution.
    """
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    size = len(rows)
    for column in range(size):
        pivot = max(range(column, size), key=lambda at: abs(rows[at][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        top = rows[column]
        for row in rows[column + 1 :]:
            factor = row[column] / top[column]
            for at in range(column, size + 1):
                row[at] -= factor * top[at]
    found: list[Any] = [0] * size
    for at in reversed(range(size)):
        known = sum(rows[at][after] * found[after] for after in range(at + 1, size))
        found[at] = (rows[at][size] - known) / rows[at][at]
    return found


def spread_out(points: Points) -> tuple[int, ...]:
    """Choose as many points as hold a line (2) or plane (3), wide apart; give their numbers.

    Raises:
        FormError: when there are too few, or all lie on one spot or line.
    """
    width = len(points[0]) - 1 if points else 0
    if len(points) <= width or width < 1:
        raise FormError(f"too few points: {len(points)}")
    first = points[0]
    reach = [sum((p[a] - first[a]) ** 2 for a in range(width)) for p in points]
    far = reach.index(max(reach))
    if reach[far] <= 0:
        raise FormError("all points lie at one place")
    if width == 1:
        return 0, far
    across = [abs(_double_area(first, points[far], p)) for p in points]
    third = across.index(max(across))
    if across[third] <= _FLAT_TRIANGLE * reach[far]:
        raise FormError("all points lie on one line: a plane needs some beside it")
    return 0, far, third


def _double_area(a: Sequence[float], b: Sequence[float], c: Sequence[float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
