"""Footer and help show the keys that do something now, all of them to their end, and no others."""

from __future__ import annotations

import pytest

from tests.board.conftest import Board, Place
from tests.board.test_path import READY, TO_CHECK, TRUE_READING
from tests.board.workshop import SHOP

TO_NUMBER = ("1", "3", "1", "1", "enter", "1", "3")
"""The saw's third point, checked: its light, then the two leaves are typed."""


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


async def told(board: Board) -> str:
    """Read the help to its end, as one text."""
    shown = await board.press("question_mark")
    for _ in range(6):
        shown += await board.press("down")
    await board.press("minus")
    return " ".join(shown.split())


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (160, 48)])
async def test_what_the_help_tells_is_told_to_its_end(loft: Place, width: int, height: int) -> None:
    async with loft.open(width, height) as board:
        help_page = await told(board)
    assert "go, or hold and why; what a project needs." in help_page


async def test_digits_are_offered_only_where_a_line_has_one(loft: Place) -> None:
    async with loft.open() as board:
        assert "Choose the line with that number." in await told(board)
        loft.shop_file.write_text("nonsense", encoding="utf-8")
        await board.look()
        await board.press("p")
        assert "Choose the line with that number." not in await told(board)


async def test_more_lines_are_offered_only_where_there_are_more(loft: Place) -> None:
    """Three tasks have a digit each; of ten, the tenth has none yet."""
    async with loft.open() as board:
        await board.press("1", "t")
        assert "+  more" not in board.lines[-1]
        assert "next nine lines" not in await told(board)
    tasks = "".join(
        f'[[machine.task]]\nid = "t{number}"\nname = "Task {number}"\nevery = "1 week"\n\n'
        for number in range(9)
    )
    loft.shop_file.write_text(SHOP + tasks, encoding="utf-8")
    async with loft.open() as board:
        await board.press("2", "t")
        assert "+  more" in board.lines[-1]


async def test_while_an_older_entry_can_be_shown_its_key_is_shown(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("1", "h")
        assert "+  more" not in board.lines[-1]
        await board.press("1", "1", "h", "v")
        assert board.says("+ or ↓: an older one.")
        assert "+  more" in board.lines[-1]


async def test_a_letter_that_would_be_typed_is_no_key_while_a_number_is(loft: Place) -> None:
    async with loft.open() as board:
        await board.press(*TO_NUMBER)
        assert board.says("Which is the thickest that goes?")
        assert "why" not in board.lines[-1]
        assert " *  else" in board.lines[-1]
        await board.press("minus", "minus")
        assert "w  why" in board.lines[-1]


async def test_a_prep_day_shows_what_ends_it_once_it_is_begun(loft: Place) -> None:
    """Before that, what plans it: another project, two machines open."""
    async with loft.open() as board:
        await board.press("n")
        assert "x /  end" not in board.lines[-1]
        help_page = await told(board)
        assert "Plan for another project" in help_page
        assert "End the prep day" not in help_page
        await board.press("enter")
        assert "x /  end" in board.lines[-1]
        help_page = await told(board)
        assert "Plan for another project" not in help_page
        assert "Allow two machines apart" not in help_page


async def test_where_nothing_is_left_no_key_begins_a_day(bare: Place) -> None:
    """Once the last piece of a day is done, Enter ends it and says so."""
    hand = SHOP.split("[[machine]]")
    bare.shop_file.write_text(f"{hand[0]}[[machine]]{hand[2]}", encoding="utf-8")
    async with bare.open() as board:
        await board.press("n")
        assert "Enter  begin" in board.lines[-1]
        await board.press("enter", "1", "1")
        assert board.says("Nothing is left in this plan.")
        assert "Enter  end the day" in board.lines[-1]
        await board.press("enter", "n")
        assert board.says("Nothing is left in this plan.")
        assert not board.says("begin this day")
        assert "Enter" not in board.lines[-1]


async def test_a_machine_shows_no_key_for_what_it_has_not(loft: Place) -> None:
    """The saw has tasks and no cutter; a bench that neither has."""
    bench = '[[machine]]\nid = "bench"\nname = "Bench"\n\n[[machine.point]]\nid = "lamp"\n'
    bench += 'name = "Lamp"\ncheck = "note"\n\n'
    loft.shop_file.write_text(SHOP + bench, encoding="utf-8")
    async with loft.open() as board:
        await board.press("1")
        assert "tasks" in board.lines[-1]
        assert "cutters" not in board.lines[-1]
        await board.press("minus", "3")
        assert "Bench" in board.lines[0]
        assert "tasks" not in board.lines[-1]


async def test_a_point_without_results_offers_nothing_to_do_with_one(place: Place) -> None:
    async with place.open(100, 24) as board:
        await board.press("1", "1")
        assert not any(word in board.lines[-1] for word in ("withdraw", "graph", "why"))
        await board.press("1", *TRUE_READING, "2", "enter")
        assert all(word in board.lines[-1] for word in ("withdraw", "graph", "why"))


async def test_enter_is_shown_where_it_goes_on(place: Place) -> None:
    """At a question without a usual answer only its number does."""
    async with place.open() as board:
        await board.press(*TO_CHECK)
        assert "go on" not in board.lines[-1]
        await board.press("1")
        assert "go on" in board.lines[-1]


async def test_a_check_whose_result_was_taken_back_does_not_wait(place: Place) -> None:
    """Left in the middle of its correction, it says what is so: begin anew."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3", *".012", "enter", *".015", "enter", "enter")
        journal = board.app.open_shop.journal
        (found,) = journal.recent("check", "saw", "blade")
        journal.void(found.uid, "misread")
        await board.press("escape")
        assert board.says("A result that it went by was withdrawn: start it over.")
        assert "go on with the check" not in board.text


async def test_taking_a_decision_back_is_shown_while_one_stands(place: Place) -> None:
    async with place.open() as board:
        await board.press("u", "1", "1")
        assert "withdraw" not in board.lines[-1]
        await board.press("g", "4")
        assert "withdraw" in board.lines[-1]


async def test_a_walk_names_no_enter_where_only_a_number_answers(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("s", "1")
        assert "press the number of what you see" in await board.press("enter")
        assert "Enter" not in board.lines[-1]
