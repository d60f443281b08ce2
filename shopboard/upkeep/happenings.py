"""What happened to a machine or in the shop: recorded, read back, and counted."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from datetime import UTC, datetime

from shopboard.base.dates import said_later, told_on
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, JournalMovedOn, Store, kinds, new_uid
from shopboard.journal.kinds import WhatHappened
from shopboard.shop.machine import CHANGED_BY, PROJECT_FINISHED, TURNED, USES, Machine
from shopboard.shop.model import Shop
from shopboard.shop.project import Project
from shopboard.upkeep.ran_on import ran_on
from shopboard.upkeep.taken_back import Gone, gone_at, still_in

_NEVER = datetime.min.replace(tzinfo=UTC)

_VOIDED_AMONG_THEM = 8
"""Happenings read beyond those wanted, because some may have been withdrawn."""


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
    not_on: Mapping[str, float] = {}
    """By machine, how many projects of the total did not run it; of none missing."""
    spared: frozenset[str] = frozenset()
    """Ids of the machines that this one did not run."""

    def counts_for(self, machine_id: str) -> float:
        """Give how much of the total counts for a machine."""
        return max(0.0, self.total - self.not_on.get(machine_id, 0.0))

    @property
    def day_words(self) -> str:
        """Say on which day it happened and, where that is another one, was said."""
        return said_later(self.on, self.when)


def happening_of(entry: Entry, gone: Sequence[Gone] = ()) -> Happening:
    """Read an entry of what happened, which stands in the place of the point.

    Args:
        entry: the entry.
        gone: the counts of its sort that were withdrawn there.
    """
    said = kinds.HAPPENING.read(entry)
    seq, gone_by_now = entry.seq, still_in(gone, entry.seq)
    total = max(0.0, (said.total or 0.0) - gone_by_now)
    not_on = {
        machine: amount - (gone_by_now - still_in(gone, seq, machine))
        for machine, amount in said.not_on.items()
    }
    return Happening(
        entry.seq,
        entry.when,
        entry.machine,
        entry.point,
        total,
        told_on(said.on, entry.when),
        not_on,
        said.spared,
    )


def newest_happenings(journal: Store, machine_id: str, limit: int = 5) -> list[Entry]:
    """Give the newest happenings of a machine and of the whole shop that stand, newest first.

    Each has the total that still counts.
    """
    most = limit + _VOIDED_AMONG_THEM
    entries = [
        entry
        for machine in dict.fromkeys((machine_id, ""))
        for entry in journal.machine_entries(kinds.HAPPENING.name, machine, most)
        if entry.void is None
    ]
    newest = sorted(entries, key=lambda entry: -entry.seq)[:limit]
    counted = [one for one in newest if kinds.HAPPENING.read(one).total is not None]
    places = {(one.machine, one.point) for one in counted}
    gone = {place: gone_at(journal, *place) for place in places}
    return [_counted(entry, gone.get((entry.machine, entry.point), ())) for entry in newest]


def _counted(entry: Entry, gone: Sequence[Gone]) -> Entry:
    if not gone:
        return entry
    said = kinds.HAPPENING.read(entry)
    now = happening_of(entry, gone)
    return kinds.HAPPENING.said_in(entry, said._replace(total=now.total, not_on=now.not_on))


def leaves_cutter_open(machine: Machine | None, what: str) -> bool:
    """Tell whether a cutter was changed by what happened, without a word of which one is on now."""
    cutters = machine.cutters if machine is not None else ()
    return any(CHANGED_BY.get(one.sort) == what for one in cutters)


def newest_of(journal: Store, machine_id: str, what: str) -> Entry | None:
    """Give the newest happening of a sort that stands."""
    machine = _whose(machine_id, what)
    entries = journal.recent(kinds.HAPPENING.name, machine, what, limit=1, include_void=False)
    return entries[0] if entries else None


def total_of(journal: Store, machine_id: str, what: str) -> float:
    """Give what was counted of one sort by now: minutes, cuts, mm; projects of the whole shop."""
    return _newest_counted(journal, machine_id, what).total


def projects_on(journal: Store, machine_id: str) -> float:
    """Give how many finished projects count for a machine by now."""
    return _newest_counted(journal, machine_id, PROJECT_FINISHED).counts_for(machine_id)


def _newest_counted(journal: Store, machine_id: str, what: str) -> Happening:
    """Give the newest happening of a sort that stands; of none, one that counts nothing."""
    newest = newest_of(journal, machine_id, what)
    if newest is None:
        return Happening(0, _NEVER, machine_id, what)
    return happening_of(newest, gone_at(journal, newest.machine, what))


def record_happening(
    journal: Store,
    machine_id: str,
    what: str,
    amount: float | None = None,
    note: str = "",
    shop: Shop | None = None,
    on: datetime | None = None,
    uid: str = "",
    project: Project | None = None,
    machines: Collection[str] | None = None,
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
        project: the one that was finished; None: not told.
        machines: ids of those of the shop that it ran on, for which alone it counts; None: as the
            project and what was recorded since the one before tell, of nothing told for every one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    uid = uid or new_uid()
    while True:
        last = journal.last_seq()
        said = _said(journal, machine_id, what, amount, note, on)
        if what == PROJECT_FINISHED:
            said = _ran(said, journal, shop, project, machines)
        machine = _whose(machine_id, what)
        entries = [kinds.HAPPENING.new(uid, said, machine, what)]
        if shop is not None and said.amount:
            from shopboard.upkeep.cutter_journal import use_entries

            entries += use_entries(
                *(shop, machine, what, said.amount, uid, journal, on, said.machines)
            )
        elif shop is not None and what == TURNED:
            from shopboard.upkeep.cutter_journal import turned_entries

            entries += turned_entries(shop, machine, uid, journal, on)
        with suppress(JournalMovedOn):  # what was counted meanwhile: count on from there
            return journal.append(entries, last)[0]


def _ran(
    said: WhatHappened,
    journal: Store,
    shop: Shop | None,
    project: Project | None,
    machines: Collection[str] | None,
) -> WhatHappened:
    """Put in which project was finished, the machines that it ran, and those that it did not."""
    if machines is None and shop is not None:
        machines = ran_on(shop, journal, project)
    not_on = dict(_newest_counted(journal, "", PROJECT_FINISHED).not_on)
    said = said._replace(project=project.id if project is not None else "", not_on=not_on)
    if machines is None or shop is None:
        return said
    idle = {*not_on, *(one.id for one in shop.machines)} - {*machines}
    not_on |= {one: not_on.get(one, 0.0) + 1.0 for one in sorted(idle)}
    return said._replace(machines=tuple(one.id for one in shop.machines if one.id in machines))


def project_name(shop: Shop, ident: str) -> str:
    """Give the name of a project that was finished; its id where the shop file has it no more."""
    return next((one.name for one in shop.projects if ident in (one.id, *one.was)), ident)


def _whose(machine_id: str, what: str) -> str:
    """Give the machine that it happened to; a finished project is the whole shop's."""
    return "" if what == PROJECT_FINISHED else machine_id


def _said(
    journal: Store,
    machine_id: str,
    what: str,
    amount: float | None,
    note: str,
    on: datetime | None,
) -> WhatHappened:
    """Put together what `record_happening` records.

    What happened stands in the place of the point, too, so that the newest of each sort is found
    at once, however many years the journal holds. What is counted carries its running total.
    """
    if what != PROJECT_FINISHED and what not in USES:
        return WhatHappened(what, note=note, on=on)
    added = 1.0 if what == PROJECT_FINISHED else amount or 0.0
    total = total_of(journal, machine_id, what) + added
    return WhatHappened(what, added, total, note, on)
