"""A day of jobs in whole numbers, checked: what comes before what, and which stretches exclude."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.stretches import Apart, Stretch, exclude, kept_apart, stretches_of

if TYPE_CHECKING:
    from shopboard.prep.schedule.job import Job, Workday

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
    lags: tuple[tuple[tuple[int, int], ...], ...]
    """What the job waits for, with the lag; what it only comes behind is not among them."""
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
    alone: bool
    """Whether each excludes those of all other machines; else only what is done in other modes."""
    first: tuple[bool, ...]
    patient: tuple[tuple[int, int, int], ...]
    """(job, patience, jobs that begin its waits as bits) of each that has patience."""
    begins: tuple[tuple[tuple[int, int], ...], ...]
    """By job, the waits that begin with its end: (place among the patient, lag)."""
    strict: tuple[tuple[int, int, int], ...]
    """The same as of the patient, of each job that it harms to leave waiting."""
    strict_begins: tuple[tuple[tuple[int, int], ...], ...]


def in_turn(net: Net, order: Sequence[int]) -> bool:
    """Tell whether jobs may be done so: each behind what it needs, and past no open machine."""
    done, opened = 0, net.open_now
    for at in order:
        if net.need[at] & ~done or net.foreign[at] & opened:
            return False
        done, opened = done | 1 << at, opened & ~net.closes[at] | net.opens[at]
    return True


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
    stretches = stretches_of(day)
    for stretch in stretches:
        if stretch.begin is not None and stretch.end not in (None, stretch.begin):
            afters[stretch.begin].setdefault(stretch.end, 0)
    ids = [job.id for job in jobs]
    apart = kept_apart(day, stretches)
    order, apart = exclude(ids, afters, apart, both_open=day.allow_open)
    return _net(day, afters, order, _open(stretches, apart, jobs, day))


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
    if job.patience != math.inf:
        _check(job.patience, f"the patience of job {job.id!r}")
    for name, lag in job.after:
        _check(lag, f"the wait from {name!r} to {job.id!r}")


def _net(
    day: Workday,
    afters: Sequence[dict[int, int]],
    order: tuple[int, ...],
    open_: _Open,
) -> Net:
    """Put the numbers together."""
    jobs = day.jobs
    places = _numbers((day.place, *(job.place for job in jobs)))
    modes = _modes(day)
    patient, begins = _waits(jobs, harms=False)
    strict, strict_begins = _waits(jobs, harms=True)
    return Net(
        ids=tuple(job.id for job in jobs),
        work=tuple(_whole(job.minutes) for job in jobs),
        tail=tuple(_whole(job.tail) for job in jobs),
        ready=tuple(_whole(job.ready) for job in jobs),
        afters=tuple(tuple(sorted(one.items())) for one in afters),
        lags=_lags(afters),
        need=_need(afters),
        topological=order,
        place=tuple(places[job.place] for job in jobs),
        here=places[day.place],
        body=modes.body,
        mode=modes.mode,
        change=modes.change,
        modes=modes.now,
        opens=open_.opens,
        closes=open_.closes,
        foreign=open_.foreign,
        open_now=open_.now,
        stretches=open_.ends,
        alone=not day.allow_open,
        first=tuple(job.first for job in jobs),
        patient=patient,
        begins=begins,
        strict=strict,
        strict_begins=strict_begins,
    )


def _lags(afters: Sequence[dict[int, int]]) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Give what each job waits for, with the lag."""
    lags: list[list[tuple[int, int]]] = [[] for _ in afters]
    for at, followers in enumerate(afters):
        for follower, lag in followers.items():
            if lag:
                lags[follower].append((at, lag))
    return tuple(map(tuple, lags))


def _need(afters: Sequence[dict[int, int]]) -> tuple[int, ...]:
    """Give what must be done before each job, as bits."""
    need = [0] * len(afters)
    for at, followers in enumerate(afters):
        for follower in followers:
            need[follower] |= 1 << at
    return tuple(need)


class _Modes(NamedTuple):
    """What each job asks of a combination machine, and how these stand; see `Net`."""

    body: tuple[int, ...]
    mode: tuple[int, ...]
    change: tuple[int, ...]
    now: tuple[int, ...]


def _modes(day: Workday) -> _Modes:
    jobs = day.jobs
    asks = [job.body if job.mode else "" for job in jobs]
    bodies = _numbers(asks)
    modes = _numbers((*day.modes.values(), *(job.mode for job in jobs)))
    return _Modes(
        tuple(bodies[body] for body in asks),
        tuple(modes[job.mode] for job in jobs),
        tuple(_whole(day.change_minutes.get((job.body, job.mode), 0)) for job in jobs),
        tuple(modes[day.modes.get(body, "")] for body in bodies if body),
    )


class _Open(NamedTuple):
    """What the jobs do to the stretches for which machines stand open; see `Net`."""

    opens: tuple[int, ...]
    closes: tuple[int, ...]
    foreign: tuple[int, ...]
    now: int
    ends: tuple[tuple[int, int, int], ...]


def _open(
    stretches: Sequence[Stretch], apart: Sequence[Apart], jobs: Sequence[Job], day: Workday
) -> _Open:
    opens, closes, foreign, now = [0] * len(jobs), [0] * len(jobs), [0] * len(jobs), 0
    machines = _numbers(stretch.machine for stretch in stretches)
    if day.allow_open:  # only those that keep a machine in its mode
        stretches = list(dict.fromkeys(one for one, _ in apart))
    number = {one: at for at, one in enumerate(stretches)}
    ends = []
    for at, one in enumerate(stretches):
        begin, end = (NOWHERE if job is None else job for job in (one.begin, one.end))
        ends.append((begin, end, machines[one.machine]))
        if begin == NOWHERE:
            now |= 1 << at
        if begin == end:  # the job is a stretch by itself
            continue
        if begin != NOWHERE:
            opens[begin] |= 1 << at
        if end != NOWHERE:
            closes[end] |= 1 << at
    for pair in apart:
        for one, other in (pair, pair[::-1]):
            if one.begin is not None and other in number:
                foreign[one.begin] |= 1 << number[other]
    return _Open(tuple(opens), tuple(closes), tuple(foreign), now, tuple(ends))


def _waits(
    jobs: Sequence[Job], *, harms: bool
) -> tuple[tuple[tuple[int, int, int], ...], tuple[tuple[tuple[int, int], ...], ...]]:
    """Give the jobs with patience and the waits that each job begins."""
    number = {job.id: at for at, job in enumerate(jobs)}
    patient: list[tuple[int, int, int]] = []
    begins: list[list[tuple[int, int]]] = [[] for _ in jobs]
    for at, job in enumerate(jobs):
        if job.patience == math.inf or job.harms != harms:
            continue
        begun_by = 0
        for name, lag in job.after:
            if _whole(lag):
                begun_by |= 1 << number[name]
                begins[number[name]].append((len(patient), _whole(lag)))
        patient.append((at, _whole(job.patience), begun_by))
    return tuple(patient), tuple(map(tuple, begins))


def _numbers(names: Iterable[str]) -> dict[str, int]:
    """Number names; none has the number of nowhere."""
    known = {"": NOWHERE}
    for name in names:
        if name:
            known.setdefault(name, len(known) - 1)
    return known
