"""The chain of hashes: each entry is sealed together with the seal of the one before.

SQLite's own check does not see a changed letter in a text; the seals do. They
are there against damage, not against fraud: who can write the file can reckon
them anew.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from json.encoder import encode_basestring as _q
from operator import index
from typing import Any

from shopboard.journal.db import Db
from shopboard.journal.entry import Damage
from shopboard.journal.structure import structure_beside, structure_of

try:  # the same without OpenSSL, which takes longer to load than a screen's entries to compare
    from _sha256 import sha256  # type: ignore[import-not-found,unused-ignore]
except ImportError:
    from hashlib import sha256

GENESIS = bytes(32)
"""What stands before the first entry."""

_MANY = 50_000
"""Entries from which the structure is looked at beside the chain."""

_A_WHILE = 10_000
"""Entries after which it is told how far it is, and somebody who waits may record."""

SealedFields = tuple[int, str, str, str, str, str, str, str, int, str]
"""seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app: as stored."""

_ROWS = """
SELECT seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app, prev, hash
  FROM entries WHERE seq > ? AND seq <= ? ORDER BY seq
"""


def seal(prev: bytes, fields: Sequence[object]) -> bytes:
    """Give the hash of an entry (its `SealedFields`) after the entry whose hash is `prev`.

    Raises:
        TypeError: a field is of a type that none has.
        ValueError: a text holds what is no letter.
    """
    digest: bytes = sha256(prev + sealed_text(fields)).digest()
    return digest


def sealed_text(fields: Sequence[Any]) -> bytes:
    """Write an entry's `SealedFields` as JSON of the fewest characters, as ``json.dumps`` does.

    It is put together here of the same pieces, in half the time.

    Raises:
        TypeError: a field is not of its type.
        ValueError: a text holds what is no letter, or there are more or fewer fields.
    """
    seq, uid, utc, kind, machine, point, refers, body, clock_ok, app = fields
    return (
        f"[{index(seq)},{_q(uid)},{_q(utc)},{_q(kind)},{_q(machine)},{_q(point)},{_q(refers)},"
        f"{_q(body)},{index(clock_ok)},{_q(app)}]"
    ).encode()


SealSaid = Callable[[int, int], object]
"""Is told from time to time how many entries are looked through, of how many."""


def first_damage(
    db: sqlite3.Connection, newest: int | None = None, said: SealSaid | None = None
) -> Damage | None:
    """Find the first place at which the file is not what was recorded.

    An entry recorded meanwhile by another program is no damage: a few are read inside one
    transaction. What takes seconds is read a stretch at a time, up to the entry that was the last
    at the beginning, so that nobody who records waits for it: no entry ever changes.

    Args:
        db: an open journal.
        newest: how many of the newest entries to compare; None for the whole file,
            its indexes included.
        said: is told how far it is.
    """
    db.execute("BEGIN")
    try:
        if newest is not None:
            return _broken_link(db, newest, said)
        if not _is_long(db):
            return structure_of(db) or _broken_link(db, None, said)
        with structure_beside(db) as structure:
            try:
                broken = _broken_link(db, None, said, rest=True)
            except sqlite3.Error:
                if (found := structure()) is not None:
                    return found
                raise
            return structure() or broken
    finally:
        _end(db)


def _end(db: sqlite3.Connection) -> None:
    if db.in_transaction:
        db.execute("ROLLBACK")


def _is_long(db: sqlite3.Connection) -> bool:
    """Tell whether it takes seconds; from here on the file stays as it is."""
    with suppress(sqlite3.DatabaseError):
        return _last(db) >= _MANY
    return False


def _last(db: sqlite3.Connection) -> int:
    return int(db.execute("SELECT max(seq) FROM entries").fetchone()[0] or 0)


def _broken_link(
    db: sqlite3.Connection, newest: int | None, said: SealSaid | None = None, *, rest: bool = False
) -> Damage | None:
    """Compare the chain; `rest`: let go of the file between two stretches."""
    last = _last(db)
    counted = db.execute("SELECT seq FROM sqlite_sequence WHERE name = 'entries'").fetchone()
    if (counted[0] if counted else 0) != last:
        return Damage(None, f"entries are missing at the end, after number {last}")
    start = 0 if newest is None else max(0, last - newest)
    prev = GENESIS
    if start:
        before = db.execute("SELECT hash FROM entries WHERE seq = ?", (start,)).fetchone()
        if before is None:
            return Damage(start, f"entry {start} is missing")
        prev = before[0]
    if rest:
        _end(db)
    rows = rows_between(db, start, last)
    return walk(rows, start, prev, (lambda done: said(done, last)) if said else None)


def rows_between(db: Db, start: int, last: int) -> Iterator[tuple[Any, ...]]:
    """Give the rows, a stretch at a time; outside of a transaction nothing is held in between."""
    while start < last:
        upto = min(start + _A_WHILE, last)
        yield from db.execute(_ROWS, (start, upto))
        start = upto


def walk(
    rows: Iterator[tuple[Any, ...]],
    start: int,
    prev: Any,
    said: Callable[[int], object] | None = None,
) -> Damage | None:
    """Give the first of the rows, in their order, that does not follow from the one before it.

    Args:
        rows: of entries, each with its seal.
        start: number of the entry before them.
        prev: the seal of that.
        said: is told how far it is.
    """
    from hashlib import sha256 as quick  # OpenSSL's, thrice as quick once it is loaded

    due = start + 1
    try:
        for row in rows:
            fields, stored_prev, stored = row[:10], row[10], row[11]
            if fields[0] != due:
                return Damage(due, f"entry {due} is missing")
            # as `seal` does it
            if stored_prev != prev or quick(prev + sealed_text(fields)).digest() != stored:
                return Damage(due, f"entry {due} is not what was recorded")
            if said is not None and due % _A_WHILE == 0:
                said(due)
            due, prev = due + 1, stored
    except (TypeError, ValueError):  # a changed type, or letters that are none
        return Damage(due, f"entry {due} is not what was recorded")
    except sqlite3.OperationalError as error:
        if hasattr(error, "sqlite_errorcode"):
            raise
        return Damage(due, f"entry {due} holds text that cannot be read")
    return None
