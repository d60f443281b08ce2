"""What was called otherwise before: machines and points whose records stand under an old id.

A point's old name is given as it stood on this machine (``blade-90``) or in
full (``tablesaw.blade-90``). Every name of a machine, old or new, means the
same machine here.
"""

from collections.abc import Mapping
from typing import NamedTuple

from shopboard.shop.model import Point, Shop

Place = tuple[str, str]
"""Ids of a machine and of a point on it."""

POINT_KINDS = frozenset(("begin", "answer", "back", "moved", "check", "end", "void"))
"""Kinds of journal entries whose point is one of the shop file's points."""


class Renames(NamedTuple):
    """Old ids with what they became."""

    machines: Mapping[str, str] = {}
    """By the old id of a machine, its id today."""
    points: Mapping[Place, Place] = {}
    """By an old place of a point, its place today; machines by their ids of today."""

    def place(self, kind: str, machine: str, point: str) -> Place:
        """Give the place of today of an entry of some kind."""
        here = (self.machines.get(machine, machine), point)
        return self.points.get(here, here) if kind in POINT_KINDS else here

    def names(self, kind: str, machine: str, point: str) -> list[Place]:
        """Give every place under which entries of a place of today can stand, today's first."""
        places = [(machine, point)]
        if kind in POINT_KINDS:
            places += [old for old, new in self.points.items() if new == (machine, point)]
        return [(name, ident) for owner, ident in places for name in self.machine_names(owner)]

    def machine_names(self, machine: str) -> list[str]:
        """Give every id of a machine of today, today's first."""
        return [machine, *(old for old, new in self.machines.items() if new == machine)]


def renames_of(shop: Shop) -> Renames | None:
    """Gather what the shop file says was called otherwise; None when nothing was."""
    if not any(one.was or any(point.was for point in one.points) for one in shop.machines):
        return None
    machines = {old: one.id for one in shop.machines for old in one.was}
    points: dict[Place, Place] = {}
    for point in shop.points.values():
        for old in point.was:
            points[old_place(point, old, machines)] = (point.machine, point.id)
    return Renames(machines, points)


def old_place(point: Point, was: str, machines: Mapping[str, str]) -> Place:
    """Give the place that an old name of a point means.

    Args:
        point: the point.
        was: its old name, in full or as it stood on the same machine.
        machines: by the old id of a machine, its id today.
    """
    machine, dot, ident = was.rpartition(".")
    owner = machine if dot else point.machine
    return machines.get(owner, owner), ident
