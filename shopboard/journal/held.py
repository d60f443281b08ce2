"""The open file, held on to as long as it can be trusted.

A connection that met a fault is never used again: after a failed write to the
disk a second try can succeed without the data being there. It is closed, and
the next call opens the file anew, with all the checks of an opening. So does a
call that finds another file at the path, such as a copy put back.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from shopboard.journal.errors import JournalDiffers, JournalError
from shopboard.journal.faults import READ_FAULTS, is_busy, locked, named, read_fault
from shopboard.journal.fence import fence
from shopboard.journal.opening import Terms, open_file
from shopboard.journal.place import holds_something, identity
from shopboard.journal.watch import Watch

T = TypeVar("T")


class Held:
    """One connection at a time to the journal file."""

    def __init__(self, terms: Terms, watch: Watch | None = None) -> None:
        """Open.

        Args:
            terms: how to open it.
            watch: tells whether it is the journal that was last open at its path; None: whatever
                is there will do.
        """
        self._terms = terms
        self._watch = watch
        self._db: sqlite3.Connection | None = None
        self._identity: tuple[int, int] | None = None
        self._closed = False
        self.refusal: JournalError | None = None
        """Why nothing can be recorded, as found at the last opening."""
        self.generation = 0
        """How often the file was opened."""
        makes = terms.create and not holds_something(terms.path)
        self.db()
        if makes:
            self.take_as_it_is()
        # From now on a journal that is gone is an error, not a reason to begin a new one.
        self._terms = terms._replace(create=False, stand_in=self._identity is None)

    @property
    def path(self) -> Path:
        """Where the journal is."""
        return self._terms.path

    def db(self) -> sqlite3.Connection:
        """Give a connection to the file that is at the path now."""
        if self._closed:
            raise JournalError(
                f"The journal {named(self.path)} was closed already.",
                "This is a fault in the program; please report it.",
            )
        if self._db is not None and not self.in_place():
            self.drop()
        while self._db is None:
            before = identity(self.path)
            self._db, self.refusal = open_file(self._terms)
            self._identity = identity(self.path)
            if before not in (None, self._identity):  # which of the two it is, nobody knows
                self.drop()
                continue
            fence(self._db)
            self.generation += 1
            if self._identity is not None:  # what stands in for a journal is none
                self.look(self._db)
        return self._db

    @property
    def differs(self) -> JournalDiffers | None:
        """How the file differs from the journal that was last open there, if it does."""
        return self._watch.differs if self._watch is not None else None

    def look(self, db: sqlite3.Connection) -> JournalDiffers | None:
        """Hold the open file against what is remembered of the journal, and remember its end."""
        return self._watch.look(db) if self._watch is not None else None

    def settle(self) -> None:
        """Open anew where a person said elsewhere which journal is the right one."""
        if self._watch is not None and self._watch.is_stale():
            self.drop()

    def take_as_it_is(self) -> None:
        """From now on the file that is there is the journal."""
        if self._watch is not None:
            self.read(self._watch.accept)

    def in_place(self) -> bool:
        """Tell whether the file that is open is the one at the path."""
        return identity(self.path) == self._identity

    def writable_db(self) -> sqlite3.Connection:
        """Give a connection that can record, or raise the error that says why there is none."""
        db = self.db()
        if self.refusal is not None:  # perhaps the obstacle is gone by now
            self.drop()
            db = self.db()
        if self.refusal is not None:
            raise type(self.refusal)(self.refusal.title, self.refusal.advice)
        differs = self.look(db)
        if differs is not None:
            raise differs
        return db

    def read(self, action: Callable[[sqlite3.Connection], T]) -> T:
        """Do a reading; when it fails, once more on a fresh opening before anyone is told."""
        try:
            return action(self.db())
        except READ_FAULTS as error:
            if is_busy(error):
                raise locked(self.path) from error
            self.drop()
        try:
            return action(self.db())
        except READ_FAULTS as error:
            self.drop()
            raise read_fault(error, self.path) from error

    def drop(self) -> None:
        """Close the connection; the next call opens anew."""
        if self._db is not None:
            with suppress(sqlite3.Error):
                self._db.close()
            self._db = None

    def close(self) -> None:
        """Close for good."""
        self.drop()
        self._closed = True
