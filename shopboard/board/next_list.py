"""What to do next in the shop, the worst first, each with its minutes. Pure.

First what is not to be used, then what is in progress, what a safety round found, the checks (the
worst point first, but each after the open ones that it rests on), dull cutters, tasks that are due.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import STATE_MARKS, TAG_MARK, is_wide
from shopboard.board.hits import hit
from shopboard.board.large_list import large_row
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.standing.model import MachineStanding, PointStanding, ShopStanding
from shopboard.standing.next_checks import by_name, worst_first
from shopboard.upkeep.cutter_words import blunt_word, due_off_mark
from shopboard.upkeep.safety_record import RoundStanding, see_to

if TYPE_CHECKING:
    from shopboard.board.under_way import UnderWay

TITLE = "NEXT"
_MARGIN = 7
"""Columns of the title."""
_NAMES = 12
"""Columns of cursor, digit and short name."""
_LARGE = 4
"""Rows of one of the list in large letters at the least."""
_APART = 3
"""Columns between the longest words and the minutes: the eye finds them on wide windows, too."""
FIRST_FEW = 3
"""Checks that a shop in which nothing is checked begins with."""


class NextItem(NamedTuple):
    """One thing to do."""

    sort: Literal["tag", "going", "round", "point", "cutter", "task"]
    machine: str
    """Id; empty: of the shop as a whole."""
    name: str
    """What it is there: full name of a point, id of a cutter or task."""
    words: str
    mark: str = ""
    style: str = ""
    """Of the mark."""
    going: UnderWay | None = None
    """What is gone on with."""

    @property
    def key(self) -> str:
        """What tells it from every other one."""
        return f"{self.sort} {self.machine} {self.name}"


def is_fresh(standing: ShopStanding) -> bool:
    """Tell whether there are points and nothing is known of any yet."""
    points = [one for machine in standing.machines for one in machine.points]
    return bool(points) and all(
        one.record is None and one.state == "unproven" and not one.undone for one in points
    )


def next_items(
    standing: ShopStanding,
    going: Sequence[UnderWay],
    begin: Sequence[str] | None = None,
    settles: Mapping[str, str] = MappingProxyType({}),
) -> list[NextItem]:
    """Give what to do next.

    Args:
        standing: how the shop stands.
        going: what is in progress.
        begin: full names of the checks that a fresh shop begins with; None: not known yet.
        settles: what would settle a point where that is no further check, by its full name.
    """
    urgent = [*_tags(standing), *_going(going), *_rounds(standing)]
    if is_fresh(standing):
        found = by_name(standing)
        proving = sorted(standing.order, key=lambda name: not found[name].point.proves)
        names = proving if begin is None else [name for name in begin if name in found]
        return [*urgent, *(_check(found[name]) for name in names[:FIRST_FEW])]
    begun = {one.point for one in going}
    return [
        *urgent,
        *(
            _check(one, settles.get(one.point.full_name, ""))
            for one in worst_first(standing)
            if one.point.full_name not in begun
        ),
        *(item for machine in standing.machines for item in _upkeep(machine)),
    ]


def _tags(standing: ShopStanding) -> Iterator[NextItem]:
    for one in standing.tagged:
        words = said(see_to(one.machine.name, one.tag))
        yield NextItem("tag", one.machine.id, "", words, TAG_MARK, "danger")


def _going(going: Sequence[UnderWay]) -> Iterator[NextItem]:
    for one in going:
        name = one.point or (one.task.task.id if one.task is not None else "")
        style = "due" if name else "danger"
        yield NextItem("going", one.machine, name, f"go on with {said(one.name)}", "»", style, one)


def _rounds(standing: ShopStanding) -> Iterator[NextItem]:
    rounds = [("", standing.round), *((one.machine.id, one.round) for one in standing.machines)]
    for machine, about in rounds:
        if about is not None and about.wrong:
            yield NextItem("round", machine, "", f"look again: {_asked(about)}", "!", "out")


def _asked(about: RoundStanding) -> str:
    return ", ".join(said(one.question.replace("-", " ")) for one in about.wrong)


def _check(one: PointStanding, settle: str = "") -> NextItem:
    words = f"{one.comes_first} {said(one.point.name)}"
    words = f"settle {said(one.point.name)}: {said(settle)}" if settle else words
    mark, full_name = STATE_MARKS[one.state], one.point.full_name
    return NextItem("point", one.point.machine, full_name, words, mark, one.state)


def _upkeep(machine: MachineStanding) -> Iterator[NextItem]:
    ident = machine.machine.id
    going = machine.changing
    seen_to = () if going is None else (going.cutter, going.off)
    for one in machine.due_off:
        # of a head that serves two modes it is said once, and not of one that is being changed
        if one.machine != ident or one.cutter.id in seen_to:
            continue
        words = f"see to {said(one.cutter.name)}: {blunt_word(one)}"
        yield NextItem("cutter", ident, one.cutter.id, words, due_off_mark(one), "due")
    for each in machine.to_do:
        if each.begun is None:
            words = said(each.task.name)
            yield NextItem("task", ident, each.task.id, words, STATE_MARKS["due"], "due")


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
        beside = (f"{one.mark} {minutes.get(one.key, '')}", one.style)
        name = f"{said(short)}: {one.words}"
        rows = large_row(digit, name, beside, width - _MARGIN, here=at == cursor)
        if not rows:
            return []
        lines += [(), *(hit(row, f"#{len(called) + at}") for row in rows)]
    return _titled(lines, 0, len(items), width) if len(lines) <= room else []


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
    lines: list[Line] = []
    for at, words in enumerate(rows):
        before = lead if at == 0 else ""
        mark = one.mark if at == 0 else " "
        pieces = (
            *fit(((before, base or "bold"),), _NAMES, base),
            (mark, base or one.style),
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
