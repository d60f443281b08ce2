"""Every entry says which bench it came from; the bench changes nothing of what is recorded."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from shopboard.base.server_place import JournalPlace
from shopboard.base.text import first_unfit
from shopboard.journal import JournalError, KeptJournal, NewEntry, act_on_record, open_journal
from shopboard.journal.kinds import EntryKind
from tests.journal.helpers import Clock, check, plainly
from tests.journal.test_kinds import EARLIER


def at(place: JournalPlace, name: str) -> KeptJournal:
    """Open the journal at a bench of that name."""
    return open_journal(place, Clock(), who=lambda: name, computer=lambda: "shed")


def test_each_entry_says_its_own_bench_and_is_sealed_with_it(place: JournalPlace) -> None:
    uids = []
    for name in ("bench 1", "", "bench 2"):
        with closing(at(place, name)) as journal:
            (entry,) = journal.append([check()])
            assert entry.by == name
            uids.append(entry.uid)
    with closing(at(place, "office")) as journal:
        found = [journal.get(uid) for uid in uids]
        assert [one and one.by for one in found] == ["bench 1", "", "bench 2"]
        assert found[1] is not None
        assert found[1].body == {"v": 1}
        assert [one.by for one in journal.recent("computer", "", "")] == ["bench 1"]
        assert journal.verify() is None


def test_a_bench_that_is_changed_in_the_file_is_damage(path: Path) -> None:
    with closing(at(path, "bench 1")) as journal:
        journal.append([check()])
    with closing(plainly(path)) as db:
        triggers = db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for (name,) in triggers:
            db.execute(f"DROP TRIGGER {name}")
        db.execute("UPDATE entries SET body = replace(body, 'bench 1', 'bench 9')")
    with closing(open_journal(path, Clock(), read_only=True)) as journal:
        assert journal.verify() is not None


def test_any_bench_may_hand_the_same_entry_in_again(place: JournalPlace) -> None:
    new = check(size=1, more={"by": "nobody"})
    with closing(at(place, "bench 1")) as journal:
        (first,) = journal.append([new])
    for name in ("bench 2", ""):
        with closing(at(place, name)) as journal:
            (again,) = journal.append([new])
            assert (again.seq, again.by) == (first.seq, "bench 1")
            known = act_on_record(journal, new.uid)
            assert known is not None
            assert known.by == "bench 1"
            assert journal.count() == 2  # the computer, and the check
            for other in (check(size=True), check(size=1, more={"by": "another"})):
                with pytest.raises(JournalError, match="another entry"):
                    journal.append([other._replace(uid=new.uid)])


def test_an_entry_without_its_bench_is_one_handed_in_with_it(place: JournalPlace) -> None:
    """An entry of before, handed in again by a bench that has a name now."""
    new = check()
    with closing(at(place, "")) as journal:
        journal.append([new])
    with closing(at(place, "bench 2")) as journal:
        (again,) = journal.append([new])
        assert again.by == ""


@pytest.mark.parametrize(
    "held", ["bench\x1b[2J", "\u202ebench", "b" * 500, 7, None, ["bench"], {"v": 1}, "one\ntwo"]
)
def test_what_another_program_wrote_for_a_bench_is_harmless(
    place: JournalPlace, held: object
) -> None:
    with closing(at(place, "bench 1")) as journal:
        (entry,) = journal.append([check(by=held)])
        assert first_unfit(entry.by) is None
        assert len(entry.by) <= 40


def test_an_entry_says_what_is_handed_in_whichever_bench_did(place: JournalPlace) -> None:
    new = NewEntry("a", "check", "saw", "blade", {"v": 1, "x": 2})
    with closing(at(place, "bench 1")) as journal:
        (entry,) = journal.append([new])
    assert entry.says(new)
    assert not entry.says(new._replace(body={"v": 1, "x": 3}))
    assert not entry.says(new._replace(kind="end"))


@pytest.mark.parametrize(("kind", "body", "value"), EARLIER)
def test_no_kind_reads_the_bench_for_anything_of_its_own(
    kind: EntryKind[Any], body: dict[str, object], value: object
) -> None:
    """So a program of before, whose readers these are, reads what a named bench recorded."""
    assert kind.of_body({**body, "by": "bench 2"}) == kind.of_body(body)
    assert "by" not in kind.write(kind.of_body(body))


def test_the_name_may_change_while_the_journal_is_open(place: JournalPlace) -> None:
    names = ["bench 1"]
    with closing(open_journal(place, Clock(), who=lambda: names[0])) as journal:
        (first,) = journal.append([check()])
        names[0] = "bench 2"
        (then,) = journal.append([check()])
        assert (first.by, then.by, journal.by) == ("bench 1", "bench 2", "bench 2")
