"""The journal's inner form on a server: its table, its guards, its versions.

`MIGRATIONS[n]` brings a journal of form n to form n + 1. A released one is never edited: journals
made by it are out there.
"""

# ruff: noqa: S608  the statements are put together from constants alone
from __future__ import annotations

from collections.abc import Sequence

from shopboard.journal.on_server.connection import CHANNEL, ServerDb
from shopboard.journal.schema import (
    APPLICATION_ID,
    MAX_BODY,
    MAX_KIND,
    MAX_NAME,
    MAX_UID,
)

LOCK = APPLICATION_ID
"""Number of the lock that whoever records holds to the end of his transaction."""

_TABLE = f"""
CREATE TABLE shopboard.entries (
    seq          bigint PRIMARY KEY,
    uid          text COLLATE "C" NOT NULL CHECK (length(uid) BETWEEN 1 AND {MAX_UID}),
    recorded_utc text COLLATE "C" NOT NULL CHECK (length(recorded_utc) = 27),
    kind         text COLLATE "C" NOT NULL CHECK (length(kind) BETWEEN 1 AND {MAX_KIND}),
    machine      text COLLATE "C" NOT NULL CHECK (length(machine) <= {MAX_NAME}),
    point        text COLLATE "C" NOT NULL CHECK (length(point) <= {MAX_NAME}),
    refers       text COLLATE "C" NOT NULL CHECK (length(refers) <= {MAX_UID}),
    body         text COLLATE "C" NOT NULL CHECK (length(body) BETWEEN 2 AND {MAX_BODY}),
    clock_ok     integer NOT NULL CHECK (clock_ok IN (0, 1)),
    app          text COLLATE "C" NOT NULL CHECK (length(app) <= {MAX_KIND}),
    prev         bytea NOT NULL CHECK (length(prev) = 32),
    hash         bytea NOT NULL CHECK (length(hash) = 32)
)
"""

_INDEXES = (
    "CREATE UNIQUE INDEX entries_uid ON shopboard.entries (uid)",
    "CREATE INDEX entries_place ON shopboard.entries (kind, machine, point, seq)",
    "CREATE INDEX entries_refers ON shopboard.entries (refers, seq) WHERE refers <> ''",
    "CREATE UNIQUE INDEX entries_void ON shopboard.entries (refers) WHERE kind = 'void'",
    "CREATE INDEX entries_end ON shopboard.entries (refers) WHERE kind = 'end'",
    "CREATE INDEX entries_begin ON shopboard.entries (seq) WHERE kind = 'begin'",
    "CREATE INDEX entries_clock ON shopboard.entries (recorded_utc, seq) WHERE clock_ok = 1",
    "CREATE INDEX entries_set ON shopboard.entries (seq) WHERE kind = 'clock'",
)

_REFUSED = "USING ERRCODE = 'integrity_constraint_violation'"

# The seal is reckoned here as `chain.sealed_text` writes it: whoever may record, by whatever
# program, can add nothing to the chain but what follows from it.
_FUNCTIONS = (
    f"""
    CREATE FUNCTION shopboard.refuse_change() RETURNS trigger LANGUAGE plpgsql
    SET search_path = pg_catalog, pg_temp AS $$
    BEGIN RAISE EXCEPTION 'the journal is append-only' {_REFUSED}; END $$
    """,
    f"""
    CREATE FUNCTION shopboard.refuse_out_of_chain() RETURNS trigger LANGUAGE plpgsql
    SET search_path = pg_catalog, pg_temp AS $$
    DECLARE last_seq bigint; last_hash bytea;
    BEGIN
        PERFORM pg_advisory_xact_lock({LOCK});
        SELECT seq, hash INTO last_seq, last_hash
          FROM shopboard.entries ORDER BY seq DESC LIMIT 1;
        IF NEW.seq IS DISTINCT FROM coalesce(last_seq, 0) + 1 THEN
            RAISE EXCEPTION 'an entry comes after the last one' {_REFUSED};
        END IF;
        IF NEW.prev IS DISTINCT FROM coalesce(last_hash, decode(repeat('00', 32), 'hex')) THEN
            RAISE EXCEPTION 'the chain of hashes is broken' {_REFUSED};
        END IF;
        IF NEW.hash IS DISTINCT FROM sha256(NEW.prev || convert_to(
            '[' || NEW.seq || ',' || to_json(NEW.uid)::text || ','
            || to_json(NEW.recorded_utc)::text || ',' || to_json(NEW.kind)::text || ','
            || to_json(NEW.machine)::text || ',' || to_json(NEW.point)::text || ','
            || to_json(NEW.refers)::text || ',' || to_json(NEW.body)::text || ','
            || NEW.clock_ok || ',' || to_json(NEW.app)::text || ']', 'UTF8')) THEN
            RAISE EXCEPTION 'the seal is not that of the entry' {_REFUSED};
        END IF;
        RETURN NEW;
    END $$
    """,
    f"""
    CREATE FUNCTION shopboard.tell() RETURNS trigger LANGUAGE plpgsql
    SET search_path = pg_catalog, pg_temp AS $$
    BEGIN PERFORM pg_notify('{CHANNEL}', ''); RETURN NULL; END $$
    """,
)

_GUARDS = {
    "entries_no_change": "BEFORE UPDATE OR DELETE OR TRUNCATE ON shopboard.entries"
    " FOR EACH STATEMENT EXECUTE FUNCTION shopboard.refuse_change()",
    "entries_insert": "BEFORE INSERT ON shopboard.entries"
    " FOR EACH ROW EXECUTE FUNCTION shopboard.refuse_out_of_chain()",
    "entries_told": "AFTER INSERT ON shopboard.entries"
    " FOR EACH STATEMENT EXECUTE FUNCTION shopboard.tell()",
}

GUARD_NAMES = tuple(_GUARDS)
"""The triggers without which nothing is recorded."""

LOGGED = "its table is not logged"
"""Said where the table would not outlast a crash of the server."""


def guard_back(lacks: str, *, there: bool) -> tuple[str, ...]:
    """Give the statements by which an owner puts back what keeps the journal append-only.

    Args:
        lacks: what is missing: a guard's name, or `LOGGED`.
        there: whether the guard is there, but switched off.
    """
    if lacks == LOGGED:
        return ("ALTER TABLE shopboard.entries SET LOGGED",)
    made = () if there else (f"CREATE TRIGGER {lacks} {_GUARDS[lacks]}",)
    return (*made, f"ALTER TABLE shopboard.entries ENABLE ALWAYS TRIGGER {lacks}")


MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        "CREATE SCHEMA shopboard",
        "CREATE TABLE shopboard.form (version integer PRIMARY KEY)",
        _TABLE,
        *_INDEXES,
        *_FUNCTIONS,
        *(f"CREATE TRIGGER {name} {what}" for name, what in _GUARDS.items()),
        # also where replication is said to be going on, which passes over the others
        *(f"ALTER TABLE shopboard.entries ENABLE ALWAYS TRIGGER {name}" for name in GUARD_NAMES),
    ),
)
"""Lists of statements; the newest known form is their number."""


def begin_alone(db: ServerDb) -> None:
    """Begin a transaction, and hold everybody off who wants to record to its end."""
    db.do("BEGIN ISOLATION LEVEL READ COMMITTED READ WRITE")
    db.do(f"SELECT pg_advisory_xact_lock({LOCK})")


def version_of(db: ServerDb) -> int:
    """Give the number of the form; 0 where there is none."""
    there = db.do(
        "SELECT EXISTS (SELECT FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace"
        " WHERE n.nspname = 'shopboard' AND c.relname = 'form')"
    ).fetchone()[0]
    if not there:
        return 0
    return int(db.do("SELECT coalesce(max(version), 0) FROM shopboard.form").fetchone()[0])


def bring_up(db: ServerDb, migrations: Sequence[Sequence[str]], mark: Sequence[str] = ()) -> None:
    """Make the form, or bring it to the newest one; all or nothing.

    `mark` is made with a new form.

    Another bench may do the same at this moment: the version is read again once nobody else can.

    Raises:
        psycopg.Error: it cannot be made.
    """
    begin_alone(db)
    for version in range(version_of(db), len(migrations)):
        for statement in (*migrations[version], *(mark if version == 0 else ())):
            db.do(statement)
        db.do("INSERT INTO shopboard.form (version) VALUES (%s)", (version + 1,))
    db.do("COMMIT")
