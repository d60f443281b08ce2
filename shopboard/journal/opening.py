"""Opening the journal file: looked at, connected, its safety settings read back."""

import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.errors import (
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalMissing,
    JournalNewer,
    JournalUnfinished,
)
from shopboard.journal.faults import (
    GOES_ON,
    READ_FAULTS,
    WAY_BACK,
    is_damage,
    named,
    read_fault,
    write_fault,
)
from shopboard.journal.migrate import bring_up
from shopboard.journal.place import (
    AtPath,
    holds_something,
    is_empty_file,
    is_unfinished_move,
    look,
    make_folder,
    make_private,
    settle_folder,
    unfinished_move,
    write_obstacle,
)
from shopboard.journal.remembered import recall
from shopboard.journal.schema import APPLICATION_ID, GUARD_NAMES
from shopboard.journal.watch import entries, last_seen

_SYNC_FULL = 2

Opened = tuple[sqlite3.Connection, JournalError | None]
"""A connection, and why nothing can be recorded through it, if so."""


class Terms(NamedTuple):
    """How a journal is to be opened."""

    path: Path
    """Where it is."""

    create: bool
    """Whether to make it when nothing, or an empty file, is there."""

    read_only: bool
    """Whether to record nothing in it, whatever the caller does later."""

    wait_seconds: float
    """How long to wait for another program that holds it."""

    migrations: Sequence[Sequence[str]]
    """The statements that lead to each version, the newest known last."""

    stand_in: bool = False
    """Whether to give an empty journal, to be read, where there is none and none is made."""

    moving: bool = False
    """Whether it is opened by a move, which alone opens what is not all there yet."""


def open_file(terms: Terms) -> Opened:
    """Open the journal; give it with the reason why nothing can be recorded, if there is one."""
    found = look(terms.path)
    if not terms.moving:
        _refuse_half(terms.path, found)
    if found is not AtPath.JOURNAL:
        if terms.stand_in and not terms.create and found is AtPath.NOTHING:
            return _stand_in(terms), missing(terms.path)
        if terms.read_only or not terms.create:
            raise missing(terms.path)
        make_folder(terms.path)
        make_private(terms.path)
        return _connected_for_sure(terms, obstacle=None)
    return _connected_for_sure(terms, write_obstacle(terms.path))


def _refuse_half(path: Path, found: AtPath) -> None:
    """Refuse a place into which a move is not finished."""
    half = unfinished_move(path)
    if is_unfinished_move(path) and found is AtPath.JOURNAL:
        raise JournalUnfinished(f"The move that fills {named(path)} is not finished.", GOES_ON)
    if found is not AtPath.JOURNAL and holds_something(half):
        raise JournalUnfinished(
            f"A move into {named(path)} is not finished.",
            f"{GOES_ON} To give it up, delete what it has carried so far: {named(half)}.",
        )


def _stand_in(terms: Terms) -> sqlite3.Connection:
    """Make an empty journal that is in no file."""
    db = sqlite3.connect(":memory:", isolation_level=None)
    for statement in (each for form in terms.migrations for each in form):
        db.execute(statement)
    db.execute("PRAGMA query_only = ON")
    return db


def uri(path: Path, mode: str) -> str:
    """Give the path as SQLite's URI; any bytes a file name may have come through."""
    text = path.absolute().as_posix()
    safe = b"/:._-" if os.name == "nt" else b"/._-"
    quoted = "".join(
        chr(byte) if byte in safe or (chr(byte).isalnum() and byte < 0x80) else f"%{byte:02X}"
        for byte in os.fsencode(text)
    )
    return f"file://{'' if text.startswith('/') else '/'}{quoted}?mode={mode}"


def _connected_for_sure(terms: Terms, obstacle: str | None) -> Opened:
    try:
        return _connected(terms, obstacle)
    except READ_FAULTS as error:
        if not is_damage(error):
            raise _told(error, terms, obstacle) from error
    try:  # a disk that fails once looks like damage; only the second look decides
        return _connected(terms, obstacle)
    except READ_FAULTS as error:
        raise _told(error, terms, obstacle) from error


def _connected(terms: Terms, obstacle: str | None) -> Opened:
    # Also who only reads opens for writing where he can: what a power cut left
    # half done has to be undone before anything can be read.
    mode = "ro" if obstacle else "rwc" if terms.create else "rw"
    db = sqlite3.connect(
        uri(terms.path, mode), uri=True, timeout=terms.wait_seconds, isolation_level=None
    )
    try:
        # Nothing that stands in a file from elsewhere may run more than it must.
        db.execute("PRAGMA trusted_schema = OFF")
        return db, _settle(db, terms, obstacle)
    except BaseException:
        db.close()
        raise


def _told(error: Exception, terms: Terms, obstacle: str | None) -> JournalError:
    if obstacle or terms.path.exists():
        return read_fault(error, terms.path)
    return write_fault(error, terms.path, known_absent=True)


def _settle(db: sqlite3.Connection, terms: Terms, obstacle: str | None) -> JournalError | None:
    """Judge what was opened, make or update it, and give the reason not to record."""
    path, newest = terms.path, len(terms.migrations)
    version = _version(db, path)
    if version > newest:
        db.execute("PRAGMA query_only = ON")
        return JournalNewer(
            f"A newer version of this program made the journal {named(path)} "
            f"(form {version}; this one knows up to {newest}).",
            "It can be read. To record, install the newer version.",
        )
    if version == 0 and (terms.read_only or obstacle or not terms.create):
        raise missing(path)  # the making of it was cut short, and undone just now
    if terms.read_only or obstacle:
        db.execute("PRAGMA query_only = ON")
        return _read_only(path, None if terms.read_only else obstacle)
    if (unsafe := _make_safe(db, path)) is not None:
        if version == 0:
            raise unsafe  # there is nothing to read either
        return unsafe
    if version < newest:
        settle_folder(path.absolute().parent)  # the new file's name, before anything is in it
        bring_up(db, path, terms.migrations)
    return _missing_guard(db, path)


def missing(path: Path) -> JournalMissing:
    """Give the error for a path at which no journal is, with what is remembered of one."""
    known, there = recall(path), named(path)
    empty, held = is_empty_file(path), ""
    if known is not None and known.last:
        held = f"; the one that was open there {last_seen(known)} held {entries(known.last)}"
    return JournalMissing(
        f"There is {'an empty file' if empty else 'no journal'} at {there}{held}.",
        f"{'' if empty else 'Put in the stick or disk that it is on. Else: '}`shopboard restore"
        " FROM` puts a copy there, --journal FILE names another place, --new-journal begins one.",
    )


def _read_only(path: Path, obstacle: str | None) -> JournalCannotWrite:
    if obstacle is None:
        obstacle, cure = "it was opened for reading only", "Open it again for recording."
    else:
        cure = "Give this user the right to write to it and to its folder, then try again."
    return JournalCannotWrite(
        f"The journal {named(path)} can be read, not written: {obstacle}.", cure
    )


def _version(db: sqlite3.Connection, path: Path) -> int:
    """Give the version of the file's form; 0 for a file in which nothing is yet."""
    db.execute("BEGIN")  # another program may be making it: all three before that, or after
    mark = db.execute("PRAGMA application_id").fetchone()[0]
    version = db.execute("PRAGMA user_version").fetchone()[0]
    tables = db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    db.execute("ROLLBACK")
    if (mark, version, tables) == (0, 0, 0):
        return 0
    if mark != APPLICATION_ID:
        raise JournalForeign(
            f"{named(path)} is another program's database, not a journal.",
            "The file was left as it is. `--journal FILE` names another path.",
        )
    if version < 1 or tables == 0:
        raise JournalDamaged(
            f"The journal {named(path)} is damaged: its beginning is not what was recorded.",
            f"The file was left as it is. {WAY_BACK}",
        )
    return int(version)


def _make_safe(db: sqlite3.Connection, path: Path) -> JournalError | None:
    """Set what makes a recorded entry survive a power cut, and read it back.

    With Python's default (the rollback file is deleted) the deletion itself may
    not be on the disk, and the last recorded entry is rolled back at the next
    start. Truncating it and asking for FULL closes that.
    """
    db.execute("PRAGMA journal_mode = TRUNCATE")
    db.execute("PRAGMA synchronous = FULL")
    db.execute("PRAGMA fullfsync = ON")  # on macOS, fsync alone does not reach the platter
    db.execute("PRAGMA temp_store = MEMORY")  # a full disk must not stop a question
    db.execute("PRAGMA cell_size_check = ON")
    mode = db.execute("PRAGMA journal_mode").fetchone()[0]
    sync = db.execute("PRAGMA synchronous").fetchone()[0]
    if mode == "truncate" and sync == _SYNC_FULL:
        return None
    return JournalCannotWrite(
        f"The journal {named(path)} cannot be written safely against power cuts "
        f"(journal_mode {mode}, synchronous {sync}).",
        "Close every other program that has it open, then start again.",
    )


def _missing_guard(db: sqlite3.Connection, path: Path) -> JournalError | None:
    there = {
        name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    }
    missing = [name for name in GUARD_NAMES if name not in there]
    if not missing:
        return None
    return JournalDamaged(
        f"The journal {named(path)} has lost what keeps it append-only ({', '.join(missing)}).",
        f"It can be read. To record: {WAY_BACK}",
    )
