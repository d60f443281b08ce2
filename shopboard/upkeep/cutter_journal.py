"""What is recorded of cutters: acts, use, and how an act is withdrawn.

Entries of one act refer to the first of them, so that they are withdrawn
together or not at all.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import datetime

from shopboard.journal import Entry, JournalMovedOn, NewEntry, Store, kinds, new_uid, taking_back
from shopboard.journal.kinds import CutterSaid, WhatHappened
from shopboard.journal.kinds.cutters import UNITS, USED, UseUnit
from shopboard.metrology.units import by_unit
from shopboard.shop.machine import CHANGED_BY, PROJECT_FINISHED, USES
from shopboard.shop.model import Shop
from shopboard.upkeep.changing import changing
from shopboard.upkeep.cutter_acts import ACTS_BY_NAME, ActError, after, why_not
from shopboard.upkeep.cutter_changes import Changed, change
from shopboard.upkeep.cutters import CutterStanding, DoneAt, cutter_standings
from shopboard.upkeep.taken_back import newest_cutters

UNIT_OF: Mapping[str, UseUnit] = dict(zip((*USES, PROJECT_FINISHED), UNITS, strict=True))
"""What the use of a machine adds to a cutter."""


def standings_now(shop: Shop, machine_id: str, journal: Store) -> tuple[CutterStanding, ...]:
    """Read how the cutters of a machine stand; none for a machine that is not there.

    Raises:
        JournalError: when the journal cannot be read.
    """
    machine = shop.machines_by_id.get(machine_id)
    if machine is None or not machine.cutters:
        return ()
    feet = by_unit(shop.unit, inch=True, mm=False)
    return cutter_standings(machine, newest_cutters(journal), _done(shop, journal), feet=feet)


def _done(shop: Shop, journal: Store) -> DoneAt:
    """Read when tasks were done last; nothing where no task cleans a cutter."""
    if not any(task.cleans for machine in shop.machines for task in machine.tasks):
        return {}
    return {place: one.seq for place, one in journal.latest(kinds.TASK.name).items()}


def said_of(one: CutterStanding, what: str, paid: float | None = None) -> CutterSaid:
    """Give what is recorded of a cutter: what happened, and its whole state after it."""
    return CutterSaid(
        what=what,
        where=one.where,
        state=one.state,
        edge=one.edge,
        use=one.use,
        sharpenings_left=one.sharpenings,
        lives=one.lives,
        cost=one.cost,
        looked=one.looked,
        sent=one.sent,
        note=one.note,
        paid=paid,
    )


def record_act(
    one: CutterStanding,
    name: str,
    now: datetime,
    journal: Store,
    cost: float | None = None,
    note: str = "",
    uid: str = "",
) -> Entry:
    """Record an act that changes nothing on the machine, in an entry of that name, if one is given.

    Raises:
        ActError: when it cannot be done, or while a change is under way on its machine.
        JournalError: when it cannot be recorded.
    """
    if name != "note":
        refuse_while_changing(one.machine, journal)
    stands = after(one, name, now, cost, note)
    paid = cost if ACTS_BY_NAME[name].asks == "cost" else None
    said = said_of(stands, name, paid)
    return journal.append([kinds.CUTTER.new(uid or new_uid(), said, one.machine, one.id)])[0]


def refuse_while_changing(machine: str, journal: Store) -> None:
    """Refuse whatever would pull a cutter from under a change that is under way.

    Raises:
        ActError: when one is under way on the machine.
        JournalError: when the journal cannot be read.
    """
    under_way = changing(journal.latest(kinds.CUTTER.name), machine)
    if under_way is not None:
        raise ActError(f"a {under_way.what} is in progress on this machine: finish it first")


def record_change(changes: Sequence[Changed], journal: Store, uid: str = "") -> list[Entry]:
    """Record in one go what a change on a machine left: cutters, and what has happened.

    Args:
        changes: what comes off first.
        journal: the journal.
        uid: name of its first entry; empty: a new one.

    Raises:
        ActError: while a change is under way on the machine.
        JournalError: when it cannot be recorded; nothing of it is then.
    """
    refuse_while_changing(changes[0].after.machine, journal)
    return journal.append(change_entries(changes, uid=uid))


def change_entries(changes: Sequence[Changed], head: str = "", uid: str = "") -> list[NewEntry]:
    """Make the entries of a change.

    Args:
        changes: what comes off first.
        head: uid of the entry that began the change and that names these; empty: none did.
        uid: name of the first of them where none did; empty: a new one.
    """
    machine = changes[0].after.machine
    first = f"{head}-done" if head else uid or new_uid()
    entries: list[NewEntry] = []
    for number, one in enumerate(changes):
        uid = first if not number else f"{first}-{number}"
        refers = head or (first if number else "")
        said = said_of(one.after, one.what)
        entries.append(kinds.CUTTER.new(uid, said, machine, one.after.id, refers))
    what = happening_of(changes)
    if what:
        note = f"{changes[-1].after.cutter.name} cleaned" if changes[-1].what == "cleaned" else ""
        told = WhatHappened(what, note=note)
        entries.append(kinds.HAPPENING.new(f"{first}-h", told, machine, what, head or first))
    return entries


def happening_of(changes: Sequence[Changed]) -> str:
    """Say what has happened to the machine; empty where nothing was put on that undoes."""
    last = changes[-1]
    if last.what == "taken off":
        return ""
    return "knives turned" if last.what == "turned" else CHANGED_BY.get(last.after.cutter.sort, "")


def use_entries(
    shop: Shop,
    machine_id: str,
    what: str,
    amount: float,
    refers: str,
    journal: Store,
    on: datetime | None = None,
    machines: Collection[str] | None = None,
) -> list[NewEntry]:
    """Make the entries that add use to every cutter on a machine, or in the shop for a project.

    A cutter of another mode that serves the machine, too, is on it.

    Args:
        shop: the shop.
        machine_id: the machine; empty: the whole shop.
        what: one of USES, or PROJECT_FINISHED.
        amount: minutes, cuts, mm, projects.
        refers: uid of the happening, which is recorded with them.
        journal: where the cutters' states are read.
        on: when it was used, where that is said later.
        machines: ids of those that a project ran on; None: on every one.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if what not in UNIT_OF or not amount > 0:
        return []
    entries, feet = newest_cutters(journal), by_unit(shop.unit, inch=True, mm=False)
    unit, done = UNIT_OF[what], _done(shop, journal)
    made: list[NewEntry] = []
    ran = [machine_id] if machine_id else machines
    for machine in shop.machines:
        for one in cutter_standings(machine, entries, done, feet=feet):
            here = ran is None or not {machine.id, *one.serves}.isdisjoint(ran)
            if one.mounted and here:
                used = one._replace(use=one.use.plus(unit, amount))
                said = said_of(used, USED)._replace(amount=amount, of=what, on=on)
                name = f"{refers}-{len(made) + 1}"
                made.append(kinds.CUTTER.new(name, said, machine.id, one.id, refers))
    return made


_NEW_EDGE = frozenset({"put on", "new", "turned"})
"""What brings another edge to the cut."""


def turned_entries(
    shop: Shop, machine_id: str, refers: str, journal: Store, on: datetime | None = None
) -> list[NewEntry]:
    """Make the entries of knives that were turned, where it is only said that they were.

    Of knives on the machine, its own or those that serve it, that have another edge by the record;
    none while a change of them is under way: that ends with its own record. Nor of those that were
    put on or turned since the day that is told: what shows now is another edge.

    Args:
        shop: the shop.
        machine_id: where they were turned.
        refers: uid of the happening, which is recorded with them.
        journal: where the cutters' states are read.
        on: when they were turned, where that is said later.

    Raises:
        JournalError: when the journal cannot be read.
    """
    entries, done = newest_cutters(journal), _done(shop, journal)
    made: list[NewEntry] = []
    for home in (machine_id, *shop.serving.get(machine_id, ())):
        machine = shop.machines_by_id.get(home)
        if machine is None or changing(entries, home) is not None:
            continue
        for one in cutter_standings(machine, entries, done):
            here = home == machine_id or machine_id in one.serves
            if not (here and one.mounted and one.cutter.sort == "knives"):
                continue
            if not why_not(one, "turn") and not (on and _has_new_edge_since(one, on, journal)):
                (turned,) = change(one, "turn", one.state, ())
                said = said_of(turned.after, turned.what)
                name = f"{refers}-{len(made) + 1}"
                made.append(kinds.CUTTER.new(name, said, home, one.id, refers))
    return made


def _has_new_edge_since(one: CutterStanding, on: datetime, journal: Store) -> bool:
    return any(
        entry.when > on and entry.void is None and kinds.CUTTER.read(entry).what in _NEW_EDGE
        for entry in history(one, journal)
    )


def history(one: CutterStanding, journal: Store, limit: int = 200) -> list[Entry]:
    """Give the entries of a cutter, newest first, with the voided.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return journal.recent(kinds.CUTTER.name, one.machine, one.id, limit)


def newest_act(one: CutterStanding, journal: Store) -> Entry | None:
    """Give the newest entry of a cutter that stands; None when there is none.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found = journal.recent(kinds.CUTTER.name, one.machine, one.id, limit=1, include_void=False)
    return found[0] if found else None


def act_words(entry: Entry) -> str:
    """Say what an entry of a cutter records: ``send out``, ``hours run``."""
    said = kinds.CUTTER.read(entry)
    what = said.of if said.is_use else said.what
    return {"back": "back, sharp", "new": "a new one"}.get(what, what)


def take_back(entry: Entry, reason: str, journal: Store, uid: str = "") -> list[Entry]:
    """Void an entry together with all that was recorded with it, in one go.

    Args:
        entry: a happening, or an entry of a cutter.
        reason: why.
        journal: the journal.
        uid: name of the first void; empty: a new one.

    Returns:
        The entries that were voided.

    Raises:
        ActError: when it is an act, and something recorded later of its cutter rests on it;
            nothing is voided.
        JournalError: when it cannot be recorded.
    """
    uid = uid or new_uid()
    while True:
        last = journal.last_seq()
        group = list(_group(entry, journal))
        uids = {one.uid for one in group}
        for one in group:
            _refuse_when_rested_on(one, uids, journal)
        voids = [
            taking_back(one, reason, f"{uid}-{at}" if at else uid) for at, one in enumerate(group)
        ]
        with suppress(JournalMovedOn):  # something was counted meanwhile: look at it anew
            journal.append(voids, last)
            return group


def _group(entry: Entry, journal: Store) -> Iterator[Entry]:
    """Give what was recorded together: the way to it, at the place of no cutter, stays."""
    head = entry.refers or entry.uid
    first = journal.get(head)
    for one in ([first] if first else []) + journal.thread(head):
        is_cutter = one.kind == kinds.CUTTER.name and one.point != ""
        if one.void is None and (is_cutter or one.kind == kinds.HAPPENING.name):
            yield one


def _refuse_when_rested_on(one: Entry, group: set[str], journal: Store) -> None:
    """Refuse to withdraw an act whose cutter was recorded since; a use is left out on reading."""
    if one.kind != kinds.CUTTER.name or kinds.CUTTER.read(one).is_use:
        return
    newest = journal.recent(kinds.CUTTER.name, one.machine, one.point, 1, include_void=False)
    if newest and newest[0].uid not in group:
        words = f"{one.point} has a newer record, {act_words(newest[0])}: withdraw that first"
        raise ActError(words)
