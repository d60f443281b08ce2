"""A combination machine is not changed over while a cutter of it is out. Pure.

Between the step that takes the cutter off and the one that puts it on again, nothing is done in
another mode: it comes after that, or before where it has to.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from shopboard.prep.job_list import JobList


def keep_mode_while_open(jobs: JobList) -> None:
    """Put what is done in other modes after the cutter is on again, or before it comes off."""
    opening: dict[str, list[str]] = defaultdict(list)
    closing: dict[str, list[str]] = defaultdict(list)
    for name, job in jobs.jobs.items():
        if job.body and job.opens != job.closes:
            if job.opens:
                opening[job.opens].append(name)
            if job.closes:
                closing[job.closes].append(name)
    for machine, last in jobs.closing.items():  # it is out now: nothing can come before
        if jobs.jobs[last].body:
            _hold(jobs, "", last)
            closing[machine] = [one for one in closing[machine] if one != last]
    for machine, firsts in opening.items():
        for first, last in zip(firsts, closing[machine], strict=False):
            _hold(jobs, first, last)


def _hold(jobs: JobList, first: str, last: str) -> None:
    """Keep the other modes out of one stretch; `first` is empty where it has begun."""
    body, mode = jobs.jobs[last].body, jobs.jobs[last].mode
    for name, job in jobs.jobs.items():
        if job.body != body or job.mode == mode:
            continue
        if not _comes_before(jobs, name, last):
            _put_after(jobs, name, last)
        elif first and not _comes_before(jobs, first, name):
            _put_after(jobs, first, name)


def _put_after(jobs: JobList, name: str, other: str) -> None:
    job = jobs.jobs[name]
    after: Mapping[str, float] = {other: 0.0, **dict(job.after)}
    jobs.jobs[name] = job._replace(after=tuple(after.items()))


def _comes_before(jobs: JobList, one: str, other: str) -> bool:
    """Tell whether one piece must be over before the other begins."""
    seen: set[str] = set()
    ahead = [other]
    while ahead:
        for name, _ in jobs.jobs[ahead.pop()].after:
            if name == one:
                return True
            if name not in seen:
                seen.add(name)
                ahead.append(name)
    return False
