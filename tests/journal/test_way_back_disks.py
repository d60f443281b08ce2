"""The way back on disks that fill up: nothing half done, nothing lost."""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import JournalCannotRead, JournalCannotWrite, JournalError
from shopboard.journal.backup import back_up
from shopboard.journal.copies import folder_beside, keep_one
from shopboard.journal.restore import made_ready, put_in_place
from shopboard.journal.salvage import salvage
from shopboard.upkeep.after_salvage import unproven_entries
from tests.journal.disk import loop_disk, small_disk
from tests.journal.helpers import filled, uids
from tests.journal.test_backup import names
from tests.journal.test_restore import WHEN

pytestmark = pytest.mark.root


def test_a_full_disk_takes_no_copy_by_halves(path: Path, tmp_path: Path) -> None:
    filled(path, 400)
    with small_disk(tmp_path, 64) as stick:
        with pytest.raises(JournalCannotWrite, match="the disk is full"):
            back_up(path, stick / "copy")
        with pytest.raises(JournalCannotWrite, match="the disk is full") as told:
            salvage(path, stick / "new", lambda: WHEN, unproven_entries)
        assert not names(stick)
        assert ".part" not in str(told.value)
        assert "`shopboard salvage FROM TO`" in told.value.advice


@pytest.mark.parametrize("kb", [8, 20, 40, 60])
def test_however_little_room_there_is_salvage_says_it_is_full(
    path: Path, tmp_path: Path, kb: int
) -> None:
    filled(path, 400)
    with small_disk(tmp_path, kb) as stick:
        with pytest.raises(JournalCannotWrite, match=r"written to .*the disk is full"):
            salvage(path, stick / "new", lambda: WHEN, unproven_entries)
        assert not names(stick)


def test_a_full_disk_lets_the_journal_be(path: Path, tmp_path: Path) -> None:
    filled(path, 400)
    with small_disk(tmp_path, 200) as disk:
        journal = disk / "journal"
        filled(journal, 40)
        before = uids(journal)
        with pytest.raises(JournalError), made_ready(path, journal) as ready:
            put_in_place(ready, WHEN)
        assert uids(journal) == before
        assert names(disk) <= {"journal", "journal-journal"}


def test_copies_by_age_leave_the_journal_room_on_a_small_stick(path: Path, tmp_path: Path) -> None:
    """Copies beside the journal once filled the stick, until nothing could be recorded."""
    with small_disk(tmp_path, 4000) as stick:
        journal = stick / "shop.sqlite3"
        copies = folder_beside(journal)
        filled(journal, 400)
        keep_one(journal, copies, WHEN)
        with suppress(JournalCannotWrite):
            for day in range(1, 40):
                filled(journal, 40)
                keep_one(journal, copies, WHEN + timedelta(days=day))
        with pytest.raises(JournalCannotWrite, match="kept for the journal itself"):
            keep_one(journal, copies, WHEN + timedelta(days=40))
        filled(journal, 400)
        filled(path, 40)
        assert keep_one(path, copies, WHEN)[2]  # of a journal on another disk


def test_sectors_that_fail_to_be_read_take_no_entry_that_can_be(tmp_path: Path) -> None:
    """A third of the file is gone with the disk; what lies before it comes back."""
    with loop_disk(tmp_path) as disk:
        with disk.mounted():
            journal = disk.mount_point / "journal"
            filled(journal, 900)
            data, before = journal.read_bytes(), uids(journal)
        start = len(data) * 2 // 3 // 4096 * 4096
        there = data[:start]
        readable = {uid for uid in before if re.search(rb"(?s)%s.{0,150}xxx" % uid.encode(), there)}
        assert 400 < len(readable) < 700
        with disk.only_up_to(data[start : start + 4096]):
            with pytest.raises(OSError, match="Input/output"):
                journal.read_bytes()
            with pytest.raises(JournalCannotRead, match=r"salvage FROM TO` what can be read"):
                back_up(journal, tmp_path / "copy")
            new = tmp_path / "new"
            found = salvage(journal, new, lambda: WHEN, unproven_entries).found
    assert readable <= set(uids(new)[:found]) < set(before)
