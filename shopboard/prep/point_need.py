"""What a joint, or a whole project, asks of one point: what a check that is made for it sets to."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from shopboard.checks.need import Need
from shopboard.prep.answers import minutes_of, morning_of
from shopboard.prep.joint_fit import JointFit, JointNeeds
from shopboard.prep.known import KnownPoint, known_points
from shopboard.prep.mend import Mend, MendOption, Options
from shopboard.prep.needs import joint_needs
from shopboard.prep.open_misfits import mends_of
from shopboard.prep.options import options_on
from shopboard.prep.project_needs import asked_of, eased, wanted_fits
from shopboard.prep.room import room_for
from shopboard.shop.project import Joint, Project

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop

_LARGEST = {"angle": 0.2}
"""rad; an angle that may be larger is not one that a machine has."""


def need_for(
    open_shop: OpenShop, name: str, project: Project, joint: Joint | None = None
) -> Need | None:
    """Give what a joint asks of a point now, or the tightest that a project's joints ask.

    It is what the project is said to need of the point. Only where that cannot be proven, or the
    points that stay as they are leave less, is it its part of what they leave, shared out among
    those to check by what their checks leave open: so each can be met where all can.

    Args:
        open_shop: shop, journal and time.
        name: full name of the point.
        project: what is made.
        joint: one of its joints; None: all of them, as of the day on which it begins.

    Returns:
        None where no joint asks anything of it that a machine could miss.

    Raises:
        JournalError: when the journal cannot be read.
    """
    day = morning_of(open_shop, project) if joint is None else None
    joints = [one for one in project.joints if name in one.point_names and joint in (None, one)]
    known = known_points(open_shop, (each for one in joints for each in one.point_names), day)
    found = [
        need
        for one in joints
        for need in _asked_by(
            open_shop, name, joint_needs(one, known, open_shop.shop.proof_level), known, day
        )
    ]
    tightest = min(found, key=lambda one: one.size, default=None)
    if tightest is None or name not in known:
        return None
    if tightest.size > _LARGEST.get(known[name].point.tolerance.kind, 1e6):
        return None
    return tightest._replace(of=joint.full_name if joint is not None else project.id)


def _asked_by(
    open_shop: OpenShop,
    name: str,
    needs: JointNeeds,
    known: Mapping[str, KnownPoint],
    day: datetime | None,
) -> list[Need]:
    """Give what each misfit of a joint asks of a point."""
    options = options_on(open_shop, day)
    asked_for = mends_of(needs, known, options, partial(minutes_of, open_shop))
    mended = {one.fit.effect.fit for one in asked_for}
    asked = [_by_misfit(name, one.fit, one.mend, needs, known, options) for one in asked_for]
    asked += [
        _by_misfit(name, each, None, needs, known, options)
        for each in wanted_fits(needs.fits, known)
        if each.fits and each.effect.fit not in mended
    ]
    return [need for need in asked if need is not None]


def _by_misfit(
    name: str,
    fit: JointFit,
    mend: Mend | None,
    needs: JointNeeds,
    known: Mapping[str, KnownPoint],
    options: Options,
) -> Need | None:
    """Give what one misfit asks of a point; None: nothing, or nothing that could be met."""
    names = [one.point for one in fit.acting]
    if fit.limit is None or fit.waived or name not in names:
        return None
    chosen = _chosen(name, names, mend, needs, known, options)
    size = room_for(fit, needs.each, chosen).get(name)
    if size is None or size <= 0:
        return None
    way = chosen[name]
    said = _said(fit, known)
    least = way.fresh.bound(needs.each)
    is_said = name in said and (
        least <= said[name] < size
        or size < least  # no check proves its part, nor that of any other
        or all(_left(one, chosen, known, needs.each) <= most for one, most in said.items())
    )
    size = said[name] if is_said else size
    how = way.how if mend is not None and name in mend.chosen else ""
    return Need(
        *(size, needs.each, needs.joint.name, "", how, way.aim),
        by_others=name in said and not is_said,
    )


def _said(fit: JointFit, known: Mapping[str, KnownPoint]) -> dict[str, float]:
    """Give what a project is said to need of each point for a misfit; empty: any would do."""
    names = dict.fromkeys(one.point for one in fit.acting)
    factor = eased(fit, known) if all(one in known for one in names) else None
    if factor is None:
        return {}
    return {one: factor * asked_of(known[one].point.tolerance) for one in names}


def _left(
    name: str, chosen: Mapping[str, MendOption], known: Mapping[str, KnownPoint], level: float
) -> float:
    """Give how large the error of a point may be once what is chosen is checked, rad or mm."""
    now = chosen[name].fresh if name in chosen else known[name].now
    return now.bound(level) if now is not None else math.inf


def _chosen(
    name: str,
    names: Iterable[str],
    mend: Mend | None,
    needs: JointNeeds,
    known: Mapping[str, KnownPoint],
    options: Options,
) -> dict[str, MendOption]:
    """Choose how each point is checked: as the mend says, else so that least is left open.

    Where a mend is told, what it leaves out stays as it is, but for the point itself and what
    cannot be gone by.
    """
    chosen: dict[str, MendOption] = dict(mend.chosen) if mend is not None else {}
    for one in names:
        if one in chosen or one not in known:
            continue
        ways = [way for way in options(one) if way.at_hand]
        if ways and (mend is None or one == name or not known[one].stands):
            chosen[one] = min(ways, key=lambda way: way.fresh.bound(needs.each))
    return chosen
