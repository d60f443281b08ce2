"""Lines along which a straightedge is laid on a table, and the heights that they give together.

The ends of each diagonal are made equally high and both diagonals share the
middle (the rule of the surface-plate survey: Moody, The Tool Engineer, October
1955, from memory); the edges hang on their ends. Lengths mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopboard.checks.asked import Chosen, Values
from shopboard.metrology.form import least_squares

TableSpot = tuple[int, int]
"""(0 left, 1 middle, 2 right; 0 front, 1 middle, 2 back)."""


@dataclass(frozen=True)
class TableLine:
    """One way of laying the straightedge."""

    key: str
    name: str
    ends: tuple[TableSpot, TableSpot]

    @property
    def middle(self) -> TableSpot:
        """The place half way."""
        (a, b), (c, d) = self.ends
        return (a + c) // 2, (b + d) // 2


EDGES = (
    TableLine("front", "along the front edge", ((0, 0), (2, 0))),
    TableLine("back", "along the back edge", ((0, 2), (2, 2))),
    TableLine("left", "along the left edge", ((0, 0), (0, 2))),
    TableLine("right", "along the right edge", ((2, 0), (2, 2))),
)
DIAGONALS = (
    TableLine("rising", "from front left to back right", ((0, 0), (2, 2))),
    TableLine("falling", "from back left to front right", ((0, 2), (2, 0))),
)
CLOSING = TableLine("closing", "left to right through the middle", ((0, 1), (2, 1)))
LINES = (*EDGES, *DIAGONALS, CLOSING)


def heights(values: Values, words: Chosen) -> dict[TableSpot, float]:
    """Give the heights of the nine places, mm, from the gaps of six lines."""
    above = {line.key: above_ends(line.key, values, words) for line in LINES}
    found: dict[TableSpot, float] = {(1, 1): 0.0}
    for line in DIAGONALS:
        for end in line.ends:
            found[end] = -above[line.key]
    for line in EDGES:
        found[line.middle] = sum(found[end] for end in line.ends) / 2 + above[line.key]
    return found


def above_ends(key: str, values: Values, words: Chosen) -> float:
    """How far a line's middle lies above its ends, mm.

    Rocking on the middle with one end pressed down, the other end stands off by twice that.
    """
    gap = values[key]
    up = gap / 2 if words.get(f"{key}_light") == "ends" else -gap
    return up + values.get("bow", 0.0)


_NAMES = {
    (0, 0): "front left",
    (1, 0): "the middle of the front",
    (2, 0): "front right",
    (0, 1): "the middle of the left edge",
    (1, 1): "the middle",
    (2, 1): "the middle of the right edge",
    (0, 2): "back left",
    (1, 2): "the middle of the back",
    (2, 2): "back right",
}


def extremes(z: Mapping[TableSpot, float]) -> tuple[TableSpot, TableSpot]:
    """Give the lowest and the highest place against the least-squares plane."""
    deviations = _deviations(z)
    low, *_, high = sorted(deviations, key=deviations.__getitem__)
    return low, high


def _deviations(z: Mapping[TableSpot, float]) -> dict[TableSpot, float]:
    points = [(float(x), float(y), height) for (x, y), height in z.items()]
    return dict(zip(z, least_squares(points).deviations(points), strict=True))


def high_and_low(z: Mapping[TableSpot, float]) -> tuple[str, str, float]:
    """Name the highest and the lowest place against the least-squares plane; mm between them."""
    deviations, (low, high) = _deviations(z), extremes(z)
    return _NAMES[high], _NAMES[low], deviations[high] - deviations[low]
