"""An act tried again under the name that it had at the first try, and what takes an entry back.

All entries of an act go to the disk together, so the first of them tells of all.
"""

from __future__ import annotations

from shopboard.journal import kinds
from shopboard.journal.draft import unfit
from shopboard.journal.entry import Entry, NewEntry
from shopboard.journal.store import Store


def act_on_record(journal: Store, uid: str) -> Entry | None:
    """Give the first entry of the act `uid`, brought to the disk for sure; None: it is not there.

    Raises:
        JournalError: when it cannot be read, or not be brought to the disk.
    """
    known = journal.get(uid)
    if known is None:
        return None
    # It may stand there by a commit that failed half-way: handing it in again settles it.
    _, _, _, kind, machine, point, refers, body, _, _ = known
    return journal.append([NewEntry(uid, kind, machine, point, body, refers)])[0]


def taking_back(entry: Entry, reason: str, uid: str) -> NewEntry:
    """Give the entry that takes another one back; every one is made here.

    Raises:
        JournalError: when its kind is one that is never withdrawn.
    """
    row = kinds.row_of(entry.kind, entry.point)
    if row is None or not row.voidable:
        raise unfit(f"entry {entry.seq}, of kind {entry.kind}, cannot be withdrawn")
    back = kinds.TakenBack(reason)
    return kinds.VOID.new(uid, back, entry.machine, entry.point, entry.uid)
