"""The bottom line shows the keys that do something as the screen stands, and no others."""

from __future__ import annotations

from tests.board.conftest import Place
from tests.board.test_path import READY, TO_CHECK, TRUE_READING


async def test_a_point_without_results_offers_nothing_to_do_with_one(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "1")
        assert not any(word in board.lines[-1] for word in ("void", "graph", "why"))
        await board.press("1", *TRUE_READING, "2", "enter")
        assert all(word in board.lines[-1] for word in ("void", "graph", "why"))


async def test_enter_is_shown_where_it_goes_on(place: Place) -> None:
    """At a question without a usual answer only its number does."""
    async with place.open() as board:
        await board.press(*TO_CHECK)
        assert "go on" not in board.lines[-1]
        await board.press("1")
        assert "go on" in board.lines[-1]


async def test_w_asks_why_in_a_number_field_too(place: Place) -> None:
    """No number has a w, nor has any unit: it is shown at the bottom, so it is no letter there."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3", "w")
        assert board.says("Nothing is worked out yet.")
        assert "> _" in board.text


async def test_a_check_whose_result_was_taken_back_does_not_wait(place: Place) -> None:
    """Left in the middle of its correction, it says what is so: begin anew."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3", *".012", "enter", *".015", "enter", "enter")
        journal = board.app.desk.journal
        (found,) = journal.recent("check", "saw", "blade")
        journal.void(found.uid, "misread")
        await board.press("escape")
        assert board.says("A result that it went by was taken back: begin it anew.")
        assert "go on with the check" not in board.text


async def test_0_is_shown_where_there_are_more_lines_than_digits(place: Place) -> None:
    async with place.open() as board:
        await board.press("u", "1")
        assert "more" not in board.lines[-1]
        await board.press("escape", "escape", "t")
        assert "more" in board.lines[-1]  # more than nine tasks


async def test_taking_a_decision_back_is_shown_while_one_stands(place: Place) -> None:
    async with place.open() as board:
        await board.press("u", "1", "1")
        assert "take back" not in board.lines[-1]
        await board.press("g", "4")
        assert "take back" in board.lines[-1]
