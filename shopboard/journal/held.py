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

from shopboard.journal.errors import JournalError
from shopboard.journal.faults import (
    READ_FAULTS,
    is_busy,
    locked,
    named,
    primary_code,
    read_fault,
    took_too_long,
)
from shopboard.journal.fence import fence
from shopboard.journal.held_open import HeldOpen
from shopboard.journal.opening import Terms, open_file
from shopboard.journal.place import holds_something, identity
from shopboard.journal.watch import JournalWatch

T = TypeVar("T")


_EVERY = 5_000
"""Steps of SQLite's machine between two looks at the clock: some tenths of a millisecond."""


class TimeLimit:
    """How long a question may take: SQLite asks it every few steps whether to go on."""

    def __init__(self, seconds: float, monotonic: Callable[[], float]) -> None:
        self.seconds = seconds
        self._monotonic = monotonic
        self._ends: float | None = None

    def begin(self, seconds: float | None) -> None:
        """Begin a question that may take so long; None: as long as it needs."""
        self._ends = None if seconds is None else self._monotonic() + seconds

    def is_over(self) -> bool:
        """Tell whether the time is over."""
        return self._ends is not None and self._monotonic() > self._ends


class Held(HeldOpen):
    """One connection at a time to the journal file."""

    def __init__(self, terms: Terms, limit: TimeLimit, watch: JournalWatch | None = None) -> None:
        """Open.

        Args:
            terms: how to open it.
            limit: for how long a question may go on.
            watch: tells whether it is the journal that was last open at its path; None: whatever
                is there will do.
        """
        self._terms = terms
        self._limit = limit
        super().__init__(watch)
        self._db: sqlite3.Connection | None = None
        self.identity: tuple[int, int] | None = None
        """Which file was opened last."""
        self._closed = False
        makes = terms.create and not holds_something(terms.path)
        self.db()
        if makes:
            self.take_as_it_is()
        # From now on a journal that is gone is an error, not a reason to begin a new one.
        self._terms = terms._replace(create=False, stand_in=self.identity is None)

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
            self.save()
            self.drop()
        while self._db is None:
            before = identity(self.path)
            self._db, self.refusal = open_file(self._terms)
            self.identity = identity(self.path)
            if before not in (None, self.identity):  # which of the two it is, nobody knows
                self.drop()
                continue
            fence(self._db)
            self._db.set_progress_handler(self._limit.is_over, _EVERY)
            self.generation += 1
            if self.identity is not None:  # what stands in for a journal is none
                self.look(self._db)
        return self._db

    def in_place(self) -> bool:
        """Tell whether the file that is open is the one at the path."""
        return identity(self.path) == self.identity

    def writable_db(self) -> sqlite3.Connection:
        """Give a connection that can record, or raise the error that says why there is none."""
        self._limit.begin(None)  # a recording ends by itself, and is never broken off half-way
        db = self.db()
        if self.refusal is not None:  # perhaps the obstacle is gone by now
            self.drop()
            db = self.db()
        self.must_record(db)
        return db

    def read(self, action: Callable[[sqlite3.Connection], T], *, unbounded: bool = False) -> T:
        """Do a reading; when it fails, once more on a fresh opening before anyone is told.

        Args:
            action: the reading.
            unbounded: whether it may take as long as it needs; Ctrl+C stops it all the same.
        """
        seconds = None if unbounded else self._terms.wait_seconds + self._limit.seconds
        self._limit.begin(seconds)
        try:
            return action(self.db())
        except READ_FAULTS as error:
            self._broken_off(error)
            if is_busy(error):
                raise locked(self.path) from error
            self.drop()
        self._limit.begin(seconds)
        try:
            return action(self.db())
        except READ_FAULTS as error:
            self.drop()
            self._broken_off(error)
            raise read_fault(error, self.path) from error

    def _broken_off(self, error: BaseException) -> None:
        """Say that a reading took too long; go on being interrupted where somebody did that."""
        if primary_code(error) != sqlite3.SQLITE_INTERRUPT:
            return
        self.drop()
        if self._limit.is_over():
            raise took_too_long(self.path) from error
        raise KeyboardInterrupt  # it was raised while SQLite asked, and SQLite kept it

    def drop(self) -> None:
        """Close the connection; the next call opens anew."""
        if self._db is not None:
            with suppress(sqlite3.Error):
                self._db.close()
            self._db = None

    def close(self) -> None:
        """Close for good."""
        self.save()
        self.drop()
        self._closed = True
