"""A copy takes the journal's place in one go, and what was there stays beside it, whole."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.journal import JournalDamaged, JournalError, JournalForeign, JournalLocked
from shopboard.journal.backup import back_up
from shopboard.journal.commit import SwappedError, record
from shopboard.journal.restore import made_ready, put_in_place
from tests.journal.acts import aside_of
from tests.journal.helpers import check, filled, opened, plainly, uids
from tests.journal.test_backup import names

WHEN = datetime(2026, 6, 2, 9, 0, tzinfo=UTC)

SLOW_WRITER = """
import sys, time
from pathlib import Path
from tests.journal.helpers import check, opened
journal = opened(Path(sys.argv[1]), wait_seconds=20)
for _ in range(100):
    print(journal.append([check()])[0].uid, flush=True)
    time.sleep(0.03)
"""


@pytest.fixture(autouse=True)
def own_memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep what is remembered of journals out of the home folder."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def restored(source: Path, path: Path) -> Path | None:
    with made_ready(source, path) as ready:
        return put_in_place(ready, WHEN)


def test_what_would_be_lost_is_told_before_and_kept_after(path: Path, tmp_path: Path) -> None:
    filled(path)
    copy = tmp_path / "copy"
    back_up(path, copy)
    with closing(opened(path)) as journal:
        journal.append([check("fence"), check("knives", "planer")])
    path.chmod(0o640)
    before = path.read_bytes()
    with made_ready(copy, path) as ready:
        loss = ready.loss
        assert path.read_bytes() == before
        aside = put_in_place(ready, WHEN)
    assert (loss.entries, loss.places, loss.broken) == (2, ("saw.fence", "planer.knives"), False)
    assert loss.first == loss.last == "2026-06-01T08:00:00.000000Z"
    assert len(uids(path)) == 5
    assert path.stat().st_mode & 0o777 == 0o640
    assert aside is not None
    assert aside.read_bytes() == before
    assert not [one for one in names(tmp_path) if one.endswith(".part")]


def test_a_fork_is_compared_entry_by_entry(path: Path, tmp_path: Path) -> None:
    filled(path)
    copy = tmp_path / "copy"
    back_up(path, copy)
    filled(path, 3)
    filled(copy, 7)
    with made_ready(copy, path) as ready:
        assert (ready.loss.entries, ready.state.entries) == (3, 12)


def test_a_board_that_is_open_goes_on_with_the_new_file(path: Path, tmp_path: Path) -> None:
    filled(path)
    copy = tmp_path / "copy"
    back_up(path, copy)
    with closing(opened(path)) as journal:
        journal.append([check("fence")])
        mark = journal.change_mark()
        aside = restored(copy, path)
        assert journal.change_mark() != mark
        assert journal.count() == 5
        journal.append([check("fence")])
    assert aside is not None
    assert (len(uids(path)), len(uids(aside))) == (6, 6)
    assert uids(path) != uids(aside)


def test_nothing_is_recorded_in_the_file_that_was_put_aside(path: Path, tmp_path: Path) -> None:
    """Who was about to record when the file was swapped finds out before it writes."""
    filled(path)
    copy = tmp_path / "copy"
    back_up(path, copy)
    with closing(opened(path)) as journal:
        held = journal._held
        db = held.writable_db()
        restored(copy, path)
        with pytest.raises(SwappedError):
            record(db, [], lambda: WHEN, held.in_place)
        assert not db.in_transaction
        assert not Path(f"{path}-journal").exists() or not Path(f"{path}-journal").stat().st_size


def test_what_was_about_to_be_recorded_goes_into_the_new_file(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file is swapped between the look at the path and the lock on the file."""
    filled(path)
    copy = tmp_path / "copy"
    back_up(path, copy)
    with closing(opened(path)) as journal:
        usual, aside = journal._held.writable_db, list[Path | None]()

        def swapped() -> sqlite3.Connection:
            db = usual()
            if not aside:
                aside.append(restored(copy, path))
            return db

        monkeypatch.setattr(journal._held, "writable_db", swapped)
        (entry,) = journal.append([check()])
    assert aside[0] is not None
    assert uids(path)[-1] == entry.uid
    assert entry.uid not in uids(aside[0])


def test_what_somebody_records_meanwhile_keeps_the_journal(path: Path, tmp_path: Path) -> None:
    filled(path)
    copy = tmp_path / "copy"
    back_up(path, copy)
    with made_ready(copy, path) as ready:
        filled(path, 1)
        with pytest.raises(JournalError, match="Somebody recorded"):
            put_in_place(ready, WHEN)
    with made_ready(copy, path) as ready, closing(plainly(path)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(JournalLocked):
            put_in_place(ready, WHEN)
    assert len(uids(path)) == 6
    assert names(tmp_path) - {"state"} <= {path.name, f"{path.name}-journal", copy.name}


def test_beside_someone_who_records_nothing_said_is_lost(path: Path, tmp_path: Path) -> None:
    """What the writer said is in the journal, or in what was put aside."""
    filled(path, 20)
    copy = tmp_path / "copy"
    back_up(path, copy)
    command = [sys.executable, "-B", "-c", SLOW_WRITER, str(path)]
    swapped = 0
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        said = {writer.stdout.readline().strip()}
        while writer.poll() is None and swapped < 3:
            with suppress(JournalError):  # it records at this moment: nothing is swapped
                swapped += restored(copy, path) is not None
        said |= {line.strip() for line in writer.stdout}
    kept = aside_of(path)
    there = [uid for one in (path, *kept) for uid in uids(one)]
    assert len(kept) == swapped > 0
    assert len(said) == 100
    assert all(there.count(uid) == 1 for uid in said)


def test_a_broken_journal_and_none_at_all_are_replaced_too(path: Path, tmp_path: Path) -> None:
    filled(path, 30)
    copy = tmp_path / "copy"
    back_up(path, copy)
    filled(path, 10)
    data = bytearray(path.read_bytes())
    data[:100] = bytes(100)
    path.write_bytes(data)
    with made_ready(copy, path) as ready:
        assert (ready.loss.entries, ready.loss.broken) == (10, True)
        aside = put_in_place(ready, WHEN)
    assert aside is not None
    assert aside.read_bytes() == data
    assert len(uids(path)) == 30
    path.unlink()
    assert restored(copy, path) is None
    assert len(uids(path)) == 30


def test_what_is_no_whole_journal_is_refused(path: Path, tmp_path: Path) -> None:
    filled(path)
    before = path.read_bytes()
    copy = tmp_path / "copy"
    back_up(path, copy)
    data = bytearray(copy.read_bytes())
    data[data.index(b"xxx") + 50] ^= 1
    copy.write_bytes(data)
    with pytest.raises(JournalDamaged):
        restored(copy, path)
    with pytest.raises(JournalError, match="is the journal itself"):
        restored(path, path)
    assert path.read_bytes() == before
    foreign = tmp_path / "foreign"
    with closing(sqlite3.connect(foreign)) as db:
        db.execute("CREATE TABLE t (a)")
    with pytest.raises(JournalForeign):
        restored(path, foreign)


@pytest.mark.parametrize("fails", ["replace", "chmod"])
def test_what_cannot_be_put_in_place_is_as_it_was(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    """Nothing of the old file is left under another name, and nothing is taken from it."""
    filled(path, 20)
    back_up(path, tmp_path / "copy")
    filled(path, 20)
    before = names(tmp_path)
    with made_ready(tmp_path / "copy", path) as ready:
        monkeypatch.setattr(Path, fails, _refuse)
        with pytest.raises(JournalError, match="as it was"):
            put_in_place(ready, WHEN)
    monkeypatch.undo()
    assert names(tmp_path) == before
    assert len(uids(path)) == 40


def _refuse(*_: object) -> None:
    raise OSError(5, "Input/output error")


@pytest.mark.parametrize("at", range(68, 72))
def test_a_journal_that_lost_its_mark_is_replaced_and_another_file_is_not(
    path: Path, tmp_path: Path, at: int
) -> None:
    """One flipped bit of the mark makes it look like another program's."""
    filled(path)
    back_up(path, tmp_path / "copy")
    data = bytearray(path.read_bytes())
    data[at] ^= 1
    path.write_bytes(data)
    with pytest.raises(JournalForeign, match="shopboard salvage"):
        opened(path)
    aside = restored(tmp_path / "copy", path)
    assert aside is not None
    assert aside.read_bytes() == data
    assert uids(path) == uids(tmp_path / "copy")
    other = tmp_path / "other"
    with closing(sqlite3.connect(other)) as db:
        db.execute("CREATE TABLE mine (x)")
    with pytest.raises(JournalForeign):
        restored(tmp_path / "copy", other)


@pytest.mark.root
def test_an_administrator_who_restores_leaves_it_to_its_owner(path: Path, tmp_path: Path) -> None:
    """Else whose journal it is could not open it any more."""
    filled(path)
    back_up(path, tmp_path / "copy")
    os.chown(path, 1234, 1235)
    path.chmod(0o640)
    restored(tmp_path / "copy", path)
    now = path.stat()
    assert (now.st_uid, now.st_gid, now.st_mode & 0o777) == (1234, 1235, 0o640)
