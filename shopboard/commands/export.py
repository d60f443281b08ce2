"""Every result of a point, a machine or the whole shop as CSV, those taken back among them."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import closing

from shopboard.commands import saving
from shopboard.commands.output import say
from shopboard.commands.shared import no_such, open_desk, point_named
from shopboard.desk import Desk
from shopboard.journal import Entry
from shopboard.record import CheckRecord, UnreadableError, read_check
from shopboard.remarks import with_remarks
from shopboard.reports.export import csv_lines

_MOST = 10_000_000
"""More results than a journal can hold."""

EVERYTHING = "all"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "what", metavar="MACHINE[.POINT]", help=f"or {EVERYTHING}: also what the shop has no more"
    )
    parser.add_argument("--csv", action="store_true", required=True, help="CSV, UTF-8")
    saving.arguments(parser, "FILE.csv")


def run(options: argparse.Namespace) -> int:
    """Print or write the table."""
    unreadable: list[int] = []
    with closing(open_desk(options)) as desk:
        _must_be(desk, options.what)
        records = _records(desk, options.what, unreadable)
        code = saving.give(options, csv_lines(records, desk.shop))
    if unreadable:
        say(f"{len(unreadable)} results of a later program are left out.")
    return code


def _must_be(desk: Desk, what: str) -> None:
    """Refuse what is neither in the shop file nor in the journal.

    Raises:
        UsageError: with what was probably meant.
    """
    if what == EVERYTHING or _entries(desk, what, 1):
        return
    if "." in what:
        point_named(desk.shop, what)
    elif what not in desk.shop.machines_by_id:
        raise no_such("machine", what, [EVERYTHING, *desk.shop.machines_by_id])


def _entries(desk: Desk, what: str, most: int = _MOST) -> list[Entry]:
    """Give the results of a machine or a point, newest first."""
    machine, dot, point = what.partition(".")
    if dot:
        return desk.journal.recent("check", machine, point, most)
    return desk.journal.machine_entries("check", machine, most)


def _records(desk: Desk, what: str, unreadable: list[int]) -> Iterator[CheckRecord]:
    """Give the results, machine by machine, oldest first."""
    for name in _machines(desk) if what == EVERYTHING else [what]:
        found = []
        for entry in reversed(_entries(desk, name)):
            try:
                found.append(read_check(entry))
            except UnreadableError:
                unreadable.append(entry.seq)
        machine, _, point = name.partition(".")
        yield from with_remarks(found, desk.journal, machine, point)


def _machines(desk: Desk) -> list[str]:
    """Give every machine that ever was checked: those of the shop file first."""
    past = {
        machine for machine, _ in (*desk.journal.latest("begin"), *desk.journal.latest("check"))
    }
    return list(dict.fromkeys([*desk.shop.machines_by_id, *sorted(past)]))
