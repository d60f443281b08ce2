"""What a restore would lose is counted before, entry by entry; what it leaves is whole.

What is lost is reckoned here from the uids that Python's own `sqlite3` finds in both files.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from shopboard.journal import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalLocked,
    JournalMissing,
    open_journal,
    restore,
)
from shopboard.journal.backup import back_up
from shopboard.journal.place import look
from shopboard.journal.remembered import LastSeen, recall
from shopboard.journal.restore import Loss, made_ready, put_in_place
from tests.journal.helpers import Clock, check, filled, opened, plainly, uids

WHEN = datetime(2026, 6, 2, 9, 0, 5, tzinfo=UTC)
NAME = f"before-{WHEN.astimezone():%Y-%m-%d-%H%M%S}"

PLACES = [("blade", "saw"), ("", "saw"), ("", ""), ("blade", "saw"), ("knives", "planer")]


@pytest.fixture
def copy(path: Path) -> Path:
    """A copy of 3 entries, of a journal that got five more, one a day."""
    copy, clock = path.with_name("copy"), Clock()
    filled(path, 3)
    back_up(path, copy)
    with closing(open_journal(path, clock)) as journal:
        for place in PLACES:
            clock.pass_by(days=1)
            journal.append([check(*place)])
    return copy


def lost_between(path: Path, copy: Path) -> tuple[int, str, str]:
    with closing(plainly(path)) as db, closing(plainly(copy)) as other:
        there = {uid for (uid,) in other.execute("SELECT uid FROM entries")}
        rows = db.execute("SELECT uid, recorded_utc FROM entries")
        times = sorted(when for uid, when in rows if uid not in there)
    return (len(times), times[0], times[-1]) if times else (0, "", "")


def test_what_is_lost_is_counted_with_its_days_and_places(path: Path, copy: Path) -> None:
    with made_ready(copy, path) as ready:
        assert ready.loss[:3] == lost_between(path, copy)
        assert ready.loss.places == ("saw.blade", "saw", "planer.knives")
        assert (ready.loss.broken, ready.loss.another) == (False, False)
        assert (ready.there, ready.newer_form) == (True, False)
        assert (ready.state.entries, ready.now and ready.now.entries) == (3, 8)
    with made_ready(path, copy) as ready:
        assert ready.loss == Loss()


def test_of_a_broken_one_what_can_be_read_is_counted(path: Path, copy: Path) -> None:
    """A letter changed, or the beginning gone: the one is opened, the other is not."""
    count, first, last = lost_between(path, copy)
    whole = path.read_bytes()
    for at, readable in ((whole.index(b"planerknives{"), count - 1), (3, count)):
        data = bytearray(whole)
        data[at] ^= 1
        path.write_bytes(data)
        with made_ready(copy, path) as ready:
            assert (ready.now, ready.loss.broken, ready.loss.another) == (None, True, False)
            assert ready.loss.entries == readable
            assert ready.loss.first == first
            assert (ready.loss.last == last) is (readable == count)
    path.write_bytes(bytes(len(whole)))
    with made_ready(copy, path) as ready:
        assert ready.loss == Loss(broken=True)


def test_another_journal_is_told_by_its_first_entry(path: Path, copy: Path) -> None:
    """Also where it is broken; one in which nothing was recorded is none."""
    other, empty = path.with_name("other"), path.with_name("empty")
    filled(other, 2)
    opened(empty).close()
    for source, target, another, lost in (
        (other, path, True, 8),
        (empty, path, False, 8),
        (path, empty, False, 0),
        (copy, path, False, 5),
    ):
        with made_ready(source, target) as ready:
            assert (ready.loss.another, ready.loss.entries) == (another, lost)
    data = path.read_bytes()
    path.write_bytes(bytes(100) + data[100:])
    for source, another, lost in ((other, True, 8), (empty, False, 8), (copy, False, 5)):
        with made_ready(source, path) as ready:
            assert (ready.loss.another, ready.loss.entries, ready.loss.broken) == (
                *(another, lost),
                True,
            )


def test_what_is_put_in_place_is_remembered_and_the_old_one_kept_under_a_free_name(
    path: Path, copy: Path
) -> None:
    before, state = path.read_bytes(), None
    for number in range(3):
        with made_ready(copy, path) as ready:
            aside, state = put_in_place(ready, WHEN), ready.state
        name = f"{path.name}.{NAME}{f'-{number}' if number else ''}"
        assert aside == path.with_name(name)
        assert aside.read_bytes() == (before if not number else copy.read_bytes())
    assert state is not None
    seen = LastSeen(state.first_uid, 3, state.last_hash.hex(), "2026-06-02T09:00:05.000000+00:00")
    assert recall(path) == seen
    with closing(open_journal(path, Clock(), watched=True)) as journal:
        assert journal.differs is None


def test_where_nothing_is_there_nothing_is_kept_aside(path: Path, copy: Path) -> None:
    target = path.parent / "new" / "journal"
    with made_ready(copy, target) as ready:
        assert (ready.there, ready.now, ready.loss) == (False, None, Loss())
        assert put_in_place(ready, WHEN) is None
    assert uids(target) == uids(copy)
    assert [one.name for one in target.parent.iterdir()] == ["journal"]


def test_a_copy_of_a_newer_form_is_told(path: Path, copy: Path) -> None:
    for form, newer in ((1, False), (2, True)):
        with closing(plainly(copy)) as db:
            db.execute(f"PRAGMA user_version = {form}")
        with made_ready(copy, path) as ready:
            assert ready.newer_form is newer


def test_nothing_is_lost_where_nothing_is_told() -> None:
    assert tuple(Loss()) == (0, "", "", (), False, False)


@pytest.mark.parametrize("links", [True, False])
def test_what_could_not_be_put_in_place_is_told_with_what_to_do(
    path: Path, copy: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    """Where the old file is only at its further name by then, both names are told."""
    usual = Path.replace
    tries: list[Path] = []

    def replace(one: Path, other: Path) -> Path:
        tries.append(one)
        if links or len(tries) > 1:
            no_links()
        return usual(one, other)

    with made_ready(copy, path) as ready, monkeypatch.context() as broken:
        broken.setattr(Path, "replace", replace)
        if not links:
            broken.setattr(os, "link", no_links)
        with pytest.raises(JournalCannotWrite) as told:
            put_in_place(ready, WHEN)
    assert f"in the place of {path} (Operation not permitted)." in told.value.title
    aside = path.with_name(f"{path.name}.{NAME}")
    assert told.value.advice == (
        "The journal is as it was. Give this user the right to write in its folder."
        if links
        else f"Rename {aside} to {path}: that is the journal as it was."
    )
    assert aside.exists() is not links
    assert path.exists() is links


def test_a_broken_one_of_a_single_entry_is_another(path: Path, copy: Path) -> None:
    other = path.with_name("other")
    filled(other, 1)
    data = other.read_bytes()
    other.write_bytes(bytes(100) + data[100:])
    with made_ready(copy, other) as ready:
        assert (ready.loss.entries, ready.loss.broken, ready.loss.another) == (1, True, True)


def test_of_what_is_no_good_it_is_said_what_else_there_is(path: Path, copy: Path) -> None:
    lists = "`shopboard restore` without FROM lists the copies kept by age"
    empty, foreign = path.with_name("empty"), path.with_name("foreign")
    empty.touch()
    with closing(plainly(foreign)) as db:
        db.execute("CREATE TABLE t (x)")
    data = bytearray(copy.read_bytes())
    data[data.index(b"xxx") + 50] ^= 1
    copy.write_bytes(data)
    for source, kind, title, advice in (
        (empty, JournalMissing, "is an empty file", "Take another copy: "),
        (path.with_name("nothing"), JournalMissing, "There is no file", "Put in the stick that"),
        (foreign, JournalForeign, "another program's database", "It was left as it is; "),
        (copy, JournalDamaged, "is damaged", "The journal is as it was. Take another copy: "),
    ):
        with pytest.raises(kind, match=title) as error, made_ready(source, path):
            pass
        assert error.value.advice.startswith(advice)
        assert lists in error.value.advice
        assert ("`shopboard salvage FROM` makes a new" in error.value.advice) is (source == copy)
    assert len(uids(path)) == 8


def test_what_cannot_be_read_is_not_restored_over(
    path: Path, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = Path.open

    def refuse(one: Path, *how: object, **more: object) -> object:
        if one == path and not more and looked:
            raise OSError(5, "Input/output error")
        return usual(one, *how, **more)  # type: ignore[call-overload]

    looked: list[int] = []

    def seen(one: Path) -> object:
        found = look(one)
        looked.append(1)
        return found

    monkeypatch.setattr(restore, "look", seen)
    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(JournalCannotRead), made_ready(copy, path):
        pass


@pytest.mark.parametrize(
    ("code", "kind", "words"),
    [(5, JournalLocked, "holding"), (8, JournalCannotWrite, "cannot be written (no)")],
)
def test_a_journal_that_is_held_or_cannot_be_written_is_as_it_was(
    path: Path, copy: Path, monkeypatch: pytest.MonkeyPatch, code: int, kind: type, words: str
) -> None:
    def fail(_: object) -> None:
        error = sqlite3.OperationalError("no")
        error.sqlite_errorcode = code
        raise error

    with made_ready(copy, path) as ready:
        monkeypatch.setattr(restore, "state_of", fail)
        with pytest.raises(kind) as told:
            put_in_place(ready, WHEN)
        assert words in str(told.value)
    monkeypatch.undo()
    assert len(uids(path)) == 8


def test_while_the_old_one_is_held_nobody_records(path: Path, copy: Path) -> None:
    """What is held is the file that was compared; one that came meanwhile is not."""
    with made_ready(copy, path) as ready:
        with restore._nobody_records(path, ready), closing(opened_other(path)) as other:
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.execute("BEGIN IMMEDIATE")
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.execute("SELECT * FROM entries").fetchone()
        with restore._nobody_records(path, ready._replace(now=None)):
            filled(path, 1)
        with (
            pytest.raises(JournalError, match="Somebody recorded in") as told,
            restore._nobody_records(path, ready),
        ):
            pass
        assert "Close the board, then try again." in told.value.advice


def opened_other(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, isolation_level=None, timeout=0)


LINKS = [True, False]


@pytest.mark.parametrize("links", LINKS)
@pytest.mark.parametrize("work", [None, b"", b"what a power cut left"])
def test_what_is_kept_aside_takes_its_rollback_file_along(
    path: Path, monkeypatch: pytest.MonkeyPatch, links: bool, work: bytes | None
) -> None:
    """One without anything in it is nobody's; without links the old name is free at once."""
    path.write_bytes(b"old")
    rollback, aside = Path(f"{path}-journal"), path.with_name("aside")
    if work is not None:
        rollback.write_bytes(work)
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    restore._keep_aside(path, aside)
    assert aside.read_bytes() == b"old"
    assert path.exists() is links
    kept = Path(f"{aside}-journal")
    assert (kept.read_bytes() if kept.exists() else None) == (work or None)
    assert rollback.exists() is (work == b"")


def no_links(*_: object) -> None:
    raise OSError(1, "Operation not permitted")


@pytest.mark.parametrize("links", LINKS)
@pytest.mark.parametrize("done", ["nothing", "rollback", "both"])
def test_what_was_begun_of_it_is_undone(
    path: Path, monkeypatch: pytest.MonkeyPatch, links: bool, done: str
) -> None:
    path.write_bytes(b"old")
    rollback, aside = Path(f"{path}-journal"), path.with_name("aside")
    rollback.write_bytes(b"work")
    kept = Path(f"{aside}-journal")
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    if done != "nothing":
        rollback.rename(kept)
    if done == "both":
        path.rename(aside)
    assert restore._put_back(path, aside) == []
    assert (path.read_bytes(), rollback.read_bytes()) == (b"old", b"work")
    assert not aside.exists()
    assert not kept.exists()


def test_what_cannot_be_undone_is_told_by_both_names(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rollback, aside = Path(f"{path}-journal"), path.with_name("aside")
    kept = Path(f"{aside}-journal")
    aside.write_bytes(b"old")
    kept.write_bytes(b"work")
    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr(Path, "replace", no_links)
    assert restore._put_back(path, aside) == [f"{kept} to {rollback}", f"{aside} to {path}"]
    with suppress(OSError):
        rollback.write_bytes(b"other")
    assert restore._put_back(path, aside) == [f"{aside} to {path}"]
    assert kept.exists()  # another file took the name: nothing is removed


def test_the_time_of_a_restore_is_kept_in_utc(path: Path, copy: Path) -> None:
    there = WHEN.astimezone(timezone(timedelta(hours=-7)))
    with made_ready(copy, path) as ready:
        put_in_place(ready, there)
    known = recall(path)
    assert known is not None
    assert known.when == "2026-06-02T09:00:05.000000+00:00"
