"""The server, held on to as long as it answers, and come back to when it is there again.

A connection that met a fault is never used again. After the first opening a new one is waited for
no longer than a person waits for a key, and after a vain try none is made for some seconds.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from threading import Event, Thread
from typing import TypeVar

import psycopg

from shopboard.base.server_place import ServerPlace
from shopboard.journal.errors import JournalError
from shopboard.journal.faults import named
from shopboard.journal.held_open import HeldOpen
from shopboard.journal.on_server.connection import ServerDb, lost
from shopboard.journal.on_server.faults import away, read_fault
from shopboard.journal.on_server.opening import ServerTerms, open_server, owned
from shopboard.journal.watch import JournalWatch

T = TypeVar("T")

OpenedThere = tuple[ServerDb, JournalError | None]

PATIENCE = 1.0
"""Seconds for which a question waits for a new connection."""

ANSWERS_WITHIN = 0.5
"""Seconds in which a server answers that is there, however long what it is asked then may take."""

LATELY = 2.0
"""Seconds for which a server that answered is taken to be there, by who only reads."""

AGAIN_AFTER = 3.0
"""Seconds after a vain try in which no other is made."""


class HeldServer(HeldOpen):
    """One connection at a time to the server."""

    def __init__(self, terms: ServerTerms, watch: JournalWatch | None) -> None:
        """Open.

        Args:
            terms: how to open it.
            watch: tells whether it is the journal that was last open at its place; None: whatever
                is there will do.
        """
        super().__init__(watch)
        self._terms = terms
        self._db: ServerDb | None = None
        self._coming: _Coming | None = None
        self._failed: tuple[float, JournalError] | None = None
        self._closed = False
        self.owned = owned(self._take(open_server(terms)))
        # From now on a journal that is gone is an error, not a reason to begin a new one.
        self._terms = terms._replace(create=False)

    @property
    def path(self) -> ServerPlace:
        """Where the journal is."""
        return self._terms.place

    def _take(self, opened: OpenedThere) -> ServerDb:
        self._db, self.refusal = opened
        self.generation += 1
        self._failed = None
        self.look(self._db)
        return self._db

    def db(self) -> ServerDb:
        """Give a connection; raise the error that says why there is none."""
        if self._closed:
            raise JournalError(
                f"The journal {named(self.path)} was closed already.",
                "This is a fault in the program; please report it.",
            )
        return self._db if self._db is not None else self._take(self._opened_again())

    def _there(self, lately: float) -> ServerDb:
        """Give a connection that answered within so many seconds: no key waits for a dead one."""
        db = self.db()
        if time.monotonic() - db.answered > lately:
            db.must_answer(ANSWERS_WITHIN)
        return db

    def _opened_again(self) -> OpenedThere:
        if self._failed is not None and time.monotonic() < self._failed[0]:
            again = type(self._failed[1])(self._failed[1].title, self._failed[1].advice)
            again.is_away = self._failed[1].is_away
            raise again
        if self._coming is None:
            self._coming = _Coming(self._terms)
            self._coming.wait(PATIENCE)
        if not self._coming.is_over:
            raise away(self.path)
        coming, self._coming = self._coming, None
        if coming.opened is None:
            error = coming.error or away(self.path)
            self._failed = time.monotonic() + AGAIN_AFTER, error
            raise error
        return coming.opened

    @property
    def may_have_committed(self) -> bool:
        """Whether a commit was begun on the connection that is open, and no answer came."""
        return self._db is not None and self._db.may_have_committed

    def writable_db(self) -> ServerDb:
        """Give a connection that can record, or raise the error that says why there is none."""
        db = self._there(0.0)
        if self.refusal is not None:  # perhaps the obstacle is gone by now
            self.drop()
            db = self.db()
        self.must_record(db)
        return db

    def read(self, action: Callable[[ServerDb], T], *, unbounded: bool = False) -> T:  # noqa: ARG002 - what takes long is asked in parts
        """Do a reading; where the connection is gone, once more on a new one."""
        try:
            return action(self._there(LATELY))
        except psycopg.Error as error:
            self.drop()
            if not lost(error):
                raise read_fault(error, self.path) from None
        try:
            return action(self.db())
        except psycopg.Error as error:
            self.drop()
            raise read_fault(error, self.path) from None

    def drop(self) -> None:
        """Close the connection; the next call opens anew."""
        if self._db is not None:
            self._db.close()
            self._db = None

    def close(self) -> None:
        """Close for good."""
        self.save()
        self.drop()
        if self._coming is not None:
            self._coming.let_go()
        self._closed = True


class _Coming:
    """A connection that is being made, in a thread: a name or a cable may take a minute to fail."""

    def __init__(self, terms: ServerTerms) -> None:
        self._terms = terms
        self._over = Event()
        self._let_go = False
        self.opened: OpenedThere | None = None
        self.error: JournalError | None = None
        Thread(target=self._open, daemon=True).start()

    def _open(self) -> None:
        try:
            self.opened = open_server(self._terms)
        except JournalError as error:
            self.error = error
        finally:
            self._over.set()
            if self._let_go and self.opened is not None:
                self.opened[0].close()

    def wait(self, seconds: float) -> None:
        """Wait for it so long."""
        self._over.wait(seconds)

    @property
    def is_over(self) -> bool:
        """Whether it is made, or cannot be."""
        return self._over.is_set()

    def let_go(self) -> None:
        """Close it as soon as it is there."""
        self._let_go = True
        if self.is_over and self.opened is not None:
            self.opened[0].close()
