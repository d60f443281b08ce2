"""What is seen from above, or flat on: tables, panels, frames, strips, dents in a board."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.drawn.canvas import (
    COLUMNS,
    FOUND,
    HATCH,
    HERE,
    SOLID,
    THERE,
    AtStep,
    Lines,
    Sketch,
    here,
    lying,
    short,
)
from shopboard.checks.table_lines import TableSpot


def table(
    line: tuple[TableSpot, TableSpot] | None,
    light: str,
    seen: AtStep,
    told: Mapping[TableSpot, str],
    size: int = 1,
) -> Lines:
    """Draw a table from above, the straightedge on one of its lines, the leaf's place.

    Args:
        line: ends of the straightedge; None: it is off.
        light: ``middle``, ``ends`` or ``none`` under it, as far as that is told.
        seen: what is asked.
        told: what is said at a spot, such as ``high``.
        size: 1, or 2 for twice as large.
    """
    wide, rows = 23 * size, 7 * size
    on = Sketch(COLUMNS * size, rows + 1)

    def place(spot: tuple[float, float]) -> tuple[int, int]:
        return 1 + round(spot[0] / 2 * (wide - 1)), round((1 - spot[1] / 2) * (rows - 1))

    for row in range(rows):
        edge = {0: "┌─┐", rows - 1: "└─┘"}.get(row, "│ │")
        on.put(0, row, edge[0] + edge[1] * wide + edge[2])
    if line:
        (x0, y0), (x1, y1) = line
        for step in range(2 * wide):
            at = step / (2 * wide - 1)
            on.put(*place((x0 + (x1 - x0) * at, y0 + (y1 - y0) * at)), SOLID)
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        leaf = [middle] if light == "middle" else [line[1]] if light == "ends" else []
        for mark in [line[0], middle, line[1]] if seen.at.endswith("_light") else leaf:
            on.put(*place(mark), HERE)
    for spot, words in told.items():
        column, row = place(spot)
        on.put(column - {0: 0, 1: len(words) // 2, 2: len(words) - 1}[spot[0]], row, words)
    on.put(wide + 3, 0, "back")
    on.put(wide + 3, rows - 1, "front")
    look = f"{SOLID} straightedge   {HERE} light?" if seen.at.endswith("_light") else ""
    on.put(0, rows, look or (f"{SOLID} straightedge   {HERE} leaf" if line else ""))
    return on.lines("from above")


def two_tables(side: str, leaf: str, seen: AtStep, size: int = 1) -> Lines:
    """Draw a jointer's tables from above, the straightedge on one line, the leaf's place.

    The fence is at the back, and the infeed table at the right: common practice, no source.

    Args:
        side: ``front`` or ``back``; empty: it is not laid yet.
        leaf: ``out`` on the outfeed table, ``lip`` or ``end`` on the infeed table; or empty.
        seen: what is asked.
        size: 1, or 2 for twice as large.
    """
    wide, rows = 12 * size, 5 * size
    on = Sketch(COLUMNS * size, rows + 2)
    right = wide + 5
    for row in range(rows):
        on.put(0, row, f"│{' ' * wide}│{HATCH * 2}│{' ' * wide}│")
    for row, (left_end, right_end) in ((0, "┌┐"), (rows - 1, "└┘")):
        for column in (0, right - 1):
            on.put(column, row, left_end + "─" * wide + right_end)
    on.put(1, rows // 2, f"{'outfeed':^{wide}}")
    on.put(right, rows // 2, f"{'infeed':^{wide}}")
    if side:
        row = size if side == "back" else rows - 1 - size
        on.put(1, row, SOLID * (right + wide - 1))
        places = {"lip": [right], "end": [right + wide - 1], "out": [1, wide]}
        for column in places.get(leaf, []):
            on.put(column, row, HERE)
    on.put(0, rows, f"outer end{'lips':^{2 * wide + 6 - 18}}outer end")
    told = f"{side} line  {HERE} " if side else "from back to front: two lines"
    on.put(0, rows + 1, told + ("light?" if seen.at.endswith("_light") else "leaf") * bool(side))
    return on.lines("from above, fence at the back")


def tables_tilted(along: float, across: float, size: int = 1) -> Lines:
    """Draw how the infeed table lies to the outfeed table, the worse way of the two.

    Args:
        along: above 0 with the infeed table's outer end low; seen from the front.
        across: above 0 with its front low; seen from the infeed end, its front at the right.
        size: 1, or 2 for twice as large.
    """
    wide, rise = 13 * size, 3 * size
    on = Sketch(COLUMNS * size, 4 * size + 3)
    bottom, level = 4 * size, 4 * size
    if abs(along) >= abs(across):
        way = (along > 0) - (along < 0)
        on.put(1, 0, f"{'outfeed':<{wide + 3}}infeed")
        lying(on, 1, bottom, [level] * wide, SOLID)
        heights = [level - round(way * rise * at / wide) for at in range(wide)]
        lying(on, wide + 4, bottom, heights)
        on.put(1, bottom + 1, f"{'lips':>{wide}}   {'outer end':>{wide}}")
        told = {1: "outer end LOW", -1: "outer end HIGH", 0: "no tilt found"}[way]
        view = "from the front"
    else:
        way = (across > 0) - (across < 0)
        wide = 26 * size
        on.put(1, 0, "infeed table")
        heights = [level - round(way * rise * (at / wide - 0.5)) for at in range(wide)]
        lying(on, 1, bottom, heights)
        on.put(1, bottom + 1, f"{'back':<{wide - 5}}front")
        told = {1: "LOW at the front", -1: "LOW at the back"}[way]
        view = "from the infeed end"
    on.put(1, bottom + 2, told)
    return on.lines(view, larger=bool(way))


def dents(across: int, up: int, seen: AtStep, size: int = 1) -> Lines:
    """Draw both dents in the board, from the tailstock, the person at the left.

    Args:
        across: 1 with the fresh dent toward the person, -1 away, 0: not told, or level.
        up: 1 with the fresh one higher, -1 lower.
        seen: what is asked.
        size: 1, or 2 for twice as large.
    """
    rows, left, wide = 7 * size, 5, 17 * size
    on = Sketch(COLUMNS * size, rows + 1)
    middle, cross = left + wide // 2, rows // 2
    on.put(left, 0, "┌" + "─" * (wide - 2) + "┐")
    on.put(left, rows - 1, "└" + "─" * (wide - 2) + "┘")
    for row in range(1, rows - 1):
        on.put(left, row, "│" + " " * (wide - 2) + "│")
    on.put(0, cross, "you")
    fresh = (middle - 4 * size * across, cross - (rows // 2 - 1) * up)
    first = (2 * middle - fresh[0], 2 * cross - fresh[1])
    if across or up:
        on.put(middle, cross, "+")
        on.put(*first, THERE)
        on.put(*fresh, HERE)
    elif seen.at in ("half", "nearer", "across"):
        on.put(middle - 4 * size, cross, "?")
        on.put(middle + 4 * size, cross, "?")
        on.put(middle, cross, THERE)
    elif seen.at != "board":
        on.put(middle, cross, HERE)
    at = left + wide + 1
    told = ("board",) if seen.at == "board" else (f"{HERE} fresh", f"{THERE} first")
    if seen.at in ("first", FOUND) and not (across or up):
        told = (f"{HERE} dent",)
    for row, words in enumerate((*told, *(("+ axis",) if across or up else ())), 1):
        on.put(at, row, words)
    if len(told) > 1:
        on.put(0, rows, "fresh dent: where the point is")
    return on.lines("from the tailstock", larger=bool(across or up))


_CORNERS = {
    "d1": ("top left", "bottom right"),
    "d2": ("bottom left", "top right"),
    "width": ("bottom left", "top left"),
    "other_width": ("bottom right", "top right"),
    "length": ("bottom left", "bottom right"),
    "other_length": ("top left", "top right"),
}


def panel(seen: AtStep, size: int = 1) -> Lines:
    """Draw the panel and what is measured: `way` 1 has its marked corner over 90 degrees."""
    rows, wide, lean = 6 * size, 20 * size, 2 * size
    on = Sketch(COLUMNS * size, rows + 1)
    left = 1 + lean
    top = left - seen.way * lean
    corners = {
        "bottom left": (left, rows - 1),
        "bottom right": (left + wide, rows - 1),
        "top left": (top, 0),
        "top right": (top + wide, 0),
    }
    on.put(left, rows - 1, "═" * wide)
    on.put(top, 0, "═" * wide)
    for row in range(1, rows - 1):
        column = round(top + (left - top) * row / (rows - 1))
        side = {0: "║", 1: "╲", -1: "╱"}[seen.way]
        on.put(column, row, side)
        on.put(column + wide, row, side)
    lines = ("d1", "d2") if seen.at == FOUND else (seen.at,)
    for name in lines:
        if name in ("d1", "d2"):
            (x0, y0), (x1, y1) = (corners[one] for one in _CORNERS[name])
            for row in range(1, rows - 1):
                at = x0 + (x1 - x0) * (row - y0) / (y1 - y0)
                on.put(round(at), row, "╲" if name == "d1" else "╱")
    ends = [one for name in lines for one in _CORNERS.get(name, ())]
    for name, (column, row) in corners.items():
        on.put(column, row, here(name in ends))
    on.put(left, rows, "▲ mark")
    told = {1: "over 90 deg", -1: "under 90 deg"}.get(seen.way, "")
    on.put(left + 7, rows, told or (f"measure {HERE} to {HERE}" if ends else ""))
    return on.lines("from above", larger=bool(seen.way))


def strip(right: bool, seen: AtStep, size: int = 1) -> Lines:
    """Draw board and last strip on the fence: `way` 1 has the strip wider at the fence.

    Args:
        right: the board lies right of the blade, and its strip is left of the cut.
        seen: which width is read.
        size: 1, or 2 for twice as large.
    """
    rows, board, thin = 5 * size, 13 * size, 4 * size
    on = Sketch(COLUMNS * size, rows + 3)
    wide = board + 3 + thin + 2 * size
    for row in range(rows):
        strip_wide = round(thin + seen.way * (row / (rows - 1) - 0.5) * 4 * size)
        on.put(2, row + 1, HATCH * board + "│" + HATCH * strip_wide)
    on.put(0, 1 + rows // 2, "3")
    if right:
        on.mirror(wide)
    middle = wide - 2 - board // 2 if right else 2 + board // 2
    on.put(middle - 3, 1 + rows // 2, " board ")
    on.put(middle, 0, "2")
    on.put(0, rows + 1, "═" * wide)
    on.put(middle, rows + 1, "4")
    for name, row in (("b", 1), ("a", rows)):
        on.put(wide + 1, row, f"{here(seen.at in (name, FOUND))} {name}")
    told = {1: "strip wide at a", -1: "strip narrow at a"}.get(seen.way, "")
    for row, words in ((1 + rows // 2, "1, 5: strip"), (rows + 1, "fence")):
        on.put(wide + 1, row, words)
    on.put(0, rows + 2, told or "1 to 5: cuts; the fence at edge 4")
    return on.lines("from above", larger=bool(seen.way))


def last_corner(seen: AtStep, size: int = 1) -> Lines:
    """Draw the last corner of a frame: `way` 1 is open at its toe, outside; -1 at its heel."""
    rows, gap, heel = 5 * size, 3 * size, 8 * size
    on = Sketch(COLUMNS * size, rows + 3)
    wide = heel + 2 * rows + (round(gap / 2) if seen.way > 0 else 0)
    for row in range(rows):
        up = 1 - row / (rows - 1)
        half = gap / 2 * max(seen.way * up, -seen.way * (1 - up))
        middle = heel + (rows - 1 - row) * 2
        left, right = round(middle - half), round(middle + half) + 1
        on.put(0, row, HATCH * left)
        on.put(left, row, "╱" if right == left + 1 else " ")
        on.put(right, row, SOLID * (wide - right))
        if (seen.way > 0 and not row) or (seen.way < 0 and row == rows - 1):
            on.put(round(middle), row, HERE)
    right = heel + 1 + (round(gap / 2) if seen.way < 0 else 0)
    on.put(right, rows, SOLID * (wide - right))
    for row, end in ((0, "toe"), (rows - 1, "heel")):
        open_here = (seen.way > 0 and not row) or (seen.way < 0 and row)
        asked = f"{end}: open?" if seen.at == "open" else end
        on.put(wide + 1, row, f"{HERE} leaf, {end}" if open_here else asked)
    on.put(0, rows, "inside")
    on.put(0, rows + 1, "the last corner; toe is outside")
    on.put(0, rows + 2, "all other corners closed")
    return on.lines("from above", larger=bool(seen.way))


def gap(parts: tuple[str, str], seen: AtStep, size: int = 1) -> Lines:
    """Draw a gap, its part and its place in words, and the leaf: `way` 1 is too wide, -1 tight."""
    rows, block = 5 * size, 9 * size
    on = Sketch(COLUMNS * size, rows + 2)
    open_by = (3 + 2 * seen.way) * size
    for row in range(rows):
        on.put(0, row, SOLID * block)
        on.put(block + open_by, row, HATCH * block)
    if seen.at != "place":
        on.put(block + open_by // 2, rows // 2, HERE)
    at = block * 2 + 6 * size
    on.put(at, 0, {1: "too wide", -1: "too tight"}.get(seen.way, ""))
    on.put(at, rows // 2, f"{HERE} leaf")
    on.put(0, rows, short(parts[0], on.columns))
    on.put(0, rows + 1, short(parts[1], on.columns))
    return on.lines("across the gap", larger=bool(seen.way))
