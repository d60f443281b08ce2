"""A look through a whole journal on a server: the chain, and the indexes beneath it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import psycopg

from shopboard.journal import queries
from shopboard.journal.chain import GENESIS, rows_between, walk
from shopboard.journal.entry import Damage
from shopboard.journal.on_server.connection import ServerDb

_AMCHECK = """
SELECT n.nspname FROM pg_extension x JOIN pg_namespace n ON n.oid = x.extnamespace
 WHERE x.extname = 'amcheck'
"""

_INDEXES = "SELECT indexrelid FROM pg_index WHERE indrelid = 'shopboard.entries'::regclass"


def damage_there(
    db: ServerDb, newest: int | None = None, said: Callable[[int, int], object] | None = None
) -> Damage | None:
    """Find the first place at which the table is not what was recorded.

    It is read a stretch at a time: no entry ever changes, and nobody who records waits for it.

    Args:
        db: an open journal.
        newest: how many of the newest entries to compare; None for all, and the indexes.
        said: is told how far it is.

    Raises:
        psycopg.Error: it cannot be read.
    """
    last = int(db.execute(queries.LAST_SEQ).fetchone()[0])
    start = 0 if newest is None else max(0, last - newest)
    prev = GENESIS
    if start:
        before = db.execute(queries.HASH, (start,)).fetchone()
        if before is None:
            return Damage(start, f"entry {start} is missing")
        prev = before[0]
    rows = rows_between(db, start, last)
    broken = walk(rows, start, prev, (lambda done: said(done, last)) if said else None)
    if broken is not None or newest is not None:
        return broken
    return structure_there(db)


def structure_there(db: ServerDb) -> Damage | None:
    """Hold the indexes against the table; None where no fault was found.

    The server's own check of an index is one of its extensions, which its administrator may have
    put in. Where it is not, or not for this user, the table is counted, and no more.
    """
    found = db.do(_AMCHECK).fetchone()
    with _unhurried(db):
        damage = _counted(db)
        return _checked(db, str(found[0])) if damage is None and found is not None else damage


def count_there(db: ServerDb) -> int:
    """Give the number of entries, however long it takes to count them."""
    with _unhurried(db):
        return _held(db)


@contextmanager
def _unhurried(db: ServerDb) -> Iterator[None]:
    """Look at the table as it is at this moment, for as long as that takes."""
    db.do("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")
    seconds, db.seconds = db.seconds, None
    try:
        db.do("SET LOCAL statement_timeout = 0")
        yield
    finally:
        db.seconds = seconds
        if db.in_transaction:
            db.do("ROLLBACK")


def _counted(db: ServerDb) -> Damage | None:
    """Count what the table holds, without any index, against the last number in the index."""
    last = int(db.execute(queries.LAST_SEQ).fetchone()[0])
    return None if _held(db) == last else Damage(None, "an index of it disagrees with its table")


def _held(db: ServerDb) -> int:
    db.do("SET LOCAL enable_seqscan = on")
    for way in ("indexscan", "indexonlyscan", "bitmapscan"):
        db.do(f"SET LOCAL enable_{way} = off")
    return int(db.execute(queries.COUNT).fetchone()[0])


def _checked(db: ServerDb, schema: str) -> Damage | None:
    try:
        for (index,) in db.do(_INDEXES).fetchall():
            db.do(
                f'SELECT "{schema}".bt_index_check(%s::oid::regclass, true)',
                (index,),
            )
    except psycopg.errors.InsufficientPrivilege:
        return None
    except (psycopg.errors.IndexCorrupted, psycopg.errors.DataCorrupted):
        return Damage(None, "an index of it disagrees with its table")
    return None
