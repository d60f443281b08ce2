"""Machines that nobody works at now: tagged, or with their cutter out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.prep.pieces import takes_cutter_off
from shopboard.shop.machine import CHANGED_BY
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.tasks import TaskStanding

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop


def stopped_mode(open_shop: OpenShop, machine: MachineStanding) -> MachineStanding:
    """Give the mode of a machine that is tagged, else that with its cutter out, else itself."""
    body = machine.machine.body
    others = [one for one in open_shop.standing.machines if body and one.machine.body == body]
    modes = [machine, *(one for one in others if one is not machine)]
    return min(modes, key=lambda one: (not one.tag, not cutter_is_out(one)))


def cutter_is_out(one: MachineStanding) -> str:
    """Say what keeps a cutter of its own out of a machine; empty: nothing does."""
    if one.changing is not None and one.changing.machine == one.machine.id:
        return f"{one.changing.what} is in progress"
    task = next((each.task for each in one.tasks if _is_off(each)), None)
    if task is not None:
        return f"{task.name}, cutter off, is in progress"
    own = [each for each in one.cutters if each.machine == one.machine.id]
    on = {each.cutter.place for each in own if each.mounted}
    for each in own:
        changes = each.cutter.sort in CHANGED_BY and each.cutter.place not in on
        if each.cutter.where == "on the machine" and changes:
            return f"{each.cutter.name} is {each.where}, and nothing is on in its place"
    return ""


def _is_off(one: TaskStanding) -> bool:
    """Tell whether a task that is under way has the cutter off, or may have it off."""
    begun = one.begun
    if begun is None:
        return False
    if not begun.same:  # which steps it was begun with, today's shop file no longer says
        return one.task.cutter_near
    out = takes_cutter_off(one.task)
    return out is not None and out[0] - 1 <= begun.steps < out[1]
