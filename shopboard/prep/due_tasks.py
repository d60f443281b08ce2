"""A machine's tasks as pieces between their waits, and where its change of cutter comes. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.due_changes import PlannedChange
from shopboard.prep.job_list import JobList
from shopboard.prep.minutes import task_minutes
from shopboard.prep.pieces import RANKS, Piece, stretches, takes_cutter_off
from shopboard.shop.machine import Task
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.wait_watch import PATIENCE


def add_upkeep(
    jobs: JobList,
    one: MachineStanding,
    change: PlannedChange | None,
    elsewhere: Sequence[PlannedChange] = (),
) -> None:
    """Put in a machine's tasks and its change of cutter; they gate its checks.

    Args:
        jobs: takes them.
        one: the machine.
        change: of a cutter on it.
        elsewhere: changes that are planned in other modes, of cutters that serve this one, too.
    """
    machine = one.machine.id
    gates: list[str] = []
    piece = change.piece if change is not None else None
    half_done = piece is not None and not piece.act
    start: tuple[tuple[str, float], ...] = ()
    if piece is not None and half_done:  # a loose nut comes before all else here
        jobs.closing[machine] = piece.id
        jobs.add(piece)
        start = ((piece.id, 0.0),)
        gates.append(piece.id)
    sooner, later = _around_changes(one.tasks, (change, *elsewhere))
    ends = _tasks(jobs, machine, sooner, start)
    gates += ends
    if piece is not None and not half_done:
        after = tuple((name, 0.0) for name in ends)
        jobs.add(piece, after, opens=machine, closes=machine)
        gates = [piece.id]
        start = ((piece.id, 0.0),)
    others = [each.piece.id for each in elsewhere]
    gates += others
    gates += _tasks(jobs, machine, later, (*start, *((name, 0.0) for name in others)))
    jobs.gates[machine] = gates


def _around_changes(
    tasks: Sequence[TaskStanding], changes: Sequence[PlannedChange | None]
) -> tuple[list[TaskStanding], list[TaskStanding]]:
    """Give the tasks to do before the changes of cutter, and those that these bring about."""
    happened = {each.happened for each in changes if each is not None} - {""}
    later = [task for task in tasks if not happened.isdisjoint(task.task.after)]
    return [one for one in tasks if (one.due or one.begun) and one not in later], later


def _tasks(
    jobs: JobList, machine: str, tasks: Sequence[TaskStanding], start: tuple[tuple[str, float], ...]
) -> list[str]:
    """Put in tasks of a machine; give the last piece of each.

    What makes dirt comes before wax and oil; of two that take the cutter off, the second
    begins when the first is over.
    """
    ends: list[str] = []
    dirty: list[str] = []
    opened: list[str] = []
    last_of: dict[str, str] = {}
    for one in _in_order(tasks):
        before = [*start]
        if one.begun is None:
            spoilers = (other.task for other in tasks if one.task.id in other.task.undoes)
            before += [(last_of[other.id], 0.0) for other in spoilers if other.id in last_of]
        if one.task.leaves == "wax" and one.begun is None:
            before += [(name, 0.0) for name in dirty]
        opens = takes_cutter_off(one.task) is not None
        if opens and one.begun is None:
            before += [(name, 0.0) for name in opened]
        names = _task(jobs, machine, one, tuple(before))
        if not names:
            continue
        ends.append(names[-1])
        last_of[one.task.id] = names[-1]
        if opens:
            opened.append(names[-1])
        if one.task.leaves == "dirt":
            dirty.append(names[-1])
    return ends


def _in_order(tasks: Sequence[TaskStanding]) -> list[TaskStanding]:
    """Those under way first, dirt before wax, and what spoils an edge before what makes it."""
    return sorted(
        tasks,
        key=lambda one: (
            one.begun is None,
            RANKS[one.task.leaves],
            any(one.task.id in other.task.undoes for other in tasks),
        ),
    )


class _CutterOut(NamedTuple):
    """Between which steps of a task its cutter is out."""

    off: int
    on: int
    done: int
    """How many steps are done."""

    @property
    def now(self) -> bool:
        """Whether it is out now."""
        return self.off <= self.done < self.on

    def comes_off(self, first: int, last: int) -> bool:
        """Tell whether it comes off in a stretch of steps."""
        return first <= self.off <= last

    def goes_on(self, first: int, last: int) -> bool:
        """Tell whether it is put on again in a stretch of steps."""
        return self.done < self.on and first <= self.on <= last


_NEVER_OUT = (-1, -1)


def _task(
    jobs: JobList, machine: str, one: TaskStanding, after: tuple[tuple[str, float], ...]
) -> list[str]:
    """Put in what is left of a task, in pieces between its waits; give their ids."""
    task, begun = one.task, one.begun if one.begun is not None and one.begun.same else None
    done = begun.steps if begun is not None else 0
    ready, waited = _running_wait(begun, jobs.present.zero)
    out = _CutterOut(*(takes_cutter_off(task) or _NEVER_OUT), done)
    names: list[str] = []
    for first, last in stretches(task, done):
        why = "in progress" if begun is not None else one.reason
        piece = _piece(machine, task, why, first, last)
        closes = out.goes_on(first, last)
        if names:
            ready, waited = 0.0, jobs.pieces[names[-1]].wait
        jobs.add(
            piece,
            after if not names else ((names[-1], waited),),
            opens=machine if out.comes_off(first, last) else "",
            closes=machine if closes and not out.now else "",
            ready=ready,
            patience=max(PATIENCE, waited) if waited and first <= last else math.inf,
        )
        names.append(piece.id)
        if closes and out.now:
            jobs.closing[machine] = piece.id
    return names


def _running_wait(begun: Begun | None, zero: datetime) -> tuple[float, float]:
    """Give when the wait that runs now is over, minutes from zero, and how long it is; 0: none."""
    if begun is None or begun.since is None or not begun.wait:
        return 0.0, 0.0
    over = begun.since + timedelta(minutes=begun.wait)
    return max(0.0, (over - zero) / timedelta(minutes=1)), begun.wait


def _piece(machine: str, task: Task, why: str, first: int, last: int) -> Piece:
    """Make a piece of a stretch of a task's steps, from 1; of no steps, where only its end is left.

    That one says that the last wait is over.
    """
    each, name = task_minutes(task) / max(len(task.steps), 1), f"task {machine}.{task.id} {first}"
    if not task.steps:
        return Piece(name, "task", machine, task.name, each, task.name, why, task.id)
    is_end = first > last
    return Piece(
        name,
        "task",
        machine,
        task.name,
        1.0 if is_end else max(each * (last - first + 1), 1.0),
        task.name if is_end else task.steps[first - 1].words,
        why,
        task.id,
        (first, first - 1 if is_end else last),
        len(task.steps),
        0.0 if is_end else task.steps[last - 1].wait_minutes,
    )
