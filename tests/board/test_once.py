"""A key pressed again after an error means what was asked before: nothing is recorded twice."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing

import pytest

from shopboard.board.in_doubt import ON_RECORD_ALREADY
from shopboard.journal import Entry, JournalCannotWrite, NewEntry, open_journal
from tests.board.conftest import Board, Place
from tests.board.test_happened import key_of
from tests.board.workshop import SHOP

DISK = JournalCannotWrite("The disk failed.", "It is not certain that it was recorded.")


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


def fail_once(board: Board, monkeypatch: pytest.MonkeyPatch, *, in_file: bool) -> None:
    """Let the next recording fail: before its entries are in the file, or after."""
    journal = board.app.open_shop.journal
    append, failed = journal.append, list[bool]()

    def failing(entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
        if failed:
            return append(entries, after)
        failed.append(True)
        if in_file:
            append(entries, after)
        raise DISK

    monkeypatch.setattr(journal, "append", failing)


def kinds(place: Place, kind: str) -> list[Entry]:
    """The entries of a sort, oldest first."""
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        assert journal.verify() is None
        return journal.newest((kind,), 10_000, 10_000, 100)[::-1]


@pytest.mark.parametrize("in_file", [False, True])
async def test_enter_after_an_error_counts_hours_once(
    loft: Place, monkeypatch: pytest.MonkeyPatch, in_file: bool
) -> None:
    """The screen says which of both it was; the same amount a third time is a new act."""
    async with loft.open() as board:
        await board.press("h")
        key = key_of(board, "hours run")
        fail_once(board, monkeypatch, in_file=in_file)
        await board.press(key, *"25", "enter")
        assert board.says("NOT RECORDED. The disk failed.")
        await board.press("enter")
        assert board.says("Recorded: hours run")
        assert board.says(ON_RECORD_ALREADY) is in_file
        assert [one.body["total"] for one in kinds(loft, "happening")] == [1500.0]
        await board.press("h", key, *"25", "enter")
        assert not board.says(ON_RECORD_ALREADY)
    assert [one.body["total"] for one in kinds(loft, "happening")] == [1500.0, 3000.0]


@pytest.mark.parametrize("in_file", [False, True])
async def test_who_leaves_after_an_error_and_comes_back_tells_the_same(
    loft: Place, monkeypatch: pytest.MonkeyPatch, in_file: bool
) -> None:
    async with loft.open() as board:
        await board.press("h")
        key = key_of(board, "hours run")
        fail_once(board, monkeypatch, in_file=in_file)
        await board.press(key, *"25", "enter", "escape", "escape", "h", key, *"25", "enter")
        assert board.says(ON_RECORD_ALREADY) is in_file
    assert [one.body["total"] for one in kinds(loft, "happening")] == [1500.0]


async def test_another_amount_after_an_error_is_another_act(
    loft: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with loft.open() as board:
        await board.press("h")
        key = key_of(board, "hours run")
        fail_once(board, monkeypatch, in_file=True)
        await board.press(key, *"25", "enter", "backspace", "enter")
        assert not board.says(ON_RECORD_ALREADY)
    assert [one.body["amount"] for one in kinds(loft, "happening")] == [1500.0, 120.0]


@pytest.mark.parametrize("in_file", [False, True])
async def test_a_happening_and_a_tag_after_an_error(
    loft: Place, monkeypatch: pytest.MonkeyPatch, in_file: bool
) -> None:
    """The tag that went up unseen is not cleared by the key that puts it up."""
    async with loft.open() as board:
        await board.press("h")
        fail_once(board, monkeypatch, in_file=in_file)
        await board.press("1", "1")
        assert board.says("NOT RECORDED")
        await board.press("1")  # it was chosen twice already
        assert board.says("Recorded: blade changed")
        assert len(kinds(loft, "happening")) == 1
        await board.press("1", "d", "8")
        fail_once(board, monkeypatch, in_file=in_file)
        await board.press(*"hums", "enter")
        assert board.says("NOT RECORDED")
        board.app.look_again()
        await board.press("enter")
        assert board.says("DO NOT USE")
    assert [one.body["why"] for one in kinds(loft, "tag")] == ["hums"]


@pytest.mark.parametrize("in_file", [False, True])
async def test_a_task_after_an_error_is_done_once(
    loft: Place, monkeypatch: pytest.MonkeyPatch, in_file: bool
) -> None:
    async with loft.open() as board:
        await board.press("1", "t")
        fail_once(board, monkeypatch, in_file=in_file)
        await board.press("2", "2")
        assert board.says("NOT RECORDED")
        await board.press("2")  # it was chosen twice already
        assert board.says("Done and recorded")
        assert board.says(ON_RECORD_ALREADY) is in_file
    assert len(kinds(loft, "task")) == 1


@pytest.mark.parametrize("in_file", [False, True])
async def test_a_check_that_begins_after_an_error_is_one(
    loft: Place, monkeypatch: pytest.MonkeyPatch, in_file: bool
) -> None:
    """No second one is left waiting."""
    async with loft.open() as board:
        await board.press("1", "1")
        fail_once(board, monkeypatch, in_file=in_file)
        await board.press("1")
        assert board.says("NOT RECORDED")
        await board.press("1")
        assert not board.says("NOT RECORDED")
    assert len(kinds(loft, "begin")) == 1
