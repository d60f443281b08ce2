"""Several programs on one journal: each sees the other's entries, and waits its turn."""

from __future__ import annotations

import sqlite3
import subprocess
import time
from contextlib import closing, suppress
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from shopboard.base.server_place import JournalPlace
from shopboard.journal import JournalError, JournalLocked, KeptJournal, open_journal
from tests.journal.helpers import Clock, check, opened, plainly, uids, writer_command


def test_two_programs_record_at_once(path: Path) -> None:
    """Both begin on a path where nothing is yet; every entry of both is there, in one chain."""
    commands = [writer_command(path, start, 150) for start in (0, 1000)]
    writers = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for command in commands]
    said = [line for writer in writers for line in writer.communicate(timeout=60)[0].split()]
    assert all(writer.returncode == 0 for writer in writers)
    assert sorted(said) == sorted(uids(path))
    assert len(said) == 300


def test_one_is_made_by_another_program_while_this_one_looks(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is looked at is from before that or from after, never a mark and a form of two times."""
    meddled: list[str] = []

    class Watched(sqlite3.Connection):
        def execute(self, sql: str, *values: Any) -> sqlite3.Cursor:
            if sql == "PRAGMA user_version" and not meddled:
                meddled.append(sql)
                with suppress(JournalError):  # it has to wait, or it makes the journal
                    opened(path, wait_seconds=0.05).close()
            return super().execute(sql, *values)

    connect = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", partial(connect, factory=Watched))
    with closing(opened(path)) as journal:
        journal.append([check()])
    assert meddled


def test_another_program_s_entries_are_seen(place: JournalPlace, store: KeptJournal) -> None:
    """Two boards on one journal show the same."""
    with closing(open_journal(place, Clock())) as other:
        (entry,) = other.append([check()])
        assert store.latest("check") == {("saw", "blade"): entry}
        (entry,) = store.append([check()])
        assert other.latest("check") == {("saw", "blade"): entry}


def test_a_journal_held_by_another_is_locked(path: Path) -> None:
    """After the wait the error says so; nothing was recorded, and the same works later."""
    entry = check()
    with closing(opened(path, wait_seconds=0.2)) as journal, closing(plainly(path)) as holder:
        holder.execute("BEGIN IMMEDIATE")
        start = time.monotonic()
        with pytest.raises(JournalLocked) as told:
            journal.append([entry])
        assert 0.15 < time.monotonic() - start < 2
        assert (told.value.exit_code, str(path) in told.value.title) == (5, True)
        assert journal.count() == 0
        holder.execute("ROLLBACK")
        journal.append([entry])
        assert journal.count() == 1


def test_a_reader_in_the_way_delays_recording_only(path: Path) -> None:
    """A program that reads for long makes recording fail as locked, not half-way."""
    entry = check()
    with closing(opened(path, wait_seconds=0.2)) as journal, closing(plainly(path)) as reader:
        journal.append([check()])
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM entries").fetchall()
        with pytest.raises(JournalLocked):
            journal.append([entry])
        assert journal.count() == 1
        reader.execute("ROLLBACK")
        journal.append([entry])
        assert journal.count() == 2


@pytest.mark.parametrize("read_only", [False, True])
def test_a_journal_held_whole_cannot_be_opened_or_read(path: Path, read_only: bool) -> None:
    """A program that holds the file for itself is waited for, then named as the reason."""
    with closing(opened(path, wait_seconds=0.1)) as journal, closing(plainly(path)) as holder:
        holder.execute("BEGIN EXCLUSIVE")
        for asked in (
            lambda: opened(path, wait_seconds=0.1, read_only=read_only),
            lambda: journal.latest("check"),
            journal.change_mark,
            journal.verify,
        ):
            with pytest.raises(JournalLocked):
                asked()
        holder.execute("ROLLBACK")
        assert journal.count() == 0
