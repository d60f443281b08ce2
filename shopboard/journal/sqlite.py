"""The journal in one SQLite file."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import Any, TypeVar

from shopboard.journal.asked import AskedJournal
from shopboard.journal.chain import first_damage
from shopboard.journal.commit import IN_FILE, SwappedError, add_sealed, all_recorded, record
from shopboard.journal.compared import (
    Told,
)
from shopboard.journal.db import Db
from shopboard.journal.draft import Draft
from shopboard.journal.entry import Damage, Entry
from shopboard.journal.errors import JournalDamaged, JournalError
from shopboard.journal.faults import (
    READ_FAULTS,
    is_busy,
    is_damage,
    locked,
    unreadable,
    write_fault,
)
from shopboard.journal.held import Held
from shopboard.journal.look import LookedTo, has_every_key, newest_place
from shopboard.journal.structure import structure_of

T = TypeVar("T")

_STRETCH = 2_000
"""Entries that are looked at between two looks at the lock."""


class SqliteJournal(AskedJournal):
    """A `Store` in one SQLite file; see there for what each call promises."""

    _held: Held

    def __init__(
        self,
        held: Held,
        now: Callable[[], datetime],
        computer: Callable[[], str] | None = None,
        told: Told | None = None,
        who: Callable[[], str] | None = None,
    ) -> None:
        super().__init__(held, now, computer, told, who)
        self._file = held.identity

    @property
    def path(self) -> Path:
        """Where the journal is."""
        return self._held.path

    def _recorded(self, drafts: Sequence[Draft], after: int | None) -> list[Entry]:
        try:
            return self._record(drafts, after)
        except READ_FAULTS as error:
            return self._after_failure(error, drafts)

    def _record(self, drafts: Sequence[Draft], after: int | None) -> list[Entry]:
        """Record in the file at the path, also where that was put there at this moment."""
        while True:
            db = self._held.writable_db()
            with suppress(SwappedError):
                recorded = record(db, drafts, self._now, self._held.in_place, after)
                self._held.look(db)  # and remember it
                return recorded
            self._held.drop()

    def begin_move(self) -> None:
        """Do nothing: what is carried into a file is not under its name before all is there."""

    def end_move(self) -> bool:
        """Do nothing, as at its beginning."""
        return False

    def take_over(
        self, rows: Sequence[tuple[Any, ...]], more: Iterable[Sequence[tuple[Any, ...]]] = ()
    ) -> None:
        """Add entries of another journal as they are, behind the last one: all of them or none."""
        db = self._held.writable_db()
        try:
            add_sealed(db, chain((rows,), more), IN_FILE.begin, self.path)
            self._held.look(db)
        except READ_FAULTS as error:
            self._held.drop()
            raise write_fault(error, self.path, known_absent=False) from error

    def _others(self, db: sqlite3.Connection) -> int:
        return int(db.execute("PRAGMA data_version").fetchone()[0])

    def verify(
        self, newest: int | None = None, said: Callable[[int, int], object] | None = None
    ) -> Damage | None:
        """Compare the `newest` entries, or the whole file, with their hashes."""
        try:
            return self._held.read(
                lambda db: first_damage(db, newest, said), unbounded=newest is None
            )
        except JournalDamaged as error:
            return Damage(None, error.title)

    def _newest_place(self, db: Db) -> LookedTo:
        return newest_place(db, self._compared)

    def look_beneath(self, place: LookedTo) -> bool:
        """Have SQLite hold each index against the table; look on where they disagree."""
        try:
            wrong = self._held.read(structure_of, unbounded=True)
            while wrong is not None and place.seq and not self._compared.located:
                place = self.look(place, _STRETCH)
            if wrong is not None and not self._compared.located:
                all_there = self._held.read(has_every_key, unbounded=True)
                self._compared.note(wrong._replace(seq=0) if all_there else wrong)
        except JournalDamaged:
            wrong = Damage(None, "its structure cannot be read")
            self._compared.note(wrong)
        return wrong is None

    def _read(self, ask: Callable[[sqlite3.Connection], T]) -> T | None:
        """Ask; None where it was asked with a character that no recorded text can hold."""
        if self._file != self._held.identity:  # another one is there now: perhaps a good copy
            self._file = self._held.identity
            self._compared.forget()
        try:
            return self._held.read(ask)
        except UnicodeEncodeError:
            return None

    def _after_failure(self, error: Exception, drafts: Sequence[Draft]) -> list[Entry]:
        """Find out on a fresh opening what became of a recording that failed.

        Entries that are there after all are confirmed by a commit of their own.
        """
        if is_busy(error):
            raise locked(self.path) from error
        self._held.drop()
        known_absent = False
        try:
            db = self._held.writable_db()
            if all_recorded(db, drafts):
                recorded = record(db, drafts, self._now, self._held.in_place)
                self._held.look(db)  # and remember it
                return recorded
            known_absent = True
        except (*READ_FAULTS, JournalError, SwappedError):
            self._held.drop()
        if is_damage(error) and self.verify() is None:
            raise unreadable(self.path) from error
        raise write_fault(error, self.path, known_absent) from error
