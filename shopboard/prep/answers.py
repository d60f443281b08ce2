"""The answers as they follow from a desk: what a project needs, go or hold for a joint."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from shopboard.prep.due_checks import cannot_be_checked
from shopboard.prep.glue_up import Answer, Reason, answer
from shopboard.prep.known import Known, known_points
from shopboard.prep.minutes import check_minutes
from shopboard.prep.needs import joint_needs
from shopboard.prep.options import cannot_be_true, options_of, options_on, what_settles
from shopboard.prep.project_needs import ProjectNeeds, project_needs
from shopboard.shop.project import Joint, Project

if TYPE_CHECKING:
    from shopboard.open_shop import Desk
    from shopboard.shop.machine import Point


def needs_of(desk: Desk, project: Project) -> ProjectNeeds:
    """Work out what a project needs, on its start day where that is still to come.

    Raises:
        JournalError: when the journal cannot be read.
    """
    morning = morning_of(desk, project)
    names = (name for joint in project.joints for name in joint.point_names)
    known = known_points(desk, names, morning)
    day = project.start if morning is not None else None
    level, options = desk.shop.proof_level, options_on(desk, morning)

    def to_do(joint: Joint) -> tuple[Reason, ...]:
        found = answer(
            *(joint, known, level, partial(minutes_of, desk), desk.shop.unit),
            options=options,
        )
        return tuple(one for one in found.reasons if one.sort in ("cannot", "too much"))

    told = {joint.full_name: to_do(joint) for joint in project.joints}
    return project_needs(project, known, level, day, told)


def morning_of(desk: Desk, project: Project) -> datetime | None:
    """Give the beginning of a project's start day; None: not told, or today or before."""
    start = project.start
    if start is None:
        return None
    morning = datetime(start.year, start.month, start.day).astimezone()
    return morning if morning > desk.now() else None


def minutes_of(desk: Desk, point: str, method: str = "") -> float:
    """Give how long the check of a point takes, minutes; looked up once until anything changes.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    kept, key = desk.kept("minutes"), f"{point} by {method}" if method else point
    if key not in kept:
        kept[key] = check_minutes(desk.journal, desk.shop, point, method)
    found: float = kept[key]
    return found


def cannot_run(desk: Desk, point: Point) -> str:
    """Say why a point cannot be checked at all; looked into once until anything changes."""
    kept: dict[str, str] = desk.kept("cannot be run")
    if point.full_name not in kept:
        kept[point.full_name] = cannot_be_checked(desk.shop, point)
    return kept[point.full_name]


def work_ahead(
    desk: Desk, joints: Iterable[Joint], day: datetime | None = None, checks: Iterable[str] = ()
) -> Iterator[None]:
    """Work out, a little at a time, what answers, needs and plans take long for; it is kept.

    Args:
        desk: shop, journal and time.
        joints: those that will be asked about.
        day: the day they will be asked for, where that is later than now.
        checks: full names of further points that a plan may come to hold.

    Raises:
        JournalError: when the journal cannot be read.
    """
    asked = tuple(joints)
    names = dict.fromkeys(name for joint in asked for name in joint.point_names)
    known: dict[str, Known] = {}
    for name in names:
        known |= known_points(desk, (name,), day)
        yield
    for joint in asked:
        needs = joint_needs(joint, known, desk.shop.proof_level)
        yield
        for name in joint.point_names if needs.stands != "fits" else ():
            if name in known:
                options_of(desk, name, day)
                yield
    bases = [point.full_name for one in known.values() for point in one.checks]
    for name in dict.fromkeys(bases):
        cannot_be_true(desk, name)
        yield
    for name in dict.fromkeys((*known, *bases, *checks)):
        minutes_of(desk, name)
        yield
        cannot_run(desk, desk.shop.points[name])
        what_settles(desk, name)
        yield


def answers_of(desk: Desk, joints: Iterable[Joint]) -> tuple[Answer, ...]:
    """Answer before a glue-up, for each of some joints, by what is known now.

    Raises:
        JournalError: when the journal cannot be read.
    """
    asked, shop = tuple(joints), desk.shop
    known = known_points(desk, (name for joint in asked for name in joint.point_names))

    wrong = desk.clock_is_wrong
    return tuple(
        answer(
            *(one, known, shop.proof_level, partial(minutes_of, desk), shop.unit),
            clock_is_wrong=wrong,
            options=options_on(desk),
            cannot_be_true=lambda point: cannot_be_true(desk, point),
        )
        for one in asked
    )
