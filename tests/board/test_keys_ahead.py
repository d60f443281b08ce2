"""Keys that come faster than screens, and looks that come between two of them."""

from __future__ import annotations

from textual import events

from shopboard.board.screens.rounds import RoundsScreen
from tests.board.conftest import Board, Place


def press_at_once(board: Board, keys: str) -> None:
    """Press keys before the board has seen the first of them."""
    for key in keys:
        board.app.post_message(events.Key(key, key))


async def test_keys_pressed_ahead_are_for_the_screens_that_they_lead_to(place: Place) -> None:
    async with place.open() as board:
        press_at_once(board, "s214")  # the rounds, the table saw, plug out, cutter whole
        await board.settle()
        assert "Table saw: safety round" in board.lines[0]
        assert "Move the guard" in board.text


async def test_a_digit_pressed_ahead_waits_for_the_check_that_opens_by_itself(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "1", "1", "1", "escape", "minus", "minus")
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
