"""The board: the line about the whole shop, a pane for every machine, what to do next. Pure.

Panes keep their place, in the order of the shop file, whatever stands in them: a hand learns it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from itertools import chain, product

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.board.frame import bar
from shopboard.board.glyphs import STATE_MARKS, TAG_MARK, sign_width
from shopboard.board.nines import NINE, digit_of, out_of_sight
from shopboard.board.paint import Line, clip, said, wrap
from shopboard.board.pane_view import (
    SIGN_ROWS,
    TALL_ROWS,
    PaneLook,
    pane,
    plate_width,
)
from shopboard.shop.short_names import LONGEST_SHORT, short_names
from shopboard.standing.model import WORST_FIRST, MachineStanding, ShopStanding
from shopboard.upkeep.safety_record import DO_NOT_USE

NARROWEST = 26
"""Columns of the narrowest pane in ordinary letters."""
LOWEST = 5
"""Rows of the lowest: name and state, and four lines."""
HIGHEST = 30
"""Rows of the highest pane: with more, one machine alone would leave its words far apart."""
LARGE_FROM = 31
"""Rows of a window in which an ordinary letter is too small to be read from two metres: a letter
is read at 1/300 of the distance (7 mm), and a screen of 24 in. is 300 mm high."""
_NAME_KEPT = 16
"""Columns of a shop's name for which its counts are told in marks."""
_ENOUGH = (60, 14)
"""Columns and rows of a pane in which all is said that there usually is to say."""
_MOST_NEXT = 8
"""Rows of what to do next for which panes make room."""
_WIDEST = 100
"""Columns of a pane above which another beside it is better than one below: its words end long
before, and half of it is empty."""
_LINES_BELOW = 8
"""Rows of words that tall letters leave in a pane."""


class PaneGrid(NamedTuple):
    """How the panes are laid out."""

    columns: int
    rows: int
    """Rows of panes that fit at once."""
    look: PaneLook
    pages: int
    room_below: int
    """Rows that are left for what to do next."""

    @property
    def on_a_page(self) -> int:
        """Panes that are shown at once."""
        return self.columns * self.rows


def grid(machines: int, width: int, room: int, names: int = 0) -> PaneGrid:
    """Lay out so many panes on `width` columns and `room` rows.

    Large letters where the window has many rows and all panes fit so, on two pages at the most;
    else ordinary ones; a second page only where not all fit on one.

    Args:
        machines: how many.
        width: columns.
        room: rows.
        names: columns of the longest name in large letters; 0: not known.
    """
    names = names or sign_width(f"0 {'M' * LONGEST_SHORT}")
    below = max(3, min(3 + (room - 21) // 6, 8))
    choices = [_best(machines, width, room - below, names, large=False)]
    if room + 3 >= LARGE_FROM:
        choices.insert(0, _best(machines, width, room - below, names, large=True))
    found = next((one for one in choices if one is not None and one.pages == 1), None)
    found = found or next((one for one in choices if one is not None and one.pages == 2), None)
    found = found or choices[-1]
    if found is None:  # lower than anything that is drawn
        found = PaneGrid(1, 1, PaneLook(width, LOWEST), machines, 0)
    if found.pages == 1:  # what the panes do not need shows more of what is next
        spare = found.look.height - _ENOUGH[1] - found.look.sign_rows
        wanted = _MOST_NEXT - (room - found.rows * found.look.height)
        less = max(0, min(spare, wanted // found.rows))
        found = found._replace(look=found.look._replace(height=found.look.height - less))
    used = found.rows * found.look.height + (found.pages > 1)
    return found._replace(room_below=max(0, room - used))


def _best(machines: int, width: int, room: int, names: int, *, large: bool) -> PaneGrid | None:
    """Choose the columns in which all panes fit, or the most; None where none does."""
    best: tuple[tuple[int, ...], PaneGrid] | None = None
    for columns in range(1, max(1, min(width // NARROWEST, machines)) + 1):
        wide = width // columns
        level = wide - 3 >= names + plate_width()
        lowest = LOWEST
        if large:
            lowest = SIGN_ROWS + 3 if level else 2 * SIGN_ROWS + 2
            if wide - 2 < plate_width():
                continue
        needed = -(-machines // columns)
        fit = room // lowest
        if needed > fit:
            fit = (room - 1) // lowest  # a line names what is on the other pages
        rows = min(needed, fit)
        if rows < 1:
            continue
        pages = -(-machines // (columns * rows))
        high = min((room - (pages > 1)) // rows, HIGHEST)
        signs = TALL_ROWS if level else 2 * TALL_ROWS
        tall = large and high >= signs + _LINES_BELOW
        look = PaneLook(wide, high, large, large and level, tall, names)
        useful = min(wide, _ENOUGH[0]) * min(high, _ENOUGH[1])
        by_digits = pages == 1 or columns * rows % NINE == 0  # a page, and its machines' digits
        score = (-pages, by_digits, wide <= _WIDEST, useful, -(columns * rows * pages - machines))
        if best is None or score > best[0]:
            best = (score, PaneGrid(columns, rows, look, pages, 0))
    return best[1] if best is not None else None


def called(standing: ShopStanding, cursor: str) -> dict[str, tuple[str, str]]:
    """Give each machine's digit, empty where another nine have them, and its short name."""
    names = short_names([one.machine for one in standing.machines])
    at = place_of(standing, cursor)
    return {
        one.machine.id: (digit_of(number, at), name)
        for number, (one, name) in enumerate(zip(standing.machines, names, strict=True))
    }


def place_of(standing: ShopStanding, machine: str) -> int:
    """Give the place of a machine in the file, from 0; of one that is gone, the first."""
    found = (at for at, one in enumerate(standing.machines) if one.machine.id == machine)
    return next(found, 0)


def shop_grid(standing: ShopStanding, width: int, room: int) -> PaneGrid:
    """Lay out the panes of a shop: by its machines and their names alone, never by how they are."""
    names = short_names([one.machine for one in standing.machines])
    longest = max((sign_width(f"0 {name}") for name in names), default=0)
    return grid(len(standing.machines), width, room, longest)


def shop_line(name: str, standing: ShopStanding, now: datetime, width: int, fresh: bool) -> Line:
    """Write the shop-wide line: how many points are how, and the time. No count is ever cut."""
    clock = now.astimezone()
    rights = (f"{clock:%a} {clock.day} {clock:%b %H:%M}", f"{clock:%H:%M}")
    told, name = _counts(standing, fresh), said(name)
    for least in (min(cell_len(name), _NAME_KEPT), min(cell_len(name), 8), 0):
        for points, right in product(told, rights):
            room = width - cell_len(points) - len(right) - 8
            if room >= least:  # the counts matter more than the name
                return bar(f"{clip(name, room)}   {points}", right, width)
    return bar(told[-1], "", width)


def _counts(standing: ShopStanding, fresh: bool) -> list[str]:
    """Count the points in each state, in words and, where those have no room, in marks."""
    tagged = len(standing.tagged)
    counts = [(n, state) for state in WORST_FIRST if (n := standing.count(state))]
    if fresh:
        words = ["nothing checked yet"]
        marks = words
    else:
        words = [f"{n} {state_word(state)}" for n, state in counts]
        marks = [f"{STATE_MARKS[state]} {n}" for n, state in counts]
    tag = [f"{tagged} {DO_NOT_USE}"] if tagged else []
    short = [f"{TAG_MARK} {tagged}"] if tagged else []
    forms = (" · ".join((*tag, *words)), "  ".join((*tag, *marks)), "  ".join((*short, *marks)))
    return [one or "no points" for one in forms]


def panes(
    standing: ShopStanding,
    cursor: str,
    now: datetime,
    width: int,
    room: int,
    going: Mapping[str, Sequence[str]] | None = None,
    here: bool = True,
    fresh: bool = False,
    draw: Callable[..., list[Line]] = pane,
) -> list[Line]:
    """Draw the page of panes on which the cursor's machine is.

    Args:
        standing: how everything stands.
        cursor: id of the machine that the cursor is on, or was last.
        now: the time, for ages.
        width: columns.
        room: rows.
        going: what is in progress, in words, by machine.
        here: whether the cursor is on a pane.
        fresh: whether nothing is checked yet.
        draw: draws one pane, as `pane_view.pane` does.
    """
    lay = shop_grid(standing, width, room)
    look, names = lay.look._replace(fresh=fresh), called(standing, cursor)
    first = place_of(standing, cursor) // lay.on_a_page * lay.on_a_page
    page = standing.machines[first : first + lay.on_a_page]
    lines: list[Line] = []
    for start in range(0, len(page), lay.columns):
        row = page[start : start + lay.columns]
        drawn = [
            draw(
                one,
                names[one.machine.id],
                here and one.machine.id == cursor,
                now,
                look,
                (going or {}).get(one.machine.id, ()),
                names[one.machine.id][0] or f"#{first + start + at}",
            )
            for at, one in enumerate(row)
        ]
        lines += [tuple(chain.from_iterable(pieces)) for pieces in zip(*drawn, strict=True)]
    if lay.pages > 1:
        lines += [()] * (lay.rows * look.height - len(lines))
        lines.append(_elsewhere(standing, first, len(page), names, width))
    return lines


def _elsewhere(
    standing: ShopStanding,
    first: int,
    shown: int,
    names: Mapping[str, tuple[str, str]],
    width: int,
) -> Line:
    """Say how many machines are on other pages, and name each that is not to be used."""
    machines = standing.machines
    others = (*machines[:first], *machines[first + shown :])
    count = out_of_sight(first, len(machines) - first - shown)
    red = [(names[one.machine.id][1], _danger(one)) for one in others if _danger(one)]
    if not red:
        return ((f" {count}", "dim"),)
    room = width - len(count) - 8
    full = " · ".join(f"{said(name)}: {why}" for name, why in red)
    if cell_len(full) > room:
        full = ", ".join(said(name) for name, _ in red)
        if cell_len(full) > room:
            seen = wrap(full, room - 14, 2)[0].rstrip(",")
            full = f"{seen}, and {len(red) - seen.count(',') - 1} more"
    return ((f" {count}  ", "dim"), (f" {TAG_MARK} {full} ", "danger bar"))


def _danger(one: MachineStanding) -> str:
    """Say in a few words what is red of a machine."""
    if one.tag:
        return f"{DO_NOT_USE}, {said(one.tag)}"
    return f"{one.changing.what} in progress" if one.changing is not None else ""
