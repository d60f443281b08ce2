"""Two years in a shop: every other week somebody sees to what the board says is due."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.demo import upkeep
from shopboard.demo.checking import check
from shopboard.demo.roles import Roles
from shopboard.demo.world import World, times
from shopboard.results.remarks import note_result, take_back
from shopboard.standing.model import PointStanding, ShopStanding
from shopboard.upkeep.tags import CLEARED, REASONS, clear_tag, record_tag

DAYS = 730
LAST_WEEKS = timedelta(days=30)
"""What comes then is told by itself: how the shop is left."""

_COUNTS = timedelta(days=150)
"""A result that is older than this is gone by no more."""
_OVERDUE, _IN_TIME = timedelta(days=9), timedelta(days=20)
"""What becomes overdue is so by so many days at the least, and by so many more at the most."""
_NOT_YET = timedelta(days=40)
"""What is too close to call is not checked again before that."""
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
        for one in _to_check(world, standing, roles, end)[:most]:
            check(world, one.point, corrects=_corrects(one), long_ago=long_ago)
        if number == tagged_at:
            _is_tagged(world, roles)
        if number == wrong_at:
            _is_misread(world, roles)
        if number in (0, len(visits) // 2, len(visits) - 1):
            upkeep.walk_round(world)


def _to_check(
    world: World, standing: ShopStanding, roles: Roles, end: datetime
) -> list[PointStanding]:
    """Give the points to check, in the order that the board gives; but those that are left."""
    names, last = [*standing.order], _last_of_overdue(roles, end)
    if last and last - _IN_TIME <= world.now <= last and roles.overdue:
        names.insert(0, roles.overdue.full_name)
    found = (standing.of_point(name) for name in dict.fromkeys(names))
    return [one for one in found if one and not _is_left(world, one, roles, last)]


def _last_of_overdue(roles: Roles, end: datetime) -> datetime | None:
    """Give until when at the latest what becomes overdue is checked for the last time."""
    if roles.overdue is None or roles.overdue.every_days is None:
        return None
    return end - timedelta(days=roles.overdue.every_days) - _OVERDUE


def _is_left(world: World, one: PointStanding, roles: Roles, last: datetime | None) -> bool:
    """Tell whether it is left: for good, to become overdue, or too close to call a while ago."""
    if one.point == roles.unproven:
        return True
    when = one.record.when if one.record else None
    if when is None:
        return False
    if one.point == roles.overdue and last is not None:
        return when > last - _IN_TIME
    return one.state == "near" and not one.stale and world.now - when < _NOT_YET


def _corrects(one: PointStanding) -> bool | None:
    """Say whether it is set whatever the check proposes: what was near the last time is."""
    return True if one.record and one.record.verdict == "near" else None


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
