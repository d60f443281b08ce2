"""A copy of the journal holds one moment of it, whole, or is not there at all."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterable
from contextlib import closing
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest

from shopboard.journal import JournalCannotWrite, JournalDamaged, JournalMissing
from shopboard.journal.backup import back_up
from shopboard.journal.copies import (
    Copy,
    copies_in,
    folder_beside,
    keep_one,
    newest_copy,
    past_keeping,
)
from tests.journal.helpers import filled, need, opened, uids, writer_command
from tests.journal.programs import BACK_UP

NOW = datetime(2026, 6, 1, 9, 0, tzinfo=UTC)


def names(folder: Path) -> set[str]:
    return {one.name for one in folder.iterdir()}


def test_a_copy_is_the_journal_and_belongs_to_its_owner_alone(path: Path, tmp_path: Path) -> None:
    filled(path)
    target = tmp_path / "stick" / "copy.sqlite3"
    target.parent.mkdir()
    state = back_up(path, target)
    assert (state.entries, state.last) == (5, datetime(2026, 6, 1, 8, 0, tzinfo=UTC))
    assert uids(target) == uids(path)
    assert target.stat().st_mode & 0o777 == 0o600
    assert "copy.sqlite3" in names(target.parent)
    assert not [one for one in names(target.parent) if one.endswith(".part")]


def test_an_older_state_is_replaced_and_never_a_newer_one(path: Path, tmp_path: Path) -> None:
    filled(path)
    target = tmp_path / "copy.sqlite3"
    back_up(path, target)
    filled(path, 3)
    back_up(path, target)
    assert len(uids(target)) == 8
    older = tmp_path / "older.sqlite3"
    back_up(target, older)
    filled(path, 2)
    back_up(path, target)
    with pytest.raises(JournalCannotWrite, match="holds 2 entries more than this journal"):
        back_up(older, target)
    assert len(uids(target)) == 10


def test_a_fork_another_journal_and_another_file_are_left(path: Path, tmp_path: Path) -> None:
    filled(path)
    fork, other, notes = (tmp_path / name for name in ("fork", "other", "notes"))
    back_up(path, fork)
    filled(fork)
    filled(path)
    filled(other)
    notes.write_text("wax on Monday")
    empty = tmp_path / "empty"
    empty.touch()
    for target, why in (
        (fork, "holds entries that this journal does not have"),
        (other, "holds another journal"),
        (notes, "is not a copy of this journal"),
        (empty, "is not a copy of this journal"),
        (path, "is the journal itself"),
    ):
        before = target.read_bytes()
        with pytest.raises(JournalCannotWrite, match=why):
            back_up(path, target)
        assert target.read_bytes() == before


def test_what_cannot_be_copied_is_said_and_nothing_is_left(path: Path, tmp_path: Path) -> None:
    with pytest.raises(JournalMissing):
        back_up(path, tmp_path / "copy")
    filled(path)
    with pytest.raises(JournalCannotWrite, match="There is no folder"):
        back_up(path, tmp_path / "stick" / "copy")
    data = bytearray(path.read_bytes())
    data[data.index(b"xxx") + 50] ^= 1
    path.write_bytes(data)
    there = names(tmp_path)
    with pytest.raises(JournalDamaged, match="`shopboard salvage`"):
        back_up(path, tmp_path / "copy")
    assert names(tmp_path) == there


def test_a_full_disk_leaves_nothing_and_is_said_so(path: Path, tmp_path: Path) -> None:
    """A limit on the size of files fails like a disk that is full, on every computer."""
    need("prlimit")
    filled(path, 200)
    stick = tmp_path / "stick"
    stick.mkdir()
    command = ["prlimit", "--fsize=30000", sys.executable, "-c", BACK_UP, str(path)]
    done = subprocess.run(
        [*command, str(stick / "copy")], capture_output=True, text=True, check=False
    )
    assert "JournalCannotWrite: A copy of the journal could not be written" in done.stderr
    assert not names(stick)
    assert len(uids(path)) == 200


def test_someone_who_records_all_the_while_is_neither_lost_nor_starved(
    path: Path, tmp_path: Path
) -> None:
    filled(path, 3000)
    command = writer_command(path, 0, 100_000)
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        said = {writer.stdout.readline().strip()}
        for number in range(4):
            target = tmp_path / f"copy{number}"
            back_up(path, target)
            assert said <= set(uids(target))
            said |= {writer.stdout.readline().strip() for _ in range(20)}
        writer.kill()
        assert not [one for one in said if one.startswith("!")]


def made(*days_ago: int, entries: int = 1) -> list[Copy]:
    now = datetime(2026, 12, 31, 12, 0).astimezone()
    return [Copy(Path(f"{ago}"), now - timedelta(days=ago), entries) for ago in days_ago]


def test_seven_days_eight_weeks_twelve_months_are_kept() -> None:
    """Counted by hand: 2026-12-31 is a Thursday; a copy a day for two years."""
    copies = made(*range(731))
    gone = {one.path for one in past_keeping(copies)}
    kept = [int(one.path.name) for one in copies if one.path not in gone]
    # 7 days; of the 7 weeks before this one the Sunday; of the 11 months before the last day.
    sundays = [4, 11, 18, 25, 32, 39, 46]
    month_ends = [31, 61, 92, 122, 153, 184, 214, 245, 275, 306, 334]
    assert kept == sorted({*range(7), *sundays, *month_ends})


def test_neither_a_pause_nor_a_clock_ahead_removes_what_is_there() -> None:
    assert not past_keeping(made(-3650, 0, 400, 800))


def kept_over(days: Iterable[tuple[date, int]]) -> list[Copy]:
    """What is there after a copy on each of some days by the clock, with so many entries."""
    there: list[Copy] = []
    for day, entries in days:
        when = datetime.combine(day, time(12)).astimezone()
        there.append(Copy(Path(f"{day}-{entries}"), when, entries))
        gone = {one.path for one in past_keeping(there)}
        there = [one for one in there if one.path not in gone]
    return there


@pytest.mark.parametrize("wrong", [730, -730])
def test_a_clock_two_years_off_takes_no_days_from_those_before_and_after(wrong: int) -> None:
    """Twenty days by the wrong clock, twenty by the right one: the last week of each is kept."""
    begin = date(2027, 3, 1)
    right = [(begin + timedelta(n), n) for n in range(60)]
    off = [(begin + timedelta(60 + n + wrong), 60 + n) for n in range(20)]
    again = [(begin + timedelta(80 + n), 80 + n) for n in range(20)]
    kept = {one.entries for one in kept_over([*right, *off])}
    assert set(range(73, 80)) <= kept
    kept = {one.entries for one in kept_over([*right, *off, *again])}
    assert set(range(93, 100)) <= kept
    assert len(kept) < 60


def test_after_a_restore_the_new_days_are_kept_though_they_hold_less() -> None:
    begin = date(2027, 3, 1)
    before = [(begin + timedelta(n), 1000 + n) for n in range(60)]
    after = [(begin + timedelta(60 + n), 500 + n) for n in range(20)]
    kept = {one.entries for one in kept_over([*before, *after])}
    assert set(range(513, 520)) <= kept
    assert 1059 in kept


def test_a_copy_from_a_day_to_come_is_not_the_newest_and_no_second_is_made(path: Path) -> None:
    """The clock was ahead when it was made; since then nothing, then something, was recorded."""
    filled(path)
    folder = folder_beside(path)
    ahead, state, _ = keep_one(path, folder, NOW + timedelta(days=730))
    assert ahead is not None
    assert keep_one(path, folder, NOW)[::2] == (ahead, False)
    filled(path)
    second, state, made_now = keep_one(path, folder, NOW)
    assert second is not None
    assert made_now
    assert keep_one(path, folder, NOW + timedelta(hours=4))[::2] == (second, False)
    assert newest_copy(folder, state, NOW) == second


def test_what_a_copy_takes_the_place_of_keeps_rights_owner_and_link(
    path: Path, tmp_path: Path
) -> None:
    filled(path)
    stick = tmp_path / "stick"
    stick.mkdir()
    target, link = stick / "real", tmp_path / "link"
    back_up(path, target)
    target.chmod(0o644)
    if os.geteuid() == 0:
        os.chown(target, 1234, 1234)
    link.symlink_to(target)
    filled(path)
    back_up(path, link)
    assert link.is_symlink()
    assert (target.stat().st_mode & 0o777, uids(target)) == (0o644, uids(path))
    assert os.geteuid() or target.stat().st_uid == 1234
    other = tmp_path / "to come"
    other.symlink_to(stick / "new")
    back_up(path, other)
    assert uids(stick / "new") == uids(path)


def test_another_name_of_the_journal_itself_is_no_place_for_a_copy(
    path: Path, tmp_path: Path
) -> None:
    filled(path)
    os.link(path, tmp_path / "same")
    with pytest.raises(JournalCannotWrite, match="is the journal itself"):
        back_up(path, tmp_path / "same")


def test_a_journal_of_any_name_has_its_copies_found(tmp_path: Path) -> None:
    for name in ("a\nb.sqlite3", "ü" * 118):
        journal = tmp_path / name
        filled(journal)
        folder = tmp_path / "copies"
        folder.mkdir(exist_ok=True)
        first, _, _ = keep_one(journal, folder, NOW)
        assert keep_one(journal, folder, NOW + timedelta(hours=1))[::2] == (first, False)


def test_the_copy_with_the_most_entries_is_never_removed() -> None:
    full = Copy(Path("full"), datetime(2026, 12, 31, 11, 0).astimezone(), 9)
    assert [one.path.name for one in past_keeping([*made(0), full])] == []


def test_the_folder_of_copies_keeps_one_a_day_and_what_is_not_ours(path: Path) -> None:
    filled(path)
    folder = folder_beside(path)
    first, _, new = keep_one(path, folder, NOW)
    assert first is not None
    assert new
    assert folder.stat().st_mode & 0o777 == 0o700
    assert keep_one(path, folder, NOW + timedelta(hours=1))[::2] == (first, False)
    own = folder / "shop-2026-06-01-100000-3-00000000.sqlite3"
    own.write_text("another journal's")
    (folder / "notes.txt").write_text("mine")
    filled(path)
    second, state, new = keep_one(path, folder, NOW + timedelta(hours=2))
    assert second is not None
    assert (new, state.entries, second.entries) == (True, 10, 10)
    assert not first.path.exists()
    assert names(folder) == {second.path.name, own.name, "notes.txt"}
    assert [one.path for one in copies_in(folder, state.first_uid)] == [second.path]


def test_a_copy_of_what_the_journal_does_not_hold_outlives_the_wrong_file(path: Path) -> None:
    """A fork in the journal's place is copied on the same day: today's may be in the copy alone."""
    filled(path)
    fork = path.with_name("fork")
    back_up(path, fork)
    filled(path, 3)
    folder = folder_beside(path)
    right, _, _ = keep_one(path, folder, NOW)
    assert right is not None
    filled(fork, 4)
    fork.replace(path)
    for hours in (1, 2):
        wrong, state, _ = keep_one(path, folder, NOW + timedelta(hours=hours))
        assert wrong is not None
        assert [one.path for one in copies_in(folder, state.first_uid)] == [wrong.path, right.path]
        filled(path, 1)
    assert len(uids(right.path)) == 8


def test_a_copy_that_rotted_is_made_anew_and_a_broken_journal_removes_none(path: Path) -> None:
    filled(path)
    folder = folder_beside(path)
    first = keep_one(path, folder, NOW)[0]
    assert first is not None
    data = bytearray(first.path.read_bytes())
    data[data.index(b"xxx") + 50] ^= 1
    first.path.write_bytes(data)
    second = keep_one(path, folder, NOW + timedelta(hours=1))[0]
    assert second is not None
    assert uids(second.path) == uids(path)
    filled(path, 1)
    data = bytearray(path.read_bytes())
    data[data.index(b"xxx") + 50] ^= 1
    path.write_bytes(data)
    with pytest.raises(JournalDamaged):
        keep_one(path, folder, NOW + timedelta(hours=2))
    assert names(folder) == {second.path.name}


def test_without_an_entry_there_is_nothing_to_keep(path: Path) -> None:
    opened(path).close()
    assert keep_one(path, folder_beside(path), NOW)[0] is None
    assert not folder_beside(path).exists()


def test_a_cut_short_copy_of_long_ago_is_swept(path: Path, tmp_path: Path) -> None:
    filled(path)
    left = tmp_path / ".copy.123.part"
    left.touch()
    os.utime(left, (0, 0))
    back_up(path, tmp_path / "copy")
    assert not left.exists()


def test_a_copy_of_a_copy_is_no_write_ahead_file(path: Path, tmp_path: Path) -> None:
    """What is copied can be opened by any SQLite, without a file beside it."""
    filled(path)
    back_up(path, tmp_path / "copy")
    with closing(sqlite3.connect(f"file:{tmp_path}/copy?mode=ro&immutable=1", uri=True)) as db:
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert db.execute("SELECT count(*) FROM entries").fetchone() == (5,)
