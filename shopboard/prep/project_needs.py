"""What a project needs of the machines: how true each point must be, and which costs it most.

The misfit that is wanted of a joint is shared out by what the shop file asks of each point today,
all of them tightened or eased by one factor: a rule of our own, for there is no one right way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.conformity import Tolerance
from shopboard.prep.joint_fit import Box, JointFit, JointNeeds, box_of
from shopboard.prep.known import KnownPoint
from shopboard.prep.needs import joint_needs
from shopboard.prep.reason import Reason
from shopboard.shop.project import Joint, MisfitLimit, Project

_EASIEST = 1e4
"""Times as much as the shop file allows: beyond that a point does not matter."""


class PointNeeds(NamedTuple):
    """What a project needs of one point."""

    known: KnownPoint
    asked: float
    """Largest size that the shop file allows, rad or mm."""
    needed: float | None
    """Largest size that the project allows; None: any, it does not matter."""
    needed_by: str
    """Full name of the joint that needs it so true; empty: none."""
    cost: float | None
    """The largest share that it takes of what a joint is allowed; None: nothing is known of it."""
    costs: str
    """Which joint and effect that is, in words."""
    cancels: bool
    """Its error cancels in every joint of the project that it shows in."""
    of_knives: bool = False
    """It shows in none, but is set with the knives of a machine: known it must be, and not out."""

    @property
    def tighter(self) -> bool:
        """Whether the project needs it truer than the shop file asks, by more than a thousandth."""
        return self.needed is not None and self.needed < self.asked / 1.001


class ProjectNeeds(NamedTuple):
    """A whole project."""

    project: Project
    day: date | None
    """The day that it is asked for; None: today."""
    level: float
    """Probability with which no misfit is passed."""
    joints: tuple[JointNeeds, ...]
    points: tuple[PointNeeds, ...]
    """What costs the project most comes first; what is not known, before that."""
    to_do: Mapping[str, tuple[Reason, ...]] = {}
    """By the full name of a joint, what would make its misfits as wanted, or what it takes."""


def asked_of(tolerance: Tolerance) -> float:
    """Give the largest size of an error that a tolerance allows, rad or mm."""
    return max(abs(tolerance.low), abs(tolerance.high))


def project_needs(
    project: Project,
    known: Mapping[str, KnownPoint],
    level: float,
    day: date | None = None,
    to_do: Mapping[str, tuple[Reason, ...]] | None = None,
) -> ProjectNeeds:
    """Work out what a project needs.

    Args:
        project: the project.
        known: what is known of its points on that day, by full name.
        level: probability with which no misfit of a joint is passed.
        day: the day; None: today.
        to_do: by the full name of a joint, what would make its misfits as wanted.
    """
    joints = tuple(joint_needs(joint, known, level) for joint in project.joints)
    names = dict.fromkeys(name for joint in project.joints for name in joint.point_names)
    points = [_point_needs(known[name], joints, known) for name in names if name in known]
    points.sort(key=lambda one: (one.cost is not None, -(one.cost or 0.0), one.cancels))
    return ProjectNeeds(project, day, level, joints, tuple(points), to_do or {})


def _point_needs(
    one: KnownPoint, joints: Sequence[JointNeeds], known: Mapping[str, KnownPoint]
) -> PointNeeds:
    name, asked = one.full_name, asked_of(one.point.tolerance)
    shows = any(name in names for each in joints for names in each.joint.points.values())
    needed, needed_by, matters = None, "", False
    for joint, fit, _ in _wanted_of(joints, known):
        if name not in (share.point for share in fit.acting):
            continue
        matters = True
        factor = eased(fit, known)
        if factor is not None and (needed is None or factor * asked < needed):
            needed, needed_by = factor * asked, joint.full_name
    cost, costs = _cost(name, joints, known)
    return PointNeeds(
        *(one, asked, needed, needed_by, cost if one.stands else None, costs),
        cancels=one.adds and not matters and shows,
        of_knives=not shows,
    )


def _cost(
    name: str, joints: Sequence[JointNeeds], known: Mapping[str, KnownPoint]
) -> tuple[float, str]:
    """Give the largest share that a point takes of what a joint is allowed, and where."""
    cost, costs = 0.0, ""
    for joint, fit, limit in _wanted_of(joints, known, as_it_is=True):
        part = sum(one.at_most or 0.0 for one in fit.acting if one.point == name) / limit.mm
        if part > cost:
            cost, costs = part, f"{fit.effect.words} ({joint.name})"
    return cost, costs


def _wanted_of(
    joints: Sequence[JointNeeds], known: Mapping[str, KnownPoint], *, as_it_is: bool = False
) -> Iterator[tuple[Joint, JointFit, MisfitLimit]]:
    """Give every misfit of which something is wanted; `as_it_is`: in the way that a box fits now.

    A box costs nothing that it does not have to meet; what it needs follows from no result.
    """
    for each in joints:
        for fit in wanted_fits(each.fits, known, as_it_is=as_it_is):
            if fit.limit is not None and not fit.waived:
                yield each.joint, fit, fit.limit


def wanted_fits(
    fits: Sequence[JointFit], known: Mapping[str, KnownPoint], *, as_it_is: bool = False
) -> tuple[JointFit, ...]:
    """Give the misfits that a joint must keep as wanted: of a box, those of one way to close it.

    Args:
        fits: all of the joint.
        known: what is known of its points.
        as_it_is: go by the other way where it fits in that alone.
    """
    box = box_of(fits)
    if box is None:
        return tuple(fits)
    way, other = by_ease(box, known)
    if as_it_is and all(one.fits for one in other) and not all(one.fits for one in way):
        way = other
    return (*way, *(one for one in fits if one is not box.gap and one is not box.square))


def by_ease(
    box: Box, known: Mapping[str, KnownPoint]
) -> tuple[tuple[JointFit, ...], tuple[JointFit, ...]]:
    """Give what the two ways to close a box ask, the one first that asks less of the points.

    Either will do, so no point needs more than the easier one asks. That goes by the sizes and by
    what is allowed alone: a need that followed from the results could not judge them.
    """

    def ease(way: Sequence[JointFit]) -> float:
        return min(math.inf if (one := eased(fit, known)) is None else one for fit in way)

    held, tight = box.ways
    return (tight, held) if ease(tight) > ease(held) else (held, tight)


def eased(fit: JointFit, known: Mapping[str, KnownPoint]) -> float | None:
    """Give the factor on what the shop file asks of each point at which a misfit is as wanted.

    Returns:
        None where no error that makes any sense gives so much, or nothing is wanted.
    """
    terms = [
        (term.work, asked_of(known[share.point].point.tolerance))
        for term, share in zip(fit.effect.terms, fit.shares, strict=True)
        if not share.cancels and share.point
    ]
    if fit.limit is None or not terms:
        return None

    def total(factor: float) -> float:
        return sum(work(factor * asked) for work, asked in terms)

    low, high = 0.0, 1.0
    while total(high) < fit.limit.mm:
        low, high = high, 2 * high
        if high > _EASIEST:
            return None
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if total(middle) < fit.limit.mm else (low, middle)
    return low
