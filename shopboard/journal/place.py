"""The place of the journal on the disk: looked at before SQLite is let near it.

A file that cannot be understood is never opened as a database, so it is never
altered: SQLite may roll back, truncate or create as soon as it opens.
"""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from enum import Enum
from pathlib import Path

from shopboard.base.private import make_folders, new_file
from shopboard.base.synced import sync_folder
from shopboard.journal.errors import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalForeign,
)
from shopboard.journal.faults import WAY_BACK, named
from shopboard.journal.schema import APPLICATION_ID

MAGIC = b"SQLite format 3\0"
_HEADER_SIZE = 100
_LEFT_ALONE = "The file was left as it is. `--journal FILE` names another path."


class AtPath(Enum):
    """What is at the journal's path."""

    NOTHING = "nothing"
    EMPTY = "an empty file"
    JOURNAL = "a journal"


def look(path: Path) -> AtPath:
    """Tell what is at the path; raise a `JournalError` when it can be no journal.

    To be called only while this process has not opened the journal: closing a
    plain file drops the locks which the same process holds on it.
    """
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise JournalForeign(f"{named(path)} is a folder, not a journal.", _LEFT_ALONE)
        if not stat.S_ISREG(mode):  # a pipe would wait for ever
            raise JournalForeign(f"{named(path)} is a device, not a journal.", _LEFT_ALONE)
        with path.open("rb") as file:
            header = file.read(_HEADER_SIZE)
    except FileNotFoundError:
        return AtPath.NOTHING
    except NotADirectoryError as error:
        raise JournalForeign(
            f"The path {named(path)} leads through a file, not a folder.", _LEFT_ALONE
        ) from error
    except (OSError, ValueError) as error:  # ValueError: NUL in the path
        raise JournalCannotRead(
            f"The journal {named(path)} could not be read ({reason(error)}).",
            "Give this user the right to read it."
            if isinstance(error, PermissionError)
            else "Look whether the disk or card is sound.",
        ) from error
    if not header:
        return AtPath.EMPTY
    _judge_header(path, header)
    return AtPath.JOURNAL


def holds_something(path: Path) -> bool:
    """Tell whether a file that is not empty is at the path."""
    try:
        return path.stat().st_size > 0
    except (OSError, ValueError):
        return False


_MOVING = ".moving"


def unfinished_move(path: Path) -> Path:
    """Give the file that a move into a journal's place fills until all is there."""
    return Path(f"{os.path.realpath(path)}{_MOVING}")


def is_unfinished_move(path: Path) -> bool:
    """Tell whether a file has the name of one that a move fills."""
    return path.name.endswith(_MOVING)


def is_empty_file(path: Path) -> bool:
    """Tell whether a file lies at the path in which there is nothing."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return False
    return stat.S_ISREG(found.st_mode) and found.st_size == 0


def make_folder(path: Path) -> None:
    """Make the folder of a new journal, down to the disk."""
    try:
        missing = make_folders(path.parent)
    except (OSError, ValueError) as error:
        raise JournalCannotWrite(
            f"The folder {named(path.parent)} for the journal could not be made ({reason(error)}).",
            "Make it by hand, or name another path for the journal.",
        ) from error
    for folder in missing:
        settle_folder(folder.parent)


def make_private(path: Path) -> None:
    """Make the empty file of a new journal for its owner alone; its rollback file takes after it.

    Where that cannot be, SQLite will say why when it is to open it.
    """
    with suppress(OSError, ValueError):
        new_file(Path(os.path.realpath(path))).close()


def settle_folder(folder: Path) -> None:
    """Bring the list of names of a new journal's folder to the disk."""
    try:
        sync_folder(folder)
    except OSError as error:
        raise JournalCannotWrite(
            f"The folder {named(folder)} could not be brought to the disk ({reason(error)}).",
            "Nothing was recorded. Look whether the disk or card is sound, then try again.",
        ) from error


def write_obstacle(path: Path) -> str | None:
    """Tell what forbids writing to an existing journal, or None.

    The folder counts as well: each recording puts a rollback file beside the journal.
    """
    real = Path(os.path.realpath(path))
    if not os.access(real, os.W_OK):
        return "the file is read-only"
    if not os.access(real.parent, os.W_OK):
        return "its folder is read-only"
    return None


def identity(path: Path) -> tuple[int, int] | None:
    """Give what tells this file from one put in its place, or None when it is gone."""
    try:
        found = path.stat()
    except (OSError, ValueError):  # ValueError: NUL in the path
        return None
    return found.st_dev, found.st_ino


def reason(error: Exception) -> str:
    """Give the system's own word for what failed."""
    return getattr(error, "strerror", None) or "no file can have such a name"


def _judge_header(path: Path, header: bytes) -> None:
    if len(header) < _HEADER_SIZE or not header.startswith(MAGIC):
        if _power_cut_left_work(path):
            return  # the torn page is put back by SQLite at opening
        raise JournalDamaged(
            f"{named(path)} is not a journal, or its beginning is destroyed.",
            f"The file was left as it is. {WAY_BACK}",
        )
    # The mark lies in the sector of the magic: where that one is whole, so is the mark.
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise JournalForeign(
            f"{named(path)} is another program's database, not a journal.",
            f"{_LEFT_ALONE} If it was your journal, `shopboard salvage` reads what is left of it.",
        )


def _power_cut_left_work(path: Path) -> bool:
    rollback = Path(os.path.realpath(path) + "-journal")
    try:
        return rollback.stat().st_size > 0
    except OSError:
        return False
