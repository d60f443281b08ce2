"""The axis of values: rows of a plot whose middles are round numbers, so that a label is exact."""

from __future__ import annotations

import math

from shopboard.base.light_tuple import NamedTuple

_STEPS = ((1, 5), (1.25, 4), (5 / 3, 3), (2, 5), (2.5, 4), (10 / 3, 3), (4, 5), (5, 4))
"""Height of a row, and rows from one label to the next: labels stand 5, 10 or 20 apart."""

_NARROWEST = 1e-6
"""Least span as a share of the values: below it a double no longer tells them apart."""


class ValueAxis(NamedTuple):
    """Rows from the top, each as many units high as the others; 0 is the middle of some row."""

    rows: int
    cell: float
    """Units that a row is high."""
    top: int
    """The middle of the first row is so many cells above 0."""
    every: int
    """Every so many rows have a label."""

    def row(self, value: float) -> int:
        """Give the row of a value, which lies within half a row of its middle; may be outside."""
        return self.top - math.floor(value / self.cell + 0.5)

    def middle(self, row: int) -> float:
        """Give the value at the middle of a row."""
        return (self.top - row) * self.cell

    def holds(self, value: float) -> bool:
        """Tell whether a value lies on one of the rows."""
        return 0 <= self.row(value) < self.rows

    def label(self, row: int, *, signed: bool) -> str:
        """Write the number at a row; empty where none stands."""
        if (self.top - row) % self.every:
            return ""
        return _number(self.middle(row), self.cell * self.every, signed=signed)


def value_axis(low: float, high: float, rows: int, least: float) -> ValueAxis:
    """Find the finest axis that holds both values.

    Args:
        low: the lowest value.
        high: the highest value.
        rows: rows of the plot, at least 2.
        least: the narrowest span worth drawing, above 0.
    """
    span = max(high - low, least, _NARROWEST * max(abs(low), abs(high)))
    centre = (high + low) / 2
    low, high = min(low, centre - span / 2), max(high, centre + span / 2)
    power = math.floor(math.log10(span / rows / 5))
    while True:
        for size, every in _STEPS:
            cell = size * 10.0**power
            first, last = math.floor(high / cell + 0.5), math.floor(low / cell + 0.5)
            if first - last < rows:
                return ValueAxis(rows, cell, first + (rows - 1 - first + last) // 2, every)
        power += 1


def _number(value: float, step: float, *, signed: bool) -> str:
    """Write a label with as many decimals as tell it from the next one."""
    tens = math.floor(math.log10(step) + 1e-9)
    value = round(value / step) * step
    sign = "+" if signed and value > 0 else ""
    if tens > 6 or tens < -6:
        return f"{sign}{value:.1e}"
    return f"{sign}{value:.{max(0, -tens)}f}"


def short_number(value: float, *, signed: bool) -> str:
    """Write a value with three digits, more only before the point: ``+20.9``, ``15000``."""
    sign = "+" if signed and value > 0 else ""
    if value == 0:
        return "0"
    tens = math.floor(math.log10(abs(value)))
    if tens > 6 or tens < -6:
        return f"{sign}{value:.1e}"
    text = f"{value:.{max(0, 2 - tens)}f}"
    return f"{sign}{text.rstrip('0').rstrip('.') if '.' in text else text}"
