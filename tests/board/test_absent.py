"""A board whose journal is not there, or is not the one of last time."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from pathlib import Path

from shopboard.board.app import BoardApp
from shopboard.journal import open_journal
from shopboard.journal.remembered import recall
from shopboard.upkeep.happenings import record_happening
from tests.board.conftest import Board, Place
from tests.board.test_path import READY, TO_CHECK


@asynccontextmanager
async def asking(place: Place) -> AsyncIterator[Board]:
    """A board that makes no journal unasked, as it is opened on a place that was named."""
    files = (place.shop_file, place.journal_file)
    app = BoardApp(*files, place.clock, place.seconds, begin=False)
    try:
        async with app.run_test(size=(80, 24)) as pilot:
            board = Board(app, pilot, place.seconds)
            await board.settle()
            yield board
    finally:
        app.close()


async def in_mid_check(board: Board) -> None:
    """Go to the question about light."""
    assert "Look for light" in await board.press(*TO_CHECK, *READY)


def copy_of(path: Path) -> Path:
    copy = path.with_name("copy")
    shutil.copyfile(path, copy)
    return copy


async def test_it_asks_and_begins_none_by_itself(place: Place) -> None:
    async with asking(place) as board:
        assert board.says("No journal at")
        assert board.says("This computer has not had one open there before.")
        await board.look()
        await board.press("1")
        assert board.says("shopboard --journal FILE")
        await board.press("2")
        assert board.says("2 once more")
        await board.press("r")
        await board.press("2")
        assert not place.journal_file.exists()
        await board.press("2")
        assert board.app.has_open_shop
        assert place.journal_file.exists()
        await in_mid_check(board)


async def test_a_stick_that_is_put_in_is_opened(place: Place) -> None:
    """What was there is told while it is away; the one that comes back needs no word."""
    async with place.open() as board:
        await in_mid_check(board)
    folder = place.journal_file.parent
    known = recall(place.journal_file)
    assert known is not None
    away = place.journal_file.rename(folder / "away")
    async with asking(place) as board:
        assert board.says(f"had {known.last} entries")
        away.rename(place.journal_file)
        await board.look()
        assert board.app.has_open_shop
        assert board.says("go on with Blade at 90")


async def test_taken_out_in_mid_check_it_is_said_and_goes_on(place: Place) -> None:
    async with place.open() as board:
        await in_mid_check(board)
        before = board.app.open_shop.journal.count()
        away = place.journal_file.rename(place.journal_file.with_name("away"))
        await board.press("3")
        assert board.says("NOT RECORDED. There is no journal at")
        assert board.says("Look for light")
        assert not place.journal_file.exists()
        await board.look()
        assert board.says("NOT RECORDED. There is no journal at")  # until somebody has read it
        away.rename(place.journal_file)
        await board.look()
        assert board.says("The journal can be read again.")
        text = await board.press("3")
        assert "NOT RECORDED" not in text
        assert board.app.open_shop.journal.count() > before


async def test_another_one_in_its_place_is_not_said_to_be_read_again(place: Place) -> None:
    other = place.journal_file.with_name("other")
    with closing(open_journal(other, place.clock)) as made:
        record_happening(made, "saw", "knocked")
    async with place.open() as board:
        await in_mid_check(board)
        await board.press("escape", "escape", "escape")
        place.journal_file.rename(place.journal_file.with_name("away"))
        await board.look()
        assert board.says("There is no journal at")
        other.replace(place.journal_file)
        await board.look()
        assert board.says("This journal is not the one that was open there")
        assert not board.says("can be read again")


async def test_what_cannot_be_drawn_without_it_is_said_to_the_last_word(place: Place) -> None:
    """Wrapped where the window is small: the end of it is what to do."""
    async with place.open(80, 24) as board:
        place.journal_file.rename(place.journal_file.with_name("away"))
        text = " ".join((await board.press("n")).split())
        assert "There is no journal at" in text
        assert "--new-journal begins one." in text


async def test_an_older_copy_is_named_until_it_is_taken_note_of(place: Place) -> None:
    async with place.open() as board:
        copy = copy_of(place.journal_file)
        await in_mid_check(board)
    copy.replace(place.journal_file)
    async with place.open() as board:
        assert board.says("! 0: This journal ends") or board.says("! 0: This journal is empty")
        await board.press("h", "1", "1")
        assert board.says("NOT RECORDED. The journal")
        await board.press("escape")
        await board.press("0")
        assert board.says("Is this the right journal?")
        await board.press("1")
        assert board.says("! 0: This journal")
        await board.press("0")
        await board.press("2")
        assert board.says("This is the journal from now on.")
        assert not (await board.look()).count("0: This journal")
        await in_mid_check(board)


async def test_swapped_in_mid_check_no_answer_goes_into_the_wrong_one(place: Place) -> None:
    """What is on the screen stays; with the right one back the answer is taken."""
    other = place.journal_file.with_name("other")
    with closing(open_journal(other, place.clock)) as made:
        for _ in range(9):
            record_happening(made, "saw", "knocked")
    async with place.open() as board:
        await in_mid_check(board)
        right = place.journal_file.rename(place.journal_file.with_name("right"))
        shutil.copyfile(other, place.journal_file)
        await board.press("3")
        assert board.says("NOT RECORDED.")
        assert board.says("Look for light")
        with closing(open_journal(place.journal_file, place.clock)) as made:
            assert made.count() == 9
        right.replace(place.journal_file)
        assert "Look for light" not in await board.press("3")


async def test_what_was_recorded_is_remembered_within_a_second_or_two(place: Place) -> None:
    """Whoever is killed then misses no older copy that is put there."""
    async with place.open() as board:
        await in_mid_check(board)
        count = board.app.open_shop.journal.count()
        for _ in range(30):
            known = recall(place.journal_file)
            if known is not None and known.last == count:
                break
            await board.pilot.pause(0.1)
        assert known is not None
        assert known.last == count


async def test_what_goes_off_while_the_board_ends_does_no_harm(place: Place) -> None:
    """A timer may be a hair later than q."""
    async with place.open() as board:
        app = board.app
    assert app.top is None
    app._look_closer()
    app.look_again()
    app._repaint()
