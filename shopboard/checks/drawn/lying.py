"""What lies level: a straightedge on a face, planed and turned boards, a rule over knives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

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
    lying,
)


def along(stations: Sequence[str], seen: AtStep, size: int = 1) -> Lines:
    """Draw a straightedge on a face, and the leaf's places under it.

    Args:
        stations: keys of the places, evenly spaced.
        seen: `values` holds the gaps read so far; those not read are drawn closed.
        size: 1, or 2 for twice as large.
    """
    wide, deep, left = 28 * size + 1, 4 * size, 1
    on = Sketch(COLUMNS * size, 3 * size + 4)
    gaps = [seen.values.get(key, 0.0) for key in stations]
    most, step = max(gaps), (wide - 1) // (len(stations) - 1)
    low = [round(gap / most * deep) if most else 0 for gap in gaps]
    heights = []
    for column in range(wide):
        at, share = min(column // step, len(low) - 2), column / step
        share -= at
        heights.append(6 * size - round(low[at] * (1 - share) + low[at + 1] * share))
    on.put(left, 1, SOLID * wide)
    lying(on, left, 3 * size + 1, heights)
    looked = seen.at in stations
    for at, key in enumerate(stations):
        mark = here(key == seen.at) if looked else HERE if seen.at in ("light", FOUND) else " "
        on.put(left + at * step, 0, mark)
    on.put(left, on.rows - 2, f"{'near end':<{wide - 7}}far end")
    told = {"light": "light under it?", "lay": "it must not rock"}.get(seen.at, f"{HERE} leaf")
    on.put(left, on.rows - 1, f"{SOLID} straightedge   {told}")
    return on.lines("from the side", larger=bool(most))


def pair_of_edges(names: tuple[str, str], way: int, seen: AtStep, size: int = 1) -> Lines:
    """Draw two straightedges edge to edge: `way` 1 open in the middle, -1 at both ends."""
    wide, deep = 25 * size, size
    on = Sketch(COLUMNS * size, 6 * size + 1)
    for column in range(wide):
        off = abs(2 * column / (wide - 1) - 1)
        gap = round(2 * deep * (1 - off**2 if way > 0 else off**2 if way < 0 else 0))
        for row in range(3 * size - gap // 2):
            on.put(column + 1, row, HATCH)
        if gap % 2:
            on.put(column + 1, 3 * size - gap // 2 - 1, "▀")
        lying(on, column + 1, 6 * size - 1, [6 * size - gap], SOLID)
    on.put(wide // 2, size, f" {names[0]} ")
    on.put(wide // 2, 5 * size - 1, f" {names[1]} ")
    told = {1: "open in the middle", -1: "open at both ends"}.get(way, "light between them?")
    if seen.at == FOUND and not way:
        told = "no light between them"
    on.put(1, on.rows - 1, told)
    return on.lines("from the side", larger=bool(way))


def across(seen: AtStep, size: int = 1) -> Lines:
    """Draw a straightedge across two jointed boards: `way` 1 makes a hollow of the marked faces.

    It lies on one board, and the other falls away from it.
    """
    wide = 26 * size
    on = Sketch(COLUMNS * size, 4 * size + 3)
    half = wide // 2
    fall = [round(2 * size * (column / half)) if seen.way else 0 for column in range(half)]
    on.put(1, 1, SOLID * wide)
    lying(on, 1, 4 * size + 1, [8 * size] * half + [8 * size - one for one in fall])
    for row in range(2, 4 * size + 2):
        on.put(half, row, "│")
    if seen.way:
        on.put(wide - 5, 0, f"{HERE} leaf")
    on.put(1, 0, "straightedge")
    told = {1: "other faces up, marked ones down", -1: "marked faces up, other ones down"}
    on.put(1, on.rows - 1, told.get(seen.way, "which faces fall away?"))
    return on.lines("from the end", larger=bool(seen.way))


def snipe(depths: Mapping[str, float], seen: AtStep, size: int = 1) -> Lines:
    """Draw a planed board from the side, fed to the right: what an end is too thin by, mm."""
    wide, high, far = 29 * size, 6 * size, 7 * size
    on = Sketch(COLUMNS * size, 3 * size + 4)
    ends = [depths.get("tail", 0.0), depths.get("lead", 0.0)]
    most = max(map(abs, ends))
    heights = [high] * wide
    for column in range(far):
        for end, depth in ((column, ends[0]), (wide - 1 - column, ends[1])):
            if most:
                heights[end] -= round(3 * size * depth / most * 0.5) if column < far else 0
    lying(on, 1, 3 * size + 1, heights)
    places = {"tail": 1 + far // 3, "middle": 1 + wide // 2, "lead": wide - far // 3}
    for name, column in places.items():
        now = seen.at in (name, f"{name}_length", FOUND)
        on.put(column, 0, here(now))
    on.put(1, on.rows - 2, f"{'tail':<{wide // 2 - 3}}middle")
    on.put(wide - 3, on.rows - 2, "lead")
    reach = seen.at.endswith("_length")
    on.put(1, on.rows - 1, "fed this way ──►" + ("  reach: end to ●" if reach else ""))
    return on.lines("from the side", larger=bool(most))


def thickness(seen: AtStep, size: int = 1) -> Lines:
    """Draw bed, head and a board between, from where it is fed: `way` 1 is thicker at the left."""
    wide, high = 27 * size, 4 * size
    on = Sketch(COLUMNS * size, 3 * size + 4)
    heights = []
    for column in range(wide):
        off = (0.5 - column / (wide - 1)) * seen.way
        heights.append(high + round(off * 2 * high * 0.5))
    lying(on, 1, 3 * size + 1, heights)
    for column, height in enumerate(heights):
        on.put(column + 1, 3 * size + 1 - (height + 1) // 2, "═")
    on.put(1, 3 * size + 2, "═" * wide)
    on.put(wide + 2, 3 * size + 2, "bed")
    on.put(wide + 2, 3 * size + 1 - (heights[-1] + 1) // 2, "head")
    for side, column in (("left", 1), ("right", wide)):
        on.put(column, 0, here(seen.at in (side, "width", FOUND)))
    on.put(1, 3 * size + 3, f"{'left':<{wide - 5}}right")
    return on.lines("from where you feed", larger=bool(seen.way))


def taper(seen: AtStep, size: int = 1) -> Lines:
    """Draw a turned piece between centres, from the front: `way` 1 is thicker at the headstock."""
    wide, most = 28 * size, 3 * size
    on, axis = Sketch(COLUMNS * size, 7 * size + 1), 3 * size
    for column in range(wide):
        off = (0.5 - column / (wide - 1)) * seen.way
        half = min(most, most - 0.5 * size * abs(seen.way) + off * size * 2)
        for row in range(axis - int(half), axis + int(half) + 1):
            on.put(column + 2, row, HATCH)
    on.put(1, axis, ">")
    on.put(wide + 2, axis, "<")
    for end, column in (("head", 5 * size), ("tail", wide - 3 * size)):
        for row in range(axis - most, axis + most + 1):
            on.put(column, row, here(seen.at in (end, "length", FOUND)) if row == axis else "│")
    on.put(0, on.rows - 1, f"{'headstock':<{wide - 5}}tailstock")
    return on.lines("from the front", larger=bool(seen.way))


def over_knives(way: int, seen: AtStep, size: int = 1) -> Lines:
    """Draw the head, a knife and the rule, from the front, outfeed at the left.

    Args:
        way: 1 a knife stands above the outfeed table and carries the rule, -1 it stands below.
        seen: which knife, which end.
        size: 1, or 2 for twice as large.
    """
    wide, table = 15 * size, 2
    on = Sketch(COLUMNS * size, 4 * size + 4)
    level = table + size
    on.put(0, level, "═" * wide)
    on.put(wide + 7 * size, level + 1, "═" * (on.columns - wide - 7 * size))
    on.put(0, level + 1, "outfeed")
    on.put(on.columns - 6, level + 2, "infeed")
    tip = wide + 3 * size
    knife = level - max(0, way) * size + max(0, -way) * size
    on.put(0, knife - 1 if way > 0 else level - 1, "─" * (tip + 2))
    for row in range(knife, level + 2):
        on.put(tip, row, "▌" if row == knife else SOLID)
    for row in range(level + 1 + max(0, -way) * size, on.rows - 1):
        on.put(wide + 1, row, HATCH * (6 * size - 2))
    on.put(wide + size, on.rows - 1, "head")
    on.put(0, 0, "rule  ◄── carried so" if way >= 0 else "rule: not carried")
    name, _, end = seen.at.partition("_")
    if name.startswith("knife") and end:
        on.put(0, level + 2, f"{HERE} knife {name[5:]}, {end}")
    elif seen.at == "below":
        on.put(0, level + 2, f"{HERE} rule to knife")
    return on.lines("from the front", larger=bool(way))
