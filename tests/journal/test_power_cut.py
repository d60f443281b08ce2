"""A power cut takes no entry that was acknowledged: tried on a real file system."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journal.disk import LoopDisk, loop_disk
from tests.journal.helpers import uids, writer_command

pytestmark = pytest.mark.root

CUTS = 12


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[LoopDisk]:
    with loop_disk(tmp_path) as disk:
        yield disk


def test_no_acknowledged_entry_is_lost_at_a_power_cut(disk: LoopDisk) -> None:
    """Cut the power again and again while entries are recorded: all that were said are there."""
    said: set[str] = set()
    for cut in range(CUTS):
        said |= _until_cut(disk, cut)
        assert said - _there(disk) == set(), f"lost at cut {cut}"
    assert len(said) > 2 * CUTS


def test_the_power_cut_is_a_real_one(disk: LoopDisk) -> None:
    """The proof of the test above: a writer that does not wait for the disk loses entries."""
    lost: set[str] = set()
    for cut in range(CUTS):
        said = _until_cut(disk, cut, "--unsafe")
        lost |= said - _there(disk)
        if lost:
            return
    pytest.fail("the harness cuts no power: not one unsafe entry was lost")


def _until_cut(disk: LoopDisk, cut: int, *flags: str) -> set[str]:
    """Record, cut the power, and give what was acknowledged before the cut."""
    chance = random.Random(cut)
    disk.mount()
    try:
        command = writer_command(disk.mount_point / "shop.journal", cut * 100_000, 100_000, *flags)
        with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
            assert writer.stdout is not None
            said = [writer.stdout.readline() for _ in range(chance.randint(1, 40))]
            # Stopped first: a commit that races with the cut may be told as done by
            # a disk that is dead already, which no real power cut can do.
            writer.send_signal(signal.SIGSTOP)
            _wait_until_stopped(writer.pid)
            os.set_blocking(writer.stdout.fileno(), False)
            rest = writer.stdout.read() or b""
            disk.cut_power()
            writer.send_signal(signal.SIGKILL)
    finally:
        disk.unmount()
    whole = (b"".join(said) + rest).split(b"\n")[:-1]
    assert all(line.startswith(b"u") for line in whole), whole
    return {line.decode() for line in whole}


def _there(disk: LoopDisk) -> set[str]:
    """Give what a program finds that starts when the power is back."""
    disk.mount()
    try:
        return set(uids(disk.mount_point / "shop.journal"))
    finally:
        disk.unmount()


def _wait_until_stopped(pid: int) -> None:
    for _ in range(5000):
        if Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] == "T":
            return
        time.sleep(0.001)
    pytest.fail("the writer did not stop")
