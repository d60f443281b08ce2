"""Where an indicator stands: along a slot, at something that turns, between two clamps."""

from __future__ import annotations

from shopboard.checks.drawn.canvas import (
    COLUMNS,
    FOUND,
    HERE,
    AtStep,
    Lines,
    Sketch,
    here,
    short,
    slanted,
)
from shopboard.checks.job import Geometry

_ENDS = ("front", "back")


def sweep(geometry: Geometry, seen: AtStep, guide: str, size: int = 1) -> Lines:
    """Draw slot or carriage, the surface, and the indicator at both ends, from above.

    Args:
        geometry: on which side of the surface the slot is.
        seen: `way` 1 with the front nearer to the slot, -1 with the back.
        guide: what the indicator is led by: ``slot``.
        size: 1, or 2 for twice as large.
    """
    rows, wide, lean = 7 * size, 17 * size, 3 * size
    on = Sketch(COLUMNS * size, rows + 1)
    near = wide - 3 * size - lean - 1
    now = {"comes_back": ("front",), "span": _ENDS, FOUND: _ENDS}.get(seen.at, (seen.at,))

    def edge(row: int) -> float:
        up = 1 - row / (rows - 1)
        return near + lean / 2 + seen.way * lean * (up - 0.5)

    slanted(on, 0, edge, rows, 2 * size)
    for row in range(rows):
        on.put(0, row, "║" + " " * (size + 1) + "║")
    for row in (size, rows - 1 - size):
        on.put(1, row, "[o]" if size == 1 else " [o] ")
        touches = round(edge(row))
        on.put(2 + 2 * size, row, "─" * (touches - 3 - 2 * size) + "►")
    if geometry.side != "left":
        on.mirror(wide)
    for row, end in ((size, "back"), (rows - 1 - size, "front")):
        on.put(wide + 1, row, f"{here(end in now)} {end}")
    if seen.goes:
        left = (seen.goes == "toward") is (geometry.side == "left")
        on.put(wide + 1, 0, "◄── back moves" if left else "──► back moves")
    on.put(wide + 1, rows // 2, short(geometry.face or "blade or fence", on.columns - wide - 1))
    named = guide if geometry.side else f"{guide}, drawn right"
    on.put(0 if geometry.side == "left" else wide - len(guide), rows, named)
    return on.lines("from above", larger=bool(seen.way))


def run_out(face: str, seen: AtStep, size: int = 1) -> Lines:
    """Draw what turns, from the side: at its lowest reading it leans from the dial."""
    rows, wide, lean = 7 * size, 20 * size, 4 * size
    way = {"low": 1, "comes_back": 1, "high": -1, FOUND: abs(seen.way)}.get(seen.at, 0)
    on = Sketch(COLUMNS * size, rows)

    def edge(row: int) -> float:
        up = 1 - row / (rows - 1)
        return 7 * size + lean / 2 - way * lean * (up - 0.5)

    slanted(on, 0, edge, rows, 2 * size, left=True)
    for row in range(rows // 2 - size // 2, rows // 2 + size // 2 + 1):
        on.put(0, row, "═" * (round(edge(row)) - 2 * size))
    touched = round(edge(size))
    on.put(touched + 1, size, "◄" + "─" * (wide - 6 * size - touched) + "[o]")
    on.put(wide, size, "stands still")
    told = {"low": "lowest: farthest off", "high": "highest: nearest"}.get(seen.at, "")
    on.put(wide - 6 * size, rows // 2 + 1, short(face, on.columns - wide + 6 * size))
    on.put(wide - 6 * size, rows // 2 + 2, told)
    on.put(wide - 6 * size, rows - 1, "turned by hand, once")
    return on.lines("from the side", larger=bool(way))


def tram(seen: AtStep, slopes: tuple[float, float] | None, size: int = 1) -> Lines:
    """Draw the four places on the table, from above.

    Args:
        seen: which is read.
        slopes: rise toward the near side and toward the right; None before all is read.
        size: 1, or 2 for twice as large.
    """
    rows, left, right = 7 * size, 12, 12 + 10 * size
    on, middle, cross = Sketch(COLUMNS * size, rows), 12 + 5 * size, 7 * size // 2
    for row in range(rows):
        on.put(middle, row, "│")
    on.put(left, cross, "─" * (right - left))
    on.put(middle, cross, "┼")
    places = {
        "near": (middle, rows - 1),
        "right": (right, cross),
        "far": (middle, 0),
        "left": (left, cross),
    }
    now = {"comes_back": "near", "radius": "right"}.get(seen.at, "")
    if seen.at == "radius":
        on.put(middle, cross, HERE)
    for side, (column, row) in places.items():
        on.put(column, row, here(seen.at in (side, FOUND) or side == now))
        name = f"{side}{_height(side, slopes)}"
        on.put(column - len(name) - 1 if side == "left" else column + 2, row, name)
    on.put(middle + 2, cross + 1, "spindle")
    return on.lines("from above, you stand near")


def _height(side: str, slopes: tuple[float, float] | None) -> str:
    """Say whether a side is the high one of its axis."""
    if slopes is None:
        return ""
    slope = slopes[0] if side in ("near", "far") else slopes[1]
    up = slope if side in ("near", "right") else -slope
    return " HIGH" if up > 0 else " low" if up < 0 else ""


def stretch(seen: AtStep, size: int = 1) -> Lines:
    """Draw the band with two clamps, from its back: the far one moves as it is tightened."""
    apart, longer = 14 * size, 3 * size
    on = Sketch(COLUMNS * size, 7 if size == 1 else 13)
    first, second, gap = 3, 3 + apart, size
    tight = seen.at in ("tension", "stretch", FOUND)
    for row, at in ((0, second), (3 * gap, second + longer)):
        if row and not tight:
            continue
        on.put(0, row + 1, "═" * (28 * size))
        on.put(first, row + 1, "[A]")
        on.put(at, row + 1, "[B]")
        on.put(first + 4, row + 2, "├" + "─" * (at - first - 6) + "┤")
        on.put(first, row, "slack: tool set to 0" if not row else "tight: read the tool here")
    on.put(first, on.rows - 1, "A, B: clamps on the band's back")
    return on.lines("from the side", larger=tight)
