"""A journal wherever it is, copied into a file; from a server entry by entry, with its seals."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.journal import queries
from shopboard.journal.backup import (
    CAME_BACK_OTHERWISE,
    CopyState,
    back_up,
    cannot_copy,
    looked_through,
    put_there,
    reading,
    state_of,
    to_the_disk,
)
from shopboard.journal.carry import carry
from shopboard.journal.errors import JournalCannotWrite
from shopboard.journal.faults import primary_code
from shopboard.journal.opened import open_journal
from shopboard.journal.place import reason
from shopboard.journal.store import KeptJournal


def back_up_at(source: JournalPlace, target: Path) -> CopyState:
    """Copy the journal `source`, wherever it is, to the file `target`.

    Raises:
        JournalError: as `back_up` does.
    """
    if isinstance(source, ServerPlace):
        return put_there(target, lambda part: _copied(source, part))
    return back_up(source, target)


def state_at(place: JournalPlace) -> CopyState:
    """Read the state of a journal, wherever it is.

    Raises:
        JournalError: there is none, or it cannot be read.
    """
    if not isinstance(place, ServerPlace):
        with reading(place) as db:
            return state_of(db)
    with closing(_there(place)) as journal:
        last = journal.last_seq()
        if not last:
            return CopyState("", 0, b"", None)
        (first, *_), (newest, *_) = journal.sealed(0, 1), journal.sealed(last - 1, last)
        return CopyState(first[1], last, newest[11], queries.as_time(newest[2]))


def _there(place: ServerPlace) -> KeptJournal:
    return open_journal(place, _utc_now, create=False, read_only=True)


def _utc_now() -> datetime:
    return datetime.now(UTC)


def _copied(source: ServerPlace, part: Path) -> CopyState:
    """Copy a journal on a server to a new file, on the disk and compared with its hashes."""
    with closing(_there(source)) as old:
        try:
            os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
            with closing(open_journal(part, _utc_now)) as new:
                carry(old, new, 0, lambda _done, _of: None)
            to_the_disk(part)
        except JournalCannotWrite as error:
            full = error.__cause__ and primary_code(error.__cause__) == sqlite3.SQLITE_FULL
            why = "the disk is full" if full else "the disk refused it"
            raise cannot_copy(part, why) from error
        except OSError as error:
            raise cannot_copy(part, reason(error)) from error
    state = looked_through(part)
    if state is None:
        raise cannot_copy(part, CAME_BACK_OTHERWISE)
    return state
