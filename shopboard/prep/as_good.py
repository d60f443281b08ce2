"""Another order of a window's work that is as good as the one that was found. Pure.

What the optimiser does not mind may still be minded: how near to its last moment a wait ends,
whether chisels of one set are honed in one go.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.timetable import starts_of

_EXACT = 1e-6


def as_good(day: Workday, found: Schedule, order: Sequence[str]) -> Schedule | None:
    """Give a plan in another order; None: it ends later, or a wait is left too long by it.

    Whether the order is allowed by what opens and closes, and by modes, is asked elsewhere.

    Args:
        day: its jobs.
        found: the plan.
        order: ids of all of them, each behind those that it comes after.
    """
    jobs = {job.id: job for job in day.jobs}
    places = {job.id: place for place, job in enumerate(day.jobs)}
    starts = starts_of(day, [places[one] for one in order], found.held)
    if _ends_later(jobs, starts, found.starts):
        return None
    waited = (job.id for job in day.jobs if job.patience < math.inf)
    if any(spare(jobs, starts, one) < 0 <= spare(jobs, found.starts, one) for one in waited):
        return None
    return found._replace(order=tuple(order), starts=starts, walks=_walks(day, jobs, order))


def loses_nothing(day: Workday, found: Schedule, other: Schedule) -> bool:
    """Tell whether another plan ends no later than one that was found, and leaves no more waits.

    A wait that is not over in this window ends when it did: somebody is there by then.
    """
    jobs = {job.id: job for job in day.jobs}
    if _ends_later(jobs, other.starts, found.starts):
        return False
    harmed = [sum(jobs[name].harms for name in one.over) for one in (other, found)]
    over_here = {name for job in day.jobs for name, lag in job.after if lag > 0}
    onward = (job.id for job in day.jobs if job.tail and job.id not in over_here)
    moved = any(abs(other.starts[name] - found.starts[name]) > _EXACT for name in onward)
    return harmed[0] <= harmed[1] and other.left <= found.left and not moved


def spare(jobs: Mapping[str, Job], starts: Mapping[str, float], name: str) -> float:
    """Give the minutes from the start of a job to the last moment of the wait before it.

    Below 0: the wait is left too long; no wait: as many as it can take.
    """
    job = jobs[name]
    overs = [starts[one] + jobs[one].minutes + lag for one, lag in job.after if lag > 0]
    return max((*overs, job.ready)) + job.patience + _EXACT - starts[name]


def _ends_later(
    jobs: Mapping[str, Job], starts: Mapping[str, float], before: Mapping[str, float]
) -> bool:
    """Tell whether by some times the work or a wait is over later than by those of before."""
    both = zip(_ends(jobs, starts), _ends(jobs, before), strict=True)
    return any(one > other + _EXACT for one, other in both)


def _ends(jobs: Mapping[str, Job], starts: Mapping[str, float]) -> tuple[float, float]:
    """Give when the last work is over, and the last wait: the first may fill a time to its end."""
    ends = {name: starts[name] + job.minutes for name, job in jobs.items()}
    return max(ends.values()), max(ends[name] + job.tail for name, job in jobs.items())


def _walks(day: Workday, jobs: Mapping[str, Job], order: Sequence[str]) -> int:
    """Count how often one goes from one place to another."""
    places = [jobs[name].place for name in order if jobs[name].place]
    begun = [day.place, *places] if day.place else places
    return sum(one != then for one, then in pairwise(begun))
