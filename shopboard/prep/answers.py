"""The answers as they follow from an open shop: what a project needs, go or hold for a joint."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from shopboard.prep.due_checks import cannot_be_checked
from shopboard.prep.glue_up import GlueUpAnswer, Reason, answer
from shopboard.prep.known import KnownPoint, known_points
from shopboard.prep.minutes import check_minutes, whole_minutes
from shopboard.prep.needs import joint_needs
from shopboard.prep.options import cannot_be_true, options_of, options_on, what_settles
from shopboard.prep.project_needs import ProjectNeeds, project_needs
from shopboard.shop.project import Joint, Project

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop
    from shopboard.shop.machine import Point


def needs_of(open_shop: OpenShop, project: Project) -> ProjectNeeds:
    """Work out what a project needs, on its start day where that is still to come.

    Raises:
        JournalError: when the journal cannot be read.
    """
    morning = morning_of(open_shop, project)
    names = (name for joint in project.joints for name in joint.point_names)
    known = known_points(open_shop, names, morning)
    day = project.start if morning is not None else None
    level, options = open_shop.shop.proof_level, options_on(open_shop, morning)

    def to_do(joint: Joint) -> tuple[Reason, ...]:
        found = answer(
            *(joint, known, level, partial(minutes_of, open_shop), open_shop.shop.unit),
            options=options,
        )
        return tuple(one for one in found.reasons if one.sort in ("cannot", "too much"))

    told = {joint.full_name: to_do(joint) for joint in project.joints}
    return project_needs(project, known, level, day, told)


def needs_of_points(open_shop: OpenShop, project: Project) -> ProjectNeeds:
    """Work out what a project needs of the points, without what would make its misfits right.

    Raises:
        JournalError: when the journal cannot be read.
    """
    morning = morning_of(open_shop, project)
    names = (name for joint in project.joints for name in joint.point_names)
    known = known_points(open_shop, names, morning)
    return project_needs(project, known, open_shop.shop.proof_level)


def morning_of(open_shop: OpenShop, project: Project) -> datetime | None:
    """Give the beginning of a project's start day; None: not told, or today or before."""
    start = project.start
    if start is None:
        return None
    morning = datetime(start.year, start.month, start.day).astimezone()
    return morning if morning > open_shop.now() else None


def minutes_of(open_shop: OpenShop, point: str, method: str = "") -> float:
    """Give how long the check of a point takes, whole minutes; kept until anything changes.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    kept, key = open_shop.kept("minutes"), f"{point} by {method}" if method else point
    if key not in kept:
        minutes = check_minutes(open_shop.journal, open_shop.shop, point, method)
        kept[key] = whole_minutes(minutes)
    found: float = kept[key]
    return found


def cannot_run(open_shop: OpenShop, point: Point) -> str:
    """Say why a point cannot be checked at all; looked into once until anything changes."""
    kept: dict[str, str] = open_shop.kept("cannot be run")
    if point.full_name not in kept:
        kept[point.full_name] = cannot_be_checked(open_shop.shop, point)
    return kept[point.full_name]


def work_ahead(
    open_shop: OpenShop,
    joints: Iterable[Joint],
    day: datetime | None = None,
    checks: Iterable[str] = (),
) -> Iterator[None]:
    """Work out, a little at a time, what answers, needs and plans take long for; it is kept.

    Args:
        open_shop: shop, journal and time.
        joints: those that will be asked about.
        day: the day they will be asked for, where that is later than now.
        checks: full names of further points that a plan may come to hold.

    Raises:
        JournalError: when the journal cannot be read.
    """
    asked = tuple(joints)
    names = dict.fromkeys(name for joint in asked for name in joint.point_names)
    known: dict[str, KnownPoint] = {}
    for name in names:
        known |= known_points(open_shop, (name,), day)
        yield
    for joint in asked:
        needs = joint_needs(joint, known, open_shop.shop.proof_level)
        yield
        for name in joint.point_names if needs.stands != "fits" else ():
            if name in known:
                options_of(open_shop, name, day)
                yield
    bases = [point.full_name for one in known.values() for point in one.checks]
    for name in dict.fromkeys(bases):
        cannot_be_true(open_shop, name)
        yield
    for name in dict.fromkeys((*known, *bases, *checks)):
        minutes_of(open_shop, name)
        yield
        cannot_run(open_shop, open_shop.shop.points[name])
        what_settles(open_shop, name)
        yield


def answers_of(open_shop: OpenShop, joints: Iterable[Joint]) -> tuple[GlueUpAnswer, ...]:
    """Answer before a glue-up, for each of some joints, by what is known now.

    Raises:
        JournalError: when the journal cannot be read.
    """
    asked, shop = tuple(joints), open_shop.shop
    known = known_points(open_shop, (name for joint in asked for name in joint.point_names))

    wrong = open_shop.clock_is_wrong
    return tuple(
        answer(
            *(one, known, shop.proof_level, partial(minutes_of, open_shop), shop.unit),
            clock_is_wrong=wrong,
            options=options_on(open_shop),
            cannot_be_true=lambda point: cannot_be_true(open_shop, point),
        )
        for one in asked
    )
