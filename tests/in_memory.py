"""Where the tests put their files: into memory where there is room, so that none waits for a disk.

Every record is on the disk before a person is told of it, and a disk may take 20 ms for that. The
same calls are made here; what a disk does with them is tried on disks of their own (`journal/`).
``TMPDIR=FOLDER`` before the command has them put there instead.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

_MEMORY = Path("/dev/shm")  # Linux has it; elsewhere the usual place will do
_PREFIX, _DAY = "shopboard-tests-", 86400
_ROOM = 1 << 30
"""Bytes that must be free there: a whole run fills half of them."""


def in_memory() -> Callable[[], None] | None:
    """Have this process and all that it starts put their files there; give what clears them."""
    if "TMPDIR" in os.environ or not os.access(_MEMORY, os.W_OK):
        return None
    if shutil.disk_usage(_MEMORY).free < _ROOM:
        return None
    for left in _MEMORY.glob(f"{_PREFIX}*"):  # by a run that was killed: memory is not given back
        with suppress(OSError):  # another run may be clearing it away
            if time.time() - left.stat().st_mtime > _DAY:
                shutil.rmtree(left)
    folder = tempfile.TemporaryDirectory(prefix=_PREFIX, dir=_MEMORY, ignore_cleanup_errors=True)
    Path(folder.name).chmod(0o711)  # as below the usual place, another user comes to what is his
    os.environ["TMPDIR"], tempfile.tempdir = folder.name, None
    return folder.cleanup
