"""A square at a face: on which side it stands, which end shows light, where the leaf goes in."""

from __future__ import annotations

from shopboard.checks.drawn.canvas import (
    COLUMNS,
    HATCH,
    HERE,
    SOLID,
    AtStep,
    Lines,
    Sketch,
    short,
    slanted,
)
from shopboard.checks.job import Geometry

_BLADE = 5
"""Column of the square's blade, where the square is left of the face."""
_WIDE = 15
"""Columns of square and face together."""
PLACE, LOOK, BOTH = "place", "light", "both"
"""Steps before the light is known: stand it there; look; try the thinnest leaf at both ends."""


def square_at_face(geometry: Geometry, seen: AtStep, lever: str, size: int = 1) -> Lines:
    """Draw square, face and where the leaf is tried.

    Args:
        geometry: how the square meets the point.
        seen: where light shows: `way` 1 at the top (or tip), -1 at the bottom; what is asked.
        lever: the lever in words: ``6 in``; empty: it is not told.
        size: 1, or 2 for twice as large.
    """
    rows, gap = 6 * size, 4 * size
    on = Sketch(COLUMNS * size, rows + 2)
    blade, wide = _BLADE * size, _WIDE * size

    def edge(row: int) -> float:
        up = 1 - row / (rows - 1)
        return blade + 1 + gap * max(seen.way * up, -seen.way * (1 - up))

    slanted(on, 0, edge, rows, 3 * size)
    on.put(round(edge(rows - 1)), rows, HATCH * (3 * size + 1))
    for row in range(rows + 1):
        on.put(blade, row, SOLID)
    on.put(0, rows, SOLID * blade)
    leaf = size if seen.way > 0 else rows - 1 - size
    if seen.way:
        on.put(blade + 1 + round(edge(leaf) - blade - 1) // 2, leaf, HERE)
    if geometry.side == "right":
        on.mirror(wide)
    _label(on, geometry, seen, lever, wide + 1)
    on.put(0, rows + 1, "═" * wide)
    on.put(wide + 1, rows + 1, short(geometry.datum, COLUMNS * size - wide - 1))
    view = "from above" if geometry.lies == "flat" else "from the front"
    if not geometry.side and geometry.lies == "upright":
        view = "seen along the face"
    return on.lines(view, larger=bool(seen.way))


def _label(on: Sketch, geometry: Geometry, seen: AtStep, lever: str, at: int) -> None:
    top, bottom = geometry.ends
    rows, most = on.rows - 2, on.columns - at
    ends = {top: top, bottom: bottom}
    if seen.at == LOOK:
        ends = {one: f"{one}: light?" for one in ends}
    elif seen.at == BOTH:
        ends = {one: f"{HERE} leaf, {one}" for one in ends}
    if seen.goes:
        left = (seen.goes == "toward") is (geometry.side != "right")
        ends[top] = f"◄── {top} moves" if left else f"──► {top} moves"
    on.put(at, 0, ends[top])
    on.put(at, rows - 1, ends[bottom])
    if seen.way:
        leaf = on.columns // COLUMNS
        on.put(at, leaf if seen.way > 0 else rows - 1 - leaf, f"{HERE} leaf: light here")
    middle = rows // 2
    on.put(at, middle - 1, short(geometry.face, most))
    on.put(at, middle, f"{lever} to leaf" if lever else "")
    on.put(at, rows, "square" if geometry.side else "square, drawn left")
