"""What a person says of a result once it is recorded: a note, or that it is withdrawn."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.journal import Entry, Store, kinds, new_uid
from shopboard.journal.kinds import PointMoved, Remark
from shopboard.results.record import CheckRecord

_MOST = 10_000
"""Notes that are looked through; nobody writes more about one machine."""


def note_result(journal: Store, record: CheckRecord, words: str, uid: str = "") -> Entry:
    """Record a note about a result, in an entry of that name, if given; the newest one is shown.

    Raises:
        AnswerError: when the words will not do.
        JournalError: when it cannot be recorded.
    """
    from shopboard.checks.steps import Words

    said, place = Remark(Words(key="words", title="").accept(words)), (record.machine, record.point)
    entry = kinds.REMARK.new(uid or new_uid(), said, *place, record.uid)
    return journal.append([entry])[0]


def remarks_at(journal: Store, machine: str, point: str = "") -> dict[str, str]:
    """Give the newest note about each result of a machine, by the result's uid.

    Args:
        journal: the journal.
        machine: its id.
        point: id of the one point; empty: any.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if point:
        entries = journal.recent(kinds.REMARK.name, machine, point, _MOST, include_void=False)
    else:
        entries = [
            one
            for one in journal.machine_entries(kinds.REMARK.name, machine, _MOST)
            if one.void is None
        ]
    return {one.refers: kinds.REMARK.read(one).words for one in reversed(entries)}


def with_remarks(
    records: Sequence[CheckRecord], journal: Store, machine: str, point: str
) -> list[CheckRecord]:
    """Put to each result of a point what was noted about it.

    Raises:
        JournalError: when the journal cannot be read.
    """
    told = remarks_at(journal, machine, point)
    return [one._replace(remark=told.get(one.uid, "")) for one in records]


TAKEN_BACK = "Withdrawn; it stays in the history."

_DECIDE = (kinds.MOVED.name, kinds.CHECK.name, kinds.END.name)
"""Kinds of a check by which it is known whether the point was left moved."""


def take_back(journal: Store, uid: str, reason: str, name: str = "") -> str:
    """Take a result back, by an entry of that name, if one is given; say what came of it.

    Where its correction is under way, the point may be loose already: then an older result that was
    true says nothing any more, and it stands as moved.

    Raises:
        JournalError: when it cannot be recorded.
    """
    found = journal.get(uid)
    after = [one for one in journal.thread(found.refers) if one.seq > found.seq] if found else []
    answers = [one for one in after if one.kind == kinds.ANSWER.name]
    begun = any(kinds.ANSWER.read(one).text == "adjust" for one in answers)
    if found and begun and not any(one.kind in _DECIDE for one in after):
        name = name or new_uid()
        moved = kinds.MOVED.new(f"{name}-moved", PointMoved(), found.machine, found.point)
        journal.append([moved])  # first: cut off here, it is only measured once more
    journal.void(uid, reason, name)
    if found is None or any(one.kind == kinds.END.name for one in after):
        return TAKEN_BACK
    return f"{TAKEN_BACK} Its open check is closed: begin it anew."  # what followed from it is void
