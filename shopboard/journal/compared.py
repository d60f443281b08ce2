"""What is read is compared with its seal before anyone sees it; what does not match is left out.

The place that a damaged row names may be what was changed in it, and so may what
it was: a result, a move, a void. So nothing that was recorded before it is sure any
longer, and the newest damage is all that need be known.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from shopboard.journal import kinds, queries
from shopboard.journal.db import AskedWith, Db
from shopboard.journal.entry import Damage, Entry
from shopboard.journal.faults import primary_code

Told = Callable[[Damage], None]
"""Is told of damage as soon as it is found, and of the newest only."""


def changed(seq: int) -> Damage:
    """Give the damage of an entry whose seal does not match."""
    return Damage(seq, f"entry {seq} is not what was recorded")


def lost(seq: int) -> Damage:
    """Give the damage of an entry that is not found where the file's index says, or at all."""
    return Damage(seq, f"entry {seq} is not found where it was recorded")


Fits = Callable[[Entry], bool]
"""Tells whether an entry is one that was asked for."""


def at_place(kind: str, machine: str, point: str) -> Fits:
    """Ask for entries of a kind at a place."""
    return lambda one: (one.kind, one.machine, one.point) == (kind, machine, point)


def on_machine(kind: str, machine: str) -> Fits:
    """Ask for entries of a kind on a machine."""
    return lambda one: (one.kind, one.machine) == (kind, machine)


DISORDER = Damage(None, "an index of it is out of order")


def rows_of(db: Db, query: str, values: AskedWith) -> list[queries.StoredRow]:
    """Ask for rows, also for those whose text is none any more: their seals tell."""
    try:
        return db.execute(query, values).fetchall()
    except sqlite3.OperationalError as error:
        if not isinstance(db, sqlite3.Connection) or primary_code(error) is not None:
            raise
    db.text_factory = _any_letters
    try:
        return db.execute(query, values).fetchall()
    finally:
        db.text_factory = str


def _any_letters(text: bytes) -> str:
    return text.decode("utf-8", "surrogateescape")


class Compared:
    """Rows in, entries out; what is known of the damage in between."""

    def __init__(self, told: Told | None = None) -> None:
        """Begin with a file of which nothing is known.

        Args:
            told: is called with damage that was not known.
        """
        self._told = told
        self._newest: Damage | None = None
        self._astray = False
        self.located = False
        """Whether the newest damage is known: all that came after it was looked at."""
        self.found = 0
        """How often something was found that was not known."""
        self.met = 0
        """How often damage was met, known or not."""

    @property
    def damage(self) -> Damage | None:
        """The newest damage that was found by now.

        Where an index leads astray and it was not yet found which entry it lost, all is unsure.
        """
        nowhere = self._newest is not None and self._newest.seq is None
        return DISORDER if self._astray and not (self.located or nowhere) else self._newest

    def note(self, damage: Damage) -> None:
        """Keep damage, if it is newer than what is known: what lies nowhere is newest."""
        before = self.damage
        self._keep(damage)
        self._tell(before)

    def locate(self, damage: Damage) -> None:
        """Keep damage that a look from the newest entry on has found: there is none after it."""
        before = self.damage
        self.located = True
        self._keep(damage)
        self._tell(before)

    def _keep(self, damage: Damage) -> None:
        self.met += 1
        known = self._newest
        if known is None or (
            known.seq is not None and (damage.seq is None or damage.seq > known.seq)
        ):
            self._newest = damage

    def go_astray(self) -> None:
        """Keep that an index led to another entry than was asked for, or to one twice."""
        self.met += 1
        before, self._astray = self.damage, True
        self._tell(before)

    def _tell(self, before: Damage | None) -> None:
        now = self.damage
        if now is not None and now != before:
            self.found += 1
            if self._told is not None:
                self._told(now)

    def forget(self) -> None:
        """Begin anew: another file is at the path, or this one was found whole."""
        if self.damage is not None:
            self.found += 1
        self._newest, self._astray, self.located = None, False, False

    def entries(self, db: Db, rows: Iterable[queries.StoredRow], fits: Fits) -> Iterator[Entry]:
        """Give the rows that are what was recorded, as entries.

        Args:
            db: the open journal.
            rows: in the order of their numbers, the newest first.
            fits: tells whether an entry is one that was asked for: an index may lead elsewhere.
        """
        last: int | None = None
        for row in rows:
            if row[0] is None:  # a number that an index gave, and no row
                self.note(lost(row[-1]) if isinstance(row[-1], int) else DISORDER)
                continue
            entry = self.entry(db, row)
            if entry is None:
                continue
            if not fits(entry) or (last is not None and entry.seq >= last):
                self.go_astray()
                continue
            last = entry.seq
            yield entry

    def entry(self, db: Db, row: queries.StoredRow) -> Entry | None:
        """Give a row as an entry; None where it is not what was recorded."""
        try:
            queries.check_seal(row)
            reason = None if row[12] is None else self._reason(db, row[12], row[1])
            return queries.unsealed(row, reason)
        except (TypeError, ValueError):
            self._blame(db, row[0])
            return None

    def is_whole(self, db: Db, row: Sequence[Any]) -> bool:
        """Tell whether what is in a row is what was recorded."""
        try:
            queries.check_seal(row)
        except (TypeError, ValueError):
            self._blame(db, row[0])
            return False
        return True

    def _blame(self, db: Db, seq: int) -> None:
        """Note that an entry was not given as it was recorded: by itself, or by an index."""
        if self._is_sealed(db, seq):
            self.go_astray()
        else:
            self.note(changed(seq))

    def _is_sealed(self, db: Db, seq: int) -> bool:
        """Tell whether the entry of a number is what was recorded, by itself."""
        try:
            (row,) = rows_of(db, queries.NUMBERED, (seq,))
            queries.check_seal(row)
            queries.unsealed(row)
        except (TypeError, ValueError):
            return False
        return True

    def _reason(self, db: Db, seq: int, uid: str) -> str:
        """Give why an entry was voided, from the void itself; where that cannot be said, that."""
        void = next(iter(rows_of(db, queries.NUMBERED, (seq,))), None)
        try:
            entry = queries.entry_of(void) if void else None
        except (TypeError, ValueError):
            self.note(changed(seq))
        else:
            if entry is not None and (entry.kind, entry.refers) == (kinds.VOID.name, uid):
                return kinds.VOID.read(entry).reason
            self.go_astray()
        return "the reason is not what was recorded"

    def newest(
        self, db: Db, kind: str, rows: Iterable[Sequence[object]]
    ) -> Iterator[tuple[tuple[str, str], Entry]]:
        """Give the newest entry of each place, and the place, from the rows of `LATEST`.

        A place whose newest entry cannot be gone by has none: the one before it is not shown.
        """
        for *fields, machine, point, seq, back in rows:
            row: queries.StoredRow = tuple(fields)  # type: ignore[assignment]
            if back:  # the index turned back
                self.go_astray()
            if seq is None:
                continue
            if row[0] is None:
                self.note(lost(seq) if isinstance(seq, int) else DISORDER)
                continue
            entry = self.entry(db, row)
            if entry is None:
                continue
            if (entry.kind, entry.machine, entry.point) == (kind, machine, point):
                yield (entry.machine, entry.point), entry
            else:
                self.go_astray()
