"""The answers as they follow from a desk: what a project needs, go or hold for a joint."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from shopboard.prep.glue_up import Answer, answer
from shopboard.prep.known import known_points, morning_of
from shopboard.prep.minutes import check_minutes
from shopboard.prep.project_needs import ProjectNeeds, project_needs
from shopboard.shop.project import Joint, Project

if TYPE_CHECKING:
    from shopboard.desk import Desk


def needs_of(desk: Desk, project: Project) -> ProjectNeeds:
    """Work out what a project needs, on its start day where that is still to come.

    Raises:
        JournalError: when the journal cannot be read.
    """
    morning = morning_of(project.start, desk.now())
    names = (name for joint in project.joints for name in joint.points.values())
    known = known_points(desk, names, morning)
    day = project.start if morning is not None else None
    return project_needs(project, known, desk.shop.proof_level, day)


def answers_of(desk: Desk, joints: Iterable[Joint]) -> tuple[Answer, ...]:
    """Answer before a glue-up, for each of some joints, by what is known now.

    Raises:
        JournalError: when the journal cannot be read.
    """
    asked, shop = tuple(joints), desk.shop
    known = known_points(desk, (name for joint in asked for name in joint.points.values()))

    def minutes(point: str) -> float:
        return check_minutes(desk.journal, shop, point)

    wrong = desk.clock_is_wrong
    return tuple(
        answer(one, known, shop.proof_level, minutes, shop.unit, clock_is_wrong=wrong)
        for one in asked
    )
