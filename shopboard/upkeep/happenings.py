"""What happened to a machine or in the shop: recorded, read back, and counted."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from typing import NamedTuple

from shopboard.base.dates import said_later, told_on
from shopboard.journal import Entry, JournalMovedOn, NewEntry, Store, new_uid
from shopboard.shop.machine import PROJECT_FINISHED, TURNED, USES
from shopboard.shop.model import Shop
from shopboard.upkeep.taken_back import Gone, gone_at, still_in

HAPPENING = "happening"
"""Kind of the entries that say what happened; what did stands in the place of the point."""

_VOIDED_AMONG_THEM = 8
"""Happenings read beyond those wanted, because some may have been taken back."""


class Happening(NamedTuple):
    """Something that happened to a machine."""

    seq: int
    when: datetime
    machine: str
    """Empty: the whole shop."""
    what: str
    total: float = 0.0
    """Running total of what is counted: minutes, cuts, mm, projects."""
    on: datetime | None = None
    """When it happened, where that was said later; it counts from its recording all the same."""

    @property
    def day_words(self) -> str:
        """Say on which day it happened and, where that is another one, was said."""
        return said_later(self.on, self.when)


def happening_of(entry: Entry, gone: Sequence[Gone] = ()) -> Happening:
    """Read an entry of what happened, which stands in the place of the point.

    Args:
        entry: the entry.
        gone: the counts of its sort that were taken back there.
    """
    total = max(0.0, number_in(entry.body.get("total")) - still_in(gone, entry.seq))
    return Happening(
        entry.seq,
        entry.when,
        entry.machine,
        entry.point,
        total,
        told_on(entry.body.get("on"), entry.when),
    )


def number_in(value: object) -> float:
    """Give a number from a record; 0 where a later program wrote something else."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return 0.0
    return float(value) if abs(value) < 1e12 else 0.0


def newest_happenings(journal: Store, machine_id: str, limit: int = 5) -> list[Entry]:
    """Give the newest happenings of a machine and of the whole shop that stand, newest first.

    Each has the total that still counts.
    """
    most = limit + _VOIDED_AMONG_THEM
    entries = [
        entry
        for machine in dict.fromkeys((machine_id, ""))
        for entry in journal.machine_entries(HAPPENING, machine, most)
        if entry.void is None
    ]
    newest = sorted(entries, key=lambda entry: -entry.seq)[:limit]
    places = {(one.machine, one.point) for one in newest if "total" in one.body}
    gone = {place: gone_at(journal, *place) for place in places}
    return [_counted(entry, gone.get((entry.machine, entry.point), ())) for entry in newest]


def _counted(entry: Entry, gone: Sequence[Gone]) -> Entry:
    if not gone:
        return entry
    return entry._replace(body={**entry.body, "total": happening_of(entry, gone).total})


def newest_of(journal: Store, machine_id: str, what: str) -> Entry | None:
    """Give the newest happening of a sort that stands."""
    machine = "" if what == PROJECT_FINISHED else machine_id
    entries = journal.recent(HAPPENING, machine, what, limit=1, include_void=False)
    return entries[0] if entries else None


def total_of(journal: Store, machine_id: str, what: str) -> float:
    """Give what was counted of one sort by now: minutes, cuts, mm, projects."""
    newest = newest_of(journal, machine_id, what)
    if newest is None:
        return 0.0
    return happening_of(newest, gone_at(journal, newest.machine, what)).total


def record_happening(
    journal: Store,
    machine_id: str,
    what: str,
    amount: float | None = None,
    note: str = "",
    shop: Shop | None = None,
    on: datetime | None = None,
    uid: str = "",
) -> Entry:
    """Record that something happened to a machine.

    Args:
        journal: the journal.
        machine_id: the machine; a finished project is the whole shop's, whatever is given.
        what: one of HAPPENINGS or USES, or NOTE.
        amount: of a use: minutes run, cuts, mm; a finished project counts one.
        note: words about it.
        shop: the shop, whose cutters on the machine were used; their entries are recorded with it.
        on: when it happened, where it is said later; it counts from its recording all the same.
        uid: name of its entry; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    uid = uid or new_uid()
    while True:
        last = journal.last_seq()
        entry = _new_happening(journal, uid, machine_id, what, amount, note, on)
        entries = [entry]
        added = entry.body.get("amount")
        if shop is not None and isinstance(added, int | float) and added:
            from shopboard.upkeep.cutter_journal import use_entries

            entries += use_entries(shop, entry.machine, what, added, uid, journal, on)
        elif shop is not None and what == TURNED:
            from shopboard.upkeep.cutter_journal import turned_entries

            entries += turned_entries(shop, entry.machine, uid, journal, on)
        with suppress(JournalMovedOn):  # what was counted meanwhile: count on from there
            return journal.append(entries, last)[0]


def _new_happening(
    journal: Store,
    uid: str,
    machine_id: str,
    what: str,
    amount: float | None,
    note: str,
    on: datetime | None,
) -> NewEntry:
    """Put together what `record_happening` records.

    What happened stands in the place of the point, so that the newest of each sort is found at
    once, however many years the journal holds. What is counted carries its running total.
    """
    machine = "" if what == PROJECT_FINISHED else machine_id
    body: dict[str, object] = {"v": 1, "what": what}
    if what == PROJECT_FINISHED or what in USES:
        added = 1.0 if what == PROJECT_FINISHED else amount or 0.0
        body |= {"amount": added, "total": total_of(journal, machine, what) + added}
    if note:
        body["note"] = note
    if on is not None:
        body["on"] = on.isoformat()
    return NewEntry(uid, HAPPENING, machine, what, body)
