"""A scale in characters: the tolerance, and below it where the error lies, give or take U."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple

_MARGIN = 0.06
"""Share of the scale that stays free at either end."""


class DrawnScale(NamedTuple):
    """Three rows of one width."""

    limits: str
    """The limits in numbers, each over its mark."""
    tolerance: str
    """The axis: ``├═══┼═══┤`` is the tolerance, its middle mark nought."""
    found: str
    """Where the error lies: ``├─●─┤``."""


def scale(
    error: float,
    expanded: float,
    limits: tuple[float, float],
    labels: Mapping[float, str],
    width: int,
) -> DrawnScale:
    """Draw an error and its uncertainty against its limits.

    Args:
        error: what was found.
        expanded: its expanded uncertainty.
        limits: lowest and highest value allowed.
        labels: what is written over a value, the most needed first.
        width: columns.
    """
    low, high = limits
    first, last = min(low, error - expanded), max(high, error + expanded)
    free = (last - first) * _MARGIN
    first, span = first - free, (last - first + 2 * free) or 1.0

    def column(value: float) -> int:
        return round((value - first) / span * (width - 1))

    axis, found, over = ["─"] * width, [" "] * width, [" "] * width
    for at in range(column(low), column(high) + 1):
        axis[at] = "═"
    if first <= 0 <= first + span:
        axis[column(0)] = "┼"
    axis[column(low)], axis[column(high)] = "├", "┤"
    for at in range(column(error - expanded), column(error + expanded) + 1):
        found[at] = "─"
    found[column(error - expanded)], found[column(error + expanded)] = "├", "┤"
    found[column(error)] = "●"
    for value, text in labels.items():
        _write(over, text, column(value))
    return DrawnScale("".join(over), "".join(axis), "".join(found))


def _write(row: list[str], text: str, at: int) -> None:
    """Write a number with its middle over a column, where nothing stands yet."""
    begin = min(max(at - len(text) // 2, 0), len(row) - len(text))
    if begin >= 0 and not "".join(row[max(begin - 1, 0) : begin + len(text) + 1]).strip():
        row[begin : begin + len(text)] = text
