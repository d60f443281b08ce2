"""Several points of one machine in one visit: unplugged once, measured all, cleared once."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence, Set

from shopboard.checks import registry
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import NotPossibleError
from shopboard.checks.walk import walk
from shopboard.journal import JournalError, Store
from shopboard.shop.model import Point, Shop
from shopboard.standing import ShopStanding
from shopboard.visit import Visit, job_for


def next_points(
    standing: ShopStanding, full_name: str, seen: Set[str] = frozenset()
) -> list[Point]:
    """Give the points to check after one, in the order to check them, its own machine's first.

    Those that were seen on the way here are left out: what is out stays so until it is set. So are
    those that wait for one of them.
    """
    found = (standing.of_point(name) for name in standing.order)
    points = [
        one.point
        for one in found
        if one is not None and {*seen, full_name}.isdisjoint((one.point.full_name, one.first))
    ]
    machine = full_name.partition(".")[0]
    return sorted(points, key=lambda one: one.machine != machine)


def next_here(visit: Visit, points: Sequence[Point], shop: Shop, journal: Store) -> Point | None:
    """Give the next point that can be checked before the machine is cleared; None: none can.

    One that needs a test cut, and what rests on it, is left for when the machine is plugged in.
    """
    later: set[str] = set()
    for point in points:
        if later.isdisjoint(point.rests_on) and may_go_on(visit, point):
            with contextlib.suppress(NotPossibleError, JournalError):
                walk(registry.method(point.checks[0]), job_for(shop, point, journal), {})
                return point
        later.add(point.full_name)
    return None


def may_go_on(visit: Visit, point: Point) -> bool:
    """Tell whether a point can be checked right after, with plug and tools as they are.

    Not where it needs a test cut, which needs the plug, or where less would be put back at its end.
    """
    before, after = visit.method, registry.method(point.checks[0])
    if not isinstance(before, GuidedCheck) or not isinstance(after, GuidedCheck):
        return False
    clears = after.hands_near and (after.clears or point.cutter_near)
    all_off = before.above_all in ("", after.above_all)
    guards_back = point.cutter_near or not visit.point.cutter_near
    return point.machine == visit.point.machine and clears and all_off and guards_back
