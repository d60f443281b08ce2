"""Every result of a point, a machine or the whole shop as CSV, those withdrawn among them."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing

from shopboard.commands import saving
from shopboard.commands.output import say
from shopboard.commands.shared import no_such, point_named, shop_opened
from shopboard.journal import Entry, Store
from shopboard.journal.kinds import CHECK, VOID
from shopboard.open_shop import OpenShop
from shopboard.reports.export import csv_lines
from shopboard.results.record import CheckRecord, UnreadableRecordError, read_check
from shopboard.results.remarks import remarks_at

_PAGE = 1000
"""Results of a point that are read at a time."""

EVERYTHING = "all"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "what", metavar="MACHINE[.POINT]", help=f"or {EVERYTHING}: also what the shop no longer has"
    )
    parser.add_argument("--csv", action="store_true", required=True, help="CSV, UTF-8")
    saving.arguments(parser, "FILE.csv")


def run(options: argparse.Namespace) -> int:
    """Print or write the table."""
    unreadable: list[int] = []
    with closing(shop_opened(options)) as open_shop:
        _must_be(open_shop, options.what)
        records = _records(open_shop, options.what, unreadable)
        code = saving.give(options, csv_lines(records, open_shop.shop))
    if unreadable:
        say(f"{len(unreadable)} results of a later version are left out.")
    return code


def _must_be(open_shop: OpenShop, what: str) -> None:
    """Refuse what is neither in the shop file nor in the journal.

    Raises:
        UsageError: with what was probably meant.
    """
    if what == EVERYTHING or _has_any(open_shop, what):
        return
    if "." in what:
        point_named(open_shop.shop, what)
    elif what not in open_shop.shop.machines_by_id:
        raise no_such("machine", what, [EVERYTHING, *open_shop.shop.machines_by_id])


def _has_any(open_shop: OpenShop, what: str) -> bool:
    """Tell whether a machine or a point has any result."""
    machine, dot, point = what.partition(".")
    if dot:
        return bool(open_shop.journal.recent(CHECK.name, machine, point, 1))
    return bool(open_shop.journal.machine_entries(CHECK.name, machine, 1))


def _records(open_shop: OpenShop, what: str, unreadable: list[int]) -> Iterator[CheckRecord]:
    """Give the results, machine by machine, oldest first."""
    machine, _, point = what.partition(".")
    points: Mapping[str, Iterable[str]] = {machine: [point]}
    if not point:
        past = _past_points(open_shop)
        points = past if what == EVERYTHING else {machine: past.get(machine, ())}
    for name, its in points.items():
        told = remarks_at(open_shop.journal, name, point)
        for entry in _oldest_first(open_shop.journal, name, its):
            try:
                record = read_check(entry)
            except UnreadableRecordError:
                unreadable.append(entry.seq)
            else:
                yield record._replace(remark=told.get(record.uid, ""))


def _oldest_first(journal: Store, machine: str, points: Iterable[str]) -> Iterator[Entry]:
    """Give the results of some points of a machine, few of them at a time.

    Between two readings nobody who wants to record is kept waiting.
    """
    after, last, width = 0, journal.last_seq(), _PAGE
    while after < last:
        upto = min(after + width, last)
        found = [
            journal.between(CHECK.name, machine, point, after, upto, _PAGE + 1) for point in points
        ]
        if any(len(one) > _PAGE for one in found):
            width = max(width // 4, _PAGE)  # so many numbers have no more results
            continue
        entries = [entry for one in found for entry in one]
        yield from sorted(entries, key=lambda one: one.seq)
        after = upto
        if len(entries) < _PAGE // 4:
            width *= 4


def _past_points(open_shop: OpenShop) -> dict[str, list[str]]:
    """Give the points that ever were checked, by machine: those of the shop file first.

    One all of whose results were withdrawn stands where that was recorded.
    """
    latest = open_shop.journal.latest
    places = {*latest(CHECK.name), *latest(VOID.name)}
    machines = dict.fromkeys([*open_shop.shop.machines_by_id, *sorted(one for one, _ in places)])
    return {name: sorted(point for one, point in places if one == name) for name in machines}
