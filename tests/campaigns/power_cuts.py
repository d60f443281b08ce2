"""The power is cut on a real disk: one to four writers at any moment, every act at any call."""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from tests.campaigns.frame import Campaign, Try, chance
from tests.journal.calls import CHANGES, killed_at
from tests.journal.disk import LoopDisk, loop_disk
from tests.journal.helpers import need, uids
from tests.journal.strikes import Strike, strikes
from tests.journal.writers import wait_for, writers


def said_until_cut(disk: LoopDisk, draw: Random, first: int, *flags: str) -> set[str]:
    """Record on a mounted disk, cut the power, and give what was said before the cut."""
    with writers(
        disk.mount_point / "journal", draw.choice((1, 1, 2, 4)), first, *flags
    ) as programs:
        lines = draw.randint(0, 40)
        wait_for(programs, lines)
        time.sleep(0.0 if lines else draw.random() * 0.3)
        # Stopped first: a commit that races with the cut may be told as done by
        # a disk that is dead already, which no real power cut can do.
        for one in programs:
            one.stop()
        said: set[str] = set().union(*(one.said() for one in programs))
        disk.cut_power()
    return said


def cut_writers(disk: LoopDisk, draw: Random) -> None:
    """Cut the power of programs that record, up to three times, and hold what comes back."""
    said: set[str] = set()
    for cut in range(draw.randint(1, 3)):
        said |= said_until_cut(disk, draw, cut * 10_000_000)
        disk.power_again()
        there = uids(disk.mount_point / "journal")
        assert len(there) == len(set(there)), "an entry is there twice"
        assert said <= set(there), f"said and not there: {said - set(there)}"


def cut_act(disk: LoopDisk, strike: Strike) -> bool:
    """Kill an act at a call, cut the power at once, hold what comes back; tell whether it is done.

    Whatever lay on the disk is gone.
    """
    clear(disk)
    folder = disk.mount_point / "shop"
    strike.set_up(folder)
    os.sync()
    outcome = killed_at(strike.command(folder), folder, strike.call)
    disk.cut_power()
    disk.power_again()
    return strike.hold(folder, outcome, "the power cut")


def clear(disk: LoopDisk) -> None:
    """Remove what lies on a disk."""
    for one in disk.mount_point.iterdir():
        shutil.rmtree(one) if one.is_dir() else one.unlink()


@contextmanager
def cuts(seed: int) -> Iterator[Try]:
    """Cut the power of writers in every other try, else of an act."""
    need("strace")
    with tempfile.TemporaryDirectory() as name, loop_disk(Path(name)) as disk:
        at = [one for one in strikes(Path(name)) if one.call.name in CHANGES]

        def attempt(index: int) -> None:
            draw = chance(seed, index)
            with disk.mounted():
                if index % 2:
                    clear(disk)
                    cut_writers(disk, draw)
                else:
                    cut_act(disk, draw.choice(at))

        yield attempt


CAMPAIGN = Campaign(cuts, count=1_000, in_ci=6)
