"""Record what happened to a machine: it makes due what it undoes."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import no_such, open_desk
from shopboard.desk import Desk
from shopboard.health import MachineStanding
from shopboard.journal import Store
from shopboard.past import newest_happenings, record_happening
from shopboard.shop.model import HAPPENINGS
from shopboard.upkeep.cutter_journal import take_back


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE")
    parser.add_argument("--take-back", metavar="REASON", help="void the newest such happening")
    parser.add_argument("what", metavar="WHAT", help=f"one of: {', '.join(HAPPENINGS)}")


def run(options: argparse.Namespace) -> int:
    """Record one happening."""
    with closing(open_desk(options)) as desk:
        machine = _record(desk, options)
    due = [one.point.name for one in machine.points if one.state == "due"] if machine else []
    done = "Recorded" if options.take_back is None else "Taken back"
    say(f"{done}. Due now: {', '.join(due) or 'nothing'}.")
    return 0


def _take_back(journal: Store, machine: str, what: str, reason: str) -> None:
    words = " ".join(reason.split())
    if not 1 <= len(words) <= 200:
        raise UsageError("a reason has 1 to 200 characters")
    for entry in newest_happenings(journal, machine, 50):
        if entry.body.get("what") == what:
            take_back(entry, words, journal)
            return
    raise UsageError(f"no {what!r} stands in the record of {machine}")


def _record(desk: Desk, options: argparse.Namespace) -> MachineStanding | None:
    if options.machine not in desk.shop.machines_by_id:
        raise no_such("machine", options.machine, desk.shop.machines_by_id)
    what = " ".join(options.what.split()).lower()
    if what not in HAPPENINGS:
        raise no_such("happening", what, HAPPENINGS)
    if options.take_back is not None:
        _take_back(desk.journal, options.machine, what, options.take_back)
    else:
        record_happening(desk.journal, options.machine, what, shop=desk.shop)
    desk.refresh()
    return desk.standing.of_machine(options.machine)
