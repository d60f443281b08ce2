"""Whether a plan keeps all constraints, from its times alone; and all orders of a small day."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise, permutations

from shopboard.prep.schedule.job import Job, Schedule, Workday

Stretch = tuple[str, Job | None, Job | None]


def stretches(day: Workday) -> list[Stretch]:
    """Pair jobs that open with those that close, as the docstring of a work day says."""
    found: list[Stretch] = []
    for machine in {job.opens for job in day.jobs} | {job.closes for job in day.jobs}:
        if not machine:
            continue
        found += [(machine, job, job) for job in day.jobs if job.opens == job.closes == machine]
        opening: list[Job | None] = [
            job for job in day.jobs if job.opens == machine and job.closes != machine
        ]
        closing: list[Job | None] = [
            job for job in day.jobs if job.closes == machine and job.opens != machine
        ]
        while len(opening) < len(closing):
            opening.insert(0, None)
        while len(closing) < len(opening):
            closing.append(None)
        found += [(machine, begin, end) for begin, end in zip(opening, closing, strict=True)]
    now = day.open_now
    if now and not any(machine == now and begin is None for machine, begin, _ in found):
        ends = (job for job in day.jobs if job.closes == now and job.opens != now)
        found.append((now, None, next(ends, None)))
    return found


def faults(day: Workday, order: Sequence[str], starts: Mapping[str, float]) -> list[str]:
    """Name every constraint that the times break; a job's minutes are more than 0."""
    jobs = {job.id: job for job in day.jobs}
    found = [] if sorted(order) == sorted(starts) == sorted(jobs) else ["not all jobs once"]
    end = {name: start + jobs[name].minutes for name, start in starts.items()}
    free, modes = 0.0, dict(day.modes)
    for name in order:
        job = jobs[name]
        if job.body and job.mode and modes.get(job.body, job.mode) != job.mode:
            free += day.change_minutes.get((job.body, job.mode), 0)
        if job.body and job.mode:
            modes[job.body] = job.mode
        if starts[name] < free - 1e-9:
            found.append(f"{name} starts before the person is there")
        free = end[name]
        if starts[name] < job.ready:
            found.append(f"{name} starts before it is ready")
        found += [
            f"{name} starts too soon after {other}"
            for other, lag in job.after
            if starts[name] < end[other] + lag - 1e-9
        ]
    spans = [
        (machine, starts[one.id] if one else -1.0, end[two.id] if two else math.inf)
        for machine, one, two in stretches(day)
    ]
    found += [f"{machine} is closed before it is opened" for machine, a, b in spans if b <= a]
    found += changed_over(day, starts)
    found += [f"{name} is left too long, which harms" for name in left(day, starts, harms=True)]
    if not day.allow_open:
        found += [
            f"{one} and {other} are open at once"
            for (one, a, b), (other, c, d) in combinations(spans, 2)
            if one != other and max(a, c) < min(b, d) - 1e-9 and not a == c == -1
        ]
    return found


CHANGED_OVER = "is changed over while a cutter of it is out"


def changed_over(day: Workday, starts: Mapping[str, float]) -> list[str]:
    """Name what is done in another mode while a cutter is out, unless it has to be done then."""
    jobs = {job.id: job for job in day.jobs}
    found = []
    for machine, one, two in stretches(day):
        modes = [(job.body, job.mode) for job in (one, two) if job and job.body and job.mode]
        if not modes or one is two:
            continue
        begin = starts[one.id] if one else -1.0
        end = starts[two.id] + two.minutes if two else math.inf
        for job in day.jobs:
            if job.body == modes[0][0] and job.mode not in ("", modes[0][1]):
                must = (not one or is_before(day, one, job)) and (
                    not two or is_before(day, job, two)
                )
                if not must and max(begin, starts[job.id]) < min(end, starts[job.id] + job.minutes):
                    found.append(f"{jobs[job.id].body} {CHANGED_OVER}: {machine}, {job.id}")
    return found


def is_before(day: Workday, one: Job, other: Job) -> bool:
    """Tell whether a job has to be done before another."""
    jobs = {job.id: job for job in day.jobs}
    opened = {end.id: begin.id for _, begin, end in stretches(day) if begin and end}
    ahead, seen = [other.id], set[str]()
    while ahead:
        name = ahead.pop()
        if name in seen:
            continue
        seen.add(name)
        ahead += [before for before, _ in jobs[name].after]
        ahead += [opened[name]] if name in opened else []
    return one.id in seen


def left(day: Workday, starts: Mapping[str, float], *, harms: bool = False) -> list[str]:
    """Name the jobs whose waits are left too long, as the docstring of a job says."""
    end = {job.id: starts[job.id] + job.minutes for job in day.jobs}
    return [
        job.id
        for job in day.jobs
        if job.harms == harms
        and starts[job.id]
        > max((job.ready, *(end[one] + lag for one, lag in job.after if lag))) + job.patience + 1e-9
    ]


def told(day: Workday, plan: Schedule) -> tuple[float, int, int, float]:
    """Give finish, waits left too long, walks, starts of wanted jobs, from times and order."""
    jobs = {job.id: job for job in day.jobs}
    finish = max((plan.starts[j.id] + j.minutes + j.tail for j in day.jobs), default=0)
    places = [place for place in (day.place, *(jobs[one].place for one in plan.order)) if place]
    walks = sum(one != other for one, other in pairwise(places))
    wanted = sum(plan.starts[job.id] for job in day.jobs if job.first)
    return finish, len(left(day, plan.starts)), walks, wanted


def soonest(day: Workday, jobs: Sequence[Job]) -> dict[str, float]:
    """Time an order: each job as soon as it can, but for what begins a wait that harms.

    One such wait is begun by one job at the most here.
    """
    held = dict.fromkeys((job.id for job in jobs), 0.0)
    for _ in range(len(jobs) + 2):  # what still moves then, moves for ever
        now, starts, modes = 0.0, {}, dict(day.modes)
        ends: dict[str, float] = defaultdict(lambda: -math.inf)
        for job in jobs:
            if job.body and job.mode:
                if modes.get(job.body, job.mode) != job.mode:
                    now += day.change_minutes.get((job.body, job.mode), 0)
                modes[job.body] = job.mode
            lags = (ends[one] + lag for one, lag in job.after)
            starts[job.id] = max(now, job.ready, held[job.id], *lags, 0)
            now = ends[job.id] = starts[job.id] + job.minutes
        moved = False
        for job in jobs:
            for name, lag in job.after if job.harms else ():
                late = starts[job.id] - job.patience - lag - ends[name]
                if lag and late > 1e-9 and job.ready < starts[job.id]:
                    held[name] = starts[name] + late
                    moved = True
        if not moved:
            break
    return starts


def best_of_all(day: Workday) -> tuple[float, int, int, float] | None:
    """Try every order of the jobs; None: none of them keeps all constraints."""
    best = None
    for jobs in permutations(day.jobs):
        starts = soonest(day, jobs)
        order = tuple(job.id for job in jobs)
        if not faults(day, order, starts):
            worth = told(day, Schedule(starts, order, 0, 0, 0))
            best = worth if best is None else min(best, worth)
    return best
