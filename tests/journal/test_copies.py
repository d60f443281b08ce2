"""Names and ages of the copies, the room they leave, and what is said where none can be made."""

from __future__ import annotations

import hashlib
import os
import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest

from shopboard.journal import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalLocked,
    backup,
    copies,
)
from shopboard.journal.backup import CopyState, back_up
from shopboard.journal.copies import Copy, copies_in, dated_name, folder_beside, keep_one
from tests.journal.helpers import filled, opened, uids

NOW = datetime(2026, 6, 1, 9, 0, 7, tzinfo=UTC)
STATE = CopyState("first", 340, bytes(32), NOW)
MARK = hashlib.sha256(b"first").hexdigest()[:8]


def stamp(when: datetime) -> str:
    return f"{when.astimezone():%Y-%m-%d-%H%M%S}"


def test_the_name_tells_which_journal_when_and_how_much(tmp_path: Path) -> None:
    name = dated_name(Path("/shop/bench.journal.sqlite3"), STATE, NOW)
    assert name == f"bench.journal-{stamp(NOW)}-340-{MARK}.sqlite3"
    assert dated_name(Path("ü" * 99), STATE, NOW).startswith("ü" * 50 + "-2026")
    assert folder_beside(tmp_path / "a.b.sqlite3") == tmp_path / "a.b-copies"


def test_only_what_bears_such_a_name_is_a_copy(tmp_path: Path) -> None:
    """The newest first; of one moment the one that holds more."""
    for when, count, mark in (
        (NOW, 340, MARK),
        (NOW, 1000, MARK),
        (NOW + timedelta(days=1), 7, MARK),
        (NOW, 340, "0" * 8),
    ):
        (tmp_path / f"j-{stamp(when)}-{count}-{mark}.sqlite3").touch()
    for name in (
        f"j-2026-13-01-090007-340-{MARK}.sqlite3",
        f"j-{stamp(NOW)}-x-{MARK}.sqlite3",
        f"j-{stamp(NOW)}-340-{MARK}",
        f"-{stamp(NOW)}-340-{MARK}.sqlite3",
    ):
        (tmp_path / name).touch()
    (tmp_path / f"folder-{stamp(NOW)}-5-{MARK}.sqlite3").mkdir()
    found = copies_in(tmp_path, "first")
    assert [(one.made, one.entries) for one in found] == [
        *((NOW + timedelta(days=1), 7), (NOW, 1000), (NOW, 340))
    ]
    assert len(copies_in(tmp_path, None)) == 4
    assert copies_in(tmp_path, "other") == []


def test_the_newest_is_one_of_today_or_before_where_there_is_any(tmp_path: Path) -> None:
    """A day ahead is what time zones make; more is a clock that was wrong."""

    def there(*ahead: timedelta) -> timedelta | None:
        for left in tmp_path.iterdir():
            left.unlink()
        for one in ahead:
            (tmp_path / f"j-{stamp(NOW + one)}-5-{MARK}.sqlite3").touch()
        found = copies.newest_copy(tmp_path, STATE, NOW)
        return None if found is None else found.made - NOW

    day, second = timedelta(days=1), timedelta(seconds=1)
    assert there() is None
    assert copies.newest_copy(tmp_path / "nothing", STATE, NOW) is None
    assert there(-3 * day, -2 * day) == -2 * day
    assert there(-2 * day, day - second) == day - second
    assert there(-2 * day, day) == -2 * day
    assert there(day, 5 * day) == 5 * day


@pytest.mark.parametrize(
    ("size", "free", "fits"),
    [
        (10_000, 1_010_000, True),
        (10_000, 1_009_999, False),
        (3_000_000, 6_000_000, True),
        (3_000_000, 5_999_999, False),
    ],
)
def test_a_copy_leaves_the_journal_its_room(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: int, free: int, fits: bool
) -> None:
    """A million bytes, or as many again as it takes; on another disk there is none to leave."""
    filled(path)
    folder = tmp_path / "copies"
    folder.mkdir()
    usual, disks = Path.stat, {path: 1, folder: 1}

    def stat(one: Path, **how: bool) -> object:
        found = usual(one, **how)
        if one not in disks:
            return found
        fields = {name: getattr(found, name) for name in dir(found) if name.startswith("st_")}
        more = {"st_size": size} if one == path else {}
        return SimpleNamespace(**{**fields, **more, "st_dev": disks[one]})

    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=free))
    monkeypatch.setattr(Path, "stat", stat)
    assert copies._takes_its_room(path, folder) is not fits
    disks[folder] = 2
    assert not copies._takes_its_room(path, folder)
    assert not copies._takes_its_room(path, tmp_path / "nothing")
    disks[folder] = 1
    if fits:
        assert keep_one(path, folder, NOW)[2]
    else:
        with pytest.raises(JournalCannotWrite, match="is kept for the journal itself"):
            keep_one(path, folder, NOW)


def test_the_usual_folder_alone_is_made(path: Path, tmp_path: Path) -> None:
    filled(path)
    with pytest.raises(JournalCannotWrite, match="There is no folder"):
        keep_one(path, tmp_path / "stick", NOW)
    folder_beside(path).write_text("a file stands where the folder goes")
    with pytest.raises(JournalCannotWrite, match=r"could not be written to .*: File exists\."):
        keep_one(path, folder_beside(path), NOW)


def test_what_is_kept_is_told(path: Path) -> None:
    filled(path)
    made, state, new = keep_one(path, folder_beside(path), NOW)
    assert made is not None
    assert new
    assert made.made == NOW
    assert made == copies_in(folder_beside(path), state.first_uid)[0]
    assert (made.entries, state.entries, state.first_uid) == (5, 5, uids(path)[0])


def days_back(*ago: float, entries: int = 1) -> list[Copy]:
    noon = datetime(2026, 12, 31, 12, 0).astimezone()
    return [Copy(Path(f"{one}"), noon - timedelta(days=one), entries) for one in ago]


def test_of_a_day_the_last_is_kept_and_of_two_orders_what_either_keeps() -> None:
    """A copy an hour: by date the last of each day, by entries the fullest of each."""
    hours = days_back(*(n / 24 for n in range(72)))
    gone = {one.path for one in copies.past_keeping(hours)}
    assert sorted(float(str(one.path)) for one in hours if one.path not in gone) == [
        *(0.0, 13 / 24, 37 / 24, 61 / 24)
    ]
    full = [one._replace(entries=n) for n, one in enumerate(hours)]  # the oldest is the fullest
    left = len(full) - len(copies.past_keeping(full))
    assert left == 8


def test_what_another_way_holds_is_kept_by_ages_of_its_own(path: Path, tmp_path: Path) -> None:
    """A fork of the same day, and a file that only bears the name of a copy."""
    filled(path)
    folder, fork = folder_beside(path), tmp_path / "fork"
    keep_one(path, folder, NOW)
    back_up(path, fork)
    filled(fork, 9)
    keep_one(fork, folder, NOW + timedelta(hours=1))
    filled(path, 2)
    newest, state, _ = keep_one(path, folder, NOW + timedelta(hours=2))
    assert newest is not None
    assert [one.entries for one in copies_in(folder, state.first_uid)] == [7, 14]
    with backup.reading(newest.path) as db:
        found = copies_in(folder, state.first_uid)
        assert [copies._is_held(db, one) for one in found] == [True, False]
        assert not copies._is_held(db, Copy(tmp_path / "nothing", NOW, 1))


# what is copied while somebody records


def test_copying_begins_again_when_somebody_records_and_ends_with_all_at_once() -> None:
    """SQLite tells how many pages are left: not fewer than before, and it has begun again."""
    look = backup._watch(256)
    for left in (900, 644, 388):
        look(0, left, 1156)
    for left in (388, 900):
        with pytest.raises(backup._BegunAgainError):
            look(0, left, 1156)
    look(0, 387, 1156)
    whole = backup._watch(-1)
    whole(0, 10, 10)
    whole(0, 10, 10)


@pytest.mark.parametrize("status", [5, 6])
def test_a_journal_that_is_held_all_the_while_is_given_up(
    status: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Twenty seconds; SQLite's codes for held are 5 and 6."""
    now = [100.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    look = backup._watch(256)
    look(0, 900, 1156)
    for after, gives_up in ((0.0, False), (20.0, False), (20.1, True)):
        now[0] = 100.0 + after
        if gives_up:
            with pytest.raises(sqlite3.OperationalError, match="database is locked"):
                look(status, 900, 1156)
        else:
            look(status, 900, 1156)
    look(0, 899, 1156)


def test_who_asks_waits_for_those_who_record_but_not_for_ever(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    now, slept = [100.0], list[float]()

    def sleep(seconds: float) -> None:
        slept.append(seconds)
        now[0] += 4.0

    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    monkeypatch.setattr(time, "sleep", sleep)
    held, other = sqlite3.OperationalError("locked"), sqlite3.OperationalError("no such table")
    held.sqlite_errorcode, other.sqlite_errorcode = 5, 1

    def failing(*errors: Exception) -> Callable[[], str]:
        left = [*errors]

        def ask() -> str:
            if left:
                raise left.pop(0)
            return "answer"

        return ask

    locked = JournalLocked("held", "wait")
    assert backup._patiently(failing(held, locked, held)) == "answer"
    assert slept == [0.002] * 3
    with pytest.raises(sqlite3.OperationalError, match="no such table"):
        backup._patiently(failing(other))
    slept.clear()
    with pytest.raises(JournalLocked):
        backup._patiently(failing(*([locked] * 9)))
    assert len(slept) == 6  # 24 seconds


def coded(code: int | None, words: str = "words") -> sqlite3.Error:
    error = sqlite3.OperationalError(words)
    if code is not None:
        error.sqlite_errorcode = code
    return error


@pytest.mark.parametrize(
    ("error", "kind", "words"),
    [
        (coded(5), JournalLocked, "holding"),
        (coded(None, "database is locked"), JournalLocked, "holding"),
        (coded(11), JournalDamaged, "damaged"),
        (coded(266), JournalCannotRead, "could not be read"),
        (coded(522), JournalCannotRead, "could not be read"),
        (coded(13), JournalCannotWrite, "the disk is full"),
        (coded(778), JournalCannotWrite, "the disk refused it (words)"),
    ],
)
def test_who_is_to_blame_when_copying_fails(
    path: Path, tmp_path: Path, error: sqlite3.Error, kind: type, words: str
) -> None:
    """266 and 522: what is copied could not be read; 778: what is written could not be."""
    filled(path)
    told = backup._copy_fault(error, path, tmp_path / "part")
    assert type(told) is kind
    assert words in str(told)
    if kind is JournalCannotWrite:
        assert f"could not be written to {tmp_path}:" in told.title
        assert "Nothing was left half done there. The journal itself is as it was." in told.advice
        gone = backup._copy_fault(error, tmp_path / "nothing", tmp_path / "part")
        assert (type(gone) is JournalCannotRead) is ("refused" in words)


def test_what_is_half_made_is_removed_when_it_is_old_and_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An hour; a copy that is made at this moment by another run is let be."""
    names = (".copy.12.part", ".copy.12.part-journal", ".copy.x.part", "copy.12.part", ".12.part")
    now = 1_700_000_000.0
    monkeypatch.setattr(time, "time", lambda: now)
    for age, left in ((3600, set(names)), (3601, {".copy.x.part", "copy.12.part", ".12.part"})):
        for name in names:
            (tmp_path / name).touch()
            os.utime(tmp_path / name, (now - age, now - age))
        backup.sweep_parts(tmp_path)
        assert {one.name for one in tmp_path.iterdir()} == left
    backup.sweep_parts(tmp_path / "nothing")


def test_the_half_made_copy_is_named_for_this_run_and_gone_at_the_end(tmp_path: Path) -> None:
    target = tmp_path / ("n" * 60)
    with backup.part_of(target) as part:
        assert part == tmp_path / f".{'n' * 50}.{os.getpid()}.part"
        part.touch()
        Path(f"{part}-journal").touch()
    assert not [*tmp_path.iterdir()]


def test_the_state_of_a_journal_is_its_first_name_and_its_end(path: Path) -> None:
    opened(path).close()
    with backup.reading(path) as db:
        assert backup.state_of(db) == CopyState("", 0, b"", None)
    filled(path, 3)
    with backup.reading(path) as db:
        last = db.execute("SELECT hash FROM entries WHERE seq = 3").fetchone()[0]
        first = uids(path)[0]
        assert backup.state_of(db) == CopyState(first, 3, last, datetime(2026, 6, 1, 8, tzinfo=UTC))


def test_what_goes_wrong_while_reading_is_told_by_what_it_was(path: Path) -> None:
    """A file that is whole was not given by its disk; one that is not is damaged."""
    filled(path)
    for error, kind in (
        (coded(11), JournalCannotRead),
        (ValueError("no JSON"), JournalDamaged),
        (TypeError("no text"), JournalDamaged),
        (coded(5), JournalLocked),
    ):
        with pytest.raises(kind), backup.reading(path):
            raise error
    data = bytearray(path.read_bytes())
    data[data.index(b"xxx") + 50] ^= 1
    path.write_bytes(data)
    with pytest.raises(JournalDamaged), backup.reading(path):
        raise coded(11)
    copy = path.with_name("copy")
    with (
        pytest.raises(JournalCannotWrite, match="is not what was written"),
        backup.reading_back(copy),
    ):
        pass


def test_a_name_that_the_disk_did_not_confirm_is_told(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(path)

    def refuse(_: Path) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(backup, "sync_folder", refuse)
    with pytest.raises(JournalError, match=r"is there and whole, but .* \(Input/output error\)"):
        back_up(path, path.with_name("copy"))
    with closing(opened(path.with_name("copy"))) as copy:
        assert copy.count() == 5


def test_two_names_of_one_file_are_one(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    assert backup.same_file(one, tmp_path / "." / "one")  # nothing is there yet
    assert not backup.same_file(one, other)
    one.touch()
    os.link(one, other)
    assert backup.same_file(one, other)
    assert not backup.same_file(one, tmp_path / "nothing")
