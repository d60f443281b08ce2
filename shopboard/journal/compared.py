"""What is read is compared with its seal before anyone sees it; what does not match is left out.

The place that a damaged row names may be what was changed in it, and so may what
it was: a result, a move, a void. So nothing that was recorded before it is sure any
longer, and the newest damage is all that need be known.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from shopboard.journal import queries
from shopboard.journal.entry import VOID, Damage, Entry
from shopboard.journal.faults import primary_code

Told = Callable[[Damage], None]
"""Is told of damage as soon as it is found, and of the newest only."""


def changed(seq: int) -> Damage:
    """Give the damage of an entry whose seal does not match."""
    return Damage(seq, f"entry {seq} is not what was recorded")


def lost(seq: int) -> Damage:
    """Give the damage of an entry that is not found where the file's index says, or at all."""
    return Damage(seq, f"entry {seq} is not found where it was recorded")


DISORDER = Damage(None, "an index of it is out of order")


def rows_of(
    db: sqlite3.Connection, query: str, values: Mapping[str, object] | Sequence[object]
) -> list[queries.Row]:
    """Ask for rows, also for those whose text is none any more: their seals tell."""
    try:
        return db.execute(query, values).fetchall()
    except sqlite3.OperationalError as error:
        if primary_code(error) is not None:
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
        self.damage: Damage | None = None
        """The newest damage that was found by now."""
        self.found = 0
        """How often something was found that was not known."""
        self.met = 0
        """How often damage was met, known or not."""

    def note(self, damage: Damage) -> None:
        """Keep damage, if it is newer than what is known: what lies nowhere is newest."""
        self.met += 1
        known = self.damage
        if known is not None and (
            known.seq is None or (damage.seq is not None and damage.seq <= known.seq)
        ):
            return
        self.damage = damage
        self.found += 1
        if self._told is not None:
            self._told(damage)

    def forget(self) -> None:
        """Begin anew: another file is at the path, or this one was found whole."""
        if self.damage is not None:
            self.damage = None
            self.found += 1

    def entries(self, db: sqlite3.Connection, rows: Iterable[queries.Row]) -> Iterator[Entry]:
        """Give the rows that are what was recorded, as entries."""
        for row in rows:
            entry = self.entry(db, row)
            if entry is not None:
                yield entry

    def entry(self, db: sqlite3.Connection, row: queries.Row) -> Entry | None:
        """Give a row as an entry; None where it is not what was recorded."""
        try:
            queries.check_seal(row)
            reason = None if row[12] is None else self._reason(db, row[12], row[1])
            return queries.unsealed(row, reason)
        except (TypeError, ValueError):
            self.note(changed(row[0]))
            return None

    def _reason(self, db: sqlite3.Connection, seq: int, uid: str) -> str:
        """Give why an entry was voided, from the void itself; where that cannot be said, that."""
        void = next(iter(rows_of(db, queries.NUMBERED, (seq,))), None)
        try:
            entry = queries.entry_of(void) if void else None
            if entry is not None and (entry.kind, entry.refers) == (VOID, uid):
                return str(entry.body.get("reason", ""))
        except (TypeError, ValueError):
            pass
        self.note(changed(seq))
        return "the reason is not what was recorded"

    def newest(
        self, db: sqlite3.Connection, kind: str, rows: Iterable[Sequence[object]]
    ) -> Iterator[tuple[tuple[str, str], Entry]]:
        """Give the newest entry of each place, and the place, from the rows of `LATEST`.

        A place whose newest entry cannot be gone by has none: the one before it is not shown.
        """
        for *fields, machine, point, seq in rows:
            row: queries.Row = tuple(fields)  # type: ignore[assignment]
            if row[0] is None:
                self.note(lost(seq) if isinstance(seq, int) else DISORDER)
                continue
            entry = self.entry(db, row)
            if entry is None:
                continue
            if (entry.kind, entry.machine, entry.point) == (kind, machine, point):
                yield (entry.machine, entry.point), entry
            else:
                self.note(lost(entry.seq))
