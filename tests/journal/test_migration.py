"""An older journal is brought to the newer form whole, or not at all, with a copy kept."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import JournalCannotWrite, JournalError
from shopboard.journal.schema import MIGRATIONS
from tests.journal.helpers import check, opened, plainly

SECOND = (*MIGRATIONS, ("ALTER TABLE entries ADD COLUMN mood TEXT", "CREATE TABLE mood (x)"))
BROKEN = (*MIGRATIONS, ("CREATE TABLE mood (x)", "INSERT INTO nowhere VALUES (1)"))


def _version(path: Path) -> object:
    with closing(plainly(path)) as db:
        return db.execute("PRAGMA user_version").fetchone()[0]


@pytest.fixture
def older(path: Path) -> Path:
    with closing(opened(path)) as journal:
        journal.append([check(), check()])
    return path


def test_a_fresh_journal_needs_no_copy(path: Path) -> None:
    """A new journal goes through all forms at once, and so does an empty one."""
    opened(path).close()
    with closing(opened(path, migrations=SECOND)) as journal:
        journal.append([check()])
    assert _version(path) == 2
    assert not list(path.parent.glob("*before*"))


def test_an_older_journal_is_copied_then_brought_up(older: Path) -> None:
    """The entries stay and the chain holds; the copy is the journal as it was."""
    with closing(opened(older, migrations=SECOND)) as journal:
        assert journal.verify() is None
        journal.append([check()])
        assert journal.count() == 3
    copy = older.with_name("shop.journal.before-v2")
    assert (_version(older), _version(copy)) == (2, 1)
    with closing(opened(copy)) as journal:
        assert journal.verify() is None
        assert journal.count() == 2
    assert not list(older.parent.glob("*.tmp*"))


def test_a_failing_migration_leaves_everything_as_it_was(older: Path) -> None:
    """Half a migration is none; the older program goes on with the file."""
    with pytest.raises(JournalError):
        opened(older, migrations=BROKEN)
    assert _version(older) == 1
    with closing(plainly(older)) as db:
        names = {name for (name,) in db.execute("SELECT name FROM sqlite_master")}
    assert "mood" not in names
    with closing(opened(older)) as journal:
        journal.append([check()])
        assert journal.verify() is None


def test_a_damaged_journal_is_not_brought_up(older: Path) -> None:
    """What is damaged is left as it is, not carried into a new form."""
    with closing(plainly(older)) as db:
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET body = '{}'")
    with pytest.raises(JournalError, match="damaged"):
        opened(older, migrations=SECOND)
    assert _version(older) == 1


def test_without_room_for_the_copy_nothing_is_changed(older: Path) -> None:
    """No copy, no migration."""
    older.with_name("shop.journal.before-v2.tmp").mkdir()
    with pytest.raises(JournalCannotWrite, match="copy"):
        opened(older, migrations=SECOND)
    assert _version(older) == 1


def test_reading_only_leaves_the_older_form(older: Path) -> None:
    """Who only reads does not change the form of the file."""
    with closing(opened(older, read_only=True, migrations=SECOND)) as journal:
        assert journal.count() == 2
    assert _version(older) == 1


def test_a_program_that_comes_second_finds_the_work_done(older: Path) -> None:
    """The version is looked at again once the file is ours."""
    with closing(opened(older)) as journal:
        opened(older, migrations=SECOND).close()
        with closing(opened(older, migrations=SECOND)) as newer:
            newer.append([check()])
        assert journal.count() == 3
    assert sqlite3.sqlite_version_info >= (3, 37)  # STRICT tables
