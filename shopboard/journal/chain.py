"""The chain of hashes: each entry is sealed together with the seal of the one before.

SQLite's own check does not see a changed letter in a text; the seals do. They
are there against damage, not against fraud: who can write the file can reckon
them anew.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence

from shopboard.journal.entry import Damage

try:  # the same without OpenSSL, which takes longer to load than a screen's entries to compare
    from _sha256 import sha256  # type: ignore[import-not-found,unused-ignore]
except ImportError:
    from hashlib import sha256

GENESIS = bytes(32)
"""What stands before the first entry."""

Fields = tuple[int, str, str, str, str, str, str, str, int, str]
"""seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app: as stored."""

_ROWS = """
SELECT seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app, prev, hash
  FROM entries WHERE seq > ? ORDER BY seq
"""


_as_text = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


def seal(prev: bytes, fields: Sequence[object]) -> bytes:
    """Give the hash of an entry (its `Fields`) after the entry whose hash is `prev`.

    Raises:
        TypeError: a field is of a type that none has.
        ValueError: a text holds what is no letter.
    """
    digest: bytes = sha256(prev + _as_text(fields).encode("utf-8")).digest()
    return digest


def first_damage(db: sqlite3.Connection, newest: int | None = None) -> Damage | None:
    """Find the first place at which the file is not what was recorded.

    Reads inside one transaction, so that an entry recorded meanwhile by another
    program is no damage.

    Args:
        db: an open journal.
        newest: how many of the newest entries to compare; None for the whole file,
            its indexes included.
    """
    db.execute("BEGIN")
    try:
        if newest is None and (structure := _structure(db)) is not None:
            return structure
        return _broken_link(db, newest)
    finally:
        if db.in_transaction:
            db.execute("ROLLBACK")


def _structure(db: sqlite3.Connection) -> Damage | None:
    """Let SQLite compare its pages, and each index with the table."""
    # quick_check would leave out the indexes, and an index that lost a key
    # hides an entry from the board.
    (told,) = db.execute("PRAGMA integrity_check(1)").fetchone()
    return None if told == "ok" else Damage(None, f"the file's structure is damaged ({told})")


def _broken_link(db: sqlite3.Connection, newest: int | None) -> Damage | None:
    last = db.execute("SELECT max(seq) FROM entries").fetchone()[0] or 0
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
    return _walk(db.execute(_ROWS, (start,)), start, prev)


def _walk(rows: Iterator[tuple[object, ...]], start: int, prev: object) -> Damage | None:
    due = start + 1
    try:
        for *fields, stored_prev, stored in rows:
            if fields[0] != due:
                return Damage(due, f"entry {due} is missing")
            if stored_prev != prev or seal(prev, fields) != stored:  # type: ignore[arg-type]
                return Damage(due, f"entry {due} is not what was recorded")
            due, prev = due + 1, stored
    except (TypeError, ValueError):  # a changed type, or letters that are none
        return Damage(due, f"entry {due} is not what was recorded")
    except sqlite3.OperationalError as error:
        if hasattr(error, "sqlite_errorcode"):
            raise
        return Damage(due, f"entry {due} holds text that cannot be read")
    return None
