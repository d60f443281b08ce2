"""Waits that it harms to leave end with minutes to spare, where no minute is lost by that. Pure.

The optimiser leaves such a wait no longer than it may last; whether to its last minute is all one
to it. Who is slower by two minutes at what comes before has stuck rollers then.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shopboard.prep.as_good import as_good, spare
from shopboard.prep.fill_window import Stint
from shopboard.prep.schedule.job import Job, Schedule, Workday

_SPARE = 5.0
"""Minutes between the start of what ends a wait and its last moment, or half of those that there
are: more is not sought. (our choice, no source)"""


def to_spare(stint: Stint, stay: Collection[str]) -> Stint:
    """Let what ends a wait that it harms to leave come before what can as well be done after it.

    Args:
        stint: what is done in one window.
        stay: ids of jobs that nothing is put before: somebody is at them.
    """
    day, found = stint.workday, stint.found
    jobs = {job.id: job for job in day.jobs}
    for name, job in jobs.items():
        while job.harms and 0 <= spare(jobs, found.starts, name) < min(_SPARE, job.patience / 2):
            sooner = _one_sooner(day, jobs, found, name, stay)
            if sooner is None:
                break
            found = sooner
    return stint._replace(found=found)


def _one_sooner(
    day: Workday, jobs: Mapping[str, Job], found: Schedule, name: str, stay: Collection[str]
) -> Schedule | None:
    """Put a job before the one that it follows; None: it must not, or something is lost by it."""
    at = found.order.index(name)
    other = found.order[at - 1] if at else name
    if other in stay or not _may_change(jobs[other], jobs[name]):
        return None
    order = (*found.order[: at - 1], name, other, *found.order[at + 1 :])
    return as_good(day, found, order)


def _may_change(one: Job, then: Job) -> bool:
    """Tell whether two jobs that follow each other may be done the other way round."""
    if any(job.opens or job.closes or job.tail for job in (one, then)):
        return False
    same_mode = one.mode == then.mode or not (one.body and one.body == then.body)
    return same_mode and all(before != one.id for before, _ in then.after)
