"""A journal at its path is known again; whatever else is put there is named, and not written to."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import (
    JournalDiffers,
    JournalMissing,
    NewEntry,
    SqliteJournal,
    new_uid,
    open_journal,
)
from shopboard.journal.looking import Looking
from shopboard.journal.remembered import memory_file, recall
from tests.journal.helpers import Clock


def noted(words: str = "x") -> NewEntry:
    return NewEntry(new_uid(), "note", body={"v": 1, "words": words})


@pytest.fixture
def opened(journal_path: Path, clock: Clock) -> Callable[..., SqliteJournal]:
    def at(
        path: Path = journal_path, *, create: bool = True, stand_in: bool = False
    ) -> SqliteJournal:
        return open_journal(path, clock, create=create, watched=True, stand_in=stand_in)

    return at


@pytest.fixture
def copied(journal_path: Path, opened: Callable[..., SqliteJournal]) -> Path:
    """A journal of 5 entries at its path, and beside it a copy from when it held 3."""
    copy = journal_path.with_name("copy")
    with closing(opened()) as journal:
        for _ in range(3):
            journal.append([noted()])
        shutil.copyfile(journal_path, copy)
        journal.append([noted(), noted()])
    return copy


Opened = Callable[..., SqliteJournal]


def put(copy: Path, path: Path, way: str) -> None:
    """Put a copy in the journal's place: as another file, or over the same one."""
    if way == "renamed":
        copy.replace(path)
    else:
        path.write_bytes(copy.read_bytes())


def refused(journal: SqliteJournal, how: str) -> str:
    """The journal takes no entry, and says how it differs."""
    before = journal.count()
    with pytest.raises(JournalDiffers) as error:
        journal.append([noted()])
    assert error.value.how == how
    assert journal.differs is not None
    assert journal.differs.how == how
    assert not journal.writable
    assert journal.count() == before
    return error.value.title


def test_what_was_added_to_elsewhere_is_the_same_journal(
    journal_path: Path, copied: Path, clock: Clock, opened: Opened
) -> None:
    with closing(open_journal(journal_path, clock)) as unwatched:
        unwatched.append([noted()])
    with closing(opened()) as journal:
        assert journal.differs is None
        journal.append([noted()])
    known = recall(journal_path)
    assert known is not None
    assert known.last == 7


@pytest.mark.parametrize("way", ["renamed", "written over"])
@pytest.mark.parametrize("at", ["opening", "while open"])
def test_an_older_copy(journal_path: Path, copied: Path, opened: Opened, way: str, at: str) -> None:
    journal = opened()
    if at == "opening":
        journal.close()
        put(copied, journal_path, way)
        journal = opened()
    else:
        put(copied, journal_path, way)
    with closing(journal):
        assert "lacks the last 2 entries of the one that was open there on" in refused(
            journal, "older"
        )


@pytest.mark.parametrize("way", ["renamed", "written over"])
@pytest.mark.parametrize("at", ["opening", "while open"])
def test_another_journal(
    journal_path: Path, copied: Path, opened: Opened, way: str, at: str
) -> None:
    copied.unlink()
    with closing(opened(copied)) as other:
        for _ in range(8):
            other.append([noted()])
    journal = opened()
    if at == "opening":
        journal.close()
        put(copied, journal_path, way)
        journal = opened()
    else:
        put(copied, journal_path, way)
    with closing(journal):
        assert "begins with another entry" in refused(journal, "other")


@pytest.mark.parametrize("more", [2, 5])
def test_a_copy_that_went_its_own_way(
    journal_path: Path, copied: Path, opened: Opened, more: int
) -> None:
    with closing(opened(copied)) as fork:
        for _ in range(more):
            fork.append([noted("elsewhere")])
    copied.replace(journal_path)
    with closing(opened()) as journal:
        told = refused(journal, "fork")
    assert re.search(f"differs after entry 3 .*: it has {more} entries of its own", told)
    assert "and lacks the last 2 entries of that one" in told


@pytest.mark.parametrize(("before", "own"), [(40, 1), (40, 39), (5, 3), (300, 2), (300, 20)])
def test_a_copy_that_ends_before_and_went_another_way_is_no_older_one(
    journal_path: Path, clock: Clock, opened: Opened, before: int, own: int
) -> None:
    """Where it left the way is told as far as the last 256 entries; before, by the time."""
    copy = journal_path.with_name("copy")
    with closing(opened()) as journal:
        journal.append([noted() for _ in range(20)])
        shutil.copyfile(journal_path, copy)
        for _ in range(before // 5):  # seen again and again
            journal.append([noted() for _ in range(5)])
    clock.now += timedelta(hours=1)
    older = copy.with_name("older")
    shutil.copyfile(copy, older)
    with closing(open_journal(copy, clock)) as fork:
        fork.append([noted("elsewhere") for _ in range(own)])
    journal_path.unlink()
    copy.rename(journal_path)
    with closing(opened()) as journal:
        told = refused(journal, "fork")
    assert f"it has {own} entr" in told if before < 256 else "differs since long before" in told
    assert ("differs after entry 20 from" in told) == (before < 256)
    older.replace(journal_path)
    with closing(opened()) as journal:
        assert f"lacks the last {before} entries" in refused(journal, "older")


def test_a_hash_that_was_damaged_makes_no_other_journal_of_it(
    journal_path: Path, copied: Path, opened: Opened
) -> None:
    known = recall(journal_path)
    assert known is not None
    data = bytearray(journal_path.read_bytes())
    at = data.rindex(bytes.fromhex(known.last_hash))
    data[at] ^= 1
    journal_path.write_bytes(data)
    with closing(opened()) as journal:
        assert journal.differs is None


def test_a_memory_without_a_trail_is_read_and_gets_one(
    journal_path: Path, copied: Path, opened: Opened
) -> None:
    """As an earlier version wrote it."""
    stored = json.loads(memory_file().read_text())
    for one in stored["journals"].values():
        del one["trail"]
    memory_file().write_text(json.dumps(stored))
    opened().close()
    known = recall(journal_path)
    assert known is not None
    assert len(known.trail) == 5 * 4


def test_an_empty_one(journal_path: Path, copied: Path, clock: Clock, opened: Opened) -> None:
    journal_path.unlink()
    open_journal(journal_path, clock).close()
    with closing(opened()) as journal:
        assert "held 5 entries" in refused(journal, "empty")


def test_an_empty_file_is_no_journal(journal_path: Path, copied: Path, opened: Opened) -> None:
    journal_path.write_bytes(b"")
    with pytest.raises(JournalMissing, match=r"an empty file at .* held 5 entries"):
        opened(create=False)
    assert journal_path.read_bytes() == b""


def test_said_to_be_right_it_is_recorded_in_and_known(
    journal_path: Path, copied: Path, opened: Opened
) -> None:
    copied.replace(journal_path)
    with closing(opened()) as journal:
        journal.take_as_it_is()
        assert journal.differs is None
        journal.append([noted()])
    with closing(opened()) as journal:
        assert journal.differs is None
        assert journal.count() == 4


def test_said_so_elsewhere_an_open_one_takes_it_in(
    journal_path: Path, copied: Path, opened: Opened
) -> None:
    with closing(opened()) as journal:
        copied.replace(journal_path)
        before = journal.change_mark()
        assert journal.differs is not None
        with closing(opened()) as elsewhere:
            elsewhere.take_as_it_is()
        assert journal.change_mark() != before
        assert journal.differs is None
        journal.append([noted()])


def test_the_right_one_put_back_is_recorded_in(
    journal_path: Path, copied: Path, opened: Opened
) -> None:
    right = journal_path.with_name("right")
    with closing(opened()) as journal:
        journal_path.rename(right)
        copied.replace(journal_path)
        refused(journal, "older")
        right.replace(journal_path)
        journal.append([noted()])
        assert journal.count() == 6


def test_a_memory_that_is_lost_holds_nothing_back(
    journal_path: Path, copied: Path, opened: Opened
) -> None:
    memory_file().unlink()
    copied.replace(journal_path)
    with closing(opened()) as journal:
        journal.append([noted()])


def test_what_is_begun_on_purpose_is_right(
    journal_path: Path, copied: Path, opened: Opened
) -> None:
    journal_path.unlink()
    with closing(opened()) as journal:
        assert journal.differs is None
        journal.append([noted()])


def test_what_stands_in_for_none_is_in_no_file(journal_path: Path, opened: Opened) -> None:
    with closing(opened(create=False, stand_in=True)) as journal:
        assert journal.count() == 0
        assert journal.latest("check") == {}
        assert journal.verify() is None
        with pytest.raises(JournalMissing):
            journal.append([noted()])
        assert not journal_path.exists()
        assert recall(journal_path) is None
        with closing(opened()) as real:
            real.append([noted()])
        assert journal.count() == 1


def test_away_and_back(tmp_path: Path, opened: Opened) -> None:
    """As a stick that is taken out and put in again."""
    stick, pocket = tmp_path / "stick", tmp_path / "pocket"
    with closing(opened(stick / "journal")) as journal:
        journal.append([noted()])
        stick.rename(pocket)
        with pytest.raises(JournalMissing, match="held 1 entry\\."):
            journal.append([noted()])
        with pytest.raises(JournalMissing):
            journal.count()
        assert not stick.exists()
        pocket.rename(stick)
        journal.append([noted()])
        assert journal.count() == 2


def test_what_the_look_found_stays_when_what_was_seen_is_written_down(
    journal_path: Path, clock: Clock, opened: Opened
) -> None:
    with closing(opened()) as journal:
        journal.append([noted(), noted()])
        assert Looking(journal, journal_path, clock, lambda: 0.0).on(1.0)
        journal.save_memory()
        known = recall(journal_path)
        assert known is not None
        assert (known.last, known.whole_upto) == (2, 2)
        journal.append([noted()])
    known = recall(journal_path)
    assert known is not None
    assert (known.last, known.whole_upto) == (3, 2)


def test_a_look_through_the_wrong_file_is_not_kept_as_one_through_the_right(
    journal_path: Path, copied: Path, clock: Clock, opened: Opened
) -> None:
    """Else the right one, put back and added to, would be refused as one that went another way."""
    right = journal_path.with_name("right")
    with closing(opened(copied)) as fork:
        fork.append([noted() for _ in range(4)])
    with closing(opened()) as journal:
        journal_path.rename(right)
        copied.replace(journal_path)
        refused(journal, "fork")
        assert Looking(journal, journal_path, clock, lambda: 0.0).on(1.0)
        right.replace(journal_path)
        journal.append([noted(), noted()])
        journal.append([noted()])
        assert journal.differs is None


def test_a_memory_from_a_clock_that_ran_ahead_is_written_over(
    journal_path: Path, clock: Clock, opened: Opened
) -> None:
    clock.now += timedelta(days=3000)
    with closing(opened()) as journal:
        journal.append([noted()])
    clock.now -= timedelta(days=3000)
    with closing(opened()) as journal:
        journal.append([noted()])
    known = recall(journal_path)
    assert known is not None
    assert known.last == 2
