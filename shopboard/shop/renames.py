"""What was called otherwise before: what has records that stand under an old id.

A point's old name is given as it stood on this machine (``blade-90``) or in
full (``tablesaw.blade-90``); a task or a cutter stays on its machine. Every name
of a machine, old or new, means the same machine here.
"""

from collections.abc import Mapping, Sequence
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.machine import Cutter, Machine, Point, Task
from shopboard.shop.model import Shop

MachineAndPoint = tuple[str, str]
"""Ids of a machine and of a point on it."""

PointMeans = Literal["point", "task", "cutter", "any of them", "happening", "joint", "nothing"]
"""What stands in the place of an entry's point: an id of one of these, or nothing that has one."""


class Renames(NamedTuple):
    """Old ids with what they became."""

    machines: Mapping[str, str] = {}
    """By the old id of a machine, its id today."""
    points: Mapping[MachineAndPoint, MachineAndPoint] = {}
    """By an old place of a point, its place today; machines by their ids of today."""
    tasks: Mapping[MachineAndPoint, MachineAndPoint] = {}
    """The same of tasks."""
    cutters: Mapping[MachineAndPoint, MachineAndPoint] = {}
    """The same of cutters."""
    joints: Mapping[MachineAndPoint, MachineAndPoint] = {}
    """The same of joints, by no machine and their full names."""

    def _of(self, means: PointMeans) -> Mapping[MachineAndPoint, MachineAndPoint]:
        if means == "any of them":
            return {**self.cutters, **self.tasks, **self.points}
        alone = {"point": self.points, "task": self.tasks, "cutter": self.cutters}
        return {**alone, "joint": self.joints}.get(means, {})

    def place(self, means: PointMeans, machine: str, point: str) -> MachineAndPoint:
        """Give the place of today of an entry, by what its point means."""
        here = (self.machines.get(machine, machine), point)
        return self._of(means).get(here, here)

    def names(self, means: PointMeans, machine: str, point: str) -> list[MachineAndPoint]:
        """Give every place under which entries of a place of today can stand, today's first."""
        places = [(machine, point)]
        places += [old for old, new in self._of(means).items() if new == (machine, point)]
        return [(name, ident) for owner, ident in places for name in self.machine_names(owner)]

    def machine_names(self, machine: str) -> list[str]:
        """Give every id of a machine of today, today's first."""
        return [machine, *(old for old, new in self.machines.items() if new == machine)]


def renames_of(shop: Shop) -> Renames | None:
    """Gather what the shop file says was called otherwise; None when nothing was."""
    joints = _joints(shop)
    if not joints and not any(map(_renamed, shop.machines)):
        return None
    machines = {old: one.id for one in shop.machines for old in one.was}
    points: dict[MachineAndPoint, MachineAndPoint] = {}
    for point in shop.points.values():
        for old in point.was:
            points[old_place(point, old, machines)] = (point.machine, point.id)
    tasks: dict[MachineAndPoint, MachineAndPoint] = {}
    cutters: dict[MachineAndPoint, MachineAndPoint] = {}
    for machine in shop.machines:
        tasks |= _on(machine, machine.tasks)
        cutters |= _on(machine, machine.cutters)
    return Renames(machines, points, tasks, cutters, joints)


def _joints(shop: Shop) -> dict[MachineAndPoint, MachineAndPoint]:
    """Give the joints of today by every name that they can have had."""
    return {
        ("", f"{project}.{ident}"): ("", joint.full_name)
        for one in shop.projects
        for joint in one.joints
        for project in (one.id, *one.was)
        for ident in (joint.id, *joint.was)
        if (project, ident) != (one.id, joint.id)
    }


def _renamed(machine: Machine) -> bool:
    parts: tuple[Point | Task | Cutter, ...] = (
        *machine.points,
        *machine.tasks,
        *machine.cutters,
    )
    return bool(machine.was) or any(one.was for one in parts)


def _on(machine: Machine, parts: Sequence[Task | Cutter]) -> dict[MachineAndPoint, MachineAndPoint]:
    return {(machine.id, old): (machine.id, one.id) for one in parts for old in one.was}


def old_place(point: Point, was: str, machines: Mapping[str, str]) -> MachineAndPoint:
    """Give the place that an old name of a point means.

    Args:
        point: the point.
        was: its old name, in full or as it stood on the same machine.
        machines: by the old id of a machine, its id today.
    """
    machine, dot, ident = was.rpartition(".")
    owner = machine if dot else point.machine
    return machines.get(owner, owner), ident
