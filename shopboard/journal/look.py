"""A look at a stretch of the journal: seals, chain, numbers, and what each index finds.

An index that lost the key of an entry hides the entry, and neither a seal nor
SQLite's quick check sees that; so every entry is also sought as the questions seek it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import kinds, queries
from shopboard.journal.chain import GENESIS
from shopboard.journal.compared import Compared, changed, lost, rows_of
from shopboard.journal.db import Db
from shopboard.journal.entry import Damage
from shopboard.journal.schema import MIGRATIONS, TABLE_AND_INDEXES

_SOUGHT = """
EXISTS (SELECT 1 FROM entries i WHERE i.seq = e.seq)
AND EXISTS (SELECT 1 FROM entries i INDEXED BY sqlite_autoindex_entries_1
             WHERE i.uid = e.uid AND i.seq = e.seq)
AND EXISTS (SELECT 1 FROM entries i INDEXED BY entries_place
             WHERE i.kind = e.kind AND i.machine = e.machine AND i.point = e.point
               AND i.seq = e.seq)
AND (e.refers = '' OR EXISTS (SELECT 1 FROM entries i INDEXED BY entries_refers
             WHERE i.refers <> '' AND i.refers = e.refers AND i.seq = e.seq))
AND (e.kind <> 'void' OR EXISTS (SELECT 1 FROM entries i INDEXED BY entries_void
             WHERE i.kind = 'void' AND i.refers = e.refers AND i.seq = e.seq))
AND (e.kind <> 'end' OR EXISTS (SELECT 1 FROM entries i INDEXED BY entries_end
             WHERE i.kind = 'end' AND i.refers = e.refers AND i.seq = e.seq))
AND (e.kind <> 'begin' OR EXISTS (SELECT 1 FROM entries i INDEXED BY entries_begin
             WHERE i.kind = 'begin' AND i.seq = e.seq))
AND (e.clock_ok <> 1 OR EXISTS (SELECT 1 FROM entries i INDEXED BY entries_clock
             WHERE i.clock_ok = 1 AND i.recorded_utc = e.recorded_utc AND i.seq = e.seq))
"""

STRETCH = f"""
SELECT e.seq, e.uid, e.recorded_utc, e.kind, e.machine, e.point, e.refers, e.body, e.clock_ok,
       e.app, e.prev, e.hash, {_SOUGHT}
  FROM entries e NOT INDEXED WHERE e.seq <= ? AND e.seq > ? ORDER BY e.seq DESC
"""  # noqa: S608  put together from constants


class LookedTo(NamedTuple):
    """How far a look has come, from the newest entry to the oldest."""

    seq: int
    """The number of the entry to look at next; 0: all were looked at."""

    sealed: bytes | None = None
    """The seal that it must have, by the entry after it; None: that is not known."""


_OF_KIND = {one.name: f"entries_{one.name}" for one in (kinds.VOID, kinds.END, kinds.BEGIN)}
"""Indexes that hold the entries of one kind."""


def newest_place(db: Db, compared: Compared) -> LookedTo:
    """Give the newest entry, to begin with, after a look at the form of the file.

    A newer version's file has a form of its own, and is not looked at.

    Args:
        db: an open journal.
        compared: is told of what is wrong.
    """
    note = compared.note
    if db.execute("PRAGMA user_version").fetchone()[0] > len(MIGRATIONS):
        return LookedTo(0)
    stored = dict(db.execute("SELECT name, sql FROM sqlite_master WHERE sql <> ''"))
    if any(str(stored.get(name)).strip() != sql for name, sql in TABLE_AND_INDEXES.items()):
        note(Damage(None, "its tables are not as this program makes them"))
    newest = db.execute("SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
    last, sealed = newest or (0, None)
    counted = db.execute("SELECT seq FROM sqlite_sequence WHERE name = 'entries'").fetchone()
    if (counted[0] if counted else 0) != last:
        note(Damage(None, f"entries are missing at the end, after number {last}"))
    if not all(_as_many(db, last)):
        compared.go_astray()
    return LookedTo(last, sealed if isinstance(sealed, bytes) else None)


def _as_many(db: Db, last: int) -> Iterator[bool]:
    """Tell of the indexes whether they hold as many keys as each other, and one of each entry."""
    for index in ("sqlite_autoindex_entries_1", "entries_place"):
        yield _keys(db, index) == last
    for kind, index in _OF_KIND.items():
        here = f"WHERE kind = '{kind}'"
        yield _keys(db, index, here) == _keys(db, "entries_place", here)


def _keys(db: Db, index: str, which: str = "") -> int:
    (found,) = db.execute(
        f"SELECT count(*) FROM entries INDEXED BY {index} {which}"  # noqa: S608  constants
    ).fetchone()
    return int(found)


def has_every_key(db: Db) -> bool:
    """Tell whether each index holds as many keys as the table has entries for it."""
    parts = {
        "entries_refers": "refers <> ''",
        "entries_clock": "clock_ok = 1",
        **{index: f"kind = '{kind}'" for kind, index in _OF_KIND.items()},
    }
    found = [f"count(*) FILTER (WHERE {part})" for part in parts.values()]
    table = db.execute(
        f"SELECT count(*), {', '.join(found)} FROM entries NOT INDEXED"  # noqa: S608  constants
    ).fetchone()
    keys = [_keys(db, index, f"WHERE {part}") for index, part in parts.items()]
    return [*table[1:]] == keys and all(_as_many(db, table[0]))


def look(
    db: Db,
    place: LookedTo,
    count: int,
    note: Callable[[Damage], None],
    stretch: str = STRETCH,
) -> LookedTo:
    """Look at so many entries; give the place at which to go on.

    Args:
        db: an open journal.
        place: where to begin.
        count: of entries to look at.
        note: is told of each that is not as it was recorded.
        stretch: asks for the rows, each with whether every index finds it.
    """
    if place.seq <= 0:
        return place
    low = max(place.seq - count, 0)
    due, sealed = place
    for row in rows_of(db, stretch, (place.seq, low)):
        if row[0] != due:
            note(lost(due))
            due, sealed = row[0], None
        sealed = _judge(row, sealed, note)
        due -= 1
    if due > low:
        note(lost(due))
        sealed = None
    elif low == 0 and sealed not in (None, GENESIS):
        note(changed(1))
    return LookedTo(low, sealed)


def _judge(
    row: Sequence[object], sealed: bytes | None, note: Callable[[Damage], None]
) -> bytes | None:
    """Judge one entry; give the seal of the one before it, where that can be known."""
    seq, prev, stored, found = row[0], row[10], row[11], row[12]
    if not isinstance(seq, int):
        note(Damage(None, "an entry has no number"))
        return None
    try:
        queries.check_seal(row)
    except (TypeError, ValueError):
        note(changed(seq))
        return None
    if sealed is not None and sealed != stored:
        note(changed(seq + 1))
    if not found:
        note(lost(seq))
    return prev if isinstance(prev, bytes) else None
