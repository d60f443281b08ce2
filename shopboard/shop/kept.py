"""A shop file that was read, and the same kept: the next start need not read its text again.

What is kept holds for the very bytes that were read, with all that follows from
the methods; a file with an error in it is not kept.
"""

from __future__ import annotations

import os
import zlib
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from shopboard.base import kept
from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.files import Stamp, UnreadableFileError, read_bytes
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem

_SORT = "shop"


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


def kept_shop(path: Path) -> Loaded | None:
    """Give what was kept of the shop file at `path`; None where it was not read before as it is."""
    match kept.kept(path, _SORT):
        case (tuple() as mark, Loaded() as loaded):
            with suppress(UnreadableFileError):
                return loaded if mark == _mark(path, loaded) else None
    return None


def keep_shop(path: Path, loaded: Loaded) -> None:
    """Keep what was read of the shop file at `path`, unless it has changed since."""
    with suppress(UnreadableFileError):
        mark = _mark(path, loaded)
        if mark and kept_shop(path) != loaded:
            kept.keep(path, _SORT, (mark, loaded))


def _mark(path: Path, loaded: Loaded) -> tuple[object, ...]:
    """Give what the reading hung on, the bytes of every file; empty where one has changed.

    Raises:
        UnreadableError: a file cannot be read.
    """
    files = []
    for one, stamp in ((path, loaded.stamp), *loaded.beside.items()):
        data, now = read_bytes(one)
        if now != stamp:
            return ()
        files.append((os.fspath(one), now, zlib.crc32(data)))
    return tuple(files)
