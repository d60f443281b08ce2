"""Which points a project needs, and which of them have to be checked before its wood is cut."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from shopboard.base.dates import days_after
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.prep.answers import minutes_of, morning_of
from shopboard.prep.glue_up import GlueUpAnswer, Reason, answer
from shopboard.prep.known import KnownPoint, known_points
from shopboard.prep.needs_words import date_words
from shopboard.prep.options import options_on
from shopboard.prep.stays_open import StaysOpen
from shopboard.shop.model import Shop
from shopboard.shop.project import Joint, Project
from shopboard.upkeep.undone import below

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop


class Wanted(NamedTuple):
    """What a project asks of the points."""

    needed: frozenset[str]
    """Full names of the points that show in its joints, with all that these rest on, and of those
    that guard a person at its machines."""
    to_check: Mapping[str, str]
    """Full names of those to check, each with why; empty: how it stands says it."""
    notes: tuple[StaysOpen, ...] = ()
    """What no check of today can prove for it, and what would."""
    not_enough: frozenset[str] = frozenset()
    """Full names of the points of which this is said: they are not good enough as they are."""


def points_of(project: Project, shop: Shop) -> frozenset[str]:
    """Give every point that shows in a project's joints, with all that they rest on."""
    names = {name for joint in project.joints for name in joint.point_names}
    found = {name for name in names if name in shop.points}
    under = (below(shop.points[name], shop.points) for name in tuple(found))
    return frozenset(found.union(*under))


def wanted(open_shop: OpenShop, project: Project) -> Wanted:
    """Find out what has to be checked so that every joint of a project fits on its start day.

    That is what is not proven on that day, what lets a misfit become too large, and what of that
    they rest on is not true. A point out of the shop file's tolerance whose error no joint minds
    is not among them.

    Raises:
        JournalError: when the journal cannot be read.
    """
    shop = open_shop.shop
    names = (name for joint in project.joints for name in joint.point_names)
    morning = morning_of(open_shop, project)
    known = known_points(open_shop, names, morning)
    asked = _Asked(open_shop, known, morning)
    for joint in project.joints:
        for reason in _answer(open_shop, joint, known, morning).reasons:
            if reason.sort == "not proven" and reason.about in shop.points:
                asked.not_proven(joint, reason)
            elif reason.sort == "too much":
                asked.too_much(joint, reason)
            elif reason.sort in ("cannot", "nothing shows"):
                asked.cannot(joint, reason)
    asked.bases()
    needed = points_of(project, shop) | asked.guards(project)
    return Wanted(needed, asked.to_check, tuple(asked.notes), frozenset(asked.short))


class _Asked:
    """Collects what the joints of a project ask for."""

    def __init__(
        self, open_shop: OpenShop, known: Mapping[str, KnownPoint], morning: datetime | None
    ) -> None:
        self.open_shop = open_shop
        self.known = known
        self.morning = morning
        self.to_check: dict[str, str] = {}
        self.notes: dict[StaysOpen, None] = {}
        self.short: set[str] = set()

    def not_proven(self, joint: Joint, reason: Reason) -> None:
        """Ask for the check of a point that cannot be gone by; what is true, only on its day."""
        again = _due_again(self.open_shop, reason, self.morning) if self.morning else []
        if self.morning is not None and again:
            when = date_words(self.morning.date())
            for name in again:
                note = self._note(name, f"due again by {when}", "check it then, not now")
                self.notes[note] = None
            self.short.add(reason.about)
        elif _is_true(self.open_shop, reason.about):
            for name in reason.points:  # itself, or what it rests on while that is checked
                one = self.known[reason.about]
                why = f", {one.why}" if name == reason.about else f"; {one.name}: {one.why}"
                self.to_check[name] = f"true now{why}"
        else:
            stands = self.open_shop.standing.of_point(reason.about)
            if reason.methods and stands is not None:  # not just as it usually is checked
                words = f"{state_word(stands.state)}: {stands.reason}; {joint.name}: {reason.to_do}"
                self.to_check[reason.about] = words
            self.to_check.setdefault(reason.about, "")

    def too_much(self, joint: Joint, reason: Reason) -> None:
        """Ask for the checks that make a misfit small enough."""
        for point in reason.points:
            words = f"{joint.name}: {reason.misfit}"
            if point in reason.methods:
                self.to_check[point] = f"{words}; {reason.to_do}"
            self.to_check.setdefault(point, words)

    def cannot(self, joint: Joint, reason: Reason) -> None:
        """Say what no check of now can prove; what is out is set right all the same.

        It may be one of the day itself.
        """
        self.short.update(joint.point_names)
        for name in joint.point_names:
            if _is_out(self.open_shop, name):
                self.to_check.setdefault(name, "")
        words, to_do = reason.words, reason.to_do
        if self.morning is not None:
            then = _answer(self.open_shop, joint, self.known, None).reasons
            if not any((one.sort, one.about) == (reason.sort, reason.about) for one in then):
                when = date_words(self.morning.date())
                words += f". What is checked now will have moved too much by {when}"
                to_do = "check then"
        project = self.open_shop.shop.projects_by_id[joint.project].name
        ids = "", joint.full_name
        in_vain = reason.sort == "cannot"
        self.notes[StaysOpen("joint", *ids, project, joint.name, words, to_do, in_vain)] = None

    def _note(self, full_name: str, why: str, remedy: str) -> StaysOpen:
        shop = self.open_shop.shop
        point = shop.points[full_name]
        where = shop.machines_by_id[point.machine].name
        return StaysOpen("point", point.machine, full_name, where, point.name, why, remedy)

    def guards(self, project: Project) -> set[str]:
        """Ask for what guards a person at the project's machines, where it is to be checked."""
        machines = self.open_shop.shop.machines_by_id
        points = [one for name in project.machines for one in machines[name].points if one.guards]
        for one in points:
            stands = self.open_shop.standing.of_point(one.full_name)
            if stands is not None and stands.to_check:
                self.to_check.setdefault(one.full_name, "")
        return {one.full_name for one in points}

    def bases(self) -> None:
        """Ask for what the points to check rest on and is not true."""
        points = self.open_shop.shop.points
        for name in tuple(self.to_check):
            for base in below(points[name], points):
                if not _is_true(self.open_shop, base):
                    self.to_check.setdefault(base, "")


def _answer(
    open_shop: OpenShop, joint: Joint, known: Mapping[str, KnownPoint], day: datetime | None
) -> GlueUpAnswer:
    """Answer for a day, taking what is checked to be checked now."""
    return answer(
        *(joint, known, open_shop.shop.proof_level, partial(minutes_of, open_shop)),
        open_shop.shop.unit,
        options=options_on(open_shop, day),
    )


def _due_again(open_shop: OpenShop, reason: Reason, day: datetime) -> list[str]:
    """Name what a check of now would be due again by a day, of what would have to be checked."""
    names = (name for name in (reason.about, *reason.points) if _is_due_again(open_shop, name, day))
    return [*dict.fromkeys(names)]


def _is_due_again(open_shop: OpenShop, name: str, day: datetime) -> bool:
    """Tell whether a check of now would be due again by a day, and nothing but age asks for it."""
    stands = open_shop.standing.of_point(name)
    if stands is None or stands.record is None or stands.undone:
        return False
    if stands.state not in ("true", "due"):
        return False
    holds = stands.record.holds
    limits = (stands.point.every_days, holds.days if holds is not None else None)
    days = min((one for one in limits if one is not None), default=None)
    return days is not None and days_after(open_shop.now(), days) <= day


def _is_out(open_shop: OpenShop, name: str) -> bool:
    stands = open_shop.standing.of_point(name)
    return stands is not None and stands.state == "out"


def _is_true(open_shop: OpenShop, name: str) -> bool:
    stands = open_shop.standing.of_point(name)
    return stands is not None and stands.state == "true"
