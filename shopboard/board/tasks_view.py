"""The tasks of a machine or of the shop: what is due and why, what is under way. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.hits import of_nines
from shopboard.board.large_list import LargeRow, large_list
from shopboard.board.nines import digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line, clip, fit, said
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.tasks import TaskStanding, task_words

WaitWords = Mapping[tuple[str, str], str]
"""How long is still to be waited, in words, by (machine, task)."""


IN_PROGRESS = "»"
"""Mark of a task that was begun."""


class TaskRow(NamedTuple):
    """A task in the list."""

    machine: str
    """Id of its machine."""
    name: str
    """The task, with its machine where there are several."""
    standing: TaskStanding


def task_rows(machines: Sequence[MachineStanding]) -> list[TaskRow]:
    """List the tasks of machines: first those under way, then those due, then the others."""
    rows = [
        TaskRow(
            one.machine.id,
            task.task.name if len(machines) == 1 else f"{one.machine.name}: {task.task.name}",
            task,
        )
        for one in machines
        for task in one.tasks
    ]
    return sorted(rows, key=lambda row: (row.standing.begun is None, not row.standing.due))


def tasks_lines(
    rows: Sequence[TaskRow], cursor: int, waits: WaitWords, size: tuple[int, int]
) -> list[Line]:
    """Draw the list, two lines a task: what it is and how it stands, then why.

    Args:
        rows: the tasks.
        cursor: number of a task, from 0.
        waits: what is waited for within tasks.
        size: columns and rows.
    """
    width, room = size
    if not rows:
        return [fit((("  No tasks in the shop file.", ""),), width)]
    states = [state_of(row.machine, row.standing, waits) for row in rows]
    large = [
        LargeRow(said(row.name), (f"{mark} {words}", style), ((why(row.standing), "dim"),))
        for row, (mark, words, style) in zip(rows, states, strict=True)
    ]
    if lines := large_list(large, cursor, (summary(rows), ()), size):
        return lines
    longest = max(cell_len(said(row.name)) for row in rows) + 1
    waiting = [cell_len(words) for mark, words, _ in states if mark != IN_PROGRESS]
    names = min(longest, width - max(waiting, default=0) - 8)
    lines = []
    for number, (row, (mark, words, style)) in enumerate(zip(rows, states, strict=True)):
        here = "bar" if number == cursor else "bold"
        at = f"{'►' if number == cursor else ' '}{digit_of(number, cursor):<2}"
        words = clip(words, width // 2)
        cells = min(names, width - cell_len(words) - 8)  # what is left of a wait is longer
        name = fit(((clip(said(row.name), cells), here),), cells, here)
        line: Line = ((at, here), *name, (f" {mark} {words}", style))
        lines.append(of_nines(line, number, cursor))
        lines.append(((f"    {clip(why(row.standing), width - 5)}", "dim"),))
    seen = max(1, (room - 2) // 2)
    first = max(0, min(first_of_nine(cursor), len(rows) - seen), cursor + 1 - seen)
    more = (f"   {out_of_sight(first, len(rows) - first - seen)}", "dim")
    listed = lines[2 * first : 2 * (first + seen)]
    return [fit(line, width) for line in [(*summary(rows), more), (), *listed]]


def summary(rows: Iterable[TaskRow]) -> Line:
    """Count what is due and what is under way."""
    standings = [row.standing for row in rows]
    due = sum(1 for one in standings if one.due and one.begun is None)
    begun = sum(1 for one in standings if one.begun is not None)
    words = f"  {due} due" if due else "  nothing is due"
    return ((f"{words}, {begun} in progress" if begun else words, "due" if due else "kept"),)


def state_of(machine: str, one: TaskStanding, waits: WaitWords) -> tuple[str, str, str]:
    """Give mark, words and style for how a task stands."""
    words = said(task_words(one, waits.get((machine, one.task.id), "")))
    if one.begun is not None:
        return IN_PROGRESS, words, "due"
    state = "due" if one.due else "kept"
    return STATE_MARKS[state], words, state


def why(one: TaskStanding) -> str:
    """Say why a task is due, or what will make it so, and how many steps it has."""
    steps = f" · {len(one.task.steps)} steps" if len(one.task.steps) > 1 else ""
    return f"{said(one.reason)}{steps}"
