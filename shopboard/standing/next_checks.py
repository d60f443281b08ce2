"""Which point to check next: the worst first, but each after the open ones it depends on."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.standing.model import RANKS, PointStanding, ShopStanding


def worst_first(standing: ShopStanding) -> list[PointStanding]:
    """Give the points to check, the worst first, each after the open ones that it rests on."""
    found, place = by_name(standing), {name: at for at, name in enumerate(standing.order)}
    listed: dict[str, PointStanding] = {}
    for name in sorted(standing.order, key=lambda one: RANKS[found[one].state]):
        for one in sorted(_with_bases(name, found, listed), key=lambda each: place.get(each, 0)):
            if one in place:
                listed[one] = found[one]
    return list(listed.values())


def by_name(standing: ShopStanding) -> dict[str, PointStanding]:
    """Give every point by its full name."""
    return {one.point.full_name: one for machine in standing.machines for one in machine.points}


def _with_bases(
    name: str, found: Mapping[str, PointStanding], listed: Mapping[str, PointStanding]
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
