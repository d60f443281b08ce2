"""What was begun in the shop and is not done, listed and named. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from shopboard.board.hits import of_nines
from shopboard.board.large_list import LargeRow, large_list
from shopboard.board.nines import digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line, clip, fit, said
from shopboard.up_next.under_way import UnderWay


def named(found: Sequence[UnderWay]) -> str:
    """Name what is under way in a sentence; of more than two the first, and how many more."""
    first, *others = found
    if not others:
        join = ", " if first.point else ". "
        return said(f"{_called(first)}{join if first.words else ''}{first.words}")
    more = _called(others[0]) if len(others) == 1 else f"{len(others)} more"
    return said(f"{_called(first)}, or {more}")


def _called(one: UnderWay) -> str:
    """Name one; a change of cutter is called by its machine."""
    return one.name if one.point or one.task else f"{one.name} ({one.where})"


def under_way_lines(found: Sequence[UnderWay], cursor: int, size: tuple[int, int]) -> list[Line]:
    """List what is under way.

    Args:
        found: all of it.
        cursor: number of one, from 0.
        size: columns and rows.
    """
    width, room = size
    if not found:
        return [(), fit((("  Nothing is in progress any more.", "bold"),), width)]
    head = ("  Go on with which?", "bold")
    large = [LargeRow(one.name, (said(_about(one)), "")) for one in found]
    if lines := large_list(large, cursor, ((), (head,), ()), size):
        return lines
    names = min(max(cell_len(said(one.name)) for one in found) + 1, width // 2)
    seen = max(1, room - 3)
    first = max(0, min(first_of_nine(cursor), len(found) - seen), cursor + 1 - seen)
    lines = []
    for number, one in list(enumerate(found))[first : first + seen]:
        here = "bar" if number == cursor else "bold"
        at = f"{'►' if number == cursor else ' '}{digit_of(number, cursor):<2}"
        about = said(_about(one))
        name = fit(((clip(said(one.name), names), here),), names, here)
        line: Line = ((at, here), *name, (f" {clip(about, width - names - 5)}", "dim"))
        lines.append(of_nines(line, number, cursor))
    more = (f"   {out_of_sight(first, len(found) - first - seen)}", "dim")
    return [fit(line, width) for line in [(), (head, more), (), *lines]]


def _about(one: UnderWay) -> str:
    """Say where it is, and how far."""
    return f"{one.where}{', ' if one.words else ''}{one.words}"
