"""A program that is killed has recorded what it said, and nothing by halves."""

from __future__ import annotations

import random
import signal
import subprocess
import time
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import JournalMissing
from tests.journal.helpers import need, opened, uids, writer_command

ROUNDS = 15


def test_killed_at_any_moment_every_acknowledged_entry_is_there(path: Path) -> None:
    """Kill the writer again and again at random; no entry that it printed is missing or doubled."""
    chance = random.Random(15)
    said: set[str] = set()
    for round_number in range(ROUNDS):
        said |= _until_killed(path, round_number * 100_000, chance)
        there = uids(path)
        assert said <= set(there)
        assert len(there) == len(set(there))
        # At most the one entry that was on its way is there without having been said.
        assert len(there) - len(said) <= round_number + 1
    assert len(said) > 2 * ROUNDS


def _until_killed(path: Path, start: int, chance: random.Random) -> set[str]:
    command = writer_command(path, start, 100_000)
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        said = [writer.stdout.readline().strip() for _ in range(chance.randint(1, 40))]
        time.sleep(chance.random() * 0.01)
        writer.send_signal(signal.SIGKILL)
        # A line without its end was cut off on its way.
        said += [line.strip() for line in writer.stdout if line.endswith("\n")]
    return set(said)


@pytest.mark.parametrize("write", [2, 9, 13, 20, 36, 37, 38, 40, 43, 66])
def test_killed_inside_a_write_every_acknowledged_entry_is_there(path: Path, write: int) -> None:
    """Kill the writer exactly at its n-th write: the next program finds all in order."""
    said = _killed_at_write(path, write)
    there = uids(path)
    assert set(said) <= set(there)
    assert len(said) <= len(there) <= len(said) + 1
    assert len(said) < 5


@pytest.mark.parametrize("write", [36, 38, 40])
def test_a_half_done_recording_is_undone_for_readers_too(path: Path, write: int) -> None:
    """Who only reads after a crash sees the journal as it was before the half-done entry."""
    said = _killed_at_write(path, write)
    with closing(opened(path, read_only=True)) as journal:
        assert journal.verify() is None
        assert len(said) <= journal.count() <= len(said) + 1


def test_a_making_cut_short_is_no_journal_to_read(path: Path) -> None:
    """Killed while it is made, the journal is missing for who only reads, and made anew else."""
    assert _killed_at_write(path, 9) == []
    assert path.stat().st_size > 0
    with pytest.raises(JournalMissing):
        opened(path, read_only=True)
    assert uids(path) == []


def _killed_at_write(path: Path, write: int) -> list[str]:
    """Record five entries, and be killed by the n-th write; give what was said until then."""
    need("strace")
    fault = f"inject=pwrite64:signal=KILL:when={write}"
    command = ["strace", "-f", "-o", "/dev/null", "-e", "trace=pwrite64", "-e", fault]
    command += writer_command(path, 0, 5)
    return subprocess.run(command, capture_output=True, text=True, timeout=30).stdout.split()
