"""What SQLite says becomes the error that says what to do, code by code.

The codes are those of https://www.sqlite.org/rescode.html; an extended one holds its primary one
in the low eight bits. As root every right is given: `os.access` is told what it says.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
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
    JournalMovedOn,
    JournalNewer,
    faults,
)
from shopboard.journal.errors import JournalDiffers

BUSY, LOCKED, READONLY, IOERR, CORRUPT, FULL, CANTOPEN = 5, 6, 8, 10, 11, 13, 14
PERM, CONSTRAINT, FORMAT, NOTADB, ERROR = 3, 19, 24, 26, 1


def fault(code: int | None, words: str = "what \x1b it says") -> sqlite3.Error:
    """Give what SQLite raises with a code, or Python's own without one."""
    error = sqlite3.OperationalError(words)
    if code is not None:
        error.sqlite_errorcode = code
    return error


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "shop.journal"
    path.write_bytes(b"x" * 100)
    return path


WHOLE, GONE = "given whole", "not given"


@pytest.mark.parametrize(
    ("code", "disk", "kind"),
    [
        *((code, WHOLE, JournalLocked) for code in (BUSY, LOCKED)),
        *((code, WHOLE, JournalDamaged) for code in (CORRUPT, NOTADB, FORMAT, ERROR)),
        *((code, GONE, JournalCannotRead) for code in (CORRUPT, NOTADB, FORMAT, ERROR)),
        *((code, WHOLE, JournalCannotRead) for code in (READONLY, CANTOPEN, IOERR, FULL, PERM)),
    ],
)
def test_a_reading_that_failed(path: Path, code: int, disk: str, kind: type) -> None:
    """It is called damage only where the disk gives the whole file."""
    if disk == GONE:
        path.unlink()
        path.mkdir()
    recovery = code in (READONLY, CANTOPEN)
    for more in (0, 1 << 8, 3 << 8):
        told = faults.read_fault(fault(code | more), path)
        assert type(told) is kind
        assert str(path) in told.title
        assert ("a power cut left a recording half done" in told.title) is recovery
        assert ("`shopboard verify` once as a user who may write" in told.advice) is recovery
        assert "\x1b" not in str(told)


def test_a_text_that_is_none_is_damage(path: Path) -> None:
    """Python says so without a code; a fault of another sort without one is the disk's."""
    letters = UnicodeDecodeError("utf-8", b"\xff", 0, 1, "no letter")
    for error in (fault(None), letters):
        assert type(faults.read_fault(error, path)) is JournalDamaged
    assert type(faults.read_fault(sqlite3.DatabaseError("odd"), path)) is JournalCannotRead


WORDS = {
    FULL: ("the disk is full", "Make room on that disk"),
    IOERR: ("the disk refused it", "look whether the disk or card is sound"),
    READONLY: ("the file or its folder is read-only", "right to write in that folder"),
    CANTOPEN: ("the folder does not let files be made", "right to write in that folder"),
    PERM: ("the rights on the file forbid it", "right to write to that file"),
    ERROR: ("what", "Look whether the disk or card is sound"),
}


@pytest.mark.parametrize("absent", [True, False])
@pytest.mark.parametrize("more", [0, 1 << 8])
@pytest.mark.parametrize("code", WORDS)
def test_a_recording_that_failed(path: Path, code: int, more: int, absent: bool) -> None:
    told = faults.write_fault(fault(code | more), path, absent)
    assert type(told) is JournalCannotWrite
    cause, cure = WORDS[code]
    assert f"{path} could not be written: {cause}" in told.title
    assert f"{cure}, then try again. {faults.ONCE_ONLY}" in told.advice
    sure = "Nothing was recorded." if absent else "It is not certain that it was recorded."
    assert told.advice.startswith(sure)
    assert "\x1b" not in str(told)


def test_a_recording_that_failed_otherwise(path: Path) -> None:
    """Held by another, damaged, refused by the file's own rules."""
    assert type(faults.write_fault(fault(BUSY), path, True)) is JournalLocked
    assert type(faults.write_fault(fault(CORRUPT), path, True)) is JournalDamaged
    refused = faults.write_fault(fault(CONSTRAINT | 8 << 8), path, True)
    assert type(refused) is JournalError
    assert f"{path} refused the entry" in refused.title
    assert (
        refused.advice == "Nothing was recorded. This is a fault in the program; please report it."
    )


@pytest.mark.parametrize(
    ("folder", "file", "more", "words"),
    [
        (os.X_OK, os.R_OK, 0, ""),
        (os.F_OK, os.R_OK, 0, "the folder {folder}"),
        (os.X_OK, os.F_OK, 0, "that file"),
        (os.X_OK, os.R_OK, os.W_OK, "the folder {folder}"),
        (os.X_OK | os.W_OK, os.R_OK, os.W_OK, "that file"),
        (os.X_OK | os.W_OK, os.R_OK | os.W_OK, os.W_OK, ""),
        (os.X_OK, None, 0, ""),
        (None, os.R_OK, 0, ""),
    ],
)
def test_a_right_that_is_lacking_is_named(
    path: Path,
    monkeypatch: pytest.MonkeyPatch,
    folder: int | None,
    file: int | None,
    more: int,
    words: str,
) -> None:
    """A failing disk is blamed only where file and folder may be used; None: it is not there."""

    def access(one: Path, asked: int) -> bool:
        has = folder if one == path.parent else file
        return has is not None and has & asked == asked

    monkeypatch.setattr(os, "access", access)
    words = words and f"this user has no right to use {words.format(folder=path.parent)}"
    written = faults.write_fault(fault(IOERR), path, True) if more else faults.unreadable(path)
    told = f"{written.title} {written.advice}"
    assert (words or ("the disk refused it" if more else "could not be read.")) in told
    assert ("Give this user that right, then try again" in told) is bool(words)
    assert ("disk or card" in told) is not bool(words)


def test_what_is_read_on_the_screen() -> None:
    """The path with what could harm a terminal taken out, the command that helps."""
    path = Path("a\x1bb")
    makes: list[tuple[Callable[[Path], JournalError], str, str]] = [
        (faults.locked, "Another program is holding the journal", "Let it finish or close it"),
        (faults.took_too_long, "gave no answer in time", "`shopboard verify`"),
        (lambda one: faults.damage_fault(one, "e\x1bf"), "is damaged: e", "`shopboard restore"),
    ]
    for make, title, advice in makes:
        told = make(path)
        assert title in told.title
        assert advice in told.advice
        assert "\x1b" not in str(told)
        assert str(told) == f"{told.title} {told.advice}"


def test_which_faults_are_which() -> None:
    codes = {BUSY, LOCKED, CORRUPT, NOTADB, FORMAT, FULL, IOERR, 261, 517, 267, 779}
    assert {one for one in codes if faults.is_busy(fault(one))} == {BUSY, LOCKED, 261, 517}
    assert {one for one in codes if faults.is_damage(fault(one))} == {
        *(CORRUPT, NOTADB, FORMAT, 267, 779)
    }
    assert not faults.is_busy(fault(None))
    assert not faults.is_damage(OSError(5, "x"))
    assert [faults.primary_code(fault(one)) for one in (None, 0, 255, 256, 522)] == [
        *(None, 0, 255, 0, 10)
    ]


def test_with_which_code_a_command_ends() -> None:
    """As the help of the commands says: 4 the journal, 5 held by another, 6 the disk."""
    codes = {
        4: (
            *(JournalError, JournalMissing, JournalDiffers),
            *(JournalDamaged, JournalForeign, JournalNewer),
        ),
        5: (JournalLocked, JournalMovedOn),
        6: (JournalCannotRead, JournalCannotWrite),
    }
    assert {one: code for code, each in codes.items() for one in each} == {
        one: one.exit_code for each in codes.values() for one in each
    }


def test_a_file_is_read_through_to_its_end(path: Path, tmp_path: Path) -> None:
    path.write_bytes(b"x" * ((1 << 20) + 1))
    assert faults.reads_through(path)
    assert not faults.reads_through(tmp_path / "nothing")
    assert not faults.reads_through(tmp_path)


def test_a_file_that_nobody_may_read_is_told_with_the_right_that_is_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """First what is the matter, then what to do; the disk is not blamed."""
    monkeypatch.setattr(os, "access", lambda _, mode: mode == os.F_OK or not mode & os.R_OK)
    error = faults.unreadable(tmp_path / "j")
    assert error.title.endswith("could not be read: this user has no right to use that file.")
    assert error.advice == "Give this user that right, then try again; the file may well be whole."
