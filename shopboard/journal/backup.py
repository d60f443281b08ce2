"""A copy of the journal: page by page through SQLite, verified, there whole or not at all.

A file that is copied while somebody records may hold half of an entry; SQLite's own way of
copying takes the pages of one moment. The copy gets its name when it was proven and is on the disk.
"""

from __future__ import annotations

import os
import re
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.synced import sync_folder
from shopboard.journal import queries
from shopboard.journal.chain import first_damage
from shopboard.journal.errors import JournalCannotWrite, JournalError, JournalLocked
from shopboard.journal.faults import (
    READ_FAULTS,
    damage_fault,
    is_busy,
    is_damage,
    locked,
    named,
    primary_code,
    read_fault,
    reads_through,
    unreadable,
)
from shopboard.journal.opening import Terms, open_file, uri
from shopboard.journal.place import reason
from shopboard.journal.schema import MIGRATIONS
from shopboard.journal.watch import entries

T = TypeVar("T")

_WAIT_MS = 5000
"""How long a question waits for another program that is recording."""

_BUSY_FOR = 20.0
"""Seconds after which a journal that somebody holds all the while is given up."""

_LOOK_IN = 0.002
"""Seconds between tries to get in between two recordings. SQLite by itself tries ten times a
second, and may never meet the moment at which nobody is recording."""

_AT_ONCE = (256, 4096, 65536, -1)
"""Pages that are copied while nobody may record. Each recording meanwhile makes SQLite begin
again; then more are taken at once, in the end all, so that copying comes to an end."""

_READ_FAILED = (266, 522)  # SQLITE_IOERR_READ and _SHORT_READ: only what is copied is read

_PART = re.compile(r"\..+\.(\d+)\.part(-journal)?")

MOST_OF_A_NAME = 50
"""Letters of a file's name that a further name begins with: each may take four bytes of 255."""

_PART_IS_OLD = 3600.0
"""Seconds after which the half-made copy of another run is taken for what a power cut left."""

CAME_BACK_OTHERWISE = "what was read back is not what was written"

NOTHING_LEFT = "Nothing was left half done there."


class CopyState(NamedTuple):
    """What tells one state of a journal from every other."""

    first_uid: str
    """The uid of its first entry, which all its copies share; empty while there is none."""

    entries: int
    """Number of its last entry."""

    last_hash: bytes
    """The seal of that entry, which stands for all before it."""

    last: datetime | None
    """The clock at its recording, in UTC."""


class _BegunAgainError(Exception):
    """Somebody recorded while pages were copied."""


def state_of(db: sqlite3.Connection) -> CopyState:
    """Read the state of an open journal."""
    return _patiently(lambda: _state(db))


def _patiently(ask: Callable[[], T]) -> T:
    """Ask again as long as somebody records, but not for ever."""
    until = time.monotonic() + _BUSY_FOR
    while True:
        try:
            return ask()
        except (sqlite3.Error, JournalLocked) as error:
            held = isinstance(error, JournalLocked) or is_busy(error)
            if not held or time.monotonic() > until:
                raise
        time.sleep(_LOOK_IN)


def _state(db: sqlite3.Connection) -> CopyState:
    first = db.execute("SELECT uid FROM entries ORDER BY seq LIMIT 1").fetchone()
    newest = "SELECT seq, hash, recorded_utc FROM entries ORDER BY seq DESC LIMIT 1"
    last = db.execute(newest).fetchone()
    if not last:
        return CopyState("", 0, b"", None)
    return CopyState(first[0], last[0], last[1], queries.as_time(last[2]))


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a journal to be read.

    Raises:
        JournalError: there is none, or it cannot be read.
    """
    terms = Terms(path, create=False, read_only=True, wait_seconds=0, migrations=MIGRATIONS)
    with closing(_patiently(lambda: open_file(terms)[0])) as db:
        db.execute(f"PRAGMA busy_timeout = {_WAIT_MS}")
        try:
            yield db
        except (*READ_FAULTS, ValueError, TypeError) as error:
            if is_damage(error) and _is_whole(terms):
                raise unreadable(path) from error
            if isinstance(error, READ_FAULTS):
                raise read_fault(error, path) from error
            raise damage_fault(path, "an entry is not what was recorded") from error


def _is_whole(terms: Terms) -> bool:
    """Look a second time: a disk that fails to read once looks like damage."""
    try:
        with closing(open_file(terms)[0]) as db:
            return first_damage(db) is None
    except (JournalError, *READ_FAULTS, ValueError, TypeError):
        return False


@contextmanager
def reading_back(copy: Path) -> Iterator[sqlite3.Connection]:
    """Open a copy that was made just now and found whole.

    Raises:
        JournalCannotWrite: it does not come back as it was written.
    """
    try:
        with reading(copy) as db:
            yield db
    except JournalError as error:
        raise cannot_copy(copy, CAME_BACK_OTHERWISE) from error


def back_up(source: Path, target: Path) -> CopyState:
    """Copy the journal `source` to the file `target`.

    Raises:
        JournalError: `source` is no whole journal, or `target` cannot be written, or it holds what
            `source` does not. Nothing is left half done.
    """
    refuse_itself(source, target)
    return put_there(target, lambda part: verified_copy(source, part))


def put_there(target: Path, made: Callable[[Path], CopyState]) -> CopyState:
    """Put a copy at `target`, once it is made and proven; raises as `back_up` does."""
    target = Path(os.path.realpath(target))  # what a link leads to is written, the link stays
    with part_of(target) as part:
        state = made(part)
        try:
            refuse_to_lose(target, part)
            if target.exists():
                take_after(target, part)
            part.replace(target)
        except OSError as error:
            raise cannot_copy(target, reason(error)) from error
        confirm(target)
    return state


def confirm(target: Path) -> None:
    """Bring the name of a new file to the disk.

    Raises:
        JournalCannotWrite: the disk refused it; the file is there all the same.
    """
    try:
        sync_folder(target.absolute().parent)
    except OSError as error:
        raise JournalCannotWrite(
            f"{named(target)} is there and whole, but the disk did not confirm its name "
            f"({reason(error)}): a power cut may still take it away.",
            "Look whether the disk or card is sound before you rely on it.",
        ) from error


def take_after(old: Path, new: Path) -> None:
    """Give a new file the rights and the owner of the one whose place it takes.

    Raises:
        OSError: the rights cannot be given.
    """
    there = old.stat()
    if hasattr(os, "chown"):
        with suppress(OSError):  # only the administrator may give a file to another
            os.chown(new, there.st_uid, there.st_gid)
    new.chmod(there.st_mode & 0o777)


def refuse_itself(source: Path, target: Path) -> None:
    """Refuse to copy a journal onto itself.

    Raises:
        JournalCannotWrite: both are the same file.
    """
    if same_file(source, target):
        raise JournalCannotWrite(
            f"{named(target)} is the journal itself.", "Name another file, or a folder."
        )


def same_file(one: Path, other: Path) -> bool:
    """Tell whether two paths lead to the same file, whatever it is called."""
    with suppress(OSError, ValueError):
        return one.samefile(other)
    return os.path.realpath(one) == os.path.realpath(other)


def verified_copy(source: Path, part: Path) -> CopyState:
    """Copy a journal to a new file, on the disk and compared with its hashes; give its state.

    Raises:
        JournalError: `source` is no whole journal, or `part` cannot be written.
    """
    with reading(source) as db:
        try:
            os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
            _copy_pages(db, source, part)
            to_the_disk(part)
        except OSError as error:
            raise cannot_copy(part, reason(error)) from error
    state = looked_through(part)
    if state is None:
        with reading(source) as db:
            found = first_damage(db)
        if found is not None:
            raise damage_fault(source, found.what)
        raise cannot_copy(part, CAME_BACK_OTHERWISE)
    return state


def refuse_to_lose(target: Path, copy: Path) -> None:
    """Refuse to write over a file that holds anything that the copy does not.

    Raises:
        JournalError: it is newer, has gone another way, or is no copy of this journal.
    """
    if not os.path.lexists(target):
        return
    advice = "It was left as it is. Name another file, or a folder."
    try:
        with reading(target) as db:
            old = state_of(db)
    except JournalError as error:
        raise JournalCannotWrite(
            f"{named(target)} is there and is not a copy of this journal.", advice
        ) from error
    with reading_back(copy) as db:
        new = state_of(db)
        row = db.execute("SELECT hash FROM entries WHERE seq = ?", (old.entries,)).fetchone()
    if old.entries == 0 or (row is not None and row[0] == old.last_hash):
        return
    if old.first_uid != new.first_uid:
        what = "holds another journal"
    elif row is None:
        what = f"holds {entries(old.entries - new.entries)} more than this journal"
    else:
        what = "holds entries that this journal does not have"
    raise JournalCannotWrite(f"{named(target)} {what}.", advice)


def cannot_copy(target: Path, why: str) -> JournalCannotWrite:
    """Give the error for a copy that cannot be written."""
    return JournalCannotWrite(
        f"A copy of the journal could not be written to {named(target.parent)}: {why}.",
        f"{NOTHING_LEFT} The journal itself is as it was.",
    )


@contextmanager
def part_of(target: Path) -> Iterator[Path]:
    """Give the name under which a copy is made; what is left there at the end is removed.

    Raises:
        JournalCannotWrite: there is no folder for it.
    """
    folder = target.absolute().parent
    try:
        there = folder.is_dir()
    except OSError as error:  # such as rights that are lacking
        raise cannot_copy(target, reason(error)) from error
    if not there:
        raise JournalCannotWrite(
            f"There is no folder {named(folder)} for a copy of the journal.",
            "Plug in the stick, or make the folder, or name another one.",
        )
    sweep_parts(folder)
    part = folder / f".{target.name[:MOST_OF_A_NAME]}.{os.getpid()}.part"
    remove_part(part)
    try:
        yield part
    finally:
        remove_part(part)


def remove_part(part: Path) -> None:
    """Remove a half-made copy and what SQLite may have put beside it."""
    for one in (part, part.with_name(f"{part.name}-journal")):
        with suppress(OSError):
            one.unlink(missing_ok=True)


def sweep_parts(folder: Path) -> None:
    """Remove what earlier runs that were cut short left half made."""
    with suppress(OSError):
        for one in folder.iterdir():
            if _PART.fullmatch(one.name) and time.time() - one.stat().st_mtime > _PART_IS_OLD:
                one.unlink(missing_ok=True)


def _copy_pages(db: sqlite3.Connection, source: Path, part: Path) -> None:
    db.execute("PRAGMA busy_timeout = 0")
    for pages in _AT_ONCE:
        with closing(sqlite3.connect(uri(part, "rw"), uri=True, isolation_level=None)) as copy:
            # The copy counts only when it is finished: nothing in it need be undone.
            copy.execute("PRAGMA journal_mode = MEMORY")
            copy.execute("PRAGMA synchronous = OFF")
            try:
                db.backup(copy, pages=pages, progress=_watch(pages), sleep=_LOOK_IN)
            except _BegunAgainError:
                continue
            except sqlite3.Error as error:
                raise _copy_fault(error, source, part) from error
            return


def _watch(pages: int) -> Callable[[int, int, int], None]:
    """Give what looks on while pages are copied, and ends it when it cannot come to an end."""
    left_before: list[int] = []
    began = time.monotonic()

    def look(status: int, left: int, _total: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            if time.monotonic() - began > _BUSY_FOR:
                raise sqlite3.OperationalError("database is locked")
            return
        if pages > 0 and left_before and left >= left_before[-1]:
            raise _BegunAgainError
        left_before[:] = [left]

    return look


def _copy_fault(error: sqlite3.Error, source: Path, part: Path) -> JournalError:
    if is_busy(error) or "locked" in str(error):
        return locked(source)
    if is_damage(error) or getattr(error, "sqlite_errorcode", 0) in _READ_FAILED:
        return read_fault(error, source)
    if primary_code(error) == sqlite3.SQLITE_FULL:
        return cannot_copy(part, "the disk is full")
    if not reads_through(source):
        return unreadable(source)
    return cannot_copy(part, f"the disk refused it ({error})")


def to_the_disk(part: Path) -> None:
    """Bring a new file to the disk."""
    with part.open("rb+") as file:
        os.fsync(file.fileno())
        if hasattr(os, "posix_fadvise"):  # so that what is verified is read from the disk
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def looked_through(part: Path) -> CopyState | None:
    """Compare a copy with its hashes; give its state, or None where it is not whole."""
    try:
        with closing(sqlite3.connect(uri(part, "ro"), uri=True, isolation_level=None)) as db:
            return None if first_damage(db) else state_of(db)
    except (*READ_FAULTS, ValueError, TypeError):
        return None
