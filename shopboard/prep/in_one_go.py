"""Parts of one task next to each other, where nothing else is moved by that. Pure.

The optimiser minds walks, waits and minutes: what lies between two chisels of a set at the same
bench is all one to it. Nobody changes from chisels to gouges and back without need.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

from shopboard.prep.as_good import as_good
from shopboard.prep.fill_window import Stint
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Job, Workday

_EXACT = 1e-6


def in_one_go(stint: Stint, pieces: Mapping[str, Piece], stay: Collection[str] = ()) -> Stint:
    """Let each part of a task follow the one before it, past others that are as well done later.

    Both are done at one place, one right after the other; no wait hangs on either. Then tools of a
    set are put together that lie farther apart.

    Args:
        stint: what is done in one window.
        pieces: its pieces, by the ids of the jobs.
        stay: ids of jobs that stay where they are: somebody is at them.
    """
    jobs = {job.id: job for job in stint.workday.jobs}
    order, starts = [*stint.found.order], {**stint.found.starts}
    begun: set[tuple[str, str, str]] = set()
    for at, part in enumerate(stint.found.order):
        task = _task(pieces[part])
        while task in begun and _task(pieces[order[at - 1]]) != task:
            other = order[at - 1]
            if not _may_change(jobs[other], jobs[part], starts, jobs):
                break
            starts[part], starts[other] = starts[other], starts[other] + jobs[part].minutes
            order[at - 1], order[at] = part, other
            at -= 1
        if pieces[part].sort == "task":
            begun.add(task)
    found = stint.found._replace(order=tuple(order), starts=starts)
    return _tools_together(stint._replace(found=found), pieces, stay)


def _tools_together(stint: Stint, pieces: Mapping[str, Piece], stay: Collection[str]) -> Stint:
    """Put a tool of a set off to the next of that set, where it fills no wait as it is.

    No day ends later by it, and nobody walks more. What one is at stays where it is.
    """
    day, found = stint.workday, stint.found
    for tool in reversed(stint.found.order):
        if not pieces[tool].by_tool or tool in stay or pieces[tool].begun:
            continue
        at = found.order.index(tool)
        rest = found.order[at + 1 :]
        alike = (n for n, one in enumerate(rest) if _task(pieces[one]) == _task(pieces[tool]))
        between = rest[: next(alike, 0)]
        if not between or not _may_come_first(day, tool, between):
            continue
        order = (*found.order[:at], *between, tool, *rest[len(between) :])
        later = as_good(day, found, order)
        if later is not None and later.walks <= found.walks:
            found = later
    return stint._replace(found=found)


def _may_come_first(day: Workday, tool: str, between: Collection[str]) -> bool:
    """Tell whether others may be done before a tool: no wait hangs on it, nor on what is not here.

    One that begins sooner is over sooner, perhaps too long before somebody is there again.
    """
    jobs = {job.id: job for job in day.jobs}
    one = jobs[tool]
    ends = {name for job in day.jobs for name, lag in job.after if lag > 0}
    if one.tail or one.body or one.opens or one.closes or one.patience < math.inf:
        return False
    return not any(
        (jobs[name].tail and name not in ends)
        or any(other == tool for other, _ in jobs[name].after)
        for name in between
    )


def _task(piece: Piece) -> tuple[str, str, str]:
    return piece.sort, piece.machine, piece.target


def _may_change(one: Job, then: Job, starts: Mapping[str, float], jobs: Mapping[str, Job]) -> bool:
    """Tell whether two jobs that follow each other may be done the other way round."""
    if any(job.tail or job.opens or job.closes or job.body for job in (one, then)):
        return False
    at, ends = starts[one.id], {name: starts[name] + jobs[name].minutes for name in starts}
    free = all(ends.get(name, 0.0) + lag <= at + _EXACT for name, lag in then.after)
    follows = one.place == then.place and abs(ends[one.id] - starts[then.id]) <= _EXACT
    patient = one.patience == then.patience == math.inf
    waited = any(lag for job in jobs.values() for name, lag in job.after if name == one.id)
    return free and follows and patient and not waited and then.ready <= at + _EXACT
