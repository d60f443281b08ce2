"""What there is to do on a prep day, piece by piece, and what must come before what. Pure.

A piece is what a person does in one go: a check, a change of cutter, a task, or those steps of a
task that follow each other without a wait. Times are minutes from the zero of the day.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from datetime import datetime, timedelta
from itertools import chain

from shopboard.prep.cleaning import add_cleaning
from shopboard.prep.due_changes import PlannedChange, planned_changes
from shopboard.prep.due_checks import add_checks
from shopboard.prep.due_tasks import add_upkeep
from shopboard.prep.in_order import UpkeepOfOne, put_in_order
from shopboard.prep.job_list import JobList, KnownNow, ToDo
from shopboard.prep.stays_open import StaysOpen
from shopboard.prep.time_had import TimeHad, Window, as_said
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.safety_record import DO_NOT_USE, see_to
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.undone import undone_through


def to_do(present: KnownNow) -> ToDo:
    """Collect what there is to do, with the constraints between the pieces."""
    jobs = JobList(present)
    machines = [_planned(jobs, one) for one in present.standing.machines if _concerns(jobs, one)]
    day = [one.machine.id for one in machines]
    changes = {one.machine.id: planned_changes(one, day, jobs.stays_open) for one in machines}
    undone: defaultdict[str, tuple[str, ...]] = defaultdict(tuple)
    upkeep = []
    for one in machines:
        here = changes[one.machine.id]
        for change in (each for each in here if each.happened):
            for name in undone_through(present.shop, one.machine, change.happened):
                undone[name] += (change.piece.id,)
        every = chain(*changes.values())
        elsewhere = [each for each in every if one.machine.id in each.elsewhere]
        tasks = add_upkeep(jobs, one, here, elsewhere)
        upkeep.append(UpkeepOfOne(tasks, here, elsewhere))
    put_in_order(jobs, upkeep)
    _not_for_the_last_alone(jobs, chain(*changes.values()), day)
    for one in machines:
        add_cleaning(jobs, one, [each.piece for each in changes[one.machine.id]])
    add_checks(jobs, {one.machine.id for one in machines if not one.tag}, undone)
    _say_others(jobs)
    open_now = _close_first(jobs)
    _loose_first(jobs, machines)
    _in_hand_first(jobs)
    told = tuple(jobs.left_out), tuple(jobs.stays_open)
    return ToDo(jobs.pieces, tuple(jobs.jobs.values()), open_now, *told)


def _concerns(jobs: JobList, one: MachineStanding) -> bool:
    """Tell whether a machine is part of the day, and say so when its tag keeps it out.

    So is what was begun, and what the use of a machine for the last project made due.
    """
    changing = one.changing is not None and one.changing.machine == one.machine.id
    checking = jobs.present.in_hand.partition(".")[0] == one.machine.id
    under_way = changing or checking or any(task.begun for task in one.tasks)
    served = _serviced(jobs, one)
    if not (_is_needed(jobs, one) or under_way or served.to_do or served.due_off):
        return False
    if one.tag and (one.to_check or one.to_do or one.due_off or under_way):
        name, why = one.machine.name, f"{DO_NOT_USE}, {one.tag}"
        ids = one.machine.id, one.machine.id
        jobs.stays_open.append(StaysOpen("machine", *ids, name, "", why, see_to(name, one.tag)))
    return not one.tag


def _is_needed(jobs: JobList, one: MachineStanding) -> bool:
    """Tell whether the day is for it; hand tools, which have no points, serve every project."""
    needed = jobs.present.needed
    if needed is None or (not one.points and one.tasks) or one.machine.id in jobs.present.runs_on:
        return True
    return any(name.partition(".")[0] == one.machine.id for name in needed)


def _planned(jobs: JobList, one: MachineStanding) -> MachineStanding:
    """Give of a machine what is planned: all that is due, or its service alone."""
    if _is_needed(jobs, one):
        return one
    last = jobs.present.last
    if one.machine.id in (*last.machines, *last.before):
        jobs.serviced.add(one.machine.id)
    return _serviced(jobs, one)


def _serviced(jobs: JobList, one: MachineStanding) -> MachineStanding:
    """Give of a machine what was begun, and what its use made due since it was serviced."""
    machine, last = one.machine.id, jobs.present.last

    def is_left(task: TaskStanding) -> bool:
        done = task.done.seq if task.done is not None else None
        return task.task.comes_with_use and last.used(machine, done)

    tasks = tuple(task for task in one.tasks if task.begun or is_left(task))
    has_cutters = last.used(machine, None) or one.changing is not None
    return one._replace(tasks=tasks, cutters=one.cutters if has_cutters else ())


def _not_for_the_last_alone(
    jobs: JobList, changes: Iterable[PlannedChange], day: Collection[str]
) -> None:
    """Let a cutter that serves a mode which the project needs not be there for the last alone."""
    needed = {*day} - jobs.serviced
    for change in changes:
        if not needed.isdisjoint(change.elsewhere):
            name = change.piece.id
            jobs.pieces[name] = jobs.pieces[name]._replace(serviced="")


_NAMED = 6
"""Machines whose work that is not for the project is named, each in a sentence; of the others it is
said how much there is."""


def _say_others(jobs: JobList) -> None:
    """Say what is due and not for the project."""
    needed = jobs.present.needed
    if needed is None:
        return
    planned = {(one.machine, one.target) for one in jobs.pieces.values()}
    others: list[tuple[str, list[str]]] = []
    for one in jobs.present.standing.machines:
        points = {each.point.full_name: each.point.name for each in one.points if each.to_check}
        tasks = {each.task.id: each.task.name for each in one.to_do}
        names = [
            name
            for target, name in (points | tasks).items()
            if target not in needed and (one.machine.id, target) not in planned
        ]
        if names and not one.tag:
            others.append((one.machine.name, names))
    first = _NAMED if len(others) > _NAMED + 1 else len(others)
    for name, of in others[:first]:
        jobs.left_out.append(f"Not for this project ({name}): {', '.join(of)}.")
    if rest := others[first:]:
        number = sum(len(of) for _, of in rest)
        words = f"{len(rest)} more machines, {number} to check or to do"
        jobs.left_out.append(f"Not for this project: {words}.")


def _close_first(jobs: JobList) -> str:
    """Let what is out now be on again with its last piece; give the first machine of these."""
    for machine, last in jobs.closing.items():
        jobs.jobs[last] = jobs.jobs[last]._replace(closes=machine)
    return next(iter(jobs.closing), "")


def _loose_first(jobs: JobList, machines: Sequence[MachineStanding]) -> None:
    """Let a change of cutter be finished before anything new begins: something is loose.

    What soaks or hazes already is seen to in between.
    """
    begun = {(one.machine.id, task.task.id) for one in machines for task in one.tasks if task.begun}
    changes = [one.id for one in jobs.pieces.values() if one.sort == "cutter" and not one.act]
    for name, piece in jobs.pieces.items():
        if (piece.machine, piece.target) not in begun:
            for change in changes:
                jobs.put_after(name, change)


def at_hand(todo: ToDo, in_hand: str) -> list[str]:
    """Give the ids of what one is at: the check that was begun, by its point, and what is loose."""
    loose = [one.id for one in todo.pieces.values() if one.sort == "cutter" and not one.act]
    return [name for name in (f"check {in_hand}", *loose) if name in todo.pieces]


def has_room(
    todo: ToDo, name: str, there: Sequence[Window], had: TimeHad, zero: datetime, lost: float
) -> bool:
    """Tell whether a piece is still to be done, and has room in what is left of a time said."""
    piece = todo.pieces.get(name)
    end = as_said(there[0], had).end if there else None
    if piece is None or end is None:
        return False
    return piece.minutes <= (end - zero) / timedelta(minutes=1) - lost


def stays_first(todo: ToDo, name: str) -> ToDo:
    """Let a piece stay before all others: somebody is at it, without what could come before.

    Args:
        todo: the pieces.
        name: its id; empty: none.
    """
    if not name:
        return todo
    jobs = {one.id: one for one in todo.jobs}
    for ident, one in jobs.items():
        if ident == name:
            after = tuple((other, lag) for other, lag in one.after if other not in jobs)
        else:
            after = tuple({name: 0.0, **dict(one.after)}.items())
        jobs[ident] = one._replace(after=after)
    return todo._replace(jobs=tuple(jobs.values()))


def can_go_first(todo: ToDo, name: str) -> bool:
    """Tell whether a piece is there, and no machine is changed over for it with its cutter out.

    Args:
        todo: the pieces.
        name: its id.
    """
    mine = next((one for one in todo.jobs if one.id == name), None)
    out = [one for one in todo.jobs if one.closes and one.closes == todo.open_now]
    return mine is not None and not any(
        one.body == mine.body and one.mode not in ("", mine.mode) for one in out if mine.mode
    )


def _in_hand_first(jobs: JobList) -> None:
    """Let a check that was begun be finished before anything else is."""
    name = f"check {jobs.present.in_hand}"
    if name not in jobs.jobs:
        return
    for ident, job in jobs.jobs.items():
        if ident == name:  # its cutter may be off by now, whatever else is open
            jobs.jobs[ident] = job._replace(after=(), opens="", closes="")
        else:
            after = dict((*job.after, (name, 0.0)))
            jobs.jobs[ident] = job._replace(after=tuple(after.items()))
