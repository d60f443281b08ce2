"""A day of jobs in whole numbers, checked: what comes before what, and which stretches exclude."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from shopboard.prep.schedule import Job, Workday

UNIT = 1000
"""Parts of a minute: whole numbers add up the same in every order."""

NOWHERE = -1
"""No place, body or mode, or one that is not known."""


class Net(NamedTuple):
    """The day with jobs by number; times in parts of a minute, sets as bits."""

    ids: tuple[str, ...]
    work: tuple[int, ...]
    tail: tuple[int, ...]
    ready: tuple[int, ...]
    afters: tuple[tuple[tuple[int, int], ...], ...]
    """What waits for the job, with the lag; forced orders of stretches among them."""
    need: tuple[int, ...]
    """Jobs that must be done before."""
    topological: tuple[int, ...]
    place: tuple[int, ...]
    here: int
    body: tuple[int, ...]
    """NOWHERE also for a job that does not care for the mode."""
    mode: tuple[int, ...]
    change: tuple[int, ...]
    """To change into the job's mode."""
    modes: tuple[int, ...]
    """By body, now."""
    opens: tuple[int, ...]
    """Stretches that the job begins, as bits; none that it ends itself."""
    closes: tuple[int, ...]
    foreign: tuple[int, ...]
    """Stretches that must not be open when the job is done."""
    open_now: int
    stretches: tuple[tuple[int, int, int], ...]
    """(first job, last job, machine) of those that exclude others; NOWHERE: open now or to the
    end."""
    first: tuple[bool, ...]


class _Stretch(NamedTuple):
    """A machine stands open; None: since before the day, or to its end."""

    machine: str
    begin: int | None
    end: int | None


def network(day: Workday) -> Net:
    """Check a day and turn it into numbers.

    Raises:
        ValueError: See `schedule`.
    """
    jobs = day.jobs
    number: dict[str, int] = {}
    for at, job in enumerate(jobs):
        if job.id in number:
            raise ValueError(f"two jobs are called {job.id!r}; each needs a name of its own")
        number[job.id] = at
    afters: list[dict[int, int]] = [{} for _ in jobs]
    for at, job in enumerate(jobs):
        _check_minutes(job)
        for name, lag in job.after:
            if name not in number:
                raise ValueError(f"job {job.id!r} comes after {name!r}, which is no job of the day")
            known = afters[number[name]]
            known[at] = max(known.get(at, 0), _whole(lag))
    for key, minutes in day.change_minutes.items():
        _check(minutes, f"the change of {key[0]!r} to {key[1]!r}")
    stretches = _stretches(day)
    for stretch in stretches:
        if stretch.begin is not None and stretch.end not in (None, stretch.begin):
            afters[stretch.begin].setdefault(stretch.end, 0)
    topological = _topological(jobs, afters)
    if not day.allow_open:
        topological = _exclude(jobs, afters, stretches, topological)
    return _net(day, afters, topological, () if day.allow_open else stretches)


def all_before(need: Sequence[int], at: int) -> int:
    """Give all jobs that come before one, as bits."""
    found, new = 0, need[at]
    while new:
        low = new & -new
        found |= low
        new = (new | need[low.bit_length() - 1]) & ~found
    return found


def _whole(minutes: float) -> int:
    return round(minutes * UNIT)


def _check(minutes: float, what: str) -> None:
    if not (math.isfinite(minutes) and minutes >= 0):
        raise ValueError(f"{what} has {minutes} minutes; 0 or more are allowed")


def _check_minutes(job: Job) -> None:
    """Refuse a job whose times are no numbers of 0 or more."""
    _check(job.minutes, f"job {job.id!r}")
    _check(job.tail, f"the time after job {job.id!r}")
    _check(job.ready, f"the earliest start of job {job.id!r}")
    for name, lag in job.after:
        _check(lag, f"the wait from {name!r} to {job.id!r}")


def _stretches(day: Workday) -> tuple[_Stretch, ...]:
    """Pair the jobs that open a machine with those that close it, in the order given."""
    found: list[_Stretch] = []
    opening: dict[str, list[int]] = defaultdict(list)
    closing: dict[str, list[int]] = defaultdict(list)
    for at, job in enumerate(day.jobs):
        if job.opens and job.opens == job.closes:
            found.append(_Stretch(job.opens, at, at))
            continue
        if job.opens:
            opening[job.opens].append(at)
        if job.closes:
            closing[job.closes].append(at)
    for machine in dict.fromkeys((*opening, *closing, *filter(None, (day.open_now,)))):
        begins: list[int | None] = list(opening[machine])
        ends: list[int | None] = list(closing[machine])
        if machine == day.open_now and len(ends) <= len(begins):
            found.append(_Stretch(machine, None, ends[0] if ends else None))
        begins = [*[None] * (len(ends) - len(begins)), *begins]
        ends += [None] * (len(begins) - len(ends))
        found += [_Stretch(machine, begin, end) for begin, end in zip(begins, ends, strict=True)]
    return tuple(found)


_BOTH_OPEN = "two machines would be open at once with their cutters out"
_ALLOW = "allow both open, or change what comes after what"


def _topological(
    jobs: Sequence[Job], afters: Sequence[dict[int, int]], *, forced: bool = False
) -> tuple[int, ...]:
    """Put the jobs in an order in which each comes after what it waits for.

    Forced: orders of stretches that must not overlap are among what is waited for.

    Raises:
        ValueError: They wait for each other in a circle.
    """
    waits = [0] * len(afters)
    for later in afters:
        for at in later:
            waits[at] += 1
    order = [at for at, count in enumerate(waits) if not count]
    for at in order:
        for later_one in afters[at]:
            waits[later_one] -= 1
            if not waits[later_one]:
                order.append(later_one)
    if len(order) < len(afters):
        circle = f"jobs wait for each other in a circle: {_circle(jobs, afters, waits)}"
        raise ValueError(f"{_BOTH_OPEN}, or {circle}; {_ALLOW}" if forced else circle)
    return tuple(order)


def _circle(jobs: Sequence[Job], afters: Sequence[dict[int, int]], waits: Sequence[int]) -> str:
    """Name the jobs of one circle: walk back over what is waited for until one comes again."""
    at = next(at for at, count in enumerate(waits) if count)
    walked: list[int] = []
    while at not in walked:
        walked.append(at)
        at = next(other for other, later in enumerate(afters) if waits[other] and at in later)
    circle = [*walked[walked.index(at) :], at]
    return " after ".join(repr(jobs[one].id) for one in circle)


def _exclude(
    jobs: Sequence[Job],
    afters: Sequence[dict[int, int]],
    stretches: Sequence[_Stretch],
    topological: tuple[int, ...],
) -> tuple[int, ...]:
    """Add the orders of stretches that the jobs before and after them force.

    One that must begin before another ends has to end before that one begins. Repeated until
    nothing is added, no plan made job by job can run into a dead end: the stretches left free can
    be put in any order that keeps the forced ones.

    Raises:
        ValueError: Two machines cannot but be open at once.
    """
    while True:
        later = _reach(afters, topological)
        added = False
        for one in stretches:
            for other in stretches:
                if one.machine == other.machine or not _must_begin(one, other, later):
                    continue
                if _must_begin(other, one, later):
                    if one.begin is None and other.begin is None:
                        continue  # both are open already: that is so, whatever is planned
                    raise ValueError(_both_open(jobs, one, other))
                begin, end = other.begin, one.end
                if begin is not None and end is not None and not later[end] >> begin & 1:
                    afters[end].setdefault(begin, 0)
                    added = True
        if not added:
            return topological
        topological = _topological(jobs, afters, forced=True)


def _must_begin(one: _Stretch, other: _Stretch, later: Sequence[int]) -> bool:
    """Tell whether one stretch must begin before another ends."""
    if one.begin is None or other.end is None:
        return True
    return one.begin == other.end or bool(later[one.begin] >> other.end & 1)


def _both_open(jobs: Sequence[Job], one: _Stretch, other: _Stretch) -> str:
    """Say that two machines cannot but be open at once."""

    def told(stretch: _Stretch) -> str:
        begin = "now" if stretch.begin is None else repr(jobs[stretch.begin].id)
        end = "the end of the day" if stretch.end is None else repr(jobs[stretch.end].id)
        return f"{stretch.machine!r} from {begin} to {end}"

    return f"{_BOTH_OPEN}: {told(one)} and {told(other)}; {_ALLOW}"


def _reach(afters: Sequence[dict[int, int]], topological: Sequence[int]) -> list[int]:
    """Give all jobs that come after each, as bits."""
    later = [0] * len(afters)
    for at in reversed(topological):
        for follower in afters[at]:
            later[at] |= 1 << follower | later[follower]
    return later


def _net(
    day: Workday,
    afters: Sequence[dict[int, int]],
    topological: tuple[int, ...],
    stretches: Sequence[_Stretch],
) -> Net:
    """Put the numbers together."""
    jobs = day.jobs
    places = _numbers((day.place, *(job.place for job in jobs)))
    cares = [bool(job.body and job.mode) for job in jobs]
    bodies = _numbers(job.body for job, care in zip(jobs, cares, strict=True) if care)
    modes = _numbers((*day.modes.values(), *(job.mode for job in jobs)))
    need = [0] * len(jobs)
    for at, followers in enumerate(afters):
        for follower in followers:
            need[follower] |= 1 << at
    opens, closes, foreign, open_now = [0] * len(jobs), [0] * len(jobs), [0] * len(jobs), 0
    for at, stretch in enumerate(stretches):
        others = sum(
            1 << place for place, one in enumerate(stretches) if one.machine != stretch.machine
        )
        if stretch.begin is None:
            open_now |= 1 << at
        else:
            foreign[stretch.begin] |= others
            if stretch.begin != stretch.end:
                opens[stretch.begin] |= 1 << at
        if stretch.end is not None and stretch.begin != stretch.end:
            closes[stretch.end] |= 1 << at
    machines = _numbers(stretch.machine for stretch in stretches)
    return Net(
        ids=tuple(job.id for job in jobs),
        work=tuple(_whole(job.minutes) for job in jobs),
        tail=tuple(_whole(job.tail) for job in jobs),
        ready=tuple(_whole(job.ready) for job in jobs),
        afters=tuple(tuple(sorted(one.items())) for one in afters),
        need=tuple(need),
        topological=topological,
        place=tuple(places[job.place] for job in jobs),
        here=places[day.place],
        body=tuple(
            bodies[job.body] if care else NOWHERE for job, care in zip(jobs, cares, strict=True)
        ),
        mode=tuple(modes[job.mode] for job in jobs),
        change=tuple(_whole(day.change_minutes.get((job.body, job.mode), 0)) for job in jobs),
        modes=tuple(modes[day.modes.get(body, "")] for body in bodies if body),
        opens=tuple(opens),
        closes=tuple(closes),
        foreign=tuple(foreign),
        open_now=open_now,
        stretches=tuple(
            (
                NOWHERE if one.begin is None else one.begin,
                NOWHERE if one.end is None else one.end,
                machines[one.machine],
            )
            for one in stretches
        ),
        first=tuple(job.first for job in jobs),
    )


def _numbers(names: Iterable[str]) -> dict[str, int]:
    """Number names; none has the number of nowhere."""
    known = {"": NOWHERE}
    for name in names:
        if name:
            known.setdefault(name, len(known) - 1)
    return known
