"""A list in large letters, on a window that would be nearly empty with small ones. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import big, has_form, is_roomy
from shopboard.board.hits import hit
from shopboard.board.nines import NINE, digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line, Painted, clip, fit, said

_MOST = 45
"""Lines of a list that is drawn so at the most: each of a longer one would be worked out."""
_MARGIN = 9
"""Columns before and behind a name, and between it and what stands beside it."""
_DIGIT = 7
"""Columns of a large digit with its gap: where a name goes on it begins below itself."""


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
        Nothing where they have no room, or a name no such form: the list is in ordinary letters.
    """
    width, room = size
    if not rows or len(rows) > _MOST or not is_roomy(size):
        return []
    blocks = [_block(one, (number, cursor), width) for number, one in enumerate(rows)]
    if not all(blocks):
        return []
    shown = range(len(rows))
    if sum(map(len, blocks)) > room - len(head):
        first = first_of_nine(cursor)
        shown = range(first, min(first + NINE, len(rows)))
        nines = (blocks[at : at + NINE] for at in range(0, len(rows), NINE))
        if max(sum(map(len, one)) for one in nines) > room - len(head) - 1:
            return []
    more = out_of_sight(shown.start, len(rows) - shown.stop)
    lines = [*head, *(line for at in shown for line in blocks[at])]
    _edge(lines, len(head) + sum(map(len, blocks[shown.start : cursor])), width)
    lines += [((f"  {more}", "dim"),)] if more else []
    return [fit(line, width) for line in lines]


def _edge(lines: list[Line], bar: int, width: int) -> None:
    """Let the bar begin half a row higher, where that row is free: no letter touches its edge."""
    if bar > 0 and not lines[bar - 1]:
        lines[bar - 1] = (("▀" * width, "bar"),)


def _block(one: LargeRow, place: tuple[int, int], width: int) -> list[Line]:
    """Draw one of them, with a free line below; nothing where it has no room or no form."""
    number, cursor = place
    drawn = large_row(
        digit_of(number, cursor) or " ", said(one.name), one.beside, width, here=number == cursor
    )
    if not drawn:
        return []
    below = [((f"      {clip(text, width - 7)}", style),) for text, style in one.below]
    return [*(hit(row, f"={number}") for row in drawn), *below, ()]


def large_row(digit: str, name: str, beside: Painted, width: int, *, here: bool) -> list[Line]:
    """Draw a digit and a name in two rows of large letters at the most; nothing where none fit.

    How it stands is beside the middle of the first; under the cursor all of it is one bar.
    """
    left = width - cell_len(beside[0]) - _MARGIN - _DIGIT
    names = _in_rows(name, left) if has_form(name) else []
    style, fill = ("bar", "bar") if here else ("bold", "")
    lines: list[Line] = []
    for at, words in enumerate(names):
        rows = zip(big(digit if at == 0 else " "), big(words), strict=True)
        for row, (one, letters) in enumerate(rows):
            is_middle = at == 0 and row == 1
            lead = f"  {'►' if here and is_middle else ' '} {one:<{_DIGIT}}{letters}   "
            aside = ((beside[0], fill or beside[1]),) if is_middle else ()
            lines.append(fit(((lead, style), *aside), width, fill))
        lines += [fit((), width, fill)] if at + 1 < len(names) else []
    return lines


def _in_rows(name: str, left: int) -> list[str]:
    """Break a name into two rows of large letters at the most; nothing where it is longer."""
    rows: list[str] = []
    for word in name.split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and len(big(longer)[0]) <= left:
            rows[-1] = longer
        elif len(rows) < 2 and len(big(word)[0]) <= left:
            rows.append(word)
        else:
            return []
    return rows
