"""What is named in a folder is brought to the disk."""

from __future__ import annotations

import os
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Bring a folder's list of names to the disk, where the system has a way to.

    Raises:
        OSError: the disk refused it.
    """
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
