"""Which points a project needs, and which of them have to be checked before its wood is cut."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from shopboard.prep.answers import minutes_of, morning_of
from shopboard.prep.glue_up import answer
from shopboard.prep.known import known_points
from shopboard.shop.model import Shop
from shopboard.shop.project import Project
from shopboard.upkeep.undone import below

if TYPE_CHECKING:
    from shopboard.desk import Desk


class Wanted(NamedTuple):
    """What a project asks of the points."""

    needed: frozenset[str]
    """Full names of the points that show in its joints, with all that these rest on."""
    to_check: Mapping[str, str]
    """Full names of those to check, each with why; empty: how it stands says it."""


def points_of(project: Project, shop: Shop) -> frozenset[str]:
    """Give every point that shows in a project's joints, with all that they rest on."""
    names = {name for joint in project.joints for name in joint.point_names}
    found = {name for name in names if name in shop.points}
    under = (below(shop.points[name], shop.points) for name in tuple(found))
    return frozenset(found.union(*under))


def wanted(desk: Desk, project: Project) -> Wanted:
    """Find out what has to be checked so that every joint of a project fits on its start day.

    That is what is not proven on that day, what lets a misfit become too large, and what of that
    they rest on is not true. A point out of the shop file's tolerance whose error no joint minds
    is not among them.

    Raises:
        JournalError: when the journal cannot be read.
    """
    shop = desk.shop
    names = (name for joint in project.joints for name in joint.point_names)
    known = known_points(desk, names, morning_of(desk, project))
    found: dict[str, str] = {}
    for joint in project.joints:
        asked = answer(
            joint,
            known,
            shop.proof_level,
            lambda point: minutes_of(desk, point),
            shop.unit,
        )
        for reason in asked.reasons:
            if reason.sort == "not proven" and reason.about in shop.points:
                one = known[reason.about]
                if not _is_true(desk, reason.about):
                    found[reason.about] = ""
                    continue
                for name in reason.points:  # itself, or what it rests on while that is checked
                    found[name] = f"true now, {one.why}"
            elif reason.sort == "too much":
                misfit, _, _ = reason.words.partition(". ")
                for point in reason.points:
                    found.setdefault(point, f"{joint.name}: {misfit}")
    for name in tuple(found):
        for base in below(shop.points[name], shop.points):
            if not _is_true(desk, base):
                found.setdefault(base, "")
    return Wanted(points_of(project, shop), found)


def _is_true(desk: Desk, name: str) -> bool:
    stands = desk.standing.of_point(name)
    return stands is not None and stands.state == "true"
