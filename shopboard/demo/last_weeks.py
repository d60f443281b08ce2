"""How the shop is left: something of everything that the board can show, as far as it goes."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.demo import upkeep
from shopboard.demo.checking import check, would_be
from shopboard.demo.roles import Roles
from shopboard.demo.world import World
from shopboard.shop.machine import Machine, Task
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.cutter_journal import standings_now
from shopboard.upkeep.tags import REASONS, record_tag
from shopboard.upkeep.undone import undone_at

_EVENINGS = (28, 24, 20, 17, 13, 10, 7)
"""Days before the end on which all is seen to that is due."""
_KNOCKS = ("knocked", "stop re-set", "machine moved")

_AN_EVENING = 5
"""Checks that somebody does after work."""

_SHARES = (0.95, 0.9, 1.0, 0.85, 1.05, 0.8, 1.1, -0.95, -0.9, -1.0, -1.05)
"""Of the half-width: about the limits a result is too close to call."""


def left_as(world: World, roles: Roles, end: datetime) -> None:
    """Live through the last weeks, all but the last minutes."""
    waiting = task_that_waits(world)
    for days in _EVENINGS:
        _all_is_seen_to(world, roles, end - timedelta(days=days), waiting)
    _a_cutter_goes_out(world, roles, end - timedelta(days=4))
    _too_close_to_call(world, roles, end - timedelta(days=3))
    _is_found_out(world, roles, end - timedelta(days=2))
    world.passes(_at(end - timedelta(days=1), 17), 0.5)
    upkeep.do_tasks(world, world.standing(), 0.6, waiting[2] if waiting else "")
    if roles.tagged is not None:
        record_tag(roles.tagged.id, REASONS[6], world.journal)


def _all_is_seen_to(
    world: World, roles: Roles, at: datetime, waiting: tuple[str, Task, str] | None
) -> None:
    """See to what is due on one evening, but for what is left on purpose."""
    world.passes(_at(at, 17), upkeep.is_used(world, 4))
    upkeep.see_to_cutters(world)
    standing = world.standing()
    upkeep.do_tasks(world, standing, 1.0, waiting[2] if waiting else "")
    left = {one.full_name for one in (roles.unproven, roles.overdue) if one is not None}
    for name in [one for one in standing.order if one not in left][:_AN_EVENING]:
        check(world, world.shop.points[name], corrects=True)


def _a_cutter_goes_out(world: World, roles: Roles, at: datetime) -> None:
    """Change a cutter that has a spare, on a machine that is not to be ready, and send it out."""
    world.passes(_at(at, 18), upkeep.is_used(world, 6))
    upkeep.do_tasks(world, world.standing(), 0.5)
    here = [standings_now(world.shop, one.id, world.journal) for one in _idle_first(world, roles)]
    if any(one.where == "at the sharpener" for cutters in here for one in cutters):
        return
    for cutters in here:
        for one in cutters:
            sharpened = one.mounted and one.cutter.sharpenings != 0
            if sharpened and upkeep.spare_of(one, cutters) is not None:
                upkeep.put_on_a_sharp_one(world, one, "it met a nail")
                return


def _idle_first(world: World, roles: Roles) -> list[Machine]:
    """Give the machines, those first that nothing takes which is to be ready."""
    needed = {name.partition(".")[0] for name in roles.ready}
    return sorted(world.shop.machines, key=lambda one: one.id in needed)


def _too_close_to_call(world: World, roles: Roles, at: datetime) -> None:
    """Look again at what must be ready; find another point too close to its limit to say."""
    world.passes(_at(at, 17))
    for name in world.standing().order:
        if name in roles.ready:
            check(world, world.shop.points[name])
    point = roles.near
    if point is None:
        return
    for share in _SHARES:
        if would_be(world, point, share) == "near":
            world.truths[point.full_name].at_share(share)
            break
    check(world, point, corrects=False)


def _is_found_out(world: World, roles: Roles, at: datetime) -> None:
    """Find a point out, and have no time to set it right."""
    world.passes(_at(at, 18))
    if roles.out is not None:
        world.truths[roles.out.full_name].at_share(1.9)
        check(world, roles.out, corrects=False)
    _is_knocked(world, roles)


def _is_knocked(world: World, roles: Roles) -> None:
    """Knock against something that was true, where nothing else is due."""
    standing = world.standing()
    shown = {one.full_name for one in (roles.out, roles.near) if one is not None}
    for machine in standing.machines if not standing.count("due") else ():
        for one in machine.points:
            for what in _KNOCKS if one.state == "true" else ():
                undone = {p.full_name for p in undone_at(world.shop, one.point.machine, what)}
                if one.point.full_name in undone and not undone & (roles.ready | shown):
                    world.happens(machine.machine, what)
                    return


def task_that_waits(world: World) -> tuple[str, Task, str] | None:
    """Give a task within which something is left alone: its machine, itself and its full name."""
    for machine in world.shop.machines:
        for task in machine.tasks:
            if any(one.wait_minutes for one in task.steps[:-1]):
                return machine.id, task, f"{machine.id}.{task.id}"
    return None


def begin_task(world: World, end: datetime) -> None:
    """Be in the middle of a task a minute ago: what is left alone in it, is."""
    found = task_that_waits(world)
    if found is None:
        return
    machine, task, _ = found
    world.now = max(end - timedelta(minutes=3), world.now)
    going = TaskSitting(world.journal, machine, task, None)
    for _ in range(2 * len(task.steps) + 2):
        if going.waits or going.step is None:
            break
        step = going.step
        going.answer("1" if hasattr(step, "options") else "done")
        world.now += timedelta(seconds=20)


def _at(midnight: datetime, hour: int) -> datetime:
    return midnight + timedelta(hours=hour, minutes=12)
