"""A HOLD on the board: its check knows what the joint wants; the person may go on all the same."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.board.screens.anyway import AnywayScreen
from shopboard.board.screens.check import CheckScreen
from shopboard.board.screens.glue_up import GlueUpScreen
from shopboard.board.screens.needs import NeedsScreen
from shopboard.board.screens.point import PointScreen
from shopboard.journal import JournalCannotRead, NewEntry, new_uid, open_journal
from tests.board.conftest import Board, Place
from tests.cli.test_holds import STEM
from tests.prep.results import result

SIZES = [(80, 24), (160, 48), (60, 20)]


@pytest.fixture
def loft(bare: Place) -> Place:
    """The cooper's loft: one project of one joint, its blade true, but not for the staves."""
    return shop(bare, "0.03 mm")


def shop(bare: Place, gap: str) -> Place:
    bare.shop_file.write_text(STEM.format(gap=gap, start=""), encoding="utf-8")
    with closing(open_journal(bare.journal_file, bare.clock)) as journal:
        body = result(1.1e-3, 1e-4)
        journal.append([NewEntry(new_uid(), "check", "saw", "blade", body)])
    return bare


async def to_the_answer(board: Board) -> str:
    return await board.press("u", "1")


@pytest.mark.parametrize(("width", "height"), SIZES)
async def test_the_check_of_a_hold_knows_what_it_is_for(
    loft: Place, width: int, height: int
) -> None:
    """From the answer by Enter and 1: it stands above every step, also after a restart."""
    async with loft.open(width, height) as board:
        await to_the_answer(board)
        assert isinstance(board.app.screen, GlueUpScreen)
        assert board.says("check Saw: Blade upright, and set it right")
        await board.press("enter")
        assert isinstance(board.app.screen, PointScreen)
        assert board.says("Saw · Blade upright, for Staves: 0.")
        await board.press("1")
        assert isinstance(board.app.screen, CheckScreen)
        assert board.says("Saw · Blade upright, for Staves: 0.")
        await board.press("1")
    async with loft.open(width, height) as board:
        await board.press("0")
        if isinstance(board.app.screen, PointScreen):
            await board.press("1")
        assert isinstance(board.app.screen, CheckScreen)
        assert board.says("for Staves: 0.")


async def test_what_the_project_needs_opens_the_same_check(loft: Place) -> None:
    async with loft.open() as board:
        await to_the_answer(board)
        await board.press("n")
        assert isinstance(board.app.screen, NeedsScreen)
        assert board.says("→ Gap in a joint of the staves can be")
        await board.press("1")
        assert isinstance(board.app.screen, PointScreen)
        assert board.says("for Staves: 0.")


async def test_a_check_opened_from_its_machine_is_for_nothing_special(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("1", "1")
        assert isinstance(board.app.screen, PointScreen)
        assert not board.says("for Staves")


@pytest.mark.parametrize(("width", "height"), SIZES)
async def test_the_person_goes_on_all_the_same_and_takes_it_back(
    loft: Place, width: int, height: int
) -> None:
    """It stays a HOLD, with the decision beneath; the pad alone does it."""
    async with loft.open(width, height) as board:
        await to_the_answer(board)
        assert width < 80 or "all the same" in board.lines[-1]
        assert "withdraw" not in board.lines[-1]
        await board.press("asterisk", "2")
        assert isinstance(board.app.screen, AnywayScreen)
        assert board.asks("Why go on all the same?")
        await board.press("1")
        assert isinstance(board.app.screen, GlueUpScreen)
        assert board.says("Your decision: glued up on HOLD, ")
        assert board.says("dry-fitted: it closes well enough")
        assert width < 80 or " v /  withdraw" in board.lines[-1]
        await board.press("v")
        assert board.says("Press / or v once more")
        await board.press("v")
        assert board.says("Withdrawn")
        assert not board.says("Your decision")
        await board.press("enter")
        assert isinstance(board.app.screen, PointScreen)


async def test_a_decision_that_cannot_be_read_again_is_not_recorded_twice(
    loft: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is on record, and the screen says so: nobody is led to press the key again."""

    def unread(*_: object) -> None:
        raise JournalCannotRead("The disk failed.", "Try again.")

    async with loft.open() as board:
        await to_the_answer(board)
        await board.press("g")
        with monkeypatch.context() as patched:
            patched.setattr("shopboard.board.screens.anyway.standing_decision", unread)
            await board.press("1")
        assert isinstance(board.app.screen, GlueUpScreen)
        assert board.says("On record: dry-fitted: it closes well enough.")
        assert len(board.app.open_shop.journal.newest(("glue-up",), 10**6, 10**6, 9)) == 1


async def test_in_words_of_ones_own(loft: Place) -> None:
    async with loft.open() as board:
        await to_the_answer(board)
        await board.press("g", "5", "enter")
        assert isinstance(board.app.screen, AnywayScreen)
        await board.press(*"tight", "enter")
        assert board.says("glued up on HOLD, ")
        assert board.says(": tight.")


async def test_what_no_check_can_prove_asks_for_none(bare: Place) -> None:
    async with shop(bare, "0.003 mm").open() as board:
        await to_the_answer(board)
        assert board.says("your tools cannot prove that it fits")
        await board.press("enter")
        assert isinstance(board.app.screen, GlueUpScreen)
        assert board.says("no check helps here")
