"""Take back a result, with a reason; the result stays on record, marked."""

from __future__ import annotations

import argparse

from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import open_desk, point_named


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("point", metavar="MACHINE.POINT")
    parser.add_argument("uid", metavar="UID", help="as `history` shows it; its start is enough")
    parser.add_argument("--reason", required=True, help="why, in a few words")


def run(options: argparse.Namespace) -> int:
    """Void one result."""
    desk = open_desk(options)
    records = desk.history(point_named(desk.shop, options.point), 10_000)
    found = [record for record in records if record.uid.startswith(options.uid)]
    if len(found) != 1:
        many = "more than one result begins" if found else "no result begins"
        raise UsageError(f"{many} with {options.uid[:40]!r}; see `history {options.point}`")
    if found[0].void is not None:
        raise UsageError(f"it is void already: {found[0].void}")
    reason = " ".join(options.reason.split())
    if not reason or len(reason) > 200:
        raise UsageError("a reason has 1 to 200 characters")
    desk.journal.void(found[0].uid, reason)
    desk.close()
    say("Taken back, and kept in the history as void.")
    return 0
