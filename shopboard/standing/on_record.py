"""Under which names something is on record, and which of them the shop file no longer has."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.model import Shop
from shopboard.standing.model import Past

if TYPE_CHECKING:
    from shopboard.upkeep.retired import Retired


class OnRecord(NamedTuple):
    """Names with something on record."""

    points: Collection[tuple[str, str]] = ()
    """(machine, point) of each that has a result."""
    kept_up: Collection[tuple[str, str, str]] = ()
    """(sort, machine, name) of each task that was done, and of each cutter."""

    def gone(self, shop: Shop) -> list[tuple[str, ...]]:
        """Give those that the shop file no longer has."""
        has = {
            *(("task", one.id, task.id) for one in shop.machines for task in one.tasks),
            *(("cutter", one.id, cutter.id) for one in shop.machines for cutter in one.cutters),
        }
        gone: list[tuple[str, ...]] = [
            place for place in self.points if ".".join(place) not in shop.points
        ]
        return gone + sorted(one for one in self.kept_up if one not in has)

    def has_results(self, one: Retired) -> bool:
        """Tell whether what a retired name probably became has records of its own by now."""
        machine, _, ident = one.became.partition(".")
        if one.sort != "point":
            return (one.sort, machine, ident) in self.kept_up
        if ident:
            return (machine, ident) in self.points
        return any(place[0] == machine for place in self.points)


def on_record(past: Past) -> OnRecord:
    """Give the names under which something is on record."""
    tasks = (("task", *place) for place in past.tasks)
    cutters = (("cutter", *place) for place in past.cutters if place[1])
    return OnRecord(past.latest.keys(), {*tasks, *cutters})
