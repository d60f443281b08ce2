"""Which computer records: noted once where another one begins, together with what it records."""

from __future__ import annotations

import platform
from contextlib import closing

import pytest

from shopboard.base.server_place import JournalPlace
from shopboard.base.text import first_unfit
from shopboard.journal import KeptJournal, open_journal
from shopboard.journal.computer import this_computer
from tests.journal.helpers import Clock, check


def on(place: JournalPlace, name: str) -> KeptJournal:
    """Open the journal on a computer of that name."""
    return open_journal(place, Clock(), computer=lambda: name)


def kinds(journal: KeptJournal) -> list[str]:
    every = ["computer", "check"]
    return [one.kind for one in journal.newest(every, journal.last_seq(), 100, 100)][::-1]


def names(journal: KeptJournal) -> list[object]:
    return [one.body["name"] for one in journal.recent("computer", "", "")]


def test_the_first_recording_of_a_run_names_the_computer_once(place: JournalPlace) -> None:
    with closing(on(place, "bench")) as journal:
        assert journal.count() == 0
        (entry,) = journal.append([check()])
        assert entry.kind == "check"
        journal.append([check(), check()])
        assert kinds(journal) == ["computer", "check", "check", "check"]
    with closing(on(place, "bench")) as journal:
        journal.append([check()])
        assert kinds(journal).count("computer") == 1
        assert journal.verify() is None


def test_another_computer_is_noted_when_it_begins_to_record(place: JournalPlace) -> None:
    for name in ("bench", "laptop", "laptop", "bench"):
        with closing(on(place, name)) as journal:
            journal.append([check()])
    with closing(on(place, "office")) as journal:
        assert names(journal) == ["bench", "laptop", "bench"]  # who only looks is not noted
        assert kinds(journal).count("check") == 4


def test_a_recording_that_fails_notes_no_computer(
    place: JournalPlace, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It comes with the entries or not at all, and with the next try."""
    with closing(on(place, "bench")) as journal:
        (known,) = journal.append([check()])
    with closing(on(place, "laptop")) as journal:
        other = check("fence")._replace(uid=known.uid)
        with pytest.raises(Exception, match="another entry"):
            journal.append([other])
        assert names(journal) == ["bench"]
        journal.append([check()])
        assert names(journal) == ["laptop", "bench"]


def test_a_journal_opened_without_a_name_notes_none(place: JournalPlace) -> None:
    with closing(open_journal(place, Clock())) as journal:
        journal.append([check()])
        assert kinds(journal) == ["check"]
    with closing(on(place, "")) as journal:
        journal.append([check()])
        assert kinds(journal) == ["check", "check"]


@pytest.mark.parametrize("name", ["bench", "", "a\x1b[2Jb\u202e", "x" * 300, "\udce9t\udce9"])
def test_any_name_of_a_computer_can_be_recorded_and_shown(
    place: JournalPlace, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setattr(platform, "node", lambda: name)
    clean = this_computer()
    assert first_unfit(clean) is None
    assert len(clean) <= 60
    with closing(open_journal(place, Clock(), computer=this_computer)) as journal:
        journal.append([check()])
        assert names(journal) == ([clean] if name else [])
