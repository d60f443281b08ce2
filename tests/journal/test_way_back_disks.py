"""The way back on disks that fill up and lose power: nothing half done, nothing lost."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from shopboard.after_salvage import unproven_entries
from shopboard.journal import JournalCannotWrite, JournalError
from shopboard.journal.backup import back_up
from shopboard.journal.restore import made_ready, put_in_place
from shopboard.journal.salvage import salvage
from tests.journal.disk import loop_disk, small_disk
from tests.journal.helpers import need, uids
from tests.journal.test_backup import BACK_UP, filled, killed_at, names
from tests.journal.test_restore import RESTORE, WHEN

pytestmark = pytest.mark.root

CUTS = (
    *(("link", 1), ("rename", 1), ("unlink", 3), ("fsync", 1), ("fsync", 2), ("fsync", 3)),
    *(("pwrite64", 5), ("never", 1)),
)
"""Calls at which the program is killed and the power cut at once; the last runs to its end."""


def test_a_full_disk_takes_no_copy_by_halves(path: Path, tmp_path: Path) -> None:
    filled(path, 400)
    with small_disk(tmp_path, 64) as stick:
        with pytest.raises(JournalCannotWrite, match="the disk is full"):
            back_up(path, stick / "copy")
        with pytest.raises(JournalCannotWrite, match="the disk is full"):
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


def test_a_power_cut_at_any_step_of_a_restore_leaves_the_old_or_the_new(
    path: Path, tmp_path: Path
) -> None:
    need("strace")
    filled(path, 20)
    present = tmp_path / "present"
    back_up(path, present)
    filled(present, 20)
    seen = []
    with loop_disk(tmp_path) as disk:
        journal = disk.mount_point / "journal"
        for call, number in CUTS:
            disk.mount()
            for one in disk.mount_point.glob("*journal*"):
                one.unlink()
            journal.write_bytes(present.read_bytes())
            os.sync()
            killed_at("rmdir" if call == "never" else call, number, RESTORE, path, journal)
            disk.cut_power()
            disk.unmount()
            disk.mount()
            seen.append(len(uids(journal)))
            aside = [one for one in disk.mount_point.glob("*.before*") if one.stat().st_size]
            if seen[-1] == 20:
                assert [len(uids(one)) for one in aside] == [40]
            disk.unmount()
    assert set(seen) == {20, 40}
    assert seen[-1] == 20


def test_a_power_cut_at_any_step_of_a_copy_leaves_the_old_or_the_new(
    path: Path, tmp_path: Path
) -> None:
    need("strace")
    filled(path, 20)
    old = tmp_path / "old"
    back_up(path, old)
    filled(path, 20)
    seen = []
    with loop_disk(tmp_path) as disk:
        copy = disk.mount_point / "copy"
        for call, number in CUTS:
            disk.mount()
            copy.write_bytes(old.read_bytes())
            os.sync()
            killed_at("rmdir" if call == "never" else call, number, BACK_UP, path, copy)
            disk.cut_power()
            disk.unmount()
            disk.mount()
            seen.append(len(uids(copy)))
            disk.unmount()
    assert set(seen) == {20, 40}
    assert seen[-1] == 40
