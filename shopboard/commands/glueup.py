"""Go or hold before a glue-up, with the reasons and the shortest thing to do about each."""

from __future__ import annotations

import argparse
from contextlib import closing
from typing import TYPE_CHECKING

from shopboard.base import exit_codes
from shopboard.commands.acts import act, another, say_on_record, uid_argument
from shopboard.commands.acts import found as on_act
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json, say
from shopboard.commands.project import (
    decision_json,
    joint_json,
    joint_named,
    project_named,
    reason_json,
)
from shopboard.commands.shared import few_words, shop_opened, withdraw_argument

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop
    from shopboard.prep.decided import Decision
    from shopboard.prep.glue_up import GlueUpAnswer
    from shopboard.shop.project import Project


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("project", metavar="PROJECT", help="its id")
    parser.add_argument("joint", metavar="JOINT", nargs="?", help="the joint's id")
    parser.add_argument(
        "--anyway",
        metavar="REASON",
        help="record that you glue up on HOLD, and why; it makes no GO of it",
    )
    withdraw_argument(parser, "withdraw the newest such decision, and why")
    parser.add_argument("--json", action="store_true", help="JSON, with every reason")
    uid_argument(parser)
    parser.epilog = (
        "Go only if every point that shows in the joint was measured and its result still"
        " stands, none of their checks is begun and not finished, no machine that made it is"
        " tagged or has its cutter out, the clock can be trusted, and no gap or error can exceed"
        " what is allowed, for all points of the joint together, as surely as the shop file"
        " asks. Errors are never counted on to cancel each other by luck; what cancels for sure,"
        " such as the edges of boards whose faces are alternated, is said. It speaks of fit,"
        " never of safety."
    )


def run(options: argparse.Namespace) -> int:
    """Print the answer; the exit code is 0 for go, 1 for hold."""
    from shopboard.prep.answers import answers_of
    from shopboard.prep.glue_up import ABOUT_FIT
    from shopboard.prep.needs_words import command_words, fit_words, sure_words, to_do_words

    records = bool(options.anyway or options.take_back)
    with (
        act(options, records=records) as uid,
        closing(shop_opened(options, records=records)) as open_shop,
    ):
        unit = open_shop.shop.unit
        project = project_named(open_shop.shop, options.project)
        joint = joint_named(project, options.joint or _one_of(project))
        found = answers_of(open_shop, (joint,))[0]
        decided = _decided(open_shop, found, options, uid)
    code = exit_codes.ALL_RIGHT if found.go else exit_codes.HOLD
    if options.json:
        out_json(
            {
                "project": project.id,
                "joint": joint.id,
                "go": found.go,
                "level": found.level,
                "about": ABOUT_FIT,
                "reasons": [reason_json(one) for one in found.reasons],
                "decided": [decision_json(one) for one in decided],
                "details": joint_json(found.needs),
            }
        )
        return code
    out(f"{found.word}: {joint.name} ({project.name})")
    for number, one in enumerate(found.told, 1):
        out(f"{number}. {one.words}.", f"   {to_do_words(one)}")
        out(*(f"   {command_words(point, one, joint)}" for point in one.points))
    out(*(f"And {one.words}." for one in found.reasons if one not in found.told))
    if found.go:
        out(*(f"   {fit.effect.words}: {fit_words(fit, unit)}" for fit in found.needs.fits))
        out(f"   {sure_words(found)}")
    out(*(f"   your decision: {one.words}" for one in decided))
    say(ABOUT_FIT)
    return code


def _one_of(project: Project) -> str:
    """Give the id of the joint where it is the only one.

    Raises:
        UsageError: when there are more.
    """
    ids = [one.id for one in project.joints]
    if len(ids) > 1:
        raise UsageError(f"which joint of {project.id}? It has {', '.join(ids)}")
    return "".join(ids)


def _decided(
    open_shop: OpenShop, found: GlueUpAnswer, options: argparse.Namespace, uid: str
) -> list[Decision]:
    """Record or withdraw a decision on hold, if that is asked; give those of the joint.

    Raises:
        UsageError: when nothing holds it up, or there is nothing to withdraw.
    """
    from shopboard.journal import kinds
    from shopboard.prep.decided import decide, decisions, standing_decision

    if options.anyway is not None and options.take_back is not None:
        raise UsageError("give --anyway or --withdraw, not both")
    kind = (kinds.GLUE_UP if options.take_back is None else kinds.VOID).name
    asked = options.anyway is not None or options.take_back is not None
    before = on_act(open_shop, options, kind, "", found.joint.full_name) if asked else None
    if before is not None:
        why = kinds.GLUE_UP.read(before).why
        if options.anyway is not None and why != few_words(options.anyway, "a reason"):
            raise another(options)
        say_on_record(before)
        return decisions(open_shop.journal, found.joint)
    if options.anyway is not None:
        try:
            decide(open_shop.journal, found, few_words(options.anyway, "a reason"), uid)
        except ValueError as error:
            raise UsageError(str(error)) from None
    if options.take_back is not None:
        newest = standing_decision(open_shop.journal, found.joint)
        if newest is None:
            raise UsageError(f"there is no decision of {found.joint.full_name}")
        open_shop.journal.void(newest.uid, few_words(options.take_back, "a reason"), uid)
    return decisions(open_shop.journal, found.joint)
