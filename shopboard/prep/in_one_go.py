"""Parts of one task next to each other, where nothing else is moved by that. Pure.

The optimiser minds walks, waits and minutes: what lies between two chisels of a set at the same
bench is all one to it. Nobody changes from chisels to gouges and back without need.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from shopboard.prep.fill_window import Stint
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Job

_EXACT = 1e-6


def in_one_go(stint: Stint, pieces: Mapping[str, Piece]) -> Stint:
    """Let each part of a task follow the one before it, past others that are as well done later.

    Both are done at one place, one right after the other; no wait hangs on either.

    Args:
        stint: what is done in one window.
        pieces: its pieces, by the ids of the jobs.
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
    return stint._replace(found=stint.found._replace(order=tuple(order), starts=starts))


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
