"""The journal in one SQLite file."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from shopboard.journal import kinds, queries
from shopboard.journal.acts import taking_back
from shopboard.journal.chain import first_damage
from shopboard.journal.commit import SwappedError, all_recorded, record
from shopboard.journal.compared import (
    Compared,
    Fits,
    Told,
    at_place,
    on_machine,
    rows_of,
)
from shopboard.journal.computer import naming
from shopboard.journal.draft import Draft, draft, unfit
from shopboard.journal.entry import Damage, Entry, NewEntry, new_uid
from shopboard.journal.errors import JournalDamaged, JournalDiffers, JournalError
from shopboard.journal.faults import (
    READ_FAULTS,
    damage_fault,
    is_busy,
    is_damage,
    locked,
    unreadable,
    write_fault,
)
from shopboard.journal.held import Held, TimeLimit
from shopboard.journal.look import LookedTo, has_every_key, look, newest_place
from shopboard.journal.opening import Terms
from shopboard.journal.schema import MIGRATIONS
from shopboard.journal.store import Store
from shopboard.journal.structure import structure_of
from shopboard.journal.watch import JournalWatch

T = TypeVar("T")

_STRETCH = 2_000
"""Entries that are looked at between two looks at the lock."""


def open_journal(
    path: Path,
    now: Callable[[], datetime],
    *,
    create: bool = True,
    read_only: bool = False,
    wait_seconds: float = 5.0,
    migrations: Sequence[Sequence[str]] = MIGRATIONS,
    computer: Callable[[], str] | None = None,
    who: Callable[[], str] | None = None,
    watched: bool = False,
    stand_in: bool = False,
    told: Told | None = None,
    read_seconds: float = 5.0,
    monotonic: Callable[[], float] = time.monotonic,
) -> SqliteJournal:
    """Open the journal at `path`, making it and its folder when there is none.

    Args:
        path: the journal file.
        now: the clock; gives times that know their time zone.
        create: make a journal where nothing, or an empty file, is.
        read_only: record nothing and leave the form of an older journal; only what
            a power cut left half done is undone.
        wait_seconds: how long each call waits for another program.
        migrations: the forms of the file; to be given only by tests.
        computer: names this computer; with it, the first recording says so in an entry of
            its own where another one recorded last.
        who: names this bench, in every entry that is recorded here; empty: it has no name.
        watched: hold it against what this computer remembers of the journal at that path, and
            remember it.
        stand_in: where there is none and none is made, give an empty one to be read.
        told: is told of damage that is met on reading, as soon as it is.
        read_seconds: how long a question may take before it is broken off.
        monotonic: the clock for that.

    Raises:
        JournalError: there is no journal to be had at that path; its words say why.
    """
    terms = Terms(path, create, read_only, wait_seconds, migrations, stand_in)
    held = Held(
        terms, TimeLimit(read_seconds, monotonic), JournalWatch(path, now) if watched else None
    )
    return SqliteJournal(held, now, computer, told, who)


class SqliteJournal:
    """A `Store` in one SQLite file; see there for what each call promises."""

    def __init__(
        self,
        held: Held,
        now: Callable[[], datetime],
        computer: Callable[[], str] | None = None,
        told: Told | None = None,
        who: Callable[[], str] | None = None,
    ) -> None:
        self._held = held
        self._compared = Compared(told)
        self._file = held.identity
        self._met = -1
        self._due: LookedTo | None = None
        self._now = now
        self._computer = computer
        self._who = who
        self._mark = 0
        self._seen = (0, 0, 0)

    @property
    def path(self) -> Path:
        """Where the journal is."""
        return self._held.path

    @property
    def writable(self) -> bool:
        """Whether entries can be recorded, as far as is known."""
        return self.refusal is None

    @property
    def refusal(self) -> JournalError | None:
        """Why nothing can be recorded, or None while the journal is writable."""
        return self._held.refusal or self._held.differs

    @property
    def differs(self) -> JournalDiffers | None:
        """How the file differs from the journal that was last open at its path, if it does."""
        return self._held.differs

    @property
    def made_up(self) -> bool:
        """Whether it says of itself that nothing in it ever happened."""
        return self._held.made_up

    def save_memory(self) -> None:
        """Write down, outside of the journal, how it was last seen; closing it does so, too."""
        self._held.save()

    def take_as_it_is(self) -> None:
        """From now on the file that is there is the journal: a person said that it is right.

        Raises:
            JournalError: when it cannot be read.
        """
        self._held.take_as_it_is()
        self._mark += 1

    @property
    def damage(self) -> Damage | None:
        """The newest place at which it was found not to be what was recorded; None: none yet."""
        return self._compared.damage

    @property
    def by(self) -> str:
        """The name of the bench that records in it; empty: it has none."""
        return self._who() if self._who else ""

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
        """Record all of the entries or none; return only when they are on the disk."""
        if not entries:
            return []
        by = self.by
        drafts = [draft(entry, by) for entry in entries]
        own = naming(self, self._computer()) if self._computer else []
        drafts = [*(draft(entry, by) for entry in own), *drafts]
        try:
            recorded = self._record(drafts, after)
        except READ_FAULTS as error:
            recorded = self._after_failure(error, drafts)
        except (TypeError, ValueError) as error:  # what is read before recording is no entry
            raise damage_fault(self.path, "an entry is not what was recorded") from error
        self._mark += 1
        self._computer = None  # it is on record now
        return recorded[len(own) :]

    def _record(self, drafts: Sequence[Draft], after: int | None) -> list[Entry]:
        """Record in the file at the path, also where that was put there at this moment."""
        while True:
            db = self._held.writable_db()
            with suppress(SwappedError):
                recorded = record(db, drafts, self._now, self._held.in_place, after)
                self._held.look(db)  # and remember it
                return recorded
            self._held.drop()

    def void(self, uid: str, reason: str, name: str = "") -> Entry:
        """Withdraw the entry `uid` by a further entry; give that one."""
        before = self._compared.found
        target = self.get(uid)
        if target is None and self._compared.found != before and self.damage is not None:
            raise damage_fault(self.path, self.damage.what)
        if target is None:
            raise unfit(f"there is no entry {uid} to withdraw")
        return self.append([taking_back(target, reason, name or new_uid())])[0]

    def get(self, uid: str) -> Entry | None:
        """Give the entry of that uid, or None."""
        return next(iter(self._entries(queries.GET, (uid,), lambda one: one.uid == uid)), None)

    def latest(self, kind: str) -> dict[tuple[str, str], Entry]:
        """Give the newest entry that stands of each (machine, point)."""
        return self._newest(queries.LATEST, {"kind": kind})

    def recent(
        self, kind: str, machine: str, point: str, limit: int = 200, include_void: bool = True
    ) -> list[Entry]:
        """Give the entries of one point, newest first."""
        query = queries.RECENT if include_void else queries.RECENT_STANDING
        return self._entries(query, (kind, machine, point, limit), at_place(kind, machine, point))

    def machine_entries(self, kind: str, machine: str, limit: int = 200) -> list[Entry]:
        """Give the entries of one machine, whatever their point, newest first."""
        return self._entries(queries.OF_MACHINE, (kind, machine, limit), on_machine(kind, machine))

    def newest(self, kinds: Sequence[str], upto: int, window: int, limit: int) -> list[Entry]:
        """Give the entries of some kinds among the last so many up to a number, newest first."""
        asked = {"kinds": f" {' '.join(kinds)} ", "upto": upto, "window": window, "limit": limit}
        return self._entries(queries.NEWEST, asked, lambda one: one.kind in kinds)

    def thread(self, uid: str) -> list[Entry]:
        """Give the entries that refer to `uid`, oldest first."""
        return self._entries(queries.THREAD, (uid,), lambda one: one.refers == uid)[::-1]

    def open_checks(self, newest: int = 200) -> list[Entry]:
        """Give those of the newest checks that stand and that no "end" refers to, newest first."""
        return self._entries(
            queries.OPEN_CHECKS, (newest,), lambda one: one.kind == kinds.BEGIN.name
        )

    def between(
        self, kind: str, machine: str, point: str, after: int, upto: int, limit: int = 200
    ) -> list[Entry]:
        """Give the entries of one point whose numbers lie between two, newest first."""
        fits = at_place(kind, machine, point)
        return self._entries(queries.BETWEEN, (kind, machine, point, after, upto, limit), fits)

    def seq_at(self, when: datetime) -> int:
        """Give the number of the last entry that was recorded up to a moment; 0 when none was."""
        from shopboard.journal.as_of import seq_at

        return self._read(lambda db: seq_at(db, when, self._now(), self._compared)) or 0

    def as_of(self, seq: int) -> Store:
        """Give the journal as it was when `seq` was its last entry."""
        from shopboard.journal.as_of import AsOf

        return AsOf(self, self._entries, self._newest, seq)

    def last_seq(self) -> int:
        """Give the number of the last entry; 0 when there is none."""
        return int(self._held.read(lambda db: db.execute(queries.LAST_SEQ).fetchone()[0]))

    def seal_of(self, seq: int) -> str:
        """Give the hash of an entry, which seals all before it, too; empty where it is not there.

        Raises:
            JournalError: when the journal cannot be read.
        """
        row = self._held.read(lambda db: db.execute(queries.HASH, (seq,)).fetchone())
        return row[0].hex() if row and isinstance(row[0], bytes) else ""

    def count(self) -> int:
        """Give the number of entries, voided ones and voids among them."""
        return int(self._held.read(lambda db: db.execute(queries.COUNT).fetchone()[0]))

    def change_mark(self) -> int:
        """Give a number that differs from the last one if anyone has recorded since."""
        self._held.settle()
        version = self._held.read(lambda db: db.execute("PRAGMA data_version").fetchone()[0])
        seen = (self._held.generation, version, self._compared.found)
        if seen != self._seen:
            self._seen = seen
            self._held.read(self._held.look)
            self._mark += 1
        return self._mark

    def newest_when(self) -> datetime | None:
        """Give the latest time on any standing entry whose clock was right, or None."""

        def ask(db: sqlite3.Connection) -> Entry | None:
            found = (self._compared.entry(db, row) for row in rows_of(db, queries.NEWEST_WHEN, ()))
            return next((one for one in found if one is not None), None)

        newest = self._read(ask)
        return newest.when if newest is not None else None

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

    def look(self, place: LookedTo | None, count: int) -> LookedTo:
        """Look at a stretch of the journal, from the newest entry to the oldest."""
        if place is None and self.damage is not None:
            self._held.drop()  # what is kept of the file in memory is read anew
        compared = self._compared
        in_turn = place is not None and place == self._due  # all after it was looked at

        def looked(db: sqlite3.Connection) -> LookedTo:
            db.execute("BEGIN")  # what is recorded meanwhile is no damage
            try:
                if place is None:
                    self._met = compared.met
                    return newest_place(db, compared)
                return look(db, place, count, compared.locate if in_turn else compared.note)
            finally:
                if db.in_transaction:
                    db.execute("ROLLBACK")

        try:
            found = self._read(looked) or LookedTo(0)
        except JournalDamaged:
            compared.note(Damage(None, "its structure cannot be read"))
            return LookedTo(0)
        if place is None or in_turn:
            self._due = found
        if in_turn and found.seq == 0 and compared.met == self._met:
            compared.forget()  # a good copy was put back
        return found

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

    def close(self) -> None:
        """Let go of the journal; closing twice is harmless."""
        self._held.close()

    def _entries(
        self, query: str, values: Mapping[str, object] | Sequence[object], fits: Fits
    ) -> list[Entry]:
        def ask(db: sqlite3.Connection) -> list[Entry]:
            return list(self._compared.entries(db, rows_of(db, query, values), fits))

        return self._read(ask) or []

    def _newest(self, query: str, values: Mapping[str, object]) -> dict[tuple[str, str], Entry]:
        def ask(db: sqlite3.Connection) -> dict[tuple[str, str], Entry]:
            rows = rows_of(db, query, values)
            return dict(self._compared.newest(db, str(values["kind"]), rows))

        return self._read(ask) or {}

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
