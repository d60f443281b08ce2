"""What an order of jobs comes to: every job as soon as it can, one after the other.

But for what begins a wait that it harms to leave too long: that is held back by what is needed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.held import (
    Clocked,
    HeldBack,
    harm_of,
    held_back,
    kept,
    overruns,
)
from shopboard.prep.schedule.network import NOWHERE, Net

if TYPE_CHECKING:
    from shopboard.prep.schedule.job import Workday


_SOON = 250
"""Jobs, the first of a day, before which one may stand idle: what is later is planned anew."""


class Ordering(NamedTuple):
    """An order and what it is worth; less is better, in this order."""

    harm: int
    """How much too long waits are left although it harms, added up."""
    finish: int
    left: int
    """Other jobs whose waits are left too long."""
    walks: int
    firsts: int
    """Starts of the jobs wanted early, added up."""
    order: tuple[int, ...]


def worth(net: Net, order: Sequence[int], held: HeldBack | None = None) -> Ordering:
    """Work out what an order that keeps all constraints is worth.

    Args:
        net: the day.
        order: all its jobs.
        held: the same with what is held back; None: as little as is needed where waiting harms.
    """
    if held is None:
        held = held_back(net, order)
    finish = walks = firsts = 0
    place = net.here
    for at, start in held.timed.starts.items():
        now = start + net.work[at]
        finish = max(finish, now + net.tail[at])
        if net.place[at] != NOWHERE and net.place[at] != place:
            walks += place != NOWHERE
            place = net.place[at]
        if net.first[at]:
            firsts += start
    left = len(overruns(net, held.timed, "patient"))
    harm = harm_of(net, held.timed) if held.harm else 0
    return Ordering(harm, finish, left, walks, firsts, tuple(order))


def idle(net: Net, plan: Ordering) -> tuple[Ordering, Clocked]:
    """Hold back what begins a wait where fewer are left too long by that, and nothing is lost.

    Returns:
        What the order is worth then, and its times.
    """
    timed = held_back(net, plan.order).timed
    soon = {*plan.order[:_SOON]}
    waits = [wait for wait, (job, _, _) in enumerate(net.patient) if job in soon]
    for wait in waits if plan.left else ():
        found = kept(net, timed, wait, "patient")
        if found is not None and found is not timed:
            changed = worth(net, plan.order, HeldBack(found, len(overruns(net, found, "strict"))))
            if changed < plan:
                plan, timed = changed, found
    return plan, timed


def starts_of(
    day: Workday, order: Sequence[int], held: Mapping[str, float] | None = None
) -> dict[str, float]:
    """Give the start of each job in minutes, in the order done, to the last digit."""
    back = held or {}
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
        starts[job.id] = max(now, job.ready, back.get(job.id, 0), *waited)
        now = ends[job.id] = starts[job.id] + job.minutes
    return starts
