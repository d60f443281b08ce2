"""Keys that come faster than screens, and looks that come between two of them."""

from __future__ import annotations

from contextlib import closing

import pytest
from textual import events

from shopboard.board.screens.rounds import RoundsScreen
from shopboard.board.screens.steady import AT_ONCE
from shopboard.journal import open_journal
from tests.board.conftest import Board, Place
from tests.board.test_path import READY, TO_CHECK, body


def press_at_once(board: Board, keys: str) -> None:
    """Press keys before the board has seen the first of them."""
    for key in keys:
        board.app.post_message(events.Key(key, key))


async def test_keys_pressed_ahead_are_for_the_screens_that_they_lead_to(place: Place) -> None:
    """But a question that nobody can have read yet is not answered by them."""
    async with place.open() as board:
        place.seconds.step = 0.001
        press_at_once(board, "s2")  # the rounds, the table saw
        asked = body(await board.settle())
        assert "Table saw: daily safety walk" in asked
        press_at_once(board, "1")  # the plug is out?
        assert body(await board.settle()) == asked
        assert board.says("! that key came before this could be read: ignored")
        place.seconds.at += AT_ONCE
        press_at_once(board, "1")
        assert body(await board.settle()) != asked


async def test_a_choice_is_not_taken_before_its_step_can_have_been_read(place: Place) -> None:
    async with place.open() as board:
        leaf = body(await board.press(*TO_CHECK, *READY, "3"))
        place.seconds.step = 0.0001
        await board.press("minus")
        place.seconds.at += AT_ONCE
        assert body(await board.press("3")) == leaf
        place.seconds.at += 0.14
        assert body(await board.press("3")) == leaf
        assert board.says("! that key came before this could be read: ignored")
        place.seconds.at += AT_ONCE
        assert body(await board.press("2")) != leaf


@pytest.mark.parametrize("apart", [0.0, 0.03, 0.14])
async def test_of_two_keys_at_once_neither_answers(place: Place, apart: float) -> None:
    """The way of a leaf: 1, it goes, and 2, it won't, struck by one finger."""
    async with place.open() as board:
        leaf = body(await board.press(*TO_CHECK, *READY, "3"))
        place.seconds.step = 0.0001
        place.seconds.at += 1
        await board.press("1")
        place.seconds.at += apart
        assert body(await board.press("2")) == leaf
        assert board.says("! two keys at once: neither counts; press the one that you mean")
        place.seconds.at += 1
        assert "As found." in await board.press("1")  # none goes: the thinnest went nowhere
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        (begun,) = journal.open_checks()
        told = [(one.kind, one.body.get("text")) for one in journal.thread(begun.uid)][-3:]
    assert [kind for kind, _ in told] == ["answer", "back", "answer"]


async def test_a_digit_and_enter_at_once_are_two_keys(place: Place) -> None:
    """Enter lies beside the 3 of the pad."""
    async with place.open() as board:
        asked = body(await board.press(*TO_CHECK, *READY))
        place.seconds.step = 0.0001
        place.seconds.at += 1
        await board.press("3")
        assert body(await board.press("enter")) == asked
        assert board.says("! two keys at once")


@pytest.mark.parametrize("ends", [("enter",), ("enter", "ctrl+j")])
async def test_a_gauge_types_its_reading_and_enter_at_once(
    place: Place, ends: tuple[str, ...]
) -> None:
    """Some end their lines with two characters: the second one answers nothing."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3")
        place.seconds.step = 0.0
        place.seconds.at += 1
        for key in (*"0.0111", *ends):
            name = "full_stop" if key == "." else key
            board.app.post_message(events.Key(name, key if len(key) == 1 else None))
        shown = await board.settle()
        assert board.says("0.0111 in")
        assert "thinnest that won't go" in shown
        assert "!" not in shown
        place.seconds.at += 1
        for key in (*"0.0122", *ends):
            name = "full_stop" if key == "." else key
            board.app.post_message(events.Key(name, key if len(key) == 1 else None))
        assert "As found." in await board.settle()
        assert not board.says("Recorded")


async def test_a_digit_pressed_ahead_waits_for_the_check_that_opens_by_itself(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "3", "escape", "minus", "minus")
        press_at_once(board, "0")  # go on with the check
        board.app.post_message(events.Key("escape", None))
        await board.settle()
        assert board.says("Blade at 90")
        assert len(board.app.screen_stack) == 2  # the board, the point: one check, and left


async def test_a_look_between_two_screens_does_not_stop_the_board(place: Place) -> None:
    async with place.open() as board:
        board.app.push_screen(RoundsScreen())
        place.clock.pass_by(hours=1)
        board.app.look_again()  # before the screen holds anything to draw on
        board.app.screen.say("said at once")  # type: ignore[attr-defined]
        await board.settle()
        assert "The shop itself" in board.text
        assert board.says("said at once")
