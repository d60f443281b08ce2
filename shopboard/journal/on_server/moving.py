"""A move onto a server: until all is carried over and looked through, a guard says so.

The guard is made with the form, before the first entry, and refuses every recording but the
move's own, by whatever program. Who opens the journal looks for it and reads nothing half done.
"""

from __future__ import annotations

from collections.abc import Sequence

import psycopg

from shopboard.base.server_place import ServerPlace
from shopboard.journal.errors import JournalCannotWrite, JournalLocked, JournalUnfinished
from shopboard.journal.faults import GOES_ON, named
from shopboard.journal.on_server.connection import ServerDb
from shopboard.journal.on_server.form import LOCK, begin_alone

_GUARD = "entries_moving"

UNFINISHED = "SHM01"
"""The code with which it refuses."""

MARK = (
    f"""
    CREATE OR REPLACE FUNCTION shopboard.refuse_unfinished() RETURNS trigger LANGUAGE plpgsql
    SET search_path = pg_catalog, pg_temp AS $$
    BEGIN
        IF current_setting('shopboard.moving', true) IS DISTINCT FROM 'on' THEN
            RAISE EXCEPTION 'a move into it is not finished' USING ERRCODE = '{UNFINISHED}';
        END IF;
        RETURN NULL;
    END $$
    """,
    f"CREATE TRIGGER {_GUARD} BEFORE INSERT ON shopboard.entries"
    " FOR EACH STATEMENT EXECUTE FUNCTION shopboard.refuse_unfinished()",
    f"ALTER TABLE shopboard.entries ENABLE ALWAYS TRIGGER {_GUARD}",
)
"""Statements that make the guard."""

_NO_MARK = (
    f"DROP TRIGGER IF EXISTS {_GUARD} ON shopboard.entries",
    "DROP FUNCTION IF EXISTS shopboard.refuse_unfinished()",
)


def is_marked(db: ServerDb) -> bool:
    """Tell whether a move into it is not finished."""
    found = db.do(
        "SELECT EXISTS (SELECT FROM pg_trigger WHERE tgrelid = 'shopboard.entries'::regclass"
        " AND tgname = %s)",
        (_GUARD,),
    )
    return bool(found.fetchone()[0])


def marks_of_move(db: ServerDb, place: ServerPlace, moving: bool, *, there: bool) -> Sequence[str]:
    """Look whether a move is under way; give the statements that mark a form that one makes.

    Args:
        db: an open database.
        place: where it is.
        moving: whether a move opens it, and no other does so beside it.
        there: whether there is a journal.

    Raises:
        JournalUnfinished: it is half there, and no move opens it.
        JournalLocked: another move is running.
    """
    if moving:
        _be_the_one(db, place)
        return MARK
    if there and is_marked(db):
        raise JournalUnfinished(f"A move into {named(place)} is not finished.", GOES_ON)
    return ()


def _be_the_one(db: ServerDb, place: ServerPlace) -> None:
    """Let this session record behind the guard, and no second move beside it."""
    if not db.do(f"SELECT pg_try_advisory_lock({LOCK + 1})").fetchone()[0]:
        raise JournalLocked(
            f"Another move into {named(place)} is running.", "Nothing was moved. Wait for its end."
        )
    db.do("SELECT set_config('shopboard.moving', 'on', false)")


def mark(db: ServerDb, place: ServerPlace) -> None:
    """Put the guard there, where it is not.

    Raises:
        JournalCannotWrite: this user may not.
    """
    _alone(db, () if is_marked(db) else MARK, place)


def unmark(db: ServerDb, place: ServerPlace) -> bool:
    """Take the guard away: all is there. Tell whether it was there.

    Raises:
        JournalCannotWrite: this user may not.
    """
    marked = is_marked(db)
    _alone(db, _NO_MARK if marked else (), place)
    return marked


def _alone(db: ServerDb, statements: tuple[str, ...], place: ServerPlace) -> None:
    if not statements:
        return
    try:
        begin_alone(db)
        for statement in statements:
            db.do(statement)
        db.do("COMMIT")
    except psycopg.errors.InsufficientPrivilege:
        db.do("ROLLBACK")
        raise JournalCannotWrite(
            f"{named(place)} belongs to another role: only its owner moves a journal into it.",
            "Nothing was moved. Name the owner: postgresql://OWNER@HOST/DATABASE.",
        ) from None
