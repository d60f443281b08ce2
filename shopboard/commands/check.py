"""Run one check: as plain lines in any terminal, or from a file of answers."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from shopboard.commands.acts import act, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.shared import method_named, point_named, shop_opened
from shopboard.journal import kinds

if TYPE_CHECKING:
    from shopboard.checks.need import Need
    from shopboard.open_shop import OpenShop
    from shopboard.shop.machine import Point


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("point", metavar="MACHINE.POINT")
    parser.add_argument("--method", metavar="NAME", help="where the point has more than one")
    parser.add_argument(
        "--for",
        dest="project",
        metavar="PROJECT[.JOINT]",
        help="true it to what that needs, where it is tighter than the shop file",
    )
    parser.add_argument("--answers", metavar="FILE", help="TOML: one answer by step name a line")
    parser.add_argument(
        "--blank", action="store_true", help="print a blank file of answers: every name it can ask"
    )
    parser.add_argument("--json", action="store_true", help="JSON; goes with --answers")
    parser.add_argument(
        "--no-record", action="store_true", help="leave the journal as it is; with --answers"
    )
    uid_argument(parser)


def run(options: argparse.Namespace) -> int:
    """Run the check."""
    if (options.json or options.no_record) and not options.answers:
        raise UsageError("--json and --no-record go with --answers")
    if options.uid is not None and not options.answers:
        raise UsageError("--uid goes with --answers; a check in plain lines goes on by itself")
    if options.blank and options.answers:
        raise UsageError("give --blank or --answers, not both")
    open_shop = shop_opened(options, records=not (options.blank or options.no_record))
    try:
        point = point_named(open_shop.shop, options.point)
        method = method_named(
            point, options.method or _begun_with(open_shop, point) or point.checks[0]
        )
        need = _need(open_shop, point, options.project) if options.project is not None else None
        if options.blank:
            from shopboard.commands.blank_answers import blank_answers

            return blank_answers(open_shop, point, method)
        if options.answers:
            from shopboard.commands.check_from_file import from_file

            with act(options) as uid:
                return from_file(open_shop, point, method, options, uid, need)
        from shopboard.commands.check_plain import plain_check

        return plain_check(open_shop, point, method, need=need)
    finally:
        open_shop.close()


def _need(open_shop: OpenShop, point: Point, name: str) -> Need | None:
    """Work out what a project, or one of its joints, asks of the point.

    Returns:
        None where it asks no more than that it be proven: its error cancels, or it has no size.

    Raises:
        UsageError: when there is none of that name, or the point does not show in it.
    """
    from shopboard.commands.project import joint_named, project_named
    from shopboard.prep.point_need import need_for

    ident, dot, part = name.partition(".")
    project = project_named(open_shop.shop, ident)
    joint = joint_named(project, part) if dot else None
    need = need_for(open_shop, point.full_name, project, joint)
    joints = project.joints if joint is None else (joint,)
    if need is None and not any(point.full_name in one.point_names for one in joints):
        raise UsageError(f"{name[:60]} asks nothing of {point.full_name}")
    return need


def _begun_with(open_shop: OpenShop, point: Point) -> str:
    """Name the method of the unfinished check; empty when there is none, or one of old."""
    waiting = open_shop.waiting.get(point.full_name)
    name = kinds.BEGIN.read(waiting).method if waiting else ""
    return name if name in point.checks else ""
