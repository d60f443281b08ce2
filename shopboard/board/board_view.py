"""The board: the line about the whole shop, and a pane for every machine, the worst first. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.board.frame import bar
from shopboard.board.hits import hit
from shopboard.board.nines import NINE
from shopboard.board.paint import Line, beside, clip, said
from shopboard.board.pane_view import pane
from shopboard.standing.model import WORST_FIRST, ShopStanding
from shopboard.upkeep.safety_record import DO_NOT_USE

PANE_WIDTH = 40
"""Columns that a pane needs for the longest state in large letters."""
LOWEST = 5
"""Rows of the lowest pane: title, three rows of large letters, one line."""
HIGHEST = 24
"""Rows of the highest pane: with more, one machine alone would leave its words far apart."""
ROOMY = 20
"""Rows of a pane in which all is said that there is to say."""


class PaneGrid(NamedTuple):
    """How the panes are laid out."""

    columns: int
    pane_height: int
    width: int
    """Columns of one pane."""
    rows_shown: int
    """Rows of panes that fit at once."""


def grid(machines: int, width: int, room: int) -> PaneGrid:
    """Lay out so many panes on `width` columns and `room` rows."""
    most = max(1, min(width // PANE_WIDTH, machines))
    # A few machines in one row would leave half of a large window empty.
    rows = max(1, -(-machines // most), min(machines, room // ROOMY))
    columns = max(1, -(-machines // rows))  # as few as these rows need: wider panes, no empty ones
    height = max(LOWEST, min(room // rows, HIGHEST))
    return PaneGrid(columns, height, width // columns, max(1, room // height))


def hidden(machines: int, width: int, room: int) -> int:
    """Count the machines that do not fit on the screen at once."""
    lay = grid(machines, width, room)
    return max(0, machines - lay.columns * lay.rows_shown)


def shop_line(
    name: str, standing: ShopStanding, now: datetime, width: int, unseen: int = 0
) -> Line:
    """Write the shop-wide line: how many points are how, what is out of sight, the time."""
    counts = [f"{len(standing.tagged)} {DO_NOT_USE}"] if standing.tagged else []
    counts += [f"{n} {state_word(state)}" for state in WORST_FIRST if (n := standing.count(state))]
    if len(" · ".join(counts)) > width - 24 and standing.count("noted"):
        counts.pop()  # notes are what is missed least
    clock = now.astimezone()
    more = f"▼ {unseen} more   " if unseen else ""
    right = f"{more}{clock:%a} {clock.day} {clock:%b %H:%M}"
    points = " · ".join(counts) or "no points"
    if cell_len(name) + len(points) + len(right) + 8 > width:
        right = f"{f'▼ {unseen}   ' if unseen else ''}{clock:%H:%M}"  # the date gives way first
    room = max(width - len(points) - len(right) - 8, 8)  # the counts matter more than the name
    return bar(f"{clip(said(name), room)}   {points}", right, width)


def panes(
    standing: ShopStanding,
    cursor: str,
    now: datetime,
    width: int,
    room: int,
    waits: Mapping[str, str] | None = None,
) -> list[Line]:
    """Draw the panes that fit, those around the cursor.

    Args:
        standing: how everything stands.
        cursor: id of the machine that the cursor is on.
        now: the time, for ages.
        width: columns.
        room: rows.
        waits: what is left alone within a task, in words, by machine.
    """
    machines = standing.worst_first
    lay = grid(len(machines), width, room)
    numbers = {one.machine.id: n for n, one in enumerate(standing.machines, 1)}
    at = next((i for i, one in enumerate(machines) if one.machine.id == cursor), 0)
    first = max(0, at // lay.columns - lay.rows_shown + 1) * lay.columns
    lines: list[Line] = []
    for start in range(first, len(machines), lay.columns):
        row = machines[start : start + lay.columns]
        if len(lines) + lay.pane_height > room:
            break
        drawn = [
            pane(
                one,
                numbers[one.machine.id],
                one.machine.id == cursor,
                now,
                (lay.width, lay.pane_height),
                (waits or {}).get(one.machine.id, ""),
            )
            for one in row
        ]
        widths = [lay.width] * len(row)
        drawn = [
            [hit(line, _key_of(numbers[one.machine.id])) for line in its]
            for one, its in zip(row, drawn, strict=True)
        ]
        lines += [beside(pieces, widths) for pieces in zip(*drawn, strict=True)]
    return lines


def _key_of(number: int) -> str:
    """Give what a click on a pane is: its digit, or its place where it has none."""
    return str(number) if number <= NINE else f"#{number - 1}"
