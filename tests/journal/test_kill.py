"""What a recording leaves that was killed in the middle, for who only reads.

Kills at any moment are a campaign (`tests/campaigns/kills.py`).
"""

from __future__ import annotations

import subprocess
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import JournalMissing
from tests.journal.helpers import need, opened, uids, writer_command


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
