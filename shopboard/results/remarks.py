"""What a person notes about a result once it is recorded: an entry of its own that refers to it."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.journal import Entry, NewEntry, Store, new_uid
from shopboard.results.record import CheckRecord

REMARK = "remark"

_MOST = 10_000
"""Notes that are looked through; nobody writes more about one machine."""


def note_result(journal: Store, record: CheckRecord, words: str, uid: str = "") -> Entry:
    """Record a note about a result, in an entry of that name, if given; the newest one is shown.

    Raises:
        AnswerError: when the words will not do.
        JournalError: when it cannot be recorded.
    """
    from shopboard.checks.steps import Words

    body = {"v": 1, "words": Words(key="words", title="").accept(words)}
    entry = NewEntry(uid or new_uid(), REMARK, record.machine, record.point, body, record.uid)
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
        entries = journal.recent(REMARK, machine, point, _MOST, include_void=False)
    else:
        entries = [
            one for one in journal.machine_entries(REMARK, machine, _MOST) if one.void is None
        ]
    return {one.refers: str(one.body.get("words", "")) for one in reversed(entries)}


def with_remarks(
    records: Sequence[CheckRecord], journal: Store, machine: str, point: str
) -> list[CheckRecord]:
    """Put to each result of a point what was noted about it.

    Raises:
        JournalError: when the journal cannot be read.
    """
    told = remarks_at(journal, machine, point)
    return [one._replace(remark=told.get(one.uid, "")) for one in records]
