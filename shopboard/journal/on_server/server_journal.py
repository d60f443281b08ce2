"""The journal on a server: what a recording and a look through it are there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import chain
from typing import Any, TypeVar

import psycopg

from shopboard.base.server_place import ServerPlace
from shopboard.journal.asked import AskedJournal
from shopboard.journal.commit import RecordingWay, add_sealed, record
from shopboard.journal.db import Db
from shopboard.journal.draft import Draft
from shopboard.journal.entry import Damage, Entry
from shopboard.journal.errors import JournalDamaged, JournalError
from shopboard.journal.look import LookedTo
from shopboard.journal.on_server.connection import ServerDb, lost
from shopboard.journal.on_server.faults import write_fault
from shopboard.journal.on_server.form import begin_alone
from shopboard.journal.on_server.held_server import HeldServer
from shopboard.journal.on_server.looks import count_there, damage_there, structure_there
from shopboard.journal.on_server.moving import mark, unmark
from shopboard.journal.on_server.opening import unsafe
from shopboard.journal.on_server.words import STRETCH

T = TypeVar("T")


class ServerJournal(AskedJournal):
    """A `Store` in a database on a server; see there for what each call promises."""

    _held: HeldServer
    _stretch = STRETCH

    @property
    def path(self) -> ServerPlace:
        """Where the journal is."""
        return self._held.path

    def _recorded(self, drafts: Sequence[Draft], after: int | None) -> list[Entry]:
        """Record; where the connection is lost in it, find out on a new one what became of it.

        Nobody else records while that is found out, nor does what the server may still be at: it
        is there then, or will never be, and what is not there is recorded.
        """
        try:
            return self._record(drafts, after)
        except psycopg.Error as error:
            unknown = self._held.may_have_committed
            self._held.drop()
            if not lost(error):
                raise write_fault(error, self.path, known_absent=not unknown) from None
            first = error
        try:
            return self._record(drafts, after)
        except psycopg.Error as error:
            unknown = unknown or self._held.may_have_committed
            self._held.drop()
            raise write_fault(error, self.path, known_absent=not unknown) from None
        except JournalError as error:
            if unknown:
                raise write_fault(first, self.path, known_absent=False) from error
            raise

    def _record(self, drafts: Sequence[Draft], after: int | None) -> list[Entry]:
        db = self._held.writable_db()
        way = RecordingWay(lambda _: self._begin(db), _confirm)
        recorded = record(db, drafts, self._now, after=after, way=way)
        self._held.look(db)  # and remember it
        return recorded

    def _begin(self, db: ServerDb) -> None:
        begin_alone(db)
        if (refusal := unsafe(db, self.path)) is not None:
            raise refusal

    def begin_move(self) -> None:
        """Say there that what is carried into it from now on is not all yet."""
        mark(self._held.writable_db(), self.path)

    def end_move(self) -> bool:
        """Say there that all is carried over; tell whether it said there that it was not."""
        return unmark(self._held.db(), self.path)

    def take_over(
        self, rows: Sequence[tuple[Any, ...]], more: Iterable[Sequence[tuple[Any, ...]]] = ()
    ) -> None:
        """Add entries of another journal as they are, behind the last one: all of them or none."""
        try:
            db = self._held.writable_db()
            add_sealed(db, chain((rows,), more), lambda _: self._begin(db), self.path)
            self._held.look(db)
        except psycopg.Error as error:
            unknown = self._held.may_have_committed
            self._held.drop()
            absent = "What was carried before that stays there"
            raise write_fault(error, self.path, known_absent=not unknown, absent=absent) from None

    def _others(self, db: ServerDb) -> int:
        return db.hear()

    def verify(
        self, newest: int | None = None, said: Callable[[int, int], object] | None = None
    ) -> Damage | None:
        """Compare the `newest` entries, or the whole table, with their hashes."""
        try:
            return self._held.read(lambda db: damage_there(db, newest, said), unbounded=True)
        except JournalDamaged as error:
            return Damage(None, error.title)

    def count(self) -> int:
        """Give the number of entries, voided ones and voids among them."""
        return self._held.read(count_there, unbounded=True)

    def _newest_place(self, db: Db) -> LookedTo:
        newest = db.execute("SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
        return LookedTo(*newest) if newest else LookedTo(0)

    def look_beneath(self, place: LookedTo) -> bool:
        """Hold the indexes against the table, as far as this server lets one."""
        wrong = self._held.read(structure_there, unbounded=True)
        while wrong is not None and place.seq and not self._compared.located:
            place = self.look(place, 2_000)
        if wrong is not None and not self._compared.located:
            self._compared.note(wrong)
        return wrong is None

    def _read(self, ask: Callable[[Db], T]) -> T | None:
        """Ask; None where it was asked with a character that no recorded text can hold."""
        try:
            return self._held.read(ask)
        except UnicodeEncodeError:
            return None


def _confirm(db: Db) -> None:
    """Write a word into the server's log alone: without one its commit need not reach the disk."""
    db.execute("SELECT pg_logical_emit_message(true, 'shopboard', 'confirmed')")
