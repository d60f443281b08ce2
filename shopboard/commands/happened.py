"""Record what happened to a machine: it makes due what it undoes."""

from __future__ import annotations

import argparse

from shopboard.commands.output import say
from shopboard.commands.shared import no_such, open_desk
from shopboard.past import record_happening
from shopboard.shop.model import HAPPENINGS


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE")
    parser.add_argument("what", metavar="WHAT", help=f"one of: {', '.join(HAPPENINGS)}")


def run(options: argparse.Namespace) -> int:
    """Record one happening."""
    desk = open_desk(options)
    if options.machine not in desk.shop.machines_by_id:
        raise no_such("machine", options.machine, desk.shop.machines_by_id)
    what = " ".join(options.what.split()).lower()
    if what not in HAPPENINGS:
        raise no_such("happening", what, HAPPENINGS)
    record_happening(desk.journal, options.machine, what)
    desk.refresh()
    machine = desk.standing.of_machine(options.machine)
    desk.close()
    due = [one.point.name for one in machine.points if one.state == "due"] if machine else []
    say(f"Recorded. Due now: {', '.join(due) or 'nothing'}.")
    return 0
