"""Small parts of the journal: what is left out, how many are given, what an error says."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

import shopboard.journal.salvage
from shopboard.journal import (
    JournalCannotWrite,
    JournalError,
    LookedTo,
    NewEntry,
    SqliteJournal,
    new_uid,
)
from shopboard.journal.backup import part_of, reading
from shopboard.journal.entry import Damage
from shopboard.journal.salvage import salvage
from shopboard.journal.structure import _beside
from tests.journal.helpers import check, filled, plainly, voided

WHEN = datetime(2026, 6, 2, tzinfo=UTC)


def test_a_name_is_one_of_2_to_the_128() -> None:
    """16 bytes by chance, as those of RFC 9562; two of them are not alike."""
    one = new_uid()
    assert (len(one), len(bytes.fromhex(one)), one != new_uid()) == (32, 16, True)


def test_a_journal_without_an_entry_is_whole(journal: SqliteJournal, path: Path) -> None:
    """SQLite has counted nothing in it yet."""
    assert journal.verify() is None
    assert journal.verify(newest=10) is None
    assert journal.look(None, 100).seq == 0
    assert journal.damage is None
    assert journal.look_beneath(LookedTo(0))
    journal.append([check()])
    with closing(plainly(path)) as db:
        assert db.execute("SELECT seq FROM sqlite_sequence").fetchall() == [(1,)]


def test_two_hundred_are_given_where_no_number_is_asked_for(journal: SqliteJournal) -> None:
    """Voided ones among them, then as now."""
    journal.append([check() for _ in range(201)])
    journal.append([NewEntry(f"b{n}", "begin", "saw", "blade", {"v": 1}) for n in range(201)])
    newest = journal.recent("check", "saw", "blade", 1)[0].uid
    voided(journal, newest, "misread")
    last = journal.last_seq()
    for asked in (journal, journal.as_of(last)):
        found = asked.recent("check", "saw", "blade")
        assert (len(found), found[0].uid) == (200, newest)
        standing = asked.recent("check", "saw", "blade", include_void=False)
        assert (len(standing), newest in {one.uid for one in standing}) == (200, False)
        assert len(asked.machine_entries("check", "saw")) == 200
        assert len(asked.between("check", "saw", "blade", 0, last)) == 200
        assert len(asked.between("check", "saw", "blade", 0, last, 201)) == 201
        assert len(asked.open_checks()) == 200


def test_the_first_entry_lies_between_nothing_and_itself(journal: SqliteJournal) -> None:
    journal.append([check()])
    then = journal.as_of(1)
    assert [one.seq for one in then.recent("check", "saw", "blade")] == [1]
    assert [one.seq for one in then.between("check", "saw", "blade", 0, 1)] == [1]


@pytest.mark.parametrize(
    ("seq", "shaken"), [(None, [True, True, True]), (5, [True, False, False]), (0, [False] * 3)]
)
def test_what_is_older_than_damage_may_be_undone(seq: int | None, shaken: list[bool]) -> None:
    """Where it cannot be said where it is, all is."""
    damage = Damage(seq, "entry 5 is not what was recorded")
    assert [damage.shakes(one) for one in (4, 5, 6)] == shaken


def test_what_is_copied_is_opened_to_be_read_and_no_more(path: Path) -> None:
    filled(path)
    before = path.read_bytes()
    with pytest.raises(JournalError), reading(path) as db:
        db.execute("CREATE TABLE t (x)")
    assert path.read_bytes() == before


def test_a_folder_that_may_not_be_looked_into_takes_no_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(_: Path) -> bool:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "is_dir", refused)
    with pytest.raises(JournalCannotWrite) as told, part_of(tmp_path / "copy"):
        pass
    assert told.value.title.startswith("A copy of the journal could not be written to ")
    assert told.value.title.endswith(f"{tmp_path.name}: Permission denied.")


@pytest.mark.parametrize(
    ("cause", "words"),
    [
        (sqlite3.OperationalError("disk I/O error"), "disk I/O error"),
        (None, "It cannot be written. Look."),
    ],
)
def test_a_salvage_that_cannot_be_written_says_what_the_disk_says(
    path: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    cause: Exception | None,
    words: str,
) -> None:
    filled(path)

    def refused(*_: object) -> None:
        raise JournalCannotWrite("It cannot be written.", "Look.") from cause

    monkeypatch.setattr(shopboard.journal.salvage, "record", refused)
    with pytest.raises(JournalCannotWrite) as told:
        salvage(path, tmp_path / "new", lambda: WHEN, lambda _lost, _checked: ())
    assert words in str(told.value)
    assert not (tmp_path / "new").exists()


def test_a_look_beside_is_by_a_connection_of_its_own(path: Path) -> None:
    """It reads the same file and writes nothing; of no file there is none."""
    filled(path)
    with closing(plainly(path)) as db:
        other = _beside(db)
        assert other is not None
        with closing(other):
            assert other is not db
            assert other.execute("SELECT count(*) FROM entries").fetchone() == (5,)
            with pytest.raises(sqlite3.OperationalError, match="readonly"):
                other.execute("DELETE FROM entries")
    with closing(sqlite3.connect(":memory:")) as nowhere:
        assert _beside(nowhere) is None
