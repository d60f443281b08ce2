"""The journal file's inner form: its marks, its table, its guards, its versions.

`MIGRATIONS[n]` brings a file of version n to version n + 1. A released one is
never edited: files made by it are out there.
"""

from __future__ import annotations

APPLICATION_ID = 0x53484A31
"""Stands in the file's header and tells a journal from any other database ("SHJ1")."""

MAX_UID = 64
MAX_KIND = 32
MAX_NAME = 200
MAX_BODY = 262_144
"""Longest texts, in characters: a runaway caller must not fill the disk with one entry."""

_TABLE = f"""
CREATE TABLE entries (
    seq          INTEGER PRIMARY KEY AUTOINCREMENT,
    uid          TEXT NOT NULL UNIQUE CHECK (length(uid) BETWEEN 1 AND {MAX_UID}),
    recorded_utc TEXT NOT NULL CHECK (length(recorded_utc) = 27),
    kind         TEXT NOT NULL CHECK (length(kind) BETWEEN 1 AND {MAX_KIND}),
    machine      TEXT NOT NULL CHECK (length(machine) <= {MAX_NAME}),
    point        TEXT NOT NULL CHECK (length(point) <= {MAX_NAME}),
    refers       TEXT NOT NULL CHECK (length(refers) <= {MAX_UID}),
    body         TEXT NOT NULL CHECK (length(body) BETWEEN 2 AND {MAX_BODY}),
    clock_ok     INTEGER NOT NULL CHECK (clock_ok IN (0, 1)),
    app          TEXT NOT NULL CHECK (length(app) <= {MAX_KIND}),
    prev         BLOB NOT NULL CHECK (length(prev) = 32),
    hash         BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT
"""

# One void for one entry, and the small indexes that keep "which stand?" and
# "which checks are open?" from reading the table.
_INDEXES = (
    "CREATE INDEX entries_place ON entries (kind, machine, point)",
    "CREATE INDEX entries_refers ON entries (refers) WHERE refers <> ''",
    "CREATE UNIQUE INDEX entries_void ON entries (refers) WHERE kind = 'void'",
    "CREATE INDEX entries_end ON entries (refers) WHERE kind = 'end'",
    "CREATE INDEX entries_begin ON entries (seq) WHERE kind = 'begin'",
    "CREATE INDEX entries_clock ON entries (recorded_utc) WHERE clock_ok = 1",
)

# REPLACE removes the row in its way without asking the DELETE guard; so nothing
# may be in the way: the INSERT guard looks at each thing that is unique.
_GUARDS = (
    """
    CREATE TRIGGER entries_no_update BEFORE UPDATE ON entries
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END
    """,
    """
    CREATE TRIGGER entries_no_delete BEFORE DELETE ON entries
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END
    """,
    """
    CREATE TRIGGER entries_insert BEFORE INSERT ON entries
    BEGIN
        SELECT RAISE(ABORT, 'an entry comes after the last one')
         WHERE NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entries);
        SELECT RAISE(ABORT, 'already recorded')
         WHERE EXISTS (SELECT 1 FROM entries WHERE uid = NEW.uid);
        SELECT RAISE(ABORT, 'already voided')
         WHERE NEW.kind = 'void'
           AND EXISTS (SELECT 1 FROM entries WHERE kind = 'void' AND refers = NEW.refers);
        SELECT RAISE(ABORT, 'the chain of hashes is broken')
         WHERE NEW.prev IS NOT coalesce(
               (SELECT hash FROM entries ORDER BY seq DESC LIMIT 1), zeroblob(32));
    END
    """,
)


def _named(statement: str) -> str:
    words = statement.split()
    return words[words.index("INDEX" if "INDEX" in words else "TABLE") + 1]


TABLE_AND_INDEXES = {_named(statement): statement.strip() for statement in (_TABLE, *_INDEXES)}
"""What makes the table and its indexes, by name, as the file itself keeps it."""

GUARD_NAMES = ("entries_no_update", "entries_no_delete", "entries_insert")
"""The triggers without which nothing is recorded."""

MIGRATIONS: tuple[tuple[str, ...], ...] = ((_TABLE, *_INDEXES, *_GUARDS),)
"""Lists of statements; the newest known version is their number."""
