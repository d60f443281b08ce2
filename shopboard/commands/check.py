"""Run one check: as plain lines in any terminal, or from a file of answers."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from shopboard.commands.errors import UsageError
from shopboard.commands.shared import open_desk, point_named

if TYPE_CHECKING:
    from shopboard.desk import Desk
    from shopboard.shop.model import Point


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("point", metavar="MACHINE.POINT")
    parser.add_argument("--method", metavar="NAME", help="where the point has more than one")
    parser.add_argument("--answers", metavar="FILE", help="TOML: one answer by step name a line")
    parser.add_argument(
        "--blank", action="store_true", help="print a blank file of answers: every name it can ask"
    )
    parser.add_argument("--json", action="store_true", help="JSON; goes with --answers")
    parser.add_argument(
        "--no-record", action="store_true", help="leave the journal as it is; with --answers"
    )


def run(options: argparse.Namespace) -> int:
    """Run the check."""
    if (options.json or options.no_record) and not options.answers:
        raise UsageError("--json and --no-record go with --answers")
    if options.blank and options.answers:
        raise UsageError("give --blank or --answers, not both")
    desk = open_desk(options)
    try:
        point = point_named(desk.shop, options.point)
        method = options.method or _begun_with(desk, point) or point.checks[0]
        if method not in point.checks:
            allowed = ", ".join(point.checks)
            raise UsageError(f"{options.point} is checked by {allowed}, not {method[:40]}")
        if options.blank:
            from shopboard.commands.blank_answers import blank_answers

            return blank_answers(desk, point, method)
        if options.answers:
            from shopboard.commands.check_from_file import from_file

            return from_file(desk, point, method, options)
        from shopboard.commands.check_plain import plain_check

        return plain_check(desk, point, method)
    finally:
        desk.close()


def _begun_with(desk: Desk, point: Point) -> str:
    """Name the method of the unfinished check; empty when there is none, or one of old."""
    waiting = desk.waiting.get(point.full_name)
    name = str(waiting.body.get("method", "")) if waiting else ""
    return name if name in point.checks else ""
