"""A machine's tasks as pieces between their waits, and where its change of cutter comes. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.due_changes import PlannedChange
from shopboard.prep.in_order import TaskPieces
from shopboard.prep.job_list import JobList
from shopboard.prep.pieces import (
    RANKS,
    Piece,
    laid_down,
    minutes_of_part,
    piece_id,
    stretches,
    takes_cutter_off,
    words_of_part,
)
from shopboard.shop.machine import Leaves, Task
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.wait_watch import patience, ran_over


def add_upkeep(
    jobs: JobList,
    one: MachineStanding,
    changes: Sequence[PlannedChange],
    elsewhere: Sequence[PlannedChange] = (),
) -> list[TaskPieces]:
    """Put in a machine's tasks and its changes of cutters; they gate its checks.

    Args:
        jobs: takes them.
        one: the machine.
        changes: of cutters on it.
        elsewhere: those that are planned in other modes, of cutters that serve this one, too.

    Returns:
        Its tasks; their order is still open.
    """
    machine = one.machine.id
    begun = [each.piece for each in changes if not each.piece.act]
    for piece in begun:  # a loose nut comes before all else here
        jobs.closing[machine] = piece.id
        jobs.add(piece)
    start = tuple((piece.id, 0.0) for piece in begun)
    sooner, later = _in_two(one, (*changes, *elsewhere))
    tasks = [_task(jobs, machine, each, start) for each in _in_order(sooner)]
    for piece in (each.piece for each in changes):
        if piece.act:
            jobs.add(piece, start, opens=machine, closes=machine)
    tasks += [_task(jobs, machine, each, start) for each in _in_order(later)]
    jobs.gates[machine] = [
        *(each.piece.id for each in (*changes, *elsewhere)),
        *filter(None, (each.frees for each in tasks)),
    ]
    return tasks


def _in_two(
    one: MachineStanding, changes: Sequence[PlannedChange]
) -> tuple[list[TaskStanding], list[TaskStanding]]:
    """Give the tasks that are due or begun, then those that the changes of cutters make due."""
    happened = {each.happened for each in changes} - {""}
    later = [task for task in one.tasks if not happened.isdisjoint(task.task.after)]
    return [task for task in one.tasks if (task.due or task.begun) and task not in later], later


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
) -> TaskPieces:
    """Put in what is left of a task, in pieces between its waits."""
    task, begun = one.task, _gone_on_with(one)
    done = begun.steps if begun is not None else 0
    over_at, waited = _running_wait(begun, jobs.present.zero)
    out = _CutterOut(*(takes_cutter_off(task) or _NEVER_OUT), done)
    names: list[str] = []
    parts = stretches(task, done)
    half_done = _half_done(task, begun, waited)
    for first, last in parts:
        is_begun = half_done and not (names and task.each)
        why = "in progress" if is_begun else one.reason
        if names:
            over_at, waited = None, jobs.pieces[names[-1]].wait
        piece = _piece(machine, task, why, first, last)._replace(over_at=over_at, begun=is_begun)
        again = _minutes_again(task, first, waited, over_at)
        piece = piece._replace(minutes=piece.minutes + again)
        closes = out.goes_on(first, last)
        jobs.add(
            piece,
            after if not names else ((names[-1], waited),),
            opens=machine if out.comes_off(first, last) else "",
            closes=machine if closes and not out.now else "",
            ready=_ready(over_at),
            patience=_patience(task, (first, last), waited, over_at),
            harms=task.leaves == "wax" or _at_most(task, first) is not None,
        )
        names.append(piece.id)
        if closes and out.now:
            jobs.closing[machine] = piece.id
    return _what_is_left(machine, one, names, parts, out)


def _gone_on_with(one: TaskStanding) -> Begun | None:
    """Give how far a task is; None: not begun, or its steps are others by now."""
    return one.begun if one.begun is not None and one.begun.same else None


def _half_done(task: Task, begun: Begun | None, waited: float) -> bool:
    """Tell whether a task is in progress; between two tools of a set nothing is."""
    return begun is not None and (waited > 0 or not laid_down(task, begun.steps))


def _what_is_left(
    machine: str,
    one: TaskStanding,
    names: Sequence[str],
    parts: Sequence[tuple[int, int]],
    out: _CutterOut,
) -> TaskPieces:
    """Tell what the pieces of a task are to others."""
    task, placed = one.task, [*zip(names, parts, strict=True)]
    dirty = [name for name, part in placed if _leaves(task, part, "dirt")]
    coats = [name for name, part in placed if _leaves(task, part, "wax")]
    busy = [name for name, part in placed if _is_busy(task, part, out)]
    return TaskPieces(
        *(machine, task, one.begun is not None, tuple(names)),
        dirt=dirty[-1] if dirty else "",
        coat=coats[0] if coats else "",
        is_coated=_leaves(task, (1, out.done), "wax") if out.done else False,
        frees=busy[-1] if busy else "",
        takes_cutter_off=takes_cutter_off(task) is not None,
    )


def _leaves(task: Task, part: tuple[int, int], what: Leaves) -> bool:
    """Tell whether any of a stretch of steps leaves that on the machine."""
    return any(task.left_by(number) == what for number in _numbers(task, part))


def _at_most(task: Task, first: int) -> float | None:
    """Give how long the wait before a step may last, minutes; None: nothing is said of that."""
    return task.steps[first - 2].at_most_minutes if 2 <= first <= len(task.steps) + 1 else None


def _patience(task: Task, part: tuple[int, int], waited: float, over_at: float | None) -> float:
    """Give how many minutes more the wait before a stretch may be left than it says.

    Where only its end is left to say, nothing waits for it.
    """
    first, last = part
    if not waited or first > last:
        return math.inf
    over = max(0.0, -(over_at or 0.0))
    return max(patience(waited, _at_most(task, first)) - over, 0.0)


def _minutes_again(task: Task, first: int, waited: float, over_at: float | None) -> float:
    """Give the minutes of the step before, once more, where its wait was left too long.

    What has dried on is put on again, then comes off; beside its machine nothing dries on.
    """
    if over_at is None or task.steps[first - 2].off_machine:
        return 0.0
    too_long = ran_over(waited, over_at * 60, _at_most(task, first))
    return minutes_of_part(task, first - 1, first - 1) if too_long else 0.0


def _ready(over_at: float | None) -> float:
    """Give when a piece can begin at the soonest, by the wait that runs before it."""
    return max(0.0, over_at or 0.0)


def _numbers(task: Task, part: tuple[int, int]) -> range:
    """Give the numbers of the steps in a stretch; of a task without steps it is one."""
    return range(part[0], part[1] + 1) if task.steps else range(1)


def _is_busy(task: Task, part: tuple[int, int], out: _CutterOut) -> bool:
    """Tell whether a machine is taken by a stretch of steps, or by the wait that it ends."""
    if not task.steps:
        return True
    numbers = _numbers(task, part) or (part[1],)
    return any(
        not task.steps[number - 1].off_machine or out.off <= number <= out.on for number in numbers
    )


def _running_wait(begun: Begun | None, zero: datetime) -> tuple[float | None, float]:
    """Give when the wait that runs now is over, minutes from zero, and how long it is.

    None and 0: none runs.
    """
    if begun is None or begun.since is None or not begun.wait:
        return None, 0.0
    over = begun.since + timedelta(minutes=begun.wait)
    return (over - zero) / timedelta(minutes=1), begun.wait


def _piece(machine: str, task: Task, why: str, first: int, last: int) -> Piece:
    """Make a piece of a stretch of a task's steps, from 1; of no steps, where only its end is left.

    That one says that the last wait is over.
    """
    name = piece_id(machine, task, first)
    if not task.steps:
        whole = minutes_of_part(task, 1, 1)
        return Piece(name, "task", machine, task.name, whole, task.name, why, task.id)
    is_end = first > last
    return Piece(
        name,
        "task",
        machine,
        task.name,
        1.0 if is_end else minutes_of_part(task, first, last),
        task.name if is_end else words_of_part(task, first, last),
        why,
        task.id,
        (first, first - 1 if is_end else last),
        len(task.steps),
        0.0 if is_end else task.steps[last - 1].wait_minutes,
        alone=not is_end and task.steps[last - 1].may_end_alone,
        beside=all(step.off_machine for step in task.steps[first - 1 : last]),
        by_tool=bool(task.each),
    )
