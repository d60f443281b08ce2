"""What to do next in the shop, drawn, each with its minutes. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.cells import cell_len

from shopboard.board.glyphs import STATE_MARKS, TAG_MARK, is_wide
from shopboard.board.hits import hit
from shopboard.board.large_list import large_row
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.up_next.items import NextItem
from shopboard.upkeep.cutter_words import SHARP_MARKS

TITLE = "NEXT"
_MARGIN = 7
"""Columns of the title."""
_NAMES = 12
"""Columns of cursor, digit and short name."""
_LARGE = 4
"""Rows of one of the list in large letters at the least."""
_APART = 3
"""Columns between the longest words and the minutes: the eye finds them on wide windows, too."""
_SIGNS = {"tag": TAG_MARK, "going": "»", "round": "!"}


def first_shown(items: Sequence[NextItem], cursor: int | None, room: int) -> int:
    """Give the number of the first that is shown in so many rows."""
    return max(0, min((cursor or 0) + 1 - room, len(items) - room))


def in_view(items: Sequence[NextItem], cursor: int | None, room: int) -> Sequence[NextItem]:
    """Give those that are shown in so many rows."""
    start = first_shown(items, cursor, room)
    return items[start : start + max(room, 0)]


def next_lines(
    items: Sequence[NextItem],
    cursor: int | None,
    called: Mapping[str, tuple[str, str]],
    minutes: Mapping[str, str],
    size: tuple[int, int],
) -> list[Line]:
    """Draw the list.

    Args:
        items: what to do.
        cursor: number of the line that the cursor is on; None: it is elsewhere.
        called: digit and short name of each machine, by its id.
        minutes: how long each takes, in words, by its key; what is not known yet is not there.
        size: columns and rows.
    """
    width, room = size
    if not items:
        return [((f"{TITLE:<{_MARGIN}}", "bold"), ("nothing: all is as it should be", ""))]
    if lines := _large(items, cursor, called, minutes, size):
        return lines
    start, shown = first_shown(items, cursor, room), in_view(items, cursor, room)
    spare, lines = room - len(shown), list[Line]()
    beside = max((len(minutes.get(one.key, "")) for one in shown), default=0) + _APART
    room_for_words = max(width - _MARGIN - _NAMES - 3 - beside, 8)
    broken: list[list[str]] = []
    for one in shown:
        broken.append(wrap(one.words, room_for_words, 1 + spare))
        spare -= len(broken[-1]) - 1
    widest = max(cell_len(row) for rows in broken for row in rows)
    for at, (one, rows) in enumerate(zip(shown, broken, strict=True), start):
        told = f"{minutes.get(one.key, ''):>{widest + beside}}"
        its = _next_rows(one, rows, at == cursor, called, told, width)
        lines += [hit(line, f"#{len(called) + at}") for line in its]
    return _titled(lines, len(items) - len(shown), len(items), width)


def _large(
    items: Sequence[NextItem],
    cursor: int | None,
    called: Mapping[str, tuple[str, str]],
    minutes: Mapping[str, str],
    size: tuple[int, int],
) -> list[Line]:
    """Draw all of it in large letters, where a wide window has room for that; else nothing."""
    width, room = size
    if not is_wide(width) or _LARGE * len(items) > room:
        return []
    lines: list[Line] = []
    for at, one in enumerate(items):
        digit, short = _called(one, called)
        mark, style = _mark(one)
        beside = (f"{mark} {minutes.get(one.key, '')}", style)
        name = f"{said(short)}: {one.words}"
        rows = large_row(digit, name, beside, width - _MARGIN, here=at == cursor)
        if not rows:
            return []
        lines += [(), *(hit(row, f"#{len(called) + at}") for row in rows)]
    return _titled(lines, 0, len(items), width) if len(lines) <= room else []


def _mark(one: NextItem) -> tuple[str, str]:
    """Give the mark of how it stands, and its style."""
    if one.sort == "cutter":
        return SHARP_MARKS["dull" if one.state == "dull" else "dirty"], "due"
    return _SIGNS.get(one.sort) or STATE_MARKS[one.state], one.state


def _called(one: NextItem, called: Mapping[str, tuple[str, str]]) -> tuple[str, str]:
    """Give digit and short name of what it is about."""
    digit, short = called.get(one.machine, ("", "SHOP"))
    return "0" if one.sort == "going" else digit or " ", short


def _next_rows(
    one: NextItem,
    rows: Sequence[str],
    here: bool,
    called: Mapping[str, tuple[str, str]],
    minutes: str,
    width: int,
) -> list[Line]:
    """Draw one thing to do, without a gap in the cursor's bar."""
    digit, short = _called(one, called)
    base = "bar" if here else ""
    lead = f"{'►' if here else ' '}{digit} {clip(said(short), _NAMES - 4)}"
    sign, style = _mark(one)
    lines: list[Line] = []
    for at, words in enumerate(rows):
        before = lead if at == 0 else ""
        mark = sign if at == 0 else " "
        pieces = (
            *fit(((before, base or "bold"),), _NAMES, base),
            (mark, base or style),
            (" ", base),
            (words, base),
            (minutes[cell_len(words) :] if at == 0 else "", base),
        )
        lines.append(fit(pieces, width - _MARGIN, base))
    return lines


def _titled(lines: list[Line], unseen: int, of: int, width: int) -> list[Line]:
    """Put the title before the first line, and how many there are below it where some are not."""
    titles = [TITLE, f"of {of}" if unseen else ""]
    return [
        fit(((f"{titles[at] if at < len(titles) else '':<{_MARGIN}}", "bold"), *line), width)
        for at, line in enumerate(lines)
    ]
