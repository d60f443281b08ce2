"""What is found at the journal's path is understood, or left exactly as it is."""

from __future__ import annotations

import os
import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import (
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalLocked,
    JournalMissing,
    JournalNewer,
    opening,
)
from tests.journal.helpers import check, opened, plainly


@pytest.mark.parametrize(
    "name", ["shop.journal", "new/folder/deep/shop.journal", "säge 3/4? #1%20&mode=ro.journal"]
)
def test_a_fresh_path_becomes_a_journal(tmp_path: Path, name: str) -> None:
    """The folder is made too, and any name that a file can have will do."""
    path = tmp_path / name
    with closing(opened(path)) as journal:
        journal.append([check()])
        assert (journal.writable, journal.refusal, journal.path) == (True, None, path)
    with closing(opened(path)) as journal:
        assert journal.count() == 1
    assert path.stat().st_size > 0


def test_a_name_that_is_no_text_will_do(tmp_path: Path) -> None:
    """Bytes that are no UTF-8 can stand in a file name."""
    with closing(opened(Path(os.fsdecode(os.fsencode(tmp_path) + b"/sh\xffop")))) as journal:
        journal.append([check()])
    assert b"sh\xffop" in [os.fsencode(found.name) for found in tmp_path.iterdir()]


def test_an_empty_file_becomes_a_journal(path: Path) -> None:
    """A file of no bytes, as a full disk or a careless touch leaves it, is a new journal."""
    path.touch()
    with closing(opened(path)) as journal:
        journal.append([check()])


@pytest.mark.parametrize("terms", [{"create": False}, {"read_only": True}])
@pytest.mark.parametrize("make", [Path.touch, lambda path: None], ids=["empty", "nothing"])
def test_nothing_is_made_unasked(
    path: Path, terms: dict[str, object], make: Callable[[Path], None]
) -> None:
    """Without leave to make a journal, the error says that there is none."""
    make(path)
    before = list(path.parent.iterdir())
    with pytest.raises(JournalMissing, match=r"There is (no journal|an empty file) at"):
        opened(path, **terms)
    assert list(path.parent.iterdir()) == before


def _other_database(path: Path) -> None:
    with closing(plainly(path)) as db:
        db.execute("CREATE TABLE bookings (x)")


def _other_mark(path: Path) -> None:
    _other_database(path)
    with closing(plainly(path)) as db:
        db.execute("PRAGMA application_id = 77")


def _cut_short(path: Path) -> None:
    opened(path).close()
    os.truncate(path, 60)


STRANGERS: dict[str, tuple[Callable[[Path], object], type[JournalError]]] = {
    "folder": (Path.mkdir, JournalForeign),
    "pipe": (os.mkfifo, JournalForeign),
    "text": (lambda path: path.write_text("[[machine]]\n" * 30), JournalDamaged),
    "short text": (lambda path: path.write_text("x"), JournalDamaged),
    "random bytes": (
        lambda path: path.write_bytes(random.Random(1).randbytes(5000)),
        JournalDamaged,
    ),
    "cut short": (_cut_short, JournalDamaged),
    "another database": (_other_database, JournalForeign),
    "another program's mark": (_other_mark, JournalForeign),
}


@pytest.mark.parametrize("name", STRANGERS.keys())
def test_what_is_no_journal_is_left_alone(path: Path, name: str) -> None:
    """One clear error with the path in it; not a byte of the file, nor beside it, changes."""
    make, kind = STRANGERS[name]
    make(path)
    beside = set(path.parent.iterdir())
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(kind) as told:
        opened(path)
    assert str(path) in told.value.title
    assert told.value.advice
    assert told.value.exit_code == 4
    assert set(path.parent.iterdir()) == beside
    assert (path.read_bytes() if path.is_file() else None) == before


@pytest.mark.parametrize(
    "path_text", ["/dev/null", "/etc/hostname/journal", "/proc/none/journal", "a\0b"]
)
def test_impossible_paths_are_said(path_text: str) -> None:
    """A path that can hold no journal is named, in words that can be shown."""
    with pytest.raises(JournalError) as told:
        opened(Path(path_text))
    assert told.value.title.isprintable()


def test_a_newer_journal_is_read_not_written(path: Path) -> None:
    """A newer version's journal shows its entries and says what recording needs."""
    with closing(opened(path)) as journal:
        (entry,) = journal.append([check()])
    with closing(plainly(path)) as db:
        db.execute("PRAGMA user_version = 99")
    before = path.read_bytes()
    with closing(opened(path)) as journal:
        assert not journal.writable
        assert journal.latest("check") == {("saw", "blade"): entry}
        assert journal.verify() is None
        with pytest.raises(JournalNewer, match="newer version"):
            journal.append([check()])
    assert path.read_bytes() == before


def test_reading_only_changes_nothing(path: Path) -> None:
    """A journal opened for reading answers all questions and refuses to record."""
    with closing(opened(path)) as journal:
        journal.append([check()])
    with closing(opened(path, read_only=True)) as journal:
        assert (journal.count(), journal.writable) == (1, False)
        with pytest.raises(JournalCannotWrite, match="reading only"):
            journal.append([check()])
        with closing(opened(path)) as other:
            other.append([check()])
        assert journal.count() == 2


def test_a_journal_without_its_guards_is_not_written(path: Path) -> None:
    """Where another program took the guards away, entries are shown and none is added."""
    opened(path).close()
    with closing(plainly(path)) as db:
        db.execute("DROP TRIGGER entries_no_delete")
    with closing(opened(path)) as journal:
        assert journal.count() == 0
        with pytest.raises(JournalDamaged, match="append-only"):
            journal.append([check()])


def test_another_way_of_writing_is_turned_back(path: Path) -> None:
    """A journal that another program turned to write-ahead logging is turned back."""
    opened(path).close()
    with closing(plainly(path)) as db:
        assert db.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
        db.execute("SELECT count(*) FROM entries").fetchone()  # now it holds on to the file
        with pytest.raises(JournalLocked):
            opened(path, wait_seconds=0.1)
    with closing(opened(path)) as journal:
        journal.append([check()])
    with closing(plainly(path)) as db:
        assert db.execute("PRAGMA journal_mode").fetchone() != ("wal",)


def test_safety_is_read_back(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the settings that survive a power cut do not take, nothing is recorded."""
    fresh = path.with_name("fresh")
    opened(path).close()
    monkeypatch.setattr(opening, "_SYNC_FULL", 3)
    with pytest.raises(JournalCannotWrite, match="power cuts"):
        opened(fresh)
    with closing(opened(path)) as journal:
        assert not journal.writable
        with pytest.raises(JournalCannotWrite, match="power cuts"):
            journal.append([check()])
        monkeypatch.undo()
        journal.append([check()])
        assert journal.writable


def test_a_copy_put_in_place_is_taken_up(path: Path) -> None:
    """A journal restored while the board runs is the journal from then on."""
    with closing(opened(path)) as journal:
        journal.append([check()])
        copy = path.with_name("copy")
        with closing(plainly(path)) as db, closing(sqlite3.connect(copy)) as target:
            db.backup(target)
        journal.append([check(), check()])
        mark = journal.change_mark()
        copy.replace(path)
        assert journal.change_mark() != mark
        assert journal.count() == 1
        journal.append([check()])
    with closing(opened(path)) as journal:
        assert journal.count() == 2


def test_a_journal_taken_away_is_missed(path: Path) -> None:
    """Nothing is recorded into a file that has no name any more, and no new one is begun."""
    with closing(opened(path)) as journal:
        journal.append([check()])
        path.rename(path.with_name("elsewhere"))
        with pytest.raises(JournalMissing):
            journal.append([check()])
        assert not path.exists()
        path.with_name("elsewhere").rename(path)
        journal.append([check()])
        assert journal.count() == 2


def test_a_journal_taken_away_while_it_is_opened_is_not_begun_anew(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It was there when it was looked at, and is gone when it is opened."""
    with closing(opened(path)) as journal:
        journal.append([check()])

    def taken(there: Path) -> None:
        there.unlink()

    monkeypatch.setattr(opening, "write_obstacle", taken)
    with pytest.raises(JournalError):
        opened(path, create=False)
    assert not path.exists()


def test_closing_twice_is_harmless_and_later_calls_are_errors(path: Path) -> None:
    """A closed journal says so."""
    journal = opened(path)
    journal.close()
    journal.close()
    with pytest.raises(JournalError, match="closed"):
        journal.count()
