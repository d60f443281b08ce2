"""Disks that are full, read-only or failing: an error is shown exactly when nothing is promised.

One call after the other that fails is a campaign (`tests/campaigns/faults.py`).
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from functools import cache
from pathlib import Path

import pytest

from shopboard.journal import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    NewEntry,
    SqliteJournal,
)
from shopboard.journal.faults import read_fault
from tests.journal.disk import small_disk
from tests.journal.helpers import check, need, opened, run, uids, writer_command

PROBE = Path(__file__).with_name("probe.py")
SYSTEM_PYTHON = Path("/usr/bin/python3")
AS_NOBODY = ("setpriv", "--reuid=65534", "--regid=65534", "--clear-groups")


def _probe(*command: str | Path) -> dict[str, str]:
    return dict(line.split(" ", 1) for line in run(command))


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user can look into; pytest's own are for its user alone."""
    with tempfile.TemporaryDirectory(prefix="shopboard-") as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder


@pytest.mark.root
def test_a_read_only_disk_is_read(path: Path) -> None:
    """On a read-only mount the journal shows its entries and says why it takes none."""
    with closing(opened(path)) as journal:
        journal.append([check(), check()])
    told = _probe_read_only(path)
    assert (told["writable"], told["count"], told["verify"]) == ("False", "2", "None")
    assert told["append"].startswith("JournalCannotWrite")
    assert "read-only" in told["append"]


@pytest.mark.root
def test_a_half_done_recording_on_a_read_only_disk_is_explained(path: Path) -> None:
    """What a power cut left has to be undone before reading; where it cannot be, words say so."""
    need("strace")
    kill = ["strace", "-f", "-o", "/dev/null", "-e", "trace=pwrite64"]
    kill += ["-e", "inject=pwrite64:signal=KILL:when=38", *writer_command(path, 0, 5)]
    subprocess.run(kill, capture_output=True, timeout=30)
    told = _probe_read_only(path)
    assert told["open"].startswith("JournalCannotRead")
    assert "half done" in told["open"]


def _probe_read_only(path: Path) -> dict[str, str]:
    """Run the probe where the journal's folder is a read-only mount, for the probe alone."""
    need("unshare", "mount")
    script = 'mount --bind "$1" "$1" && mount -o remount,ro,bind "$1" && exec "$2" -B "$3" "$4"'
    command = ["unshare", "-m", "sh", "-c", script, "sh"]
    words = [str(word) for word in (path.parent, sys.executable, PROBE, path)]
    done = subprocess.run([*command, *words], capture_output=True, text=True, timeout=30)
    if done.returncode != 0 and ("unshare" in done.stderr or "mount:" in done.stderr):
        pytest.skip(f"mounts refused by this kernel: {done.stderr.strip()}")
    assert done.returncode == 0, done.stderr
    return dict(line.split(" ", 1) for line in done.stdout.splitlines())


@pytest.mark.root
@pytest.mark.parametrize(
    ("file_mode", "folder_mode", "expected"),
    [
        (0o644, 0o755, {"writable": "False", "count": "1", "append": "JournalCannotWrite"}),
        (0o666, 0o755, {"writable": "False", "count": "1", "append": "JournalCannotWrite"}),
        (0o644, 0o777, {"writable": "False", "count": "1", "append": "JournalCannotWrite"}),
        (0o666, 0o777, {"writable": "True", "count": "1", "append": "ok"}),
        (0o600, 0o755, {"open": "JournalCannotRead"}),
        (0o644, 0o700, {"open": "JournalCannotRead"}),
        (None, 0o755, {"open": "JournalCannotWrite"}),
    ],
)
def test_rights_are_understood(
    open_folder: Path, file_mode: int | None, folder_mode: int, expected: dict[str, str]
) -> None:
    """Whatever rights a user has on file and folder: reading works if it can, and words say why."""
    _need_another_user()
    path = open_folder / "shop.journal"
    if file_mode is not None:
        with closing(opened(path)) as journal:
            journal.append([check()])
        path.with_name("shop.journal-journal").unlink(missing_ok=True)
        path.chmod(file_mode)
    open_folder.chmod(folder_mode)
    told = _probe(*AS_NOBODY, SYSTEM_PYTHON, "-B", PROBE, path)
    assert {what: told[what].split()[0] for what in expected} == expected


TAKEN_AWAY = """
import os, sys
sys.path.insert(0, sys.argv[1])
from datetime import datetime, timezone
from pathlib import Path
from shopboard.journal import JournalError, NewEntry, new_uid, open_journal

path = Path(sys.argv[2])
journal = open_journal(path, lambda: datetime.now(timezone.utc))
journal.append([NewEntry(new_uid(), "check", "saw", "blade")])
(path.parent if sys.argv[3] == "folder" else path).chmod(0)
if sys.argv[4] == "anew":
    journal.close()
try:
    if sys.argv[4] == "anew":
        journal = open_journal(path, lambda: datetime.now(timezone.utc))
    journal.append([NewEntry(new_uid(), "check", "saw", "blade")])
    print("recorded")
except JournalError as error:
    print(error)
"""


@pytest.mark.root
@pytest.mark.parametrize("when", ["open", "anew"])
@pytest.mark.parametrize("what", ["folder", "file"])
def test_rights_that_are_taken_away_are_not_blamed_on_the_disk(
    open_folder: Path, what: str, when: str
) -> None:
    """From the file or its folder, under an open journal or before the next opening."""
    _need_another_user()
    folder = open_folder / "of-nobody"
    folder.mkdir()
    os.chown(folder, 65534, 65534)
    root = str(Path(__file__).parents[2])
    script = (SYSTEM_PYTHON, "-B", "-c", TAKEN_AWAY, root, folder / "shop.journal", what, when)
    (told,) = run([*AS_NOBODY, *script])
    folder.chmod(0o755)
    if told != "recorded":  # a file that is open stays so
        assert "right" in told
        for word in ("disk", "card", "full", "power cut"):
            assert word not in told.replace("disk-", "")
    else:
        assert (what, when) == ("file", "open")


@cache
def _need_another_user() -> None:
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("needs root to become another user")
    need("setpriv")
    words = (*AS_NOBODY, SYSTEM_PYTHON, "-B", PROBE, "/dev/null")
    done = subprocess.run(words, capture_output=True, text=True)
    if not done.stdout.startswith("open JournalForeign"):
        pytest.skip(f"the system's Python cannot run this as nobody: {done.stderr[-200:]}")


@pytest.mark.root
def test_a_full_disk_refuses_and_recovers(tmp_path: Path) -> None:
    """When the disk is full the error says so; with room made, the same entry is recorded."""
    with small_disk(tmp_path, 300) as place:
        filler = place / "filler"
        filler.write_bytes(b"x" * 60_000)
        with closing(opened(place / "shop.journal")) as journal:
            recorded, entry = _fill(journal)
            assert recorded > 0
            with pytest.raises(JournalCannotWrite, match="full") as told:
                journal.append([entry])
            assert "Nothing was recorded" in told.value.advice
            assert journal.count() == recorded
            filler.unlink()
            journal.append([entry])
            assert journal.count() == recorded + 1
            assert journal.verify() is None


def _fill(journal: SqliteJournal) -> tuple[int, NewEntry]:
    """Record until nothing more goes in; give the number recorded and the entry refused."""
    for recorded in range(10_000):
        entry = check(text="x" * 500)
        try:
            journal.append([entry])
        except JournalCannotWrite:
            return recorded, entry
    pytest.fail("the small disk never became full")


@pytest.mark.root
def test_a_journal_that_cannot_even_begin_says_so(tmp_path: Path) -> None:
    """On a full disk no journal can be made; with room, the same path works."""
    with small_disk(tmp_path, 64) as place:
        filler = place / "filler"
        filler.write_bytes(b"x" * 60_000)
        path = place / "shop.journal"
        with pytest.raises(JournalCannotWrite, match="could not be written"):
            opened(path)
        filler.unlink()
        with closing(opened(path)) as journal:
            assert journal.count() == 0


def test_a_size_limit_keeps_what_was_said(path: Path) -> None:
    """A limit on the size of files stops recording; what was acknowledged is all there."""
    need("prlimit")
    lines = run(["prlimit", "--fsize=200000", *writer_command(path, 0, 400)])
    said = [line for line in lines if line.startswith("u")]
    refused = [line for line in lines if "JournalCannotWrite" in line]
    assert said
    assert len(said) + len(refused) == 400
    assert uids(path) == said


@pytest.mark.parametrize(("fault", "said"), [("when=10", True), ("when=10+", False)])
def test_an_entry_in_doubt_is_confirmed_before_it_is_said(
    path: Path, fault: str, said: bool
) -> None:
    """The tenth waiting for the disk is the last of the first entry's recording.

    When it fails the entry can be read back, but it may not be on the disk. It is
    acknowledged only after a further recording went through.
    """
    need("strace")
    strace = ["strace", "-f", "--seccomp-bpf", "-o", "/dev/null", "-e", "trace=fdatasync"]
    inject = ["-e", f"inject=fdatasync:error=EIO:{fault}"]
    lines = run([*strace, *inject, *writer_command(path, 0, 1)])
    assert ("u0" in lines) is said
    if said:
        assert uids(path) == ["u0"]


def test_damage_is_called_so_only_when_the_whole_file_can_be_read(path: Path) -> None:
    """One bad sector makes SQLite say "malformed" each time; the disk is to blame, not the file."""
    malformed = sqlite3.DatabaseError("database disk image is malformed")
    malformed.sqlite_errorcode = sqlite3.SQLITE_CORRUPT
    opened(path).close()
    assert type(read_fault(malformed, path)) is JournalDamaged
    path.unlink()
    path.mkdir()  # reading it fails, as on the bad sector
    assert type(read_fault(malformed, path)) is JournalCannotRead


@pytest.mark.parametrize("first", [1, 3, 5, 8, 12, 30, 60])
def test_a_disk_that_cannot_read_is_not_called_damage(path: Path, first: int) -> None:
    """When the disk fails for good while reading, the file may be whole: the words say that."""
    need("strace")
    with closing(opened(path)) as journal:
        journal.append([check(text="x" * 3000) for _ in range(100)])
    command = ["strace", "-f", "-o", "/dev/null", "-P", str(path), "-e", "trace=pread64,read"]
    inject = [
        "-e",
        f"inject=pread64:error=EIO:when={first}+",
        "-e",
        "inject=read:error=EIO:when=3+",
    ]
    told = _probe(*command, *inject, sys.executable, "-B", PROBE, path)
    assert "JournalCannotRead" in str(told)
    assert "JournalDamaged" not in str(told)
    assert len(uids(path)) == 100
