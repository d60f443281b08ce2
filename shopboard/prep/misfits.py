"""Misfits that can pass what is wanted: what would mend each, or what it takes that is not at hand.

One source of the words for the answer before a glue-up, what a project needs, and the prep day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice

from shopboard.checks.further import SORTS
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import MM_PER_INCH, by_unit
from shopboard.metrology.wording import length, small_limit, small_move
from shopboard.prep.joint_fit import JointFit, JointNeeds
from shopboard.prep.known import KnownPoint
from shopboard.prep.mend import (
    Mend,
    MendOption,
    Minutes,
    Options,
    Parts,
    find_mend,
    least,
    minutes_for,
)
from shopboard.prep.misfit_parts import most_words, parts_of
from shopboard.prep.needs import joint_needs
from shopboard.prep.open_misfits import OpenMisfit, mends_of
from shopboard.prep.reason import Reason
from shopboard.shop.joint_forms import FORMS
from shopboard.shop.project import Joint, MisfitLimit

_SMALLER = (0.75, 0.5)
"""Parts of a joint's size that are tried; a smaller one would be another piece of furniture."""

_SAY_SO = "and say so in the shop file"

_MOST_OTHERS = 2
"""Ways that are told beside each other."""


def misfit_reasons(
    needs: JointNeeds,
    points: Mapping[str, KnownPoint],
    mends: Sequence[OpenMisfit],
    options: Options,
    minutes: Minutes,
    unit: Unit,
) -> list[Reason]:
    """Name misfits that can pass what is wanted, or cannot be proven at all, the worst first.

    One that is as wanted as far as is known, and can be proven, is not among them.
    """
    found: list[tuple[float, Reason]] = []
    for fit, limit, mend in mends:
        ratio = fit.known_so_far / limit.mm
        misfit, most, worst = _words(fit, limit, points, unit)
        words = f"{misfit}. {most}" if most else misfit
        if mend is None or not mend.at_hand:
            to_do = cannot_words(needs, fit, mend, points, options, minutes, unit)
            found.append((ratio, Reason("cannot", words, to_do, about=worst, misfit=misfit)))
        elif fit.known_so_far > limit.most:
            asked = _mended(words, worst, mend, points, minutes)
            found.append((ratio, asked._replace(misfit=misfit)))
    return [reason for _, reason in sorted(found, key=lambda each: -each[0])]


def _words(
    fit: JointFit, limit: MisfitLimit, points: Mapping[str, KnownPoint], unit: Unit
) -> tuple[str, str, str]:
    """Say what a misfit can come to, what makes most of it, and name the point that does."""
    what = f"{fit.effect.words[:1].upper()}{fit.effect.words[1:]}"
    wanted = f"at most {small_limit(limit.mm, unit)} is allowed"
    parts = parts_of(fit)
    if not parts or fit.known_so_far <= limit.most:
        unknown = next((one.point for one in fit.shares if one.at_most is None), "")
        return f"{what} cannot be proven, {wanted}", "", unknown
    alone = " by what is measured alone" if _unmeasured(fit) else ""
    misfit = f"{what} can be {small_move(fit.known_so_far, unit)}{alone}, {wanted}"
    most = most_words(parts, points, unit) if len(parts) > 1 else ""
    return misfit, most, next(iter(parts))


def _unmeasured(fit: JointFit) -> bool:
    """Tell whether anything that acts on a misfit is not known: it comes on top of the rest."""
    return any(one.at_most is None for one in fit.acting)


def _mended(
    words: str, worst: str, mend: Mend, points: Mapping[str, KnownPoint], minutes: Minutes
) -> Reason:
    """Ask for the checks that do."""
    to_do = f"check {_checks_words(mend, points)}"
    to_do += f", and set {'it' if len(mend.chosen) == 1 else 'them'} right"
    took = minutes_for(mend.points, mend.chosen, minutes)
    methods = {name: one.method for name, one in mend.chosen.items() if one.how}
    first = mend.points[0]
    named = next((one.first_name for one in mend.chosen.values() if first in one.first), "")
    short = points[first].point.name if first in points else named.rpartition(": ")[2]
    return Reason("too much", words, to_do, mend.points, took, worst, short, methods)


def _checks_words(mend: Mend, points: Mapping[str, KnownPoint]) -> str:
    """Name the checks, each after what has to be checked before it; that is told once."""
    told: dict[str, None] = {}
    for name, one in mend.chosen.items():
        if one.first:
            told[one.first_name] = None
        told[f"{points[name].name}{f' {one.how}' if one.how else ''}"] = None
    return ", then ".join(told)


def cannot_words(
    needs: JointNeeds,
    fit: JointFit,
    mend: Mend | None,
    points: Mapping[str, KnownPoint],
    options: Options,
    minutes: Minutes,
    unit: Unit,
) -> str:
    """Say that the tools at hand cannot prove what is wanted, and what would."""
    best = least(fit, needs.each, options)
    if best is None:
        names = [
            points[share.point].name
            for share in fit.acting
            if share.point in points and not options(share.point)
        ]
        lacks = ", ".join(dict.fromkeys(names))
        return f"{lacks} cannot be checked with your tools (`shopboard points --best`)"
    others = _others(needs, fit, mend, points, options, minutes)
    words = f"your tools cannot prove that it fits, {small_move(best, unit)} at best"
    words += ", with all of it measured" if _unmeasured(fit) else ""
    told = [f"check {one}" for one in others]
    told += _other_joints(needs, points, options, minutes, unit)
    told.append(f"accept {_rounded_up(best, unit)} in the shop file")
    finer = "" if others else _finer_tools(needs, fit, points, options)
    helps = f". This may help: {finer}" if finer else ""
    return f"{words}. What would help: {'; or '.join(told)}{helps}"


def _others(
    needs: JointNeeds,
    fit: JointFit,
    mend: Mend | None,
    points: Mapping[str, KnownPoint],
    options: Options,
    minutes: Minutes,
) -> list[str]:
    """Name what would do that is not at hand, one sort of it at a time, the least trouble first."""
    told: list[str] = []
    for sort in SORTS:

        def allowed(name: str, sort: str = sort) -> list[MendOption]:
            return [one for one in options(name) if one.at_hand or one.sort == sort]

        found = find_mend(fit, needs.each, allowed, minutes)
        words = _checks_words(found, points) if found is not None else ""
        if words and words not in told:
            told.append(words)
    if not told and mend is not None:
        told.append(_checks_words(mend, points))
    return told[:_MOST_OTHERS]


def _finer_tools(
    needs: JointNeeds, fit: JointFit, points: Mapping[str, KnownPoint], options: Options
) -> str:
    """Name what would make the check finer of the point that leaves most open; empty: nothing."""
    parts = Parts(fit, needs.each)
    left_open = {
        name: min(parts.fresh(name, one) for one in found)
        for name in parts.now
        if (found := [one for one in options(name) if one.at_hand])
    }
    if not left_open:
        return ""
    most = max(left_open, key=lambda name: left_open[name])
    finer = next((one.finer for one in options(most) if one.finer), "")
    return f"{finer} ({points[most].name})" if finer else ""


def _other_joints(
    needs: JointNeeds,
    points: Mapping[str, KnownPoint],
    options: Options,
    minutes: Minutes,
    unit: Unit,
) -> list[str]:
    """Name how the joint could be made otherwise, so that all of it can be proven."""
    joint, form = needs.joint, FORMS[needs.joint.kind]
    now = joint.closed or next(iter(form.closings), None)
    tried = [
        (f"close it otherwise ({one}) {_SAY_SO}", joint._replace(closed=one))
        for one in form.closings
        if one != now
    ]
    if form.turns and not joint.alternate:
        words = f"alternate the faces in cutting {_SAY_SO}"
        tried.append((words, joint._replace(alternate=True)))
    for name, mm in joint.sizes.items():
        for part in _SMALLER:
            words = f"a {name.replace('_', ' ')} of {length(mm * part, unit)}"
            tried.append((words, joint._replace(sizes={**joint.sizes, name: mm * part})))
    told = (words for words, one in tried if _can_be(one, needs.level, points, options, minutes))
    return list(islice(told, 1))


def _can_be(
    joint: Joint,
    level: float,
    points: Mapping[str, KnownPoint],
    options: Options,
    minutes: Minutes,
) -> bool:
    """Tell whether all misfits of a joint can be proven to be as wanted with the tools at hand."""
    needs = joint_needs(joint, points, level)
    asked = mends_of(needs, points, options, minutes)
    return not needs.refused and not needs.missing and all(one.can_be for one in asked)


def _rounded_up(mm: float, unit: Unit) -> str:
    """Write a misfit so that as much can be asked for."""
    step = by_unit(unit, MM_PER_INCH / 1000, 0.01)
    return small_limit(step * -(-mm // step), unit)
