"""What goes on between checks: use, mishaps, cutters that get dull, tasks, safety rounds."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from shopboard.checks.steps import Choice
from shopboard.demo.world import World
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED, USES, Machine
from shopboard.sittings.safety_round import round_of
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.cutter_acts import after, why_not
from shopboard.upkeep.cutter_changes import change, mounted_like
from shopboard.upkeep.cutter_journal import (
    happening_of,
    record_act,
    record_change,
    standings_now,
)
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.task_marks import record_task

_MISHAPS = {"knocked": 0.02, "stop re-set": 0.015, "belt changed": 0.004, "machine moved": 0.004}
"""How likely each is at a machine within two weeks, where it undoes anything there."""

_MOST_TASKS = 7
_PER_CUT = 12.0
"""Cuts to an hour of running, of what is told in cuts."""
_FED_MM = 90_000.0
"""mm of wood that an hour of running planes."""


def is_used(world: World, days: float) -> float:
    """Record what the machines were used for since; give the hours of one of them, about."""
    most = 0.0
    for machine in world.shop.machines:
        if not machine.cuts or world.rng.random() < 0.25:
            continue
        hours = round(world.rng.uniform(0.7, 2.8) * days / 7 * 4) / 4
        if hours <= 0 or not _can_run(world, machine):
            continue
        most = max(most, hours)
        units = {one.lasts.unit for one in machine.cutters if one.lasts}
        record_happening(world.journal, machine.id, HOURS_RUN, hours * 60, shop=world.shop)
        if "cuts" in units:
            cuts = max(round(hours * _PER_CUT / 5) * 5, 5)
            record_happening(world.journal, machine.id, USES[1], cuts, shop=world.shop)
        if "mm" in units:
            record_happening(world.journal, machine.id, USES[2], hours * _FED_MM, shop=world.shop)
        world.takes(1)
    return most


def _can_run(world: World, machine: Machine) -> bool:
    here = standings_now(world.shop, machine.id, world.journal)
    return not here or any(one.mounted for one in here)


def a_project_is_finished(world: World) -> None:
    """Record that something was made."""
    record_happening(world.journal, "", PROJECT_FINISHED, shop=world.shop)


def mishaps(world: World) -> None:
    """Let something go wrong at a machine, now and then."""
    for machine in world.shop.machines:
        undoing = {what for one in machine.points for what in one.undone_by}
        for what, likely in _MISHAPS.items():
            if what in undoing and world.rng.random() < likely:
                world.happens(machine, what)


def see_to_cutters(world: World) -> None:
    """Change what is dull, send out what can be sharpened, fetch what is ready."""
    for machine in world.shop.machines:
        for one in standings_now(world.shop, machine.id, world.journal):
            _see_to(world, one)


def _see_to(world: World, one: CutterStanding) -> None:
    if one.where == "at the sharpener":
        gone = timedelta(days=one.cutter.away_days or 10)
        if one.sent is None or world.now - one.sent >= gone:
            _act(world, one, "back", _about(world, one.cost))
    elif one.mounted and (one.past_life or one.state in ("dull", "worn out")):
        put_on_a_sharp_one(world, one)
    elif one.where == "on the shelf" and one.state == "dirty" and world.rng.random() < 0.5:
        _act(world, one, "cleaned")
    elif one.where == "on the shelf" and one.state == "dull":
        _act(world, one, "send out")


def spare_of(old: CutterStanding, here: Sequence[CutterStanding]) -> CutterStanding | None:
    """Give what can take the place of a cutter on the machine; None: nothing."""
    return next(
        (
            one
            for one in here
            if one.cutter.kind == old.cutter.kind
            and one.where == "on the shelf"
            and one.state in ("sharp", "dirty")
        ),
        None,
    )


def put_on_a_sharp_one(world: World, old: CutterStanding, why: str = "") -> bool:
    """Turn or change what is dull; give whether that could be done.

    Args:
        world: the shop.
        old: what is on the machine.
        why: what made it dull so early, in a few words; empty: nothing but use.
    """
    here = standings_now(world.shop, old.machine, world.journal)
    spare = spare_of(old, here)
    if not why_not(old, "turn"):
        _change(world, old, "turn", here)
    elif spare is not None:
        _change(world, spare, "put on", here)
        off = next(
            one for one in standings_now(world.shop, old.machine, world.journal) if one.id == old.id
        )
        if why:
            record_act(off, "note", world.now, world.journal, note=why)
        _act(world, off, "send out")
    elif not why_not(old, "new"):
        _change(world, old, "new", here)
    else:
        return _sharpen_here(world, old)
    return True


def _sharpen_here(world: World, one: CutterStanding) -> bool:
    """Take off the only one of its kind, sharpen it on the bench and put it on again."""
    for name in ("take off", "sharpened", "put on"):
        here = standings_now(world.shop, one.machine, world.journal)
        now = next(each for each in here if each.id == one.id)
        if why_not(now, name):
            return False
        if name == "sharpened":
            world.takes(60)
            _act(world, now, name, _about(world, now.cost))
        else:
            _change(world, now, name, here)
    return True


def _change(world: World, one: CutterStanding, name: str, here: tuple[CutterStanding, ...]) -> None:
    off = mounted_like(one, here)
    came_off = off.state if off is not None and off.state in ("dull", "worn out") else "dull"
    changes = change(one, name, came_off, here, cleaned=one.state == "dirty")
    record_change(changes, world.journal)
    world.takes(20)
    what = happening_of(changes)
    if what:
        world.is_undone(one.machine, what)


def _act(world: World, one: CutterStanding, name: str, cost: float | None = None) -> None:
    if why_not(one, name):
        return
    after(one, name, world.now, cost)
    record_act(one, name, world.now, world.journal, cost)
    world.takes(2)


def _about(world: World, cost: float | None) -> float | None:
    """Give a price near the usual one, as a bill has it."""
    return None if cost is None else round(cost * world.rng.uniform(0.95, 1.15) * 2) / 2


def do_tasks(world: World, standing: ShopStanding, likely: float, but: str = "") -> None:
    """Do tasks that are due, most of them.

    Args:
        world: the shop.
        standing: how all stands.
        likely: how likely each is done.
        but: one that is left, ``machine.task``.
    """
    done = 0
    for machine in standing.machines:
        for one in machine.to_do:
            name = f"{machine.machine.id}.{one.task.id}"
            if name != but and done < _MOST_TASKS and world.rng.random() < likely:
                waits = sum(step.wait_minutes for step in one.task.steps)
                world.takes((one.task.minutes or 10.0) + waits)
                record_task(world.journal, machine.machine.id, one.task.id)
                done += 1


def walk_round(world: World) -> None:
    """Walk the safety round, shop and machines; all is found as wanted."""
    names = ["", *(one.id for one in world.shop.machines if one.has_round)]
    for name in names:
        going = round_of(world.shop, name, world.now, world.journal)
        for _ in range(60):
            step = going.step
            if not isinstance(step, Choice):
                break
            asked = next(one for one in going.questions if one.id == step.key)
            good = next(one for one in step.options if one.label in asked.wanted)
            going.answer(good.value)
            world.takes(0.2)
