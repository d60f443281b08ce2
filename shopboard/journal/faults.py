"""What SQLite says when something fails, told as a `JournalError` in plain words."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.base.text import harmless
from shopboard.base.unsaid import unsaid
from shopboard.journal.errors import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalLocked,
)

READ_FAULTS = (sqlite3.Error, UnicodeDecodeError)
"""What reading a file that is damaged, locked or out of reach may raise."""

_BUSY = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
_NEEDS_RECOVERY = (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN)
_DAMAGE = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_FORMAT)

_WRITE_CAUSES = {
    sqlite3.SQLITE_FULL: ("the disk is full", "Make room on that disk"),
    sqlite3.SQLITE_IOERR: (
        "the disk refused it (full, a size limit, or failing)",
        "Make room, and look whether the disk or card is sound",
    ),
    sqlite3.SQLITE_READONLY: (
        "the file or its folder is read-only",
        "Give this user the right to write in that folder",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "the folder does not let files be made or opened",
        "Give this user the right to write in that folder",
    ),
    sqlite3.SQLITE_PERM: (
        "the rights on the file forbid it",
        "Give this user the right to write to that file",
    ),
}

WAY_BACK = (
    "`shopboard restore FROM` puts a copy in its place, `shopboard salvage` saves what can be read."
)
"""What to do about a damaged journal in a file."""

_WAY_BACK_THERE = (
    "`shopboard move COPY postgresql://HOST/DATABASE` moves a copy into an empty database,"
    " `shopboard salvage` saves what can be read."
)


def way_back(place: JournalPlace) -> str:
    """Say what to do about a damaged journal: on a server nothing is put in its place."""
    return _WAY_BACK_THERE if isinstance(place, ServerPlace) else WAY_BACK


ONCE_ONLY = "Trying the same again does no harm: nothing is recorded twice."


GOES_ON = (
    "Nothing is read or recorded there until it is. The same `shopboard move` again goes on with it"
    " to its end."
)
"""What is done about a move that was cut short."""

UNCERTAIN = "It is not certain that it was recorded"


def still_uncertain(error: JournalError) -> JournalCannotWrite:
    """Give the error for a further try that failed at what may be on record since an earlier one.

    Whatever this try met, it says nothing about the earlier one.
    """
    found = JournalCannotWrite(error.title, f"{UNCERTAIN} at the first try. {ONCE_ONLY}")
    found.uncertain, found.is_away = True, error.is_away
    return found


def named(path: JournalPlace) -> str:
    """Give the path in a form that can be shown anywhere."""
    return unsaid(harmless(str(path)))


def primary_code(error: BaseException) -> int | None:
    """Give SQLite's primary error code, or None when the error carries none."""
    code = getattr(error, "sqlite_errorcode", None)
    return code & 0xFF if isinstance(code, int) else None


def is_busy(error: BaseException) -> bool:
    """Tell whether another program holds the file."""
    return primary_code(error) in _BUSY


def is_damage(error: BaseException) -> bool:
    """Tell whether SQLite calls the file damaged, as it also does when a disk cannot read."""
    return primary_code(error) in _DAMAGE


def locked(path: JournalPlace) -> JournalLocked:
    """Give the error for a journal that another program holds."""
    return JournalLocked(
        f"Another program is holding the journal {named(path)}.",
        f"Let it finish or close it, then try again. {ONCE_ONLY}",
    )


def write_fault(error: BaseException, path: Path, known_absent: bool) -> JournalError:
    """Give the error for a recording that failed.

    Args:
        error: what SQLite raised.
        path: the journal.
        known_absent: whether the file was opened anew and does not hold the entries.
    """
    if is_busy(error):
        return locked(path)
    code = primary_code(error)
    if code in _DAMAGE:
        return read_fault(error, path)
    told = "Nothing was recorded" if known_absent else UNCERTAIN
    if code == sqlite3.SQLITE_CONSTRAINT:
        return JournalError(
            f"The journal {named(path)} refused the entry: {harmless(str(error))}.",
            f"{told}. This is a fault in the program; please report it.",
        )
    cause, cure = (code == sqlite3.SQLITE_IOERR and _no_right(path, os.W_OK)) or _WRITE_CAUSES.get(
        code or 0, (harmless(str(error)), "Look whether the disk or card is sound")
    )
    found = JournalCannotWrite(
        f"The journal {named(path)} could not be written: {cause}.",
        f"{told}. {cure}, then try again. {ONCE_ONLY}",
    )
    found.uncertain = not known_absent
    return found


def read_fault(error: BaseException, path: Path) -> JournalError:
    """Give the error for a reading that failed twice, the second time on a fresh opening.

    A disk that cannot read makes SQLite say "malformed"; so the file is read
    once through, plainly, before anyone is told that it is damaged. No transaction
    may be open here: closing the plain file drops the locks of this process.
    """
    if is_busy(error):
        return locked(path)
    code = primary_code(error)
    undecodable = code is None and isinstance(error, sqlite3.OperationalError | UnicodeError)
    unknown_table = code == sqlite3.SQLITE_ERROR
    if (code in _DAMAGE or undecodable or unknown_table) and reads_through(path):
        return damage_fault(path, str(error))
    if code in _NEEDS_RECOVERY:
        return JournalCannotRead(
            f"The journal {named(path)} could not be read: a power cut left a recording half "
            "done, and from here it cannot be undone.",
            "Run `shopboard verify` once as a user who may write to it and to its folder.",
        )
    return unreadable(path)


def _no_right(path: Path, more: int = 0) -> tuple[str, str] | None:
    """Tell which right this user lacks, and what gives it; None: not that.

    SQLite tells of a folder that lets nobody in as of a failing disk.
    """
    real = Path(os.path.realpath(path))
    folder = real.parent
    if not os.access(folder, os.X_OK | more):
        if os.access(folder, os.F_OK):
            return (
                f"this user has no right to use the folder {named(folder)}",
                "Give this user that right",
            )
        return None
    if os.access(real, os.F_OK) and not os.access(real, os.R_OK | more):
        return "this user has no right to use that file", "Give this user that right"
    return None


def unreadable(path: Path) -> JournalCannotRead:
    """Give the error for a disk that did not give the file, which may be whole."""
    if lacking := _no_right(path):
        return JournalCannotRead(
            f"The journal {named(path)} could not be read: {lacking[0]}.",
            f"{lacking[1]}, then try again; the file may well be whole.",
        )
    return JournalCannotRead(
        f"The journal {named(path)} could not be read.",
        "Try again. If it stays so, look whether the disk or card is "
        "sound; the file may well be whole. `shopboard restore FROM --journal FILE` puts a copy on "
        "another one, `shopboard salvage FROM TO` what can be read.",
    )


def took_too_long(path: Path) -> JournalCannotRead:
    """Give the error for a question that was broken off."""
    return JournalCannotRead(
        f"The journal {named(path)} gave no answer in time: the disk is too slow, or the file "
        "contradicts itself.",
        "Leave the board and run `shopboard verify`, which takes the time it needs.",
    )


def damage_fault(path: JournalPlace, what: str) -> JournalDamaged:
    """Give the error for a file that is not what was once recorded."""
    return JournalDamaged(
        f"The journal {named(path)} is damaged: {harmless(what)}.",
        f"It was left as it is. {way_back(path)}",
    )


def reads_through(path: Path) -> bool:
    """Tell whether the disk gives the whole of a file."""
    try:
        with path.open("rb") as file:
            while file.read(1 << 20):
                pass
    except OSError:
        return False
    return True
