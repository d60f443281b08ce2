"""What was worked out once is kept in a file, so that the next start need not work it out again.

It is a help and no record: it holds for the program that kept it alone, and
where it is broken, absent or somebody else's, nothing was kept.
"""

from __future__ import annotations

import os
import pickle
import zlib
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path

from shopboard import __version__
from shopboard.base.locations import kept_folder
from shopboard.base.private import make_folders, new_file
from shopboard.base.server_place import JournalPlace, ServerPlace

_SUM = 4
"""Bytes in front: the checksum of the rest, so that no damage makes anything else of it."""

_MOST_BYTES = 16_000_000

_ONLY_SHOW = {
    *("board", "commands", "prep", "reports", "describing", "demo", "writing", "__pycache__"),
}
"""Folders of the program that make nothing which is kept."""


def kept(about: JournalPlace, sort: str) -> object:
    """Give what was kept about a file; None where nothing was.

    Args:
        about: the file.
        sort: what of it: a word that serves as the ending of a file name.
    """
    with suppress(Exception):  # whatever a broken or foreign file does
        data = _own_bytes(_file_for(about, sort))
        if zlib.crc32(data[_SUM:]).to_bytes(_SUM) == data[:_SUM]:
            program, value = pickle.loads(data[_SUM:])  # noqa: S301 - the user's own, or not read
            return value if program == _program() else None
    return None


def keep(about: JournalPlace, sort: str, value: object) -> None:
    """Keep something about a file; where that cannot be, nothing is said."""
    with suppress(OSError, ValueError, pickle.PicklingError):
        file = _file_for(about, sort)
        data = pickle.dumps((_program(), value), 5)
        make_folders(file.parent)
        half = file.with_name(f"{file.name}.{os.getpid()}")
        half.unlink(missing_ok=True)
        try:
            with new_file(half) as opened:
                opened.write(zlib.crc32(data).to_bytes(_SUM) + data)
            half.replace(file)
        except OSError:
            half.unlink(missing_ok=True)
            raise


def drop(about: JournalPlace, sort: str) -> None:
    """Keep nothing of that sort about a file any longer."""
    with suppress(OSError, ValueError):
        _file_for(about, sort).unlink(missing_ok=True)


def _file_for(about: JournalPlace, sort: str) -> Path:
    name = about.words.encode() if isinstance(about, ServerPlace) else os.fsencode(about.absolute())
    return kept_folder() / f"{zlib.crc32(name):08x}.{sort}"


def _own_bytes(file: Path) -> bytes:
    """Read a file that nobody else can have written.

    Raises:
        OSError: when it cannot be read.
        ValueError: when another user could write it, or it is too large.
    """
    with file.open("rb") as opened:
        status = os.fstat(opened.fileno())
        if os.name == "posix" and (status.st_uid != os.geteuid() or status.st_mode & 0o022):
            raise ValueError("somebody else may have written it")
        if status.st_size > _MOST_BYTES:
            raise ValueError("too large")
        return opened.read()


@cache
def _program() -> tuple[str, int]:
    """Tell this program from another one: a version under work changes without a new number."""
    times = sorted(_times(os.path.dirname(os.path.dirname(__file__))))  # noqa: PTH120
    return __version__, zlib.crc32(repr(times).encode())


def _times(folder: str) -> Iterator[tuple[str, int]]:
    """Give when each file of the program was changed, of those that make what is kept."""
    with os.scandir(folder) as found:
        for one in found:
            if not one.is_dir():
                yield one.name, one.stat().st_mtime_ns
            elif one.name not in _ONLY_SHOW:
                yield from _times(one.path)
