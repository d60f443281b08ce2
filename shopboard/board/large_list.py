"""A list in large letters, on a window that would be nearly empty with small ones. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import big, has_form, is_roomy
from shopboard.board.hits import hit
from shopboard.board.nines import NINE, digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line, Painted, clip, fit, said

LETTERS = 3
"""Rows of a large letter."""


class LargeRow(NamedTuple):
    """One line of a list."""

    name: str
    beside: Painted
    """How it stands, in ordinary letters beside its name."""
    below: Sequence[Painted] = ()
    """What else is known of it, a line each."""


def large_list(
    rows: Sequence[LargeRow], cursor: int, head: Sequence[Line], size: tuple[int, int]
) -> list[Line]:
    """Draw the lines of a list with their names in large letters: all, or the nine with digits.

    Args:
        rows: the lines.
        cursor: number of one, from 0.
        head: stands above them.
        size: columns and rows.

    Returns:
        Nothing where they have no room: the list is in ordinary letters then. So is a name that is
        too long, or has no such form.
    """
    (width, room), shown = size, range(len(rows))
    if _high(rows) > room - len(head):
        first = first_of_nine(cursor)
        shown = range(first, min(first + NINE, len(rows)))
    more = out_of_sight(shown.start, len(rows) - shown.stop)
    free = room - len(head) - bool(more)
    nines = (rows[at : at + NINE] for at in range(0, len(rows), NINE)) if more else [rows]
    if not rows or not is_roomy(size) or max(map(_high, nines)) > free:
        return []
    lines = [*head]
    for number in shown:
        one = rows[number]
        name = f"{digit_of(number, cursor) or '  '} {said(one.name)}"
        drawn = large_row(name, one.beside, width, here=number == cursor)
        lines += [hit(row, f"={number}") for row in drawn]
        lines += [*(((f"      {clip(text, width - 7)}", style),) for text, style in one.below), ()]
    lines += [((f"  {more}", "dim"),)] if more else []
    return [fit(line, width) for line in lines]


def _high(rows: Sequence[LargeRow]) -> int:
    """Count the rows that such lines take."""
    return sum(LETTERS + 1 + len(one.below) for one in rows)


def large_row(name: str, beside: Painted, width: int, *, here: bool) -> list[Line]:
    """Draw a name, how it stands beside its middle; under the cursor as one bar."""
    left = width - cell_len(beside[0]) - 9
    letters: Sequence[str] = big(name)
    if not has_form(name) or len(letters[0]) > left:
        letters = (clip(name, left),)
    style, fill = ("bar", "bar") if here else ("bold", "")
    middle = len(letters) // 2
    return [
        fit(
            (
                (f"  {'►' if here and at == middle else ' '} {row}   ", style),
                *(((beside[0], fill or beside[1]),) if at == middle else ()),
            ),
            width,
            fill,
        )
        for at, row in enumerate(letters)
    ]
