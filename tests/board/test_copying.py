"""While the board is open the journal is copied beside it, and what keeps it from that is said."""

from __future__ import annotations

import errno
import os
import tempfile
import time
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.board import copying as copying_beside
from shopboard.board.copying import Copying
from shopboard.journal import NewEntry, new_uid, open_journal
from shopboard.journal.copies import folder_beside
from tests.board.conftest import Board, Place
from tests.board.test_path import READY, TO_CHECK
from tests.journal.helpers import uids

LESS_URGENT = 5


@pytest.fixture(autouse=True)
def _not_behind_all(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a computer that the tests keep busy it would get a hundredth, and take a minute."""
    assert copying_beside._LEAST_URGENT == 19
    monkeypatch.setattr(copying_beside, "_LEAST_URGENT", LESS_URGENT)


def copies(journal: Path) -> list[Path]:
    folder = folder_beside(journal)
    return sorted(folder.glob("*.sqlite3")) if folder.exists() else []


def record(place: Place) -> None:
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        journal.append([NewEntry(new_uid(), "happening", "saw", "note", {"v": 1, "text": "a"})])


def copying(board: Board, place: Place) -> Copying:
    mark = board.app.open_shop.journal.change_mark
    board.app.copying = Copying(place.shop_file, place.journal_file, mark)
    return board.app.copying


async def copied(board: Board, one: Copying) -> None:
    one.begin()
    await until_done(board, one)


async def until_done(board: Board, one: Copying) -> None:
    ends = time.monotonic() + 120  # a copy is made behind all else that the computer does
    while one._child is not None:
        assert time.monotonic() < ends
        time.sleep(0.05)
        await board.look()


async def test_a_copy_is_made_beside_the_board(place: Place) -> None:
    record(place)
    async with place.open() as board:
        one = copying(board, place)
        await copied(board, one)
        assert [uids(copy) for copy in copies(place.journal_file)] == [uids(place.journal_file)]
        assert not one.words


async def test_a_place_that_is_away_is_said_until_it_is_back(place: Place) -> None:
    stick = place.shop_file.parent / "stick"
    text = place.shop_file.read_text(encoding="utf-8")
    place.shop_file.write_text(text.replace('unit = "inch"', 'unit = "inch"\ncopies = "stick"', 1))
    record(place)
    async with place.open(160, 48) as board:
        one = copying(board, place)
        await copied(board, one)
        assert board.says(
            f"! There is no folder {stick} for a copy of the journal. There is no copy yet."
        )
        stick.mkdir()
        one.begin_where_missed()
        await until_done(board, one)
        assert not board.says("for a copy of the journal")
        assert len([*stick.iterdir()]) == 1


async def test_no_copy_is_said_also_while_a_check_waits(place: Place) -> None:
    text = place.shop_file.read_text(encoding="utf-8")
    place.shop_file.write_text(text.replace('unit = "inch"', 'unit = "inch"\ncopies = "stick"', 1))
    async with place.open(80, 24) as board:
        await board.press(*TO_CHECK, *READY, "1", "escape", "escape", "escape")
        await copied(board, copying(board, place))
        assert board.says("go on with Blade at 90")
        assert board.says("! There is no folder")
        assert board.says("There is no copy yet.")


async def test_what_is_new_is_copied_when_the_board_is_left(place: Place) -> None:
    """Nothing new: nothing is started. A copy that is under way goes on without the board."""
    record(place)
    async with place.open() as board:
        one = copying(board, place)
        one.leave()
        time.sleep(0.2)
        assert not copies(place.journal_file)
        record(place)
    assert one._child is not None  # the board was closed just now
    if hasattr(os, "getpriority"):
        assert os.getpriority(os.PRIO_PROCESS, one._child.pid) == LESS_URGENT
    assert one._child.wait(30) == 0
    assert len(uids(copies(place.journal_file)[0])) == 2


async def test_a_file_of_the_shop_is_not_taken_for_code(
    place: Place, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As a plan of the year in the folder that the board was started in."""
    (tmp_path / "calendar.py").write_text("raise SystemExit(3)\n", encoding="utf-8")
    (tmp_path / "sqlite3.py").write_text("raise SystemExit(3)\n", encoding="utf-8")
    record(place)
    async with place.open() as board:
        monkeypatch.chdir(tmp_path)
        one = copying(board, place)
        await copied(board, one)
        assert not one.words
        assert len(copies(place.journal_file)) == 1


async def test_a_program_that_does_not_start_is_said(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.executable", "/nowhere/python")
    record(place)
    async with place.open() as board:
        one = copying(board, place)
        one.begin()
        assert one.words.startswith(
            "No copy of the journal is made: the program for it does not start"
        )
        assert one.words.endswith("(No such file or directory).")
        one.leave()


async def test_no_room_for_what_the_program_tells_does_not_end_the_board(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where the folder for temporary files is full."""

    def full() -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    record(place)
    async with place.open() as board:
        one = copying(board, place)
        with monkeypatch.context() as patched:
            patched.setattr(tempfile, "TemporaryFile", full)
            one.begin()
        assert one.words.startswith(
            "No copy of the journal is made: the program for it does not start"
        )
        assert one.words.endswith("(No space left on device).")
        one.begin_where_missed()
        await until_done(board, one)
        assert not one.words
        assert len(copies(place.journal_file)) == 1


def program(folder: Path, code: str) -> str:
    """A program that stands for the one that makes the copy."""
    file = folder / "stand-in"
    file.write_text(f"#!/bin/sh\n{code}\n")
    file.chmod(0o755)
    return str(file)


async def test_a_disk_that_does_not_answer_is_said(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The copy hangs in it, and every later one would."""
    monkeypatch.setattr("sys.executable", program(place.shop_file.parent, "exec sleep 60"))
    async with place.open(160, 48) as board:
        now = [0.0]
        mark = board.app.open_shop.journal.change_mark
        one = Copying(place.shop_file, place.journal_file, mark, lambda: now[0])
        board.app.copying = one
        one.begin()
        now[0] = 1700.0
        await board.look()
        assert not one.words
        now[0] = 1900.0
        await board.look()
        assert board.says("A copy of the journal was begun half an hour ago and is not done")
        assert one._child is not None
        one._child.kill()
        await until_done(board, one)
        assert one.words.endswith("the program for it ended and gave no reason (-9).")


async def test_a_journal_that_is_always_held_by_another_program_is_said_in_the_end(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = "echo 'shopboard: Another program is holding the journal. Let it finish.' >&2; exit 5"
    monkeypatch.setattr("sys.executable", program(place.shop_file.parent, said))
    async with place.open() as board:
        one = copying(board, place)
        for words in ("", "", "Another program is holding the journal."):
            one.begin() if one._locked == 0 else one.begin_where_missed()
            await until_done(board, one)
            assert one.words.strip() == words
