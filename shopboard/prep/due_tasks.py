"""A machine's tasks as pieces between their waits, and where its change of cutter comes. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import timedelta

from shopboard.prep.due_changes import PlannedChange
from shopboard.prep.job_list import JobList
from shopboard.prep.minutes import task_minutes
from shopboard.prep.pieces import Piece, rank, stretches, takes_cutter_off, undoes_edge
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.tasks import TaskStanding

PATIENCE = 15.0
"""Minutes that any wait may be left longer than it says, and a longer one as long again: wax that
hazes cannot be buffed off hours later. (common practice, no source)"""


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
    happened = {each.happened for each in (change, *elsewhere) if each is not None} - {""}
    later = [task for task in one.tasks if not happened.isdisjoint(task.task.after)]
    sooner = [t for t in one.tasks if (t.due or t.begun) and t not in later]
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
    # those under way first, dirt before wax, and what spoils an edge before what makes it
    order = sorted(
        tasks,
        key=lambda one: (
            one.begun is None,
            rank(one.task),
            any(undoes_edge(other.task, one.task) for other in tasks),
        ),
    )
    for one in order:
        before = [*start]
        if one.begun is None:
            spoilers = (other.task for other in tasks if undoes_edge(other.task, one.task))
            before += [(last_of[other.id], 0.0) for other in spoilers if other.id in last_of]
        if rank(one.task) == 2 and one.begun is None:
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
        if rank(one.task) == 0:
            dirty.append(names[-1])
    return ends


def _task(
    jobs: JobList, machine: str, one: TaskStanding, after: tuple[tuple[str, float], ...]
) -> list[str]:
    """Put in what is left of a task, in pieces between its waits; give their ids."""
    task, begun = one.task, one.begun if one.begun is not None and one.begun.same else None
    each = task_minutes(task) / max(len(task.steps), 1)
    done = begun.steps if begun is not None else 0
    ready, waited = 0.0, 0.0
    if begun is not None and begun.since is not None and begun.wait:
        waited = begun.wait
        over = begun.since + timedelta(minutes=begun.wait)
        ready = max(0.0, (over - jobs.present.zero) / timedelta(minutes=1))
    out = takes_cutter_off(task)
    is_open = out is not None and out[0] <= done < out[1]
    names: list[str] = []
    for first, last in stretches(task, done):
        opens = out is not None and first <= out[0] <= last
        closes = out is not None and done < out[1] and first <= out[1] <= last
        wait = task.steps[last - 1].wait_minutes if last else 0.0
        if first > last:  # nothing is left but to say that the last wait is over
            wait, last = 0.0, first - 1
        piece = Piece(
            f"task {machine}.{task.id} {first}",
            "task",
            machine,
            task.name,
            max(each * (last - first + 1), 1.0) if task.steps else each,
            task.steps[first - 1].words if first <= last and task.steps else task.name,
            "under way" if begun is not None else one.reason,
            task.id,
            (first, last) if task.steps else (0, 0),
            len(task.steps),
            wait,
        )
        if names:
            ready, waited = 0.0, jobs.pieces[names[-1]].wait
        jobs.add(
            piece,
            after if not names else ((names[-1], waited),),
            opens=machine if opens else "",
            closes=machine if closes and not is_open else "",
            ready=ready,
            patience=max(PATIENCE, waited) if waited and first <= last else math.inf,
        )
        names.append(piece.id)
        if closes and is_open:
            jobs.closing[machine] = piece.id
    return names
