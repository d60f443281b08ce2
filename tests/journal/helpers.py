"""What the journal's tests share: a clock to set by hand, a journal, a run of the writer."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, overload

import pytest

from shopboard.base.server_place import JournalPlace
from shopboard.journal import (
    KeptJournal,
    NewEntry,
    SqliteJournal,
    Store,
    kinds,
    new_uid,
    open_journal,
)

WRITER = Path(__file__).with_name("writer.py")


class Clock:
    """A clock that stands until the test moves it."""

    def __init__(self) -> None:
        self.now = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def pass_by(self, **span: float) -> None:
        self.now += timedelta(**span)


def check(point: str = "blade", machine: str = "saw", **body: object) -> NewEntry:
    """Give a new entry of kind "check"."""
    return NewEntry(new_uid(), "check", machine, point, {"v": 1, **body})


def voided(journal: Store, uid: str, reason: str) -> None:
    """Void an entry of a kind that this program never withdraws, as another one could."""
    target = journal.get(uid)
    assert target is not None
    said, place = kinds.TakenBack(reason), (target.machine, target.point)
    journal.append([kinds.VOID.new(new_uid(), said, *place, uid)])


@overload
def opened(path: Path, **terms: Any) -> SqliteJournal: ...


@overload
def opened(path: JournalPlace, **terms: Any) -> KeptJournal: ...


def opened(path: JournalPlace, **terms: Any) -> KeptJournal:
    """Open a journal with a clock of its own."""
    return open_journal(path, Clock(), **terms)


def moved_on(journal: Store, mark: int) -> int:
    """Wait until the change mark differs, and give it: a server tells by itself, a little later."""
    end = time.monotonic() + 20.0
    while (now := journal.change_mark()) == mark:
        assert time.monotonic() < end, "it was never told that somebody recorded"
        time.sleep(0.005)
    return now


def filled(path: Path, entries: int = 5) -> None:
    """Add so many entries to a journal; where there is none it is made."""
    with closing(opened(path)) as journal:
        journal.append([check(text="x" * 300) for _ in range(entries)])


def plainly(path: Path) -> sqlite3.Connection:
    """Open the file as any other program could, past this program's own fence."""
    return sqlite3.connect(path, isolation_level=None)


def uids(path: Path) -> list[str]:
    """Give the uids in the journal in their order, and hold its chain against the hashes."""
    with closing(opened(path)) as journal:
        assert journal.verify() is None
        rows = journal._held.db().execute("SELECT uid FROM entries ORDER BY seq")
        return [str(uid) for (uid,) in rows]


def writer_command(place: Path | str, start: int, count: int, *flags: str) -> list[str]:
    """Give the command line of the writer, for a file or a server's URL."""
    return [sys.executable, "-B", str(WRITER), str(place), str(start), str(count), *flags]


def run(command: Sequence[str | Path], seconds: float = 60) -> list[str]:
    """Run a command to its end and give the lines it printed; its failure is the test's."""
    done = subprocess.run(
        [str(word) for word in command], capture_output=True, text=True, timeout=seconds
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout.splitlines()


def need(*tools: str) -> None:
    """Skip the test, with the reason, where a tool is not installed."""
    missing = [tool for tool in tools if shutil.which(tool) is None]
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}")
