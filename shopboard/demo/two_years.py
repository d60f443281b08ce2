"""Two years in a shop: every other week somebody sees to what the board says is due."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.demo import upkeep
from shopboard.demo.checking import check
from shopboard.demo.roles import Roles
from shopboard.demo.world import World, times
from shopboard.results.remarks import note_result, take_back
from shopboard.shop.machine import Point
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.tags import CLEARED, REASONS, clear_tag, record_tag

DAYS = 730
LAST_WEEKS = timedelta(days=30)
"""What comes then is told by itself: how the shop is left."""

_COUNTS = timedelta(days=150)
"""A result that is older than this is gone by no more."""
_CHECKS = 4
_CHECKS_AT_FIRST = 8
_AT_FIRST = 9
"""In the first months most of the shop is checked for the first time."""


def live(world: World, roles: Roles, end: datetime) -> None:
    """Live through two years but for their last weeks."""
    start = world.now
    visits = times(start, end - LAST_WEEKS, world.rng)
    tagged_at, wrong_at = len(visits) // 3, len(visits) // 2
    finished = range(4, len(visits), 5)
    for number, at in enumerate(visits):
        days = max((at - world.now) / timedelta(days=1), 0.5)
        world.passes(at, upkeep.is_used(world, days))
        upkeep.mishaps(world)
        upkeep.see_to_cutters(world)
        if number in finished:
            upkeep.a_project_is_finished(world)
        standing = world.standing()
        upkeep.do_tasks(world, standing, 0.8)
        most = _CHECKS_AT_FIRST if number < _AT_FIRST else _CHECKS
        long_ago = end - at > _COUNTS
        for point in _to_check(world, standing, roles, end)[:most]:
            check(world, point, long_ago=long_ago)
        if number == tagged_at:
            _is_tagged(world, roles)
        if number == wrong_at:
            _is_misread(world, roles)
        if number in (0, len(visits) // 2, len(visits) - 1):
            upkeep.walk_round(world)


def _to_check(world: World, standing: ShopStanding, roles: Roles, end: datetime) -> list[Point]:
    """Give the points to check, in the order that the board gives; but those that are left."""
    left = {roles.unproven.full_name} if roles.unproven else set()
    if roles.overdue and roles.overdue.every_days:
        since = world.truths[roles.overdue.full_name].point.every_days or 0
        if end - world.now < timedelta(days=since + 12):
            left.add(roles.overdue.full_name)
    return [world.shop.points[name] for name in standing.order if name not in left]


def _is_tagged(world: World, roles: Roles) -> None:
    """Let a machine be out of use for a few days."""
    if roles.mended is not None:
        record_tag(roles.mended.id, REASONS[3], world.journal)
        world.passes(world.now + timedelta(days=4, hours=2))
        clear_tag(roles.mended.id, CLEARED[0], world.journal)


def _is_misread(world: World, roles: Roles) -> None:
    """Let a point be misread, seen to be so, and read again."""
    point = roles.drifts or roles.near
    if point is None:
        return
    wide = world.truths[point.full_name].half_width
    wrong = check(world, point, corrects=False, misread=2.5 * wide, long_ago=True)
    if wrong is None:
        return
    world.told.pop(wrong.uid, None)
    take_back(world.journal, wrong.uid, "a chip lay under the tool: read again")
    right = check(world, point, long_ago=True)
    if right is not None:
        note_result(world.journal, right, "wiped first, and again after the chip")
