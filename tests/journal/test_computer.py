"""Which computer records: noted once where another one begins, together with what it records."""

from __future__ import annotations

import platform
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.base.text import first_unfit
from shopboard.journal import SqliteJournal, open_journal
from shopboard.journal.computer import this_computer
from tests.journal.helpers import Clock, check


def on(path: Path, name: str) -> SqliteJournal:
    """Open the journal on a computer of that name."""
    return open_journal(path, Clock(), computer=lambda: name)


def kinds(journal: SqliteJournal) -> list[str]:
    rows = journal._held.db().execute("SELECT kind FROM entries ORDER BY seq")
    return [str(kind) for (kind,) in rows]


def names(journal: SqliteJournal) -> list[object]:
    return [one.body["name"] for one in journal.recent("computer", "", "")]


def test_the_first_recording_of_a_run_names_the_computer_once(path: Path) -> None:
    with closing(on(path, "bench")) as journal:
        assert journal.count() == 0
        (entry,) = journal.append([check()])
        assert entry.kind == "check"
        journal.append([check(), check()])
        assert kinds(journal) == ["computer", "check", "check", "check"]
    with closing(on(path, "bench")) as journal:
        journal.append([check()])
        assert kinds(journal).count("computer") == 1
        assert journal.verify() is None


def test_another_computer_is_noted_when_it_begins_to_record(path: Path) -> None:
    for name in ("bench", "laptop", "laptop", "bench"):
        with closing(on(path, name)) as journal:
            journal.append([check()])
    with closing(on(path, "office")) as journal:
        assert names(journal) == ["bench", "laptop", "bench"]  # who only looks is not noted
        assert kinds(journal).count("check") == 4


def test_a_recording_that_fails_notes_no_computer(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It comes with the entries or not at all, and with the next try."""
    with closing(on(path, "bench")) as journal:
        (known,) = journal.append([check()])
    with closing(on(path, "laptop")) as journal:
        other = check("fence")._replace(uid=known.uid)
        with pytest.raises(Exception, match="another entry"):
            journal.append([other])
        assert names(journal) == ["bench"]
        journal.append([check()])
        assert names(journal) == ["laptop", "bench"]


def test_a_journal_opened_without_a_name_notes_none(path: Path) -> None:
    with closing(open_journal(path, Clock())) as journal:
        journal.append([check()])
        assert kinds(journal) == ["check"]
    with closing(on(path, "")) as journal:
        journal.append([check()])
        assert kinds(journal) == ["check", "check"]


@pytest.mark.parametrize("name", ["bench", "", "a\x1b[2Jb\u202e", "x" * 300, "\udce9t\udce9"])
def test_any_name_of_a_computer_can_be_recorded_and_shown(
    path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setattr(platform, "node", lambda: name)
    clean = this_computer()
    assert first_unfit(clean) is None
    assert len(clean) <= 60
    with closing(open_journal(path, Clock(), computer=this_computer)) as journal:
        journal.append([check()])
        assert names(journal) == ([clean] if name else [])
