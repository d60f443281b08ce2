"""What will be made: the misfit of each joint, how true each point must be, what costs most."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from contextlib import closing
from typing import TYPE_CHECKING

from shopboard.commands.errors import UsageError
from shopboard.commands.output import moment_json, out, out_json, say
from shopboard.commands.shared import no_such, shop_opened
from shopboard.metrology.kind import in_units
from shopboard.shop.joint_forms import FORMS

if TYPE_CHECKING:
    from shopboard.metrology.quantity import Unit
    from shopboard.prep.decided import Decision
    from shopboard.prep.joint_fit import JointFit, JointNeeds
    from shopboard.prep.project_needs import PointNeeds, ProjectNeeds
    from shopboard.prep.reason import Reason
    from shopboard.shop.model import Shop
    from shopboard.shop.project import Joint, Project


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("project", metavar="PROJECT", nargs="?", help="its id; left out: all")
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.epilog = (
        "How true each point must be on the day on which its wood is cut, beside what the shop"
        " file asks of it, what costs the project most first; and of each joint how far"
        " it is likely to be off, and the most that it will be."
    )


def run(options: argparse.Namespace) -> int:
    """Print each project: its joints, then its points, the costliest first."""
    from shopboard.prep.answers import needs_of
    from shopboard.prep.decided import decisions

    with closing(shop_opened(options)) as open_shop:
        unit = open_shop.shop.unit
        if options.project is None:
            projects = open_shop.shop.projects
        else:
            projects = (project_named(open_shop.shop, options.project),)
        found = [needs_of(open_shop, one) for one in projects]
        decided = {
            joint.full_name: [one.words for one in decisions(open_shop.journal, joint)]
            for project in projects
            for joint in project.joints
        }
    if options.json:
        out_json({"projects": [_json(one) for one in found]})
        return 0
    for number, one in enumerate(found):
        out(*([""] if number else []), *_lines(one, unit, decided))
    if not found:
        say("There is no project in the shop file; [[project]] begins one.")
    return 0


def project_named(shop: Shop, name: str) -> Project:
    """Find a project by its id.

    Raises:
        UsageError: when there is none.
    """
    projects = {one.id: one for one in shop.projects}
    if not projects:
        raise UsageError("there is no project in the shop file; [[project]] begins one")
    if name not in projects:
        raise no_such("project", name, projects)
    return projects[name]


def joint_named(project: Project, name: str) -> Joint:
    """Find a joint of a project by its id.

    Raises:
        UsageError: when there is none.
    """
    joints = {one.id: one for one in project.joints}
    if not joints:
        raise UsageError(f"{project.id} has no joint yet; [[project.joint]] adds one")
    if name not in joints:
        raise no_such(f"joint of {project.id}", name, joints)
    return joints[name]


def _lines(needs: ProjectNeeds, unit: Unit, decided: Mapping[str, list[str]]) -> list[str]:
    from shopboard.prep.needs_words import (
        at_most_words,
        cancelling_words,
        cost_words,
        date_words,
        fit_mark,
        fit_words,
        joint_words,
        needed_words,
        sizes_words,
        to_do_words,
    )

    project = needs.project
    day = f", as of its start on {date_words(needs.day)}" if needs.day else ", as of today"
    lines = [f"{project.id}: {project.name}{day}; {at_most_words(needs.level)}"]
    for one in needs.joints:
        joint = one.joint
        about = f"{joint_words(joint)}; {sizes_words(joint, unit)}"
        lines.append(f"  {joint.id}: {joint.name} ({about}): {one.stands}")
        for fit in one.fits:
            lines.append(f"    {fit_mark(fit)} {fit.effect.words}: {fit_words(fit, unit)}")
            lines.append(f"        {fit.effect.note}")
        to_do = needs.to_do.get(joint.full_name, ())
        lines += [f"      → {reason.words}; {to_do_words(reason)}" for reason in to_do]
        lines += [f"      your decision: {words}" for words in decided[joint.full_name]]
        lines += [f"      {words}" for words in cancelling_words(one)]
        lines += [f"    ? nothing proves the {cut}" for cut in one.missing]
        lines += [f"    ? it cannot be worked out: {one.refused}"] if one.refused else []
    if not needs.joints:
        lines.append("  It has no joint yet; [[project.joint]] below it begins one.")
    if needs.points:
        lines.append("  How true each point must be; what costs this project most comes first:")
    for number, point in enumerate(needs.points, 1):
        lines.append(f"    {number}. {point.known.full_name}: {point.known.name}")
        lines.append(f"       {needed_words(point, unit)}")
        lines.append(f"       {cost_words(point)}")
    return lines


def _json(needs: ProjectNeeds) -> dict[str, object]:
    project = needs.project
    return {
        "id": project.id,
        "name": project.name,
        "start": project.start.isoformat() if project.start else None,
        "as_of": needs.day.isoformat() if needs.day else "today",
        "level": needs.level,
        "joints": [{**joint_json(one), "to_do": _to_do_json(needs, one)} for one in needs.joints],
        "points": [_point_json(one) for one in needs.points],
    }


def decision_json(one: Decision) -> dict[str, object]:
    """Give a glue-up on hold as data."""
    return {
        "uid": one.uid,
        "when": moment_json(one.when),
        "by": one.by or None,
        "why": one.why,
        "held": list(one.held),
        "taken_back": one.taken_back,
    }


def _to_do_json(needs: ProjectNeeds, one: JointNeeds) -> list[dict[str, object]]:
    return [reason_json(reason) for reason in needs.to_do.get(one.joint.full_name, ())]


def reason_json(one: Reason) -> dict[str, object]:
    """Give a reason to hold as data."""
    return {
        "sort": one.sort,
        "reason": one.words,
        "about": one.about or None,
        "to_do": one.to_do,
        "check": list(one.points),
        "methods": dict(one.methods),
        "minutes": one.minutes,
    }


def joint_json(one: JointNeeds) -> dict[str, object]:
    """Give a joint as data."""
    joint = one.joint
    return {
        "id": joint.id,
        "name": joint.name,
        "kind": joint.kind,
        "count": joint.number,
        "pieces": joint.pieces or None,
        "alternate": joint.alternate,
        "closed": joint.closed or next(iter(FORMS[joint.kind].closings), None),
        "two_fences": joint.two_fences,
        "sizes_mm": dict(joint.sizes),
        "made_on": {cut: list(names) for cut, names in joint.points.items()}
        | ({"length": ["by hand"]} if joint.lengths_by_hand else {}),
        "stands": one.stands,
        "nothing_proves": list(one.missing),
        "not_proven": {known.full_name: known.why for known in one.unknown},
        "effects": [_fit_json(fit) for fit in one.fits],
    }


def _fit_json(fit: JointFit) -> dict[str, object]:
    return {
        "fit": fit.effect.fit,
        "what": fit.effect.words,
        "note": fit.effect.note,
        "likely": _misfit_json(fit.likely),
        "at_most": _misfit_json(fit.at_most),
        "wanted": _misfit_json(fit.limit.mm if fit.limit else None),
        "wanted_by": fit.limit.source if fit.limit else None,
        "cancels": fit.cancels,
        "not_asked": fit.waived or None,
        "fits": fit.fits,
        "shares": [
            {
                "shows_in": share.shows_in,
                "point": share.point or None,
                "at_most": _misfit_json(share.at_most),
                "cancels": share.cancels,
            }
            for share in fit.shares
        ],
    }


def _misfit_json(mm: float | None) -> dict[str, float] | None:
    return None if mm is None else in_units(mm, "length")


def _point_json(one: PointNeeds) -> dict[str, object]:
    kind = one.known.point.tolerance.kind
    return {
        "id": one.known.full_name,
        "name": one.known.point.name,
        "state": one.known.state,
        "not_proven": one.known.why or None,
        "shop_file": one.known.point.tolerance.typed,
        "shop_file_allows": in_units(one.asked, kind),
        "needed": None if one.needed is None else in_units(one.needed, kind),
        "needed_by": one.needed_by or None,
        "tighter": one.tighter,
        "share_of_limit": one.cost,
        "costs_most_in": one.costs or None,
        "cancels": one.cancels,
    }
