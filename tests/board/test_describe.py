"""A shop is described on the board, from nothing to its first check, on the number pad."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.base.locations import answers_path
from shopboard.board.screens.board import BoardScreen
from shopboard.board.screens.check import CheckScreen
from shopboard.board.screens.describe import DescribeScreen
from shopboard.board.screens.described import DescribedScreen
from shopboard.board.screens.first_run import FirstRunScreen
from shopboard.checks.registry import facts, names
from shopboard.describing.draft import ShopDraft
from shopboard.journal import kinds
from shopboard.shop.reader import read_shop
from tests.board.conftest import Board, Place

PAD = {"-": "minus", ".": "full_stop", "+": "plus"}
"""Keys of the pad that the pilot has another name for."""


@pytest.fixture(autouse=True)
def _american(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("LC_ALL", "LC_MEASUREMENT", "LC_MONETARY", "LANG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "en_US.UTF-8")


async def strike(board: Board, keys: str) -> str:
    """Strike keys of the pad; ``E`` is Enter."""
    return await board.press(*(PAD.get(key, "enter" if key == "E" else key) for key in keys))


async def to_the_end(board: Board) -> None:
    """Enter takes all that is left."""
    for _ in range(60):
        if not isinstance(board.app.screen, DescribeScreen):
            return
        await strike(board, "E")
    raise AssertionError(board.text)


async def test_from_nothing_to_the_first_check_on_the_pad(bare: Place) -> None:
    async with bare.open() as board:
        assert board.says("Enter")
        assert "What is your shop called?" in await strike(board, "E")
        await strike(board, "EEEE")
        assert "[x] Jointer" in await strike(board, "14")
        assert "[ ] Jointer" in await strike(board, "4")
        await strike(board, "E")
        await to_the_end(board)
        assert isinstance(board.app.screen, DescribedScreen)
        assert board.says("What to check first")
        assert board.says("1 Bench: Proof of Square, 6 in")
        await strike(board, "E")
        assert isinstance(board.app.screen, CheckScreen)
        await board.press("escape")
        await strike(board, "-")
        assert isinstance(board.app.screen, BoardScreen)
        shop = board.app.open_shop.shop
        assert [one.id for one in shop.machines] == ["saw", "bench"]
        done = board.app.open_shop.journal.machine_entries(kinds.TASK.name, "saw")
        assert {one.point for one in done} == {one.id for one in shop.machines[0].tasks}
        assert not any(one.due for one in board.app.open_shop.standing.machines[0].tasks)
    async with bare.open() as board:
        assert isinstance(board.app.screen, BoardScreen), "it is not described again"


async def test_left_and_gone_on_with_another_day(bare: Place) -> None:
    async with bare.open() as board:
        await strike(board, "1EE")
        await board.press("escape")
        assert isinstance(board.app.screen, FirstRunScreen)
        assert board.says("go on describing my shop")
    async with bare.open() as board:
        assert "What are costs counted in?" in await strike(board, "1")
        assert board.says("Going on where you left off")
        assert board.says("Enter takes: dollars")
        assert "What do you measure in?" in await strike(board, "-")
        assert board.says("1 inches Enter")
        await strike(board, "2")
        assert "What do you measure in?" in await strike(board, "-")
        assert board.says("2 millimetres Enter"), "what was answered is offered"
        assert "What is your shop called?" in await strike(board, "-")
        await strike(board, "-")
        assert isinstance(board.app.screen, FirstRunScreen)
        assert board.says("go on describing my shop")


async def test_what_is_typed_is_told_back_and_why_it_is_refused(bare: Place) -> None:
    async with bare.open() as board:
        await strike(board, "1")
        await strike(board, "145E")
        assert board.says("145: a name has a letter in it")
        assert "> 7_" in await strike(board, "7"), "a digit begins anew"
        assert "> _" in await board.press("backspace")
        await strike(board, "EEEE1E")
        await strike(board, "EE1")
        assert "how long is it?" in await strike(board, "6")
        assert board.says("> _")
        assert "2.750 in" in await strike(board, "2.75")
        await board.press("space", "c", "m")
        assert board.says("1.08268 in"), "2.75 / 2.54"
        await strike(board, "E")


async def test_a_name_that_is_refused_stands_to_be_mended(bare: Place) -> None:
    """A digit behind it is one more character; // strikes it out on the pad."""
    async with bare.open() as board:
        await strike(board, "1")
        await board.press(*"Works" * 13)  # 65 characters, 60 is the most
        assert "at most 60" in await strike(board, "E")
        assert "Works2_" in await strike(board, "2")
        assert "> _" in await strike(board, "//")


async def test_the_help_lists_no_key_that_does_nothing_here(bare: Place) -> None:
    """There is no machine to be tagged, nor anything in progress, before there is a shop."""
    async with bare.open() as board:
        await strike(board, "1E")
        assert board.says("What do you measure in?")
        shown = await board.press("question_mark")
        assert "Change the answer before" in shown
        assert "DO NOT USE, or" not in shown
        assert "in progress" not in shown


async def test_a_number_that_is_offered_is_stepped_on_the_pad(bare: Place) -> None:
    """What Enter would take, one more and one less; in an empty field - goes back as ever."""
    async with bare.open() as board:
        await strike(board, "1EEEE14E1EE")
        assert board.says("How long does it take to change it over?")
        assert "> 12 min_" in await strike(board, "++")
        assert "> 11 min_" in await strike(board, "-")
        assert "Is that all of it?" in await strike(board, "E")
        assert "Enter takes: 11 min" in await strike(board, "-")
        assert "What is that machine called?" in await strike(board, "-")


async def test_nothing_is_asked_twice_by_a_key_that_nobody_can_have_meant(bare: Place) -> None:
    async with bare.open() as board:
        await strike(board, "1EEEE")
        await strike(board, "E")
        assert board.says("tick what is there, at least one")
        await strike(board, "+")
        assert board.says("1 [ ] Sander")
        await strike(board, "2")
        assert board.says("[x] Hand tools")
        await strike(board, "5")
        assert board.says("there is no such line")


async def test_what_was_ticked_is_ticked_after_going_back_past_it(bare: Place) -> None:
    async with bare.open() as board:
        await strike(board, "1EEEE13E")
        assert "When are you in the shop?" in await strike(board, "--")
        assert "What is in the shop?" in await strike(board, "E")
        assert board.says("1 [x] Table saw")
        assert board.says("3 [x] Bandsaw")


async def test_a_shop_file_that_appears_meanwhile_is_left(bare: Place) -> None:
    async with bare.open() as board:
        await strike(board, "1EEEE1E")
        bare.shop_file.write_text("# somebody else's\n", encoding="utf-8")
        await board.look()
        assert isinstance(board.app.screen, DescribeScreen)
        for _ in range(60):
            if board.says("is there already; it is as it was"):
                break
            await strike(board, "E")
        assert board.says("NOT WRITTEN")
        assert board.says("kept beside it, in shop.toml.answers")
        assert isinstance(board.app.screen, DescribeScreen)
    assert bare.shop_file.read_text(encoding="utf-8") == "# somebody else's\n"
    assert answers_path(bare.shop_file).exists()


async def test_killed_once_its_file_is_written_the_records_are_made(
    bare: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    from shopboard.board import describing

    with monkeypatch.context() as patch:
        patch.setattr(describing, "finish_described", lambda _: None)
        async with bare.open() as board:
            await strike(board, "1EEEE1E")
            await to_the_end(board)
            assert isinstance(board.app.screen, BoardScreen)
            assert not board.app.open_shop.journal.count()
    for _ in range(2):
        async with bare.open() as board:
            done = board.app.open_shop.journal.machine_entries(kinds.TASK.name, "saw")
            assert len(done) == len(board.app.open_shop.shop.machines[0].tasks)
    assert not answers_path(bare.shop_file).exists()


async def test_a_second_program_is_told(bare: Place) -> None:
    with closing(ShopDraft(bare.shop_file)):
        async with bare.open() as board:
            await strike(board, "1")
            assert board.says("this shop is being described by another run of this program")
            assert isinstance(board.app.screen, FirstRunScreen)


async def test_the_demo_is_opened_once_the_board_has_ended(bare: Place) -> None:
    async with bare.open() as board:
        await strike(board, "2")
        assert board.app.then == ("demo",)
        assert board.app.return_code == 0
    assert not bare.shop_file.exists()


async def test_on_a_large_screen_the_question_is_large(bare: Place) -> None:
    async with bare.open(160, 48) as board:
        await strike(board, "1")
        assert "What is your shop called?" not in board.text
        assert "█" in board.text
        assert board.says("Enter takes: My shop")


async def test_every_screen_of_it_fits(bare: Place) -> None:
    """All machines there are; the footer, and what Enter takes, are seen on each."""
    async with bare.open() as board:
        await strike(board, "1EEEE123456789" + "+" + "123" + "E")
        seen = 0
        while isinstance(board.app.screen, DescribeScreen):
            lines = [one.rstrip() for one in board.lines]
            assert "Esc" in lines[-1], board.text
            assert any("Enter" in one for one in lines[:-1]), board.text
            seen += 1
            await strike(board, "E")
        assert seen > 55
        assert isinstance(board.app.screen, DescribedScreen)
    assert len(read_shop(bare.shop_file, names(), facts()).shop.machines) == 12
