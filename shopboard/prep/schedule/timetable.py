"""What an order of jobs comes to: every job as soon as it can, one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.waits import left_with, none_left

if TYPE_CHECKING:
    from shopboard.prep.schedule.job import Workday


class Ordering(NamedTuple):
    """An order and what it is worth; less is better, in this order."""

    finish: int
    left: int
    """Jobs whose waits are left too long."""
    walks: int
    firsts: int
    """Starts of the jobs wanted early, added up."""
    order: tuple[int, ...]


def worth(net: Net, order: Sequence[int]) -> Ordering:
    """Work out what an order that keeps all constraints is worth."""
    now = finish = walks = firsts = done = 0
    soonest, modes, place = list(net.ready), list(net.modes), net.here
    waits = none_left(net)
    for at in order:
        body, mode = net.body[at], net.mode[at]
        if body != NOWHERE and modes[body] != mode:
            if modes[body] != NOWHERE:
                now += net.change[at]
            modes[body] = mode
        start = max(now, soonest[at])
        now = start + net.work[at]
        finish = max(finish, now + net.tail[at])
        for follower, lag in net.afters[at]:
            soonest[follower] = max(soonest[follower], now + lag)
        if net.place[at] != NOWHERE and net.place[at] != place:
            walks += place != NOWHERE
            place = net.place[at]
        if net.first[at]:
            firsts += start
        done |= 1 << at
        waits = left_with(net, waits, at, now, done)
    return Ordering(finish, waits.left, walks, firsts, tuple(order))


def starts_of(day: Workday, order: Sequence[int]) -> dict[str, float]:
    """Give the start of each job in minutes, in the order done, to the last digit."""
    now = 0.0
    starts: dict[str, float] = {}
    ends: dict[str, float] = {}
    modes = dict(day.modes)
    for at in order:
        job = day.jobs[at]
        if job.body and job.mode and modes.get(job.body) != job.mode:
            if modes.get(job.body):
                now += day.change_minutes.get((job.body, job.mode), 0)
            modes[job.body] = job.mode
        waited = (ends[name] + lag for name, lag in job.after)
        starts[job.id] = max(now, job.ready, *waited)
        now = ends[job.id] = starts[job.id] + job.minutes
    return starts
