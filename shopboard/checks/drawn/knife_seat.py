"""An indexed knife in its seat: from the end of the head, and along its length."""

from __future__ import annotations

from shopboard.checks.drawn.canvas import COLUMNS, FOUND, HATCH, HERE, SOLID, AtStep, Lines, Sketch

_ASKED = {
    "clean": "clean?",
    "light": "light?",
    "screws": "tight, in order?",
    "pins": "down on its pins?",
    "edges": "sound? all turned alike?",
}
_WRONG = {
    "clean": "not clean",
    "light": "light",
    "screws": "not in order",
    "pins": "it stands off here",
    "edges": "nick, or not turned",
}


def knife_seat(seen: AtStep, size: int = 1) -> Lines:
    """Draw the knife where it is looked at, or the first thing that is wrong with it.

    Args:
        seen: what is asked, or that all is; `words` holds a yes or no to each.
        size: 1, or 2 for twice as large.
    """
    at, wrong = seen.at, False
    if at == FOUND:
        at = next((key for key, said in seen.words.items() if said == "no"), "")
        wrong = bool(at)
    if at not in _ASKED:
        return ()
    told = (_WRONG if wrong else _ASKED)[at]
    return (_lengthwise if at in ("pins", "edges") else _endwise)(at, told, size, wrong=wrong)


def _endwise(at: str, told: str, size: int, *, wrong: bool) -> Lines:
    """Draw screw, clamp, knife and seat, one on the other; the edge is at the right."""
    gap = size if wrong and at == "light" else 0
    on, wide = Sketch(COLUMNS * size, 5 * size + gap), 9 * size
    seat, label = 3 * size + gap, wide + 5 * size
    for row in range(size):
        on.put(1 + wide // 2, row, "╪")
        on.put(2, size + row, SOLID * (wide - 1))
        on.put(2, 2 * size + row, "═" * (wide + size) + "►")
    for row in range(2 * size):
        on.put(0, seat + row, HATCH * (wide + 2))
    places = {"clean": ("clamp", "knife", "seat"), "screws": ("screws",)}.get(at, ())
    rows = {"screws": 0, "clamp": size, "knife": 2 * size, "seat": seat + (at == "light")}
    for name, row in rows.items():
        on.put(label, row, f"{HERE} {name}" if name in places else name)
    if at == "light":
        on.put(wide + 2, 3 * size, f"{HERE} {told}")
    else:
        on.put(label, on.rows - 1, told)
    return on.lines("from the head's end", larger=bool(gap))


def _lengthwise(at: str, told: str, size: int, *, wrong: bool) -> Lines:
    """Draw the knife on its pins, its edge above; one end stands off them, or it has a nick."""
    wide, seat = 26 * size, 3 * size + 1
    on, edge, middle = Sketch(COLUMNS * size, 4 * size + 3), seat - size, 1 + wide // 2
    off = wrong and at == "pins"
    _knife(on, seat - 1, wide, size, rise=3 * size if off else 0)
    for row in range(size):
        on.put(1, seat + row, HATCH * wide)
    pins = (1 + 4 * size, wide - 4 * size)
    for column in pins:
        on.put(column, seat, "▲")
    looked = pins if at == "pins" else (1, middle, wide)
    found = wide if off else middle
    for column in (found,) if wrong else looked:
        on.put(column, seat - 1 if off else edge - 1, HERE)
    if wrong and not off:
        on.put(middle, edge, "▄" * size)
    on.put(wide + 2, seat - 1, "knife")
    on.put(wide + 2, seat, "seat")
    on.put(1, 0, f"{HERE} {told}")
    on.put(1, on.rows - 1, "▲ pins; the edge is above")
    return on.lines("from the front", larger=wrong)


def _knife(on: Sketch, bottom: int, wide: int, thick: int, rise: int) -> None:
    """Draw it from its left end on a row; its right end stands off by so many half cells."""
    for column in range(wide):
        lift = round(rise * column / (wide - 1))
        for up in range(lift // 2, lift // 2 + thick + lift % 2):
            at_foot, at_top = up == lift // 2 and lift % 2, up == lift // 2 + thick
            on.put(1 + column, bottom - up, "▀" if at_foot else "▄" if at_top else SOLID)
