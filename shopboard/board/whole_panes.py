"""The machines of the board as a page's buttons say them: a line each, the worst first. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from shopboard.board.board_view import PaneGrid, called, place_of
from shopboard.board.hits import hit
from shopboard.board.paint import Line, said
from shopboard.board.pane_view import state_of
from shopboard.board.pane_words import (
    comes_first,
    counted_words,
    good_to_know,
    open_items,
)
from shopboard.standing.model import MachineStanding, ShopStanding

MOST_WORDS = 140
"""Characters on one of them: what goes beyond is counted, no sentence is cut."""


def machine_lines(
    standing: ShopStanding,
    cursor: str,
    now: datetime,
    lay: PaneGrid,
    going: Mapping[str, Sequence[str]],
    *,
    fresh: bool,
) -> list[Line]:
    """Say how each machine stands whose pane is seen.

    Args:
        standing: how everything stands.
        cursor: id of the machine that the cursor is on, or was last.
        now: the time, for ages.
        lay: how the panes are laid out.
        going: what is in progress, in words, by machine.
        fresh: whether nothing is checked yet.
    """
    names = called(standing, cursor)
    first = place_of(standing, cursor) // lay.on_a_page * lay.on_a_page
    lines: list[Line] = []
    for at, one in enumerate(standing.machines[first : first + lay.on_a_page], first):
        digit, short = names[one.machine.id]
        state, _ = state_of(one, fresh=fresh)
        head = " ".join((said(short), *state.split()))
        needed, more = _sentences(one, short, going.get(one.machine.id, ()), now, fresh=fresh)
        line: Line = ((f" {digit or ' '} ", "key"), (f" {joined((head, *needed), more)}", ""))
        lines.append(hit(line, digit or f"#{at}"))
    return lines


def _sentences(
    standing: MachineStanding, short: str, going: Sequence[str], now: datetime, *, fresh: bool
) -> tuple[list[str], list[str]]:
    """Say what stands in a pane where no room is short: the worst first, what is in progress last.

    Behind it what is good to know.

    Args:
        standing: how the machine stands.
        short: what it is called before them.
        going: what is in progress on it, in words.
        now: the time, for ages.
        fresh: whether nothing in the shop is checked yet: what is open is a count.
    """
    fresh = fresh and not standing.tag
    items = [*comes_first(standing, (), now), *open_items(standing, fresh=fresh)]
    words = [" ".join(filter(None, (one.mark, one.words))) for one in items]
    words += [f"» {said(one)}" for one in going]
    more = [counted_words(standing, fresh=fresh), *good_to_know(standing, short, now)]
    return words, [*filter(None, more)]


def joined(needed: Sequence[str], more: Sequence[str]) -> str:
    """Put sentences behind each other, as many as fit whole; the first two always."""
    told = ". ".join(needed[:2])
    for at, one in enumerate(needed[2:], 2):
        if len(told) + len(one) > MOST_WORDS:
            return f"{told}. {len(needed) - at} more"
        told += f". {one}"
    for one in more:
        if len(told) + len(one) > MOST_WORDS:
            break
        told += f". {one}"
    return told
