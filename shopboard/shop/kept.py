"""A shop file that was read is kept, so that the next start need not read its text again.

It is a help and no record: it holds only for the very bytes that were read and
for the program that read them, and where it is broken, absent or somebody
else's, the text is read. Soon after the first picture the text is read in any
case, and that counts.
"""

from __future__ import annotations

import os
import pickle
import zlib
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from shopboard import __version__
from shopboard.private import make_folders, new_file
from shopboard.shop.files import UnreadableError, read_bytes

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopboard.shop.files import Stamp
    from shopboard.shop.model import Shop
    from shopboard.shop.problems import Problem

try:
    from _sha256 import sha256  # type: ignore[import-not-found,unused-ignore]
except ImportError:
    from hashlib import sha256

_SEAL = 32
"""Bytes in front of what is kept: its hash, so that no damage of the file makes another shop."""

_MOST_BYTES = 4_000_000


class Loaded(NamedTuple):
    """A shop file that was read."""

    shop: Shop
    warnings: tuple[Problem, ...]
    """What is odd but can be used, sorted by file and place."""
    digest: str
    """Checksum of the bytes of the file and those it names: changes when one of them does."""
    stamp: Stamp
    """Time of the last change (ns) and size of the file; zeros when it came as text."""
    beside: Mapping[Path, Stamp | None] = {}
    """The same of each file that it names."""


def kept(path: Path) -> Loaded | None:
    """Give what was kept of the shop file at `path`; None where it was not read before as it is."""
    with suppress(Exception):  # whatever a broken or foreign file does
        data = _mine(_file_for(path))
        if data is None or sha256(data[_SEAL:]).digest() != data[:_SEAL]:
            return None
        mark, fields = pickle.loads(data[_SEAL:])  # noqa: S301 - sealed, and the user's own
        loaded = Loaded(*fields)
        if mark == _mark(path, loaded):
            return loaded
    return None


def keep(path: Path, loaded: Loaded) -> None:
    """Keep what was read of the shop file at `path`; where that cannot be, nothing is said."""
    with suppress(OSError, ValueError, UnreadableError, pickle.PicklingError):
        file, mark = _file_for(path), _mark(path, loaded)
        if mark is None:
            return
        text = pickle.dumps((mark, tuple(loaded)), 5)
        data = sha256(text).digest() + text
        if file.exists() and _mine(file) == data:
            return
        make_folders(file.parent)
        half = file.with_name(f"{file.name}.{os.getpid()}")
        half.unlink(missing_ok=True)
        with new_file(half) as opened:
            opened.write(data)
        half.replace(file)


def _file_for(path: Path) -> Path:
    from platformdirs import user_cache_path

    name = sha256(os.fsencode(path.absolute())).hexdigest()[:32]
    return user_cache_path("shopboard", appauthor=False) / f"{name}.shop"


def _mine(file: Path) -> bytes | None:
    """Give what is in a file that nobody else can have written."""
    with file.open("rb") as opened:
        status = os.fstat(opened.fileno())
        if os.name == "posix" and (status.st_uid != os.geteuid() or status.st_mode & 0o022):
            return None
        return opened.read(_MOST_BYTES)


def _mark(path: Path, loaded: Loaded) -> tuple[object, ...] | None:
    """Tell what the reading hung on: the program, and the bytes of every file.

    Raises:
        UnreadableError: a file cannot be read.
    """
    files = []
    for one, stamp in ((path, loaded.stamp), *loaded.beside.items()):
        data, now = read_bytes(one)
        if now != stamp:
            return None
        files.append((os.fspath(one), now, zlib.crc32(data)))
    return (__version__, _readers(), tuple(files))


def _readers() -> int:
    """Give a number that changes with the modules that read: a version may be under work."""
    here = os.scandir(Path(__file__).parent)
    times = sorted((one.name, one.stat().st_mtime_ns) for one in here if one.name[-3:] == ".py")
    return zlib.crc32(repr(times).encode())
