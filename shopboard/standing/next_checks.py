"""Which point to check next: the worst first, but each after the open ones it depends on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopboard.shop.machine import Point
from shopboard.standing.model import RANKS, PointStanding, ShopStanding


def worst_first(standing: ShopStanding) -> list[PointStanding]:
    """Give the points to check, the worst first, each after the open ones that it rests on."""
    found = by_name(standing)
    return [found[name] for name in by_urgency(standing.order, found)]


def by_urgency(order: Sequence[str], found: Mapping[str, PointStanding]) -> tuple[str, ...]:
    """Put points to check into the order of their need.

    Args:
        order: their names, none before what it rests on.
        found: every point by its full name.
    """
    place = {name: at for at, name in enumerate(order)}
    listed: dict[str, None] = {}
    for name in sorted(order, key=lambda one: RANKS[found[one].state]):
        for one in sorted(_with_bases(name, found, listed), key=lambda each: place.get(each, 0)):
            if one in place:
                listed[one] = None
    return tuple(listed)


def first_due(standing: ShopStanding, point: Point) -> Point:
    """Give what to check before a point: the first of what it rests on, near or far; else itself.

    Args:
        standing: how all stands.
        point: the point.
    """
    chain = _with_bases(point.full_name, by_name(standing), {})
    listed = (one.point for one in worst_first(standing))
    return next((one for one in listed if one.full_name in chain), point)


def by_name(standing: ShopStanding) -> dict[str, PointStanding]:
    """Give every point by its full name."""
    return {one.point.full_name: one for machine in standing.machines for one in machine.points}


def _with_bases(
    name: str, found: Mapping[str, PointStanding], listed: Mapping[str, None]
) -> set[str]:
    """Give a point and all below it in its chain, but for what is listed."""
    seen: set[str] = set()
    waiting = [name]
    while waiting:
        one = waiting.pop()
        if one not in seen and one not in listed and one in found:
            seen.add(one)
            waiting += found[one].point.rests_on
    return seen
