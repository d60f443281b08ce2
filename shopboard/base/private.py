"""Files and folders of the shop's records are made for their owner alone, whatever the umask.

What is there already keeps its rights: whoever widened them meant it.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import BinaryIO

_FOLDER, _FILE = 0o700, 0o600


def make_folders(folder: Path) -> list[Path]:
    """Make a folder and those above it that are missing; give those that were made.

    Raises:
        OSError: when that cannot be.
        ValueError: when no such path is possible.
    """
    missing = []
    for one in (folder, *folder.parents):
        if one.exists():
            break
        missing.append(one)
    for one in reversed(missing):
        one.mkdir(mode=_FOLDER, exist_ok=True)
    folder.mkdir(mode=_FOLDER, exist_ok=True)  # says so where it is a file
    return missing


def new_file(path: Path) -> BinaryIO:
    """Make a file that is not there yet, open for writing.

    Raises:
        FileExistsError: when it is there.
        OSError: when it cannot be made.
    """
    handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), _FILE)
    return os.fdopen(handle, "wb")
