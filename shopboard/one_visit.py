"""Several points of one machine in one visit: unplugged once, measured all, cleared once."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence

from shopboard.checks import registry
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import NotPossibleError
from shopboard.checks.walk import walk
from shopboard.journal import JournalError, Store
from shopboard.shop.model import Point, Shop
from shopboard.standing import ShopStanding
from shopboard.visit import Visit, job_for


def next_points(standing: ShopStanding, full_name: str) -> list[Point]:
    """Give the points to check after one, in the order to check them, its own machine's first.

    Those that wait for this very point are left out.
    """
    found = (standing.of_point(name) for name in standing.order)
    points = [
        one.point
        for one in found
        if one is not None and full_name not in (one.point.full_name, one.first)
    ]
    machine = full_name.partition(".")[0]
    return sorted(points, key=lambda one: one.machine != machine)


def next_here(visit: Visit, points: Sequence[Point], shop: Shop, journal: Store) -> Point | None:
    """Give the next point if it can be checked before the machine is cleared; None: it cannot."""
    point = next(iter(points), None)
    if point is None or not may_go_on(visit, point):
        return None
    with contextlib.suppress(NotPossibleError, JournalError):
        walk(registry.method(point.checks[0]), job_for(shop, point, journal), {})
        return point
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
