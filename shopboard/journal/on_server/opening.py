"""Opening a journal on a server: connected, looked at, its safety settings read back."""

from __future__ import annotations

from collections.abc import Sequence

import psycopg

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.server_place import ServerPlace
from shopboard.base.text import harmless
from shopboard.journal.errors import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalMissing,
    JournalNewer,
)
from shopboard.journal.faults import named
from shopboard.journal.on_server.connection import CHANNEL, ServerDb, connect
from shopboard.journal.on_server.faults import no_connection, read_fault
from shopboard.journal.on_server.form import (
    GUARD_NAMES,
    LOGGED,
    MIGRATIONS,
    bring_up,
    guard_back,
    version_of,
)
from shopboard.journal.on_server.moving import marks_of_move
from shopboard.journal.remembered import recall
from shopboard.journal.watch import entries, last_seen

_CONNECT_SECONDS = 5.0

_ANSWER = 1.0
"""Seconds that an answer may take to come, beyond those in which the server has to have it."""

_FROZEN_MS = 10_000
"""Who stops in the middle of a recording (a lid is closed) holds the others up no longer."""


_WHOLE = ("seqscan", "bitmapscan", "hashjoin", "mergejoin", "material")
"""Ways of the server's to answer that may read all there is of a kind."""


class ServerTerms(NamedTuple):
    """How a journal on a server is to be opened."""

    place: ServerPlace
    """Where it is."""

    create: bool
    """Whether to make it where there is none."""

    read_only: bool
    """Whether to record nothing in it, whatever the caller does later."""

    wait_seconds: float
    """How long to wait for another bench that is recording."""

    read_seconds: float
    """How long a question may take."""

    migrations: Sequence[Sequence[str]] | None
    """The statements that lead to each form, the newest known last; None: the usual ones."""

    moving: bool = False
    """Whether it is opened by a move, which alone opens what is not all there yet."""


def open_server(terms: ServerTerms) -> tuple[ServerDb, JournalError | None]:
    """Open the journal; give it with the reason why nothing can be recorded, if there is one.

    Raises:
        JournalError: it cannot even be read; its words say why.
    """
    seconds = terms.wait_seconds + terms.read_seconds
    # What was raised is not told as the cause either: its words may hold what nobody is to see.
    try:
        db = connect(terms.place, _CONNECT_SECONDS, seconds + _ANSWER)
    except (psycopg.Error, UnicodeError, ValueError) as error:
        raise no_connection(error, terms.place) from None
    try:
        _set(db, terms)
        return db, _settled(db, terms)
    except psycopg.Error as error:
        db.close()
        raise read_fault(error, terms.place) from None
    except BaseException:
        db.close()
        raise


def _set(db: ServerDb, terms: ServerTerms) -> None:
    """Set how this connection behaves, whatever its user or the database is set to."""
    seconds = terms.wait_seconds + terms.read_seconds
    settings = {
        "search_path": "pg_catalog, shopboard, pg_temp",
        "statement_timeout": _milliseconds(seconds),
        "lock_timeout": _milliseconds(terms.wait_seconds),
        "idle_in_transaction_session_timeout": str(_FROZEN_MS),
        "default_transaction_isolation": "read committed",
        "row_security": "off",  # what would be hidden is refused
        "bytea_output": "hex",
        "client_min_messages": "warning",
        "jit": "off",
        # Each question goes along an index, entry by entry, however many there are and whatever the
        # server last counted of them: other plans read the table or a year of one kind at once.
        **{f"enable_{way}": "off" for way in _WHOLE},
    }
    each = ", ".join(["set_config(%s, %s, false)"] * len(settings))
    db.do(f"SELECT {each}", [word for one in settings.items() for word in one])
    db.do(
        "SELECT set_config('synchronous_commit', 'on', false)"
        " WHERE current_setting('synchronous_commit') NOT IN ('on', 'remote_apply')"
    )


def _milliseconds(seconds: float) -> str:
    return str(max(1, round(seconds * 1000)))


def _settled(db: ServerDb, terms: ServerTerms) -> JournalError | None:
    """Judge what was opened, make or update it, and give the reason not to record."""
    migrations = MIGRATIONS if terms.migrations is None else terms.migrations
    _must_be_a_journal(db, terms.place)
    version = version_of(db)
    if version > len(migrations):
        return JournalNewer(
            f"A newer version of this program made the journal {named(terms.place)} "
            f"(form {version}; this one knows up to {len(migrations)}).",
            "It can be read. To record, install the newer version.",
        )
    if version == 0 and (terms.read_only or not terms.create):
        raise _missing_there(db, terms.place)
    refusal: JournalError | None = _cannot_write(db, terms) or unsafe(db, terms.place)
    if refusal is not None and version == 0:
        raise refusal  # there is nothing to read either
    marks = marks_of_move(db, terms.place, terms.moving, there=version > 0)
    if refusal is None and version < len(migrations):
        _bring_up(db, terms.place, migrations, marks)
    refusal = refusal or _missing_guard(db, terms.place) or _no_right(db, terms.place)
    if not _is_copy(db):  # a copy lets nobody listen
        db.do(f"LISTEN {CHANNEL}")
    return refusal


def _must_be_a_journal(db: ServerDb, place: ServerPlace) -> None:
    """Refuse a database that belongs to another program, or that this user may not read.

    Raises:
        JournalError: it cannot be a journal, or it cannot be read.
    """
    ours, form, others, may_use, utf8 = db.do(_WHAT_IS_THERE).fetchone()
    if (ours and not form) or (others and not ours):
        raise JournalForeign(
            f"{named(place)} is another program's database, not a journal.",
            "It was left as it is. A journal wants a database of its own.",
        )
    if ours and not may_use:
        raise JournalCannotRead(
            f"The journal {named(place)} could not be read: this user has no right to.",
            "The journal's owner gives it: `shopboard help benches`.",
        )
    if not utf8:
        raise JournalForeign(
            f"The database {named(place)} does not hold its texts as UTF-8.",
            "Make one that does:"
            " `createdb --encoding=UTF8 --template=template0 --owner=OWNER NAME`.",
        )


_WHAT_IS_THERE = """
SELECT EXISTS (SELECT FROM pg_namespace WHERE nspname = 'shopboard'),
       EXISTS (SELECT FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
                WHERE n.nspname = 'shopboard' AND c.relname = 'form' AND c.relkind = 'r'),
       EXISTS (SELECT FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
                WHERE c.relkind IN ('r', 'p', 'v', 'm', 'f') AND n.nspname !~ '^pg_'
                  AND n.nspname NOT IN ('information_schema', 'shopboard')
                  AND NOT EXISTS (SELECT FROM pg_depend d
                                   WHERE d.objid = c.oid AND d.deptype = 'e')),
       (SELECT has_schema_privilege(oid, 'USAGE') FROM pg_namespace WHERE nspname = 'shopboard'),
       current_setting('server_encoding') = 'UTF8'
"""


def missing(place: ServerPlace) -> JournalMissing:
    """Give the error for a database in which no journal is, with what is remembered of one."""
    known, held = recall(place), ""
    if known is not None and known.last:
        held = f"; the one that was open there {last_seen(known)} held {entries(known.last)}"
    return JournalMissing(
        f"There is no journal at {named(place)}{held}.",
        "--journal PLACE names another one, --new-journal begins one there.",
    )


def _missing_there(db: ServerDb, place: ServerPlace) -> JournalMissing:
    """Give the same error; to who may make none there it says who does."""
    found = missing(place)
    may, owner = db.do(
        "SELECT has_database_privilege(datname, 'CREATE'), pg_get_userbyid(datdba)"
        " FROM pg_database WHERE datname = current_database()"
    ).fetchone()
    if not may:
        found.advice = (
            "--journal PLACE names another one. This user cannot begin one there: who owns the"
            f" database ({harmless(str(owner))}) does, once, with --new-journal, and lets the"
            " benches record: `shopboard help benches`."
        )
    return found


def _cannot_write(db: ServerDb, terms: ServerTerms) -> JournalCannotWrite | None:
    if terms.read_only:
        why, cure = "it was opened for reading only", "Open it again for recording."
    elif _is_copy(db):
        why, cure = "this server is a copy of another", "Name the other one in its place."
    else:
        return None
    return JournalCannotWrite(
        f"The journal {named(terms.place)} can be read, not written: {why}.", cure
    )


def _is_copy(db: ServerDb) -> bool:
    return bool(db.do("SELECT pg_is_in_recovery()").fetchone()[0])


_MUST_BE = """
SELECT current_setting('fsync'), current_setting('full_page_writes'),
       current_setting('synchronous_commit')
"""


def unsafe(db: ServerDb, place: ServerPlace) -> JournalCannotWrite | None:
    """Give why what is recorded would not surely be on the server's disk; None: it would."""
    fsync, full_pages, commit = db.do(_MUST_BE).fetchone()
    if fsync == "on" and full_pages == "on" and commit in ("on", "remote_apply"):
        return None
    return JournalCannotWrite(
        f"The journal {named(place)} cannot be written safely against power cuts"
        f" (fsync {fsync}, full_page_writes {full_pages}, synchronous_commit {commit}).",
        "Have the server's administrator set all three to on.",
    )


def _bring_up(
    db: ServerDb, place: ServerPlace, migrations: Sequence[Sequence[str]], mark: Sequence[str]
) -> None:
    try:
        bring_up(db, migrations, mark)
    except psycopg.errors.InsufficientPrivilege:
        raise JournalCannotWrite(
            f"The journal {named(place)} could not be made: this user has no right to make tables"
            " in that database.",
            "The server's administrator gives the database to the role that is to own the journal"
            " (with psql: ALTER DATABASE NAME OWNER TO ROLE); that role begins it.",
        ) from None


def _no_right(db: ServerDb, place: ServerPlace) -> JournalError | None:
    read, write = db.do(
        "SELECT has_table_privilege('shopboard.entries', 'SELECT'),"
        " has_table_privilege('shopboard.entries', 'INSERT')"
    ).fetchone()
    if read and write:
        return None
    if not read:
        raise JournalCannotRead(
            f"The journal {named(place)} could not be read: this user has no right to.",
            "The journal's owner gives it: `shopboard help benches`.",
        )
    return JournalCannotWrite(
        f"The journal {named(place)} can be read, not written: this user has no right to record.",
        "The journal's owner gives it: GRANT INSERT ON shopboard.entries.",
    )


def owned(db: ServerDb) -> str:
    """Say that this role may switch off what keeps the journal append-only; empty: it may not."""
    found = db.do(
        "SELECT pg_has_role(current_user, relowner, 'USAGE') FROM pg_class"
        " WHERE oid = 'shopboard.entries'::regclass"
    ).fetchone()
    words = (
        "This role owns the journal and could switch off what protects it:"
        " record as another one (shopboard help benches)."
    )
    return words if found and found[0] else ""


def _missing_guard(db: ServerDb, place: ServerPlace) -> JournalError | None:
    """Give what is wrong where what keeps it append-only is gone; None: all is there."""
    found = db.do(
        "SELECT t.tgname, t.tgenabled = 'A' FROM pg_trigger t"
        " WHERE t.tgrelid = 'shopboard.entries'::regclass"
    )
    there = dict(found.fetchall())
    lacks = [name for name in GUARD_NAMES if not there.get(name)]
    (kept,) = db.do(
        "SELECT relpersistence FROM pg_class WHERE oid = 'shopboard.entries'::regclass"
    ).fetchone()
    if kept not in ("p", b"p"):
        lacks.append(LOGGED)
    if not lacks:
        return None
    back = [each for one in lacks for each in guard_back(one, there=one in there)]
    return JournalDamaged(
        f"The journal {named(place)} has lost what keeps it append-only ({', '.join(lacks)}).",
        "It can be read. To record, see with `shopboard verify` that it is whole; then its owner"
        f" puts that back, with psql: {'; '.join(back)};",
    )
