"""A new journal from a broken one on a server: its rows, as they are, in a file; that is salvaged.

A damaged row is taken along, too: what it says of its place tells what is unproven.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from shopboard.base.server_place import ServerPlace
from shopboard.journal.backup import MOST_OF_A_NAME, cannot_copy, remove_part
from shopboard.journal.errors import JournalDamaged
from shopboard.journal.opened import open_journal
from shopboard.journal.opening import uri
from shopboard.journal.place import reason
from shopboard.journal.salvage import Further, RowSaid, Salvaged, salvage
from shopboard.journal.schema import TABLE_AND_INDEXES
from shopboard.journal.store import KeptJournal

_STRETCH = 1_000
"""Rows that are asked for at once; where one of them cannot be read, each by itself."""

_ADD = "INSERT OR IGNORE INTO entries VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"


def salvage_there(
    broken: ServerPlace,
    target: Path,
    now: Callable[[], datetime],
    further: Further,
    said: RowSaid = lambda _done, _of, _what: None,
) -> Salvaged:
    """Make the journal `target` from what can be read of a server's; `salvage` tells the rest.

    Raises:
        JournalError: nothing can be read, or the new journal cannot be written.
    """
    rows = target.absolute().with_name(f".{target.name[:MOST_OF_A_NAME]}.rows.{os.getpid()}.part")
    try:
        with closing(open_journal(broken, now, create=False, read_only=True)) as journal:
            _take_rows(journal, rows, said)
        return salvage(rows, target, now, further, said, called=broken)
    finally:
        remove_part(rows)


def _take_rows(journal: KeptJournal, rows: Path, said: RowSaid) -> None:
    try:
        os.close(os.open(rows, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        with closing(sqlite3.connect(uri(rows, "rw"), uri=True, isolation_level=None)) as db:
            db.execute("PRAGMA synchronous = OFF")  # it is gone again when all is done
            db.execute(TABLE_AND_INDEXES["entries"])
            db.execute("BEGIN")
            last = journal.last_seq()
            for start in range(0, last, _STRETCH):
                for row in _readable(journal, start, min(start + _STRETCH, last)):
                    with suppress(sqlite3.IntegrityError):  # such as no entry can be
                        db.execute(_ADD, row)
                said(start, last, "entries")
            db.execute("COMMIT")
    except OSError as error:
        raise cannot_copy(rows, reason(error)) from error
    except sqlite3.Error as error:
        raise cannot_copy(rows, f"the disk refused it ({error})") from error


def _readable(journal: KeptJournal, after: int, upto: int) -> Iterator[tuple[Any, ...]]:
    try:
        yield from journal.sealed(after, upto)
    except JournalDamaged:
        for seq in range(after, upto):
            with suppress(JournalDamaged):
                yield from journal.sealed(seq, seq + 1)
