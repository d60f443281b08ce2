"""What takes long to make is made once, for all the processes that the tests run in."""

from __future__ import annotations

import os
import pickle
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

Made = TypeVar("Made")

SHARED = "SHOPBOARD_TESTS_SHARE"
"""Variable of the environment: the folder that the processes of one run share."""

_FOLDERS: list[tempfile.TemporaryDirectory[str]] = []
"""It goes when this process ends, if nobody cleared it away before."""

_PATIENCE = 600.0
"""Seconds in which another process must have made it."""


def share() -> Callable[[], None] | None:
    """Make the folder, in the first of the processes; give what clears it away."""
    if SHARED in os.environ:
        return None
    folder = tempfile.TemporaryDirectory(prefix="shopboard-tests-")
    os.environ[SHARED] = folder.name
    _FOLDERS.append(folder)
    return folder.cleanup


def made_once(name: str, make: Callable[[Path], Made]) -> tuple[Path, Made]:
    """Give a folder that is filled by whoever asks first, and what its maker gave.

    Args:
        name: tells it from every other; it is part of a path.
        make: fills the folder that it is given; what it gives can be pickled.
    """
    share()  # a script that is no test has nobody who did
    place = Path(os.environ[SHARED]) / name
    told = place.with_name(f"{name}.made")
    try:
        place.mkdir(parents=True)
    except FileExistsError:
        end = time.monotonic() + _PATIENCE
        while not told.exists():
            assert time.monotonic() < end, f"who began to make {name} has not made it"
            time.sleep(0.05)
    else:
        half = told.with_suffix(".half")
        half.write_bytes(pickle.dumps(make(place)))
        half.replace(told)
    made: Made = pickle.loads(told.read_bytes())
    return place, made
