"""What should be upright or straight and leans: cuts closed after a turn, rods, lines, an edge."""

from __future__ import annotations

from shopboard.checks.drawn.canvas import (
    COLUMNS,
    FOUND,
    HATCH,
    HERE,
    SOLID,
    AtStep,
    Lines,
    Sketch,
    here,
    slanted,
)
from shopboard.checks.job import Geometry


def closed_cut(
    geometry: Geometry, rest: str, view: str, ends: tuple[str, str], seen: AtStep, size: int = 1
) -> Lines:
    """Draw two halves of a board, one turned over, cut to cut: `way` 1 is open at the rest.

    Args:
        geometry: on which side of the cut the half is that stays.
        rest: what both stand on or lie against: ``table``.
        view: of the drawing.
        ends: how the end away from the rest and that at it are called.
        seen: what is asked, and where it is open.
        size: 1, or 2 for twice as large.
    """
    rows, half, open_by = 5 * size, 13 * size, 3 * size
    on = Sketch(COLUMNS * size, rows + 3)
    at_rest, away = max(0, seen.way), max(0, -seen.way)

    def gap(row: int) -> float:
        down = row / (rows - 1)
        return open_by * (at_rest * down + away * (1 - down))

    slanted(on, 1, lambda row: half - gap(row), rows, half - 1, left=True)
    slanted(on, 1, lambda row: half + 1 + gap(row), rows, half - 1)
    for row in range(1, rows + 1):
        on.put(0, row, " ")
        on.put(2 * half + 2, row, " " * (half + size))
        if not seen.way:
            on.put(half, row, "│")
    right = geometry.side == "right"
    for words, at in ((" stays ", right), (" turned ", not right)):
        on.put(2 * half - len(words) if at else 1, 1 + rows // 2, words)
    on.put(1, rows + 1, "═" * (2 * half))
    if seen.way:
        on.put(half, 1 if seen.way < 0 else rows, HERE + " ")
    asked = [f"open {end}?" if seen.at == "open" and not seen.way else "" for end in ends]
    on.put(half - 2, 0, f"{HERE} open {ends[0]}" if seen.way < 0 else asked[0])
    on.put(1, rows + 2, f"{HERE} open {ends[1]}" if seen.way > 0 else asked[1] or rest)
    return on.lines(view, larger=bool(seen.way))


def in_corner(seen: AtStep, size: int = 1) -> Lines:
    """Draw two mitred boards closed to a corner, a square inside: `way` 1 is open at its tip."""
    rows, foot, lean = 5 * size, 10 * size, 3 * size
    on = Sketch(COLUMNS * size, rows + 3)
    blade = 6 * size

    def edge(row: int) -> float:
        up = 1 - row / (rows - 1)
        return blade - 1 - lean * max(seen.way * up, -seen.way * (1 - up))

    slanted(on, 0, edge, rows, 2 * size, left=True)
    for row in range(rows):
        on.put(blade, row, SOLID * size)
    on.put(blade, rows, SOLID * foot)
    corner = round(edge(rows - 1)) - 2 * size
    on.put(corner, rows, HATCH * (2 * size + 1))
    on.put(corner, rows + 1, HATCH * (foot + blade - corner + 1))
    on.put(corner, rows + 2, HATCH * (foot + blade - corner + 1))
    names = {0: "tip", rows - 1: "heel"}
    for row, name in names.items():
        leaf = (seen.way > 0 and not row) or (seen.way < 0 and row)
        look = f"{name}: light?" if seen.at == "open" else name
        on.put(blade + size + 1, row, f"{HERE} leaf, {name}" if leaf else look)
    on.put(blade + size + 1, rows // 2, "square")
    on.put(blade + foot + 1, rows + 1, "two mitres")
    return on.lines("from above", larger=bool(seen.way))


def two_edges(seen: AtStep, size: int = 1) -> Lines:
    """Draw two boards edge on edge, marked faces at the left: `way` 1 is open at the marks."""
    rows, wide, gap = 3 * size, 15 * size, 2 * size
    on = Sketch(COLUMNS * size, 2 * rows + 2)
    middle = rows * 2 + 1
    for column in range(wide):
        share = column / (wide - 1)
        shut = share if seen.way >= 0 else 1 - share
        open_by = round(gap * (1 - shut)) if seen.way else 0
        for row in range(2 * rows + 2):
            from_middle = abs(2 * row + 1 - middle - 1)
            if from_middle > 2 * open_by * 0.75:
                on.put(6 * size + column, row, HATCH)
    for row in (0, 2 * rows + 1):
        on.put(6 * size - 2, row, "►")
    on.put(0, 0, "mark")
    on.put(0, 2 * rows + 1, "mark")
    at = 6 * size + wide + 1
    on.put(at, 0, "upper board")
    on.put(at, 2 * rows + 1, "lower board")
    if seen.way > 0:
        on.put(0, rows, "leaf")
        on.put(6 * size, rows, HERE)
    elif seen.way < 0:
        on.put(at, rows, "leaf")
        on.put(at - 2, rows, HERE)
    else:
        on.put(6 * size, rows, "─" * wide)
        on.put(at, rows, "open where?" if seen.at == "open" else "")
    return on.lines("from the end", larger=bool(seen.way))


def two_squares(names: tuple[str, str], way: int, size: int = 1) -> Lines:
    """Draw two squares blade to blade on one flat surface: `way` 1 is open at the top."""
    rows, middle, lean, stock = 6 * size, 11 * size, 3 * size, 6 * size
    on = Sketch(COLUMNS * size, rows + 2)

    def off(row: int) -> int:
        up = 1 - row / (rows - 1)
        return round(lean * max(way * up, -way * (1 - up)))

    for row in range(rows):
        on.put(middle - 2 - off(row), row, HATCH * 2)
        on.put(middle + 1 + off(row), row, HATCH * 2)
    foot = off(rows - 1)
    on.put(middle - stock - foot, rows, HATCH * stock)
    on.put(middle + 1 + foot, rows, HATCH * stock)
    on.put(middle - stock - foot - 1, rows + 1, "═" * (2 * (stock + foot) + 3))
    on.put(middle - 5 * size - lean, rows // 2, names[0])
    on.put(middle + 5 * size + lean, rows // 2, names[1])
    leaf = {1: 0, -1: rows - 1}.get(way)
    for row, end in ((0, "top"), (rows - 1, "bottom")):
        text = f"{HERE} leaf, {end}" if row == leaf else end if way else f"{end}: light?"
        on.put(middle + 5 * size + lean, row, text)
    if leaf is not None:
        on.put(middle, leaf, HERE)
    return on.lines("from the front", larger=bool(way))


def two_lines(seen: AtStep, size: int = 1) -> Lines:
    """Draw both lines on the board, its edge toward you: `way` 1 has line 1 right of line 2."""
    rows, foot, lean = 6 * size, 14 * size, 4 * size
    on = Sketch(COLUMNS * size, rows + 2)
    drawn = {"edge": "", "line1": "1", "line2": "12"}.get(seen.at, "12")
    for name, sign in (("1", 1), ("2", -1)):
        if name not in drawn:
            continue
        for row in range(rows):
            up = 1 - row / rows
            stroke = "│" if not seen.way else "╱" if sign * seen.way > 0 else "╲"
            on.put(foot + round(sign * seen.way * lean * up), row, stroke)
        if seen.way:
            on.put(foot + round(sign * seen.way * (lean + 2)), 0, name)
    if not seen.way and seen.at == FOUND:
        on.put(foot + 2, 0, "1 on 2")
    on.put(1, rows, "═" * (28 * size))
    on.put(0, rows + 1, "board edge, toward you")
    if seen.at == "line1":
        on.put(foot + 2, rows - 1, "stock on the right")
    elif seen.at == "line2":
        on.put(foot - 9, rows - 1, "stock 2")
        on.put(foot + 2, rows - 1, "turned over")
    elif seen.at in ("at", "lies", "gap"):
        on.put(foot + 7 * size, 0, f"{HERE} gap here")
    return on.lines("from above", larger=bool(seen.way))


def drift(datum: str, seen: AtStep, size: int = 1) -> Lines:
    """Draw the mark of the edge beside slot or fence: `way` 1 has its far end to the right."""
    rows, lean, foot = 7 * size, 5 * size, 9 * size
    on = Sketch(COLUMNS * size, rows + 1)
    for row in range(rows):
        up = 1 - row / (rows - 1)
        on.put(2 * size, row, "║")
        stroke = {0: "│", 1: "╱", -1: "╲"}[seen.way]
        on.put(foot + round(seen.way * lean * (up - 0.5)), row, stroke)
    at = foot + 5 * size
    both = seen.at in ("offset", "length", FOUND)
    on.put(at, 0, f"{here(both)} far end")
    on.put(at, rows // 2, "edge, as marked")
    on.put(at, rows - 1, f"{here(both)} near end")
    if both:
        for row in (0, rows - 1):
            up = 1 - row / (rows - 1)
            edge = foot + round(seen.way * lean * (up - 0.5))
            if seen.at != "length":
                on.put(2 * size + 1, row, "├" + "─" * (edge - 2 * size - 3) + "┤")
    on.put(0, rows, datum)
    return on.lines("from above", larger=bool(seen.way))


def rod(seen: AtStep, size: int = 1) -> Lines:
    """Draw blade and rod in the board, from the side: `way` 1 leans away from the blade, upward."""
    rows, lean = 6 * size, 4 * size
    on = Sketch(COLUMNS * size, rows + 2)
    set_over = 0 if seen.words.get("against", "square") == "square" else 4 * size

    for row in range(rows):
        up = 1 - row / (rows - 1)
        blade = round(size + set_over * up)
        slope = (set_over + seen.way * lean) * up
        at = round(7 * size + slope + (lean if seen.way < 0 else 0))
        on.put(blade, row, SOLID * size)
        on.put(at, row, HATCH * size * 2)
        for name, here_row in (("high", size - 1), ("low", rows - 1 - size)):
            if row == here_row and seen.at in (name, FOUND):
                on.put(blade + size, row, "├" + "─" * (at - blade - size - 2) + "┤")
    label = 20 * size
    on.put(label, size - 1, f"{here(seen.at in ('high', 'rise', FOUND))} high")
    on.put(label, rows - 1 - size, f"{here(seen.at in ('low', 'rise', FOUND))} low")
    on.put(label, rows // 2 - 1, "rod")
    on.put(0, rows, HATCH * (18 * size))
    on.put(0, rows + 1, "blade of square or gauge, at left")
    return on.lines("from the side", larger=bool(seen.way))


def sticks(seen: AtStep, size: int = 1) -> Lines:
    """Draw the far stick over the near one, as sighted: `way` 1 is high at the right."""
    wide, rise = 26 * size, 3 * size
    on = Sketch(COLUMNS * size, 5 * size + 3)
    for column in range(wide):
        up = (column / (wide - 1) - 0.5) * seen.way * rise
        on.put(column + 1, round(2 * size - up), "─")
    near = 4 * size
    on.put(1, near, SOLID * wide)
    on.put(1, near + 1, f"near stick{'far stick above':>{wide - 10}}")
    for column in (4 * size, wide - 4 * size):
        on.put(column, near + 2, "║")
    on.put(4 * size + 2, near + 2, "bearings"[: wide - 8 * size - 3])
    low = {1: 1, -1: wide}.get(seen.way)
    if low is not None and seen.at in ("raised", FOUND):
        leaf = round(2 * size + 0.5 * rise)
        on.put(low, leaf, HERE)
        right = seen.way > 0
        on.put(1 if right else wide - 16, 0, f"{HERE} raise low end")
    elif seen.at == "high":
        on.put(1, 0, f"high here?{'high here?':>{wide - 10}}")
    return on.lines("as sighted", larger=bool(seen.way))
