"""Which points a happening undoes, and which of them is checked first. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopboard.shop.machine import PROJECT_FINISHED, Machine, Point
from shopboard.shop.model import Shop
from shopboard.upkeep.order import chain_order


def undone_by(machine: Machine, what: str) -> list[Point]:
    """Give the points of a machine that a happening undoes, in the shop file's order."""
    return [point for point in machine.points if what in point.undone_by]


def undone_at(shop: Shop, machine_id: str, what: str) -> list[Point]:
    """Give the points that something undoes by itself at a machine and in the modes it reaches."""
    return [point for one in shop.happens_to(machine_id, what) for point in undone_by(one, what)]


def first_of(undone: Sequence[Point], points: Mapping[str, Point]) -> Point | None:
    """Give the point to check first: the one that most of the others rest on, near or far.

    It rests on none of the others itself: more would rest on that one.

    Args:
        undone: the points to check.
        points: every point of the shop by its full name, for what lies between two of them.
    """
    under = [below(point, points) for point in undone]
    return max(
        undone, key=lambda point: sum(point.full_name in names for names in under), default=None
    )


def below(point: Point, points: Mapping[str, Point]) -> set[str]:
    """Give the full names of all that a point rests on, near or far."""
    found: set[str] = set()
    waiting = [*point.rests_on]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += points[name].rests_on if name in points else ()
    return found


def to_check(shop: Shop, machine_id: str, what: str) -> list[str]:
    """Name all that a happening undoes, in the order to check it; of another machine, with it.

    Nothing where the machine has gone from the shop file meanwhile.
    """
    machine = shop.machines_by_id.get(machine_id)
    if machine is None:
        return []
    return [
        point.name
        if point.machine == machine_id
        else f"{point.name} ({shop.machines_by_id[point.machine].name})"
        for point in (shop.points[name] for name in undone_through(shop, machine, what))
    ]


def undone_through(shop: Shop, machine: Machine | None, what: str) -> tuple[str, ...]:
    """Give all that a happening undoes, and what rests on it, in the order to check it again.

    Args:
        shop: the shop.
        machine: the machine it happened to; None, as for a finished project: to the whole shop.
        what: the happening.

    Returns:
        Full names, of other machines, too.
    """
    machines: tuple[Machine, ...] = shop.machines
    if machine is not None and what != PROJECT_FINISHED:
        machines = shop.happens_to(machine.id, what)
    roots = {point.full_name for one in machines for point in undone_by(one, what)}
    undone = {
        name: point.rests_on
        for name, point in shop.points.items()
        if name in roots or roots & below(point, shop.points)
    }
    return chain_order(undone, dict.fromkeys(undone, 0)) if roots else ()
