"""One machine: its state as a bar, its points, tasks and cutters. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from rich.cells import cell_len

from shopboard.base.state_words import state_word
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.machine_points import points_lines
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.board.state_head import large_words, state_head, tag_head
from shopboard.board.tasks_view import WaitWords, state_of, task_rows, why
from shopboard.metrology.quantity import Unit
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.cutter_words import SHARP_MARKS, blunt_word, due_off_mark, state_words
from shopboard.upkeep.safety_record import round_words
from shopboard.upkeep.tasks import TaskStanding


def machine_lines(
    standing: MachineStanding,
    cursor: int,
    now: datetime,
    unit: Unit,
    size: tuple[int, int],
    cannot: Mapping[str, str] | None = None,
    waits: WaitWords | None = None,
    order: Sequence[str] = (),
    settle: str = "",
) -> list[Line]:
    """Draw a machine.

    Args:
        standing: how it stands.
        cursor: number of a point, from 0; of a task, where it has none.
        now: the time.
        unit: the shop's unit.
        size: columns and rows.
        cannot: by a point's full name, why the drawer cannot prove it and what would.
        waits: what is left alone within tasks.
        order: full names of the shop's points that are not true, in the order to check them.
        settle: what would settle the first of them, where that is no further check.
    """
    width, room = size
    lines = [
        *_head(standing, size),
        *_under_way(standing),
        *(_to_settle(standing, settle, order, width) or _in_order(standing, order, size)),
    ]
    at = None if standing.points else cursor
    left = room - len(lines)

    def below(*, whole: bool, least: int) -> tuple[list[Line], list[Line]]:
        """Draw the points, and what comes below them."""
        tasks = _tasks(standing, waits or {}, width, at, whole=whole)
        rest = [*_round(standing, now), *tasks, *_cutters(standing, width)]
        if not standing.points and standing.tasks:
            return [()], rest
        free = (width, left - min(len(rest), least))
        return points_lines(standing, cursor, now, unit, free, cannot or {}), rest

    points, rest = below(whole=False, least=6)
    apart, longer = below(whole=True, least=left)
    if [*filter(None, apart)] == [*filter(None, points)] and len(apart) + len(longer) <= left:
        points, rest = apart, longer  # what tasks say takes no other line's place
    return [fit(line, width) for line in [*lines, *points, *rest][:room]]


def _head(standing: MachineStanding, size: tuple[int, int]) -> list[Line]:
    """How it stands, or that it is not to be used and why."""
    words = _open_work(standing)
    if not standing.tag:
        return state_head(standing.state, words, size)
    state = f"{STATE_MARKS[standing.state]} {state_word(standing.state)}"
    return [*tag_head(standing.tag, size), ((f"  {' · '.join([state, *words])}", ""),)]


def _open_work(standing: MachineStanding) -> list[str]:
    """Say how much is to check and to do."""
    words = [f"{standing.to_check} to check"] if standing.points else []
    words += [f"{len(standing.to_do)} to do"] if standing.to_do else []
    return words + [f"{due_off_mark(one)} cutter {blunt_word(one)}" for one in standing.due_off]


def first_words(standing: MachineStanding) -> str:
    """Name the point to check first, with the id of its machine where that is another one."""
    first = standing.first
    if first is None:
        return ""
    elsewhere = first.point.machine != standing.machine.id
    return said(first.point.name) + (f" ({first.point.machine})" if elsewhere else "")


def _round(standing: MachineStanding, now: datetime) -> list[Line]:
    if not standing.machine.has_round:
        return []
    wrong = standing.round is not None and standing.round.wrong
    words = said(f"safety walk: {round_words(standing.round, now, standing.tag)}")
    return [((f"  {'! ' if wrong else ''}{words}", "out" if wrong else "dim"),)]


def _tasks(
    standing: MachineStanding, waits: WaitWords, width: int, cursor: int | None, *, whole: bool
) -> list[Line]:
    """A line a task, what is in progress or due first; with a cursor each has its digit.

    Whole, it goes on in a second one where its words are long.
    """
    lines: list[Line] = []
    for number, row in enumerate(task_rows((standing,))):
        mark, words, style = state_of(row.machine, row.standing, waits)
        apart = "  " if row.standing.begun else " "
        here = number == cursor
        digit = "" if cursor is None else f"{'►' if here else ' '}{number + 1} "
        state, name = (
            f"{'  ' if cursor is None else ''}{mark} {words}{apart}",
            f"{said(row.name)}  ",
        )
        reason, left = why(row.standing), width - cell_len(f"{digit}{state}{name}") - 1
        beside = not whole or cell_len(reason) <= left
        reason = reason if whole else clip(_short(row.standing, left), max(left, 1))
        line: Line = ((digit, "bold"), (state, style), (name, ""))
        line = (*line, (reason, "dim")) if beside else line
        if here:  # one bar without a hole
            line = fit(tuple((text, "bar") for text, _ in line), width, "bar")
        lines.append(line if digit else line[1:])
        if not beside:
            lines += [((f"    {one}", "dim"),) for one in wrap(reason, width - 5, 2)]
    return lines


def _short(one: TaskStanding, cells: int) -> str:
    """Say why a task is due, or when it will be, in so many cells if it can be.

    How long it is gives way first, then when it was done.
    """
    reason = said(one.reason)
    ways = (why(one), reason, reason.rpartition("; ")[2])
    return next((words for words in ways if cell_len(words) <= cells), ways[-1])


def _under_way(standing: MachineStanding) -> list[Line]:
    """Warn of a machine on which a cutter may be loose."""
    if standing.changing is None:
        return []
    words = f"  {standing.changing.what.upper()} IN PROGRESS: 0 goes on with it"
    return [((words, "danger"),)]


def _to_settle(
    standing: MachineStanding, settle: str, order: Sequence[str], width: int
) -> list[Line]:
    """Say what settles the point that comes first, where another check of it would not."""
    first = standing.first
    if not settle or first is None:
        return []
    numbers = {one.point.full_name: str(at) for at, one in enumerate(standing.points, 1)}
    here = (numbers[name] for name in order if name in numbers and name != first.point.full_name)
    after = ", ".join(here)
    words = f"settle {first_words(standing)}: {said(settle)}{f'; then {after}' if after else ''}"
    return [((f"  {one}", "bold"),) for one in wrap(words, width - 4)]


def _only_one(standing: MachineStanding, size: tuple[int, int]) -> list[Line]:
    """Say large what is to be checked, where it is one point; below it stands in the list alone."""
    first = standing.first
    if first is None or standing.tag:
        return []
    return large_words(f"{first.comes_first} {first_words(standing)}", size)


def _in_order(standing: MachineStanding, order: Sequence[str], size: tuple[int, int]) -> list[Line]:
    """Say what is checked first, large where there is room, and by their numbers what after it."""
    numbers = {one.point.full_name: str(at) for at, one in enumerate(standing.points, 1)}
    here = [numbers[name] for name in order if name in numbers]
    first = standing.first
    if standing.to_check == 1:
        return _only_one(standing, size)
    if first is None:
        words = f"check in this order: {', '.join(here)}" if len(here) > 1 else ""
        return [((f"  {words}", "bold"),)] if words else []
    number = numbers.get(first.point.full_name, "")
    after = ", ".join(one for one in here if one != number)
    name = f"{number} {first_words(standing)}".strip()
    large = [] if standing.tag else large_words(f"{first.comes_first} first: {name}", size)
    if large:
        return [*large, *([((f"  then {after}", "bold"),), ()] if after else [])]
    words = f"{first.comes_first} first: {name}{f'; then {after}' if after else ''}"
    return [((f"  {one}", "bold"),) for one in wrap(words, size[0] - 4)]


def _cutters(standing: MachineStanding, width: int) -> list[Line]:
    lines: list[Line] = []
    for one in standing.cutters:
        style = "due" if one.due_off else "dim"
        mark = SHARP_MARKS["dull" if one.blunt else one.state]
        words, name = f"  {state_words(one)}", said(one.cutter.name)
        while cell_len(name) + len(words) + 12 > width and ", " in words:
            words = words.rpartition(", ")[0]  # c, its own screen, tells all
        name = clip(name, max(width - len(words) - 12, 12))
        lines.append((("  cutter ", "dim"), (f"{mark} {name}", ""), (words, style)))
    return lines
