"""Several things under way at once: all are told, and each is gone on with by digits alone."""

from __future__ import annotations

import pytest

from shopboard.board.paint import width_of
from shopboard.board.under_way import named, under_way_lines
from shopboard.up_next.under_way import UnderWay
from tests.board.conftest import Place
from tests.board.test_cutters import CROSS, SWAP
from tests.board.test_path import READY, TO_CHECK

TO_CHANGE = (*CROSS, *SWAP[0], *SWAP[1], *SWAP[2])
"""The plug is out, and the hands are to be covered."""


async def test_a_change_alone_is_told_and_gone_on_with(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHANGE, "escape", "minus", "minus", "minus")
        assert board.says("go on with Blade change")
        assert "Cover hands and edges" in await board.press("0")


async def test_a_check_and_a_change_on_one_machine_are_both_told_and_reached(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "3", "escape", "minus", "minus")
        assert board.says("go on with Blade at 90")
        await board.press(*TO_CHANGE, "escape", "minus", "minus", "minus")
        assert "0 SAW      » go on with Blade change" in board.text
        assert "0 SAW      » go on with Blade at 90" in board.text
        assert "BLADE CHANGE IN PROGRESS" in board.text
        shown = await board.press("0")
        assert "Go on with which?" in shown
        assert "►1 Blade change" in shown
        assert " 2 Blade at 90" in shown
        assert "Cover hands and edges" in await board.press("1")
        await board.press("escape")
        assert "Blade at 90" in (await board.press("2")).split("\n")[0]


def test_of_more_than_two_it_is_said_how_many() -> None:
    change = UnderWay("Band change", "bs", "Bandsaw", "")
    check = UnderWay("Table flat", "p", "Planer", "begun 3 min ago", point="p.table")
    assert named([check]) == "Table flat, begun 3 min ago"
    assert named([change, check]) == "Band change (Bandsaw), or Table flat"
    assert named([change, check, check]) == "Band change (Bandsaw), or 2 more"


@pytest.mark.parametrize(("width", "room"), [(60, 5), (80, 20)])
def test_a_long_list_keeps_its_cursor_in_sight(width: int, room: int) -> None:
    found = [UnderWay(f"Name {number} " * 9, "m", "Machine " * 7, "") for number in range(30)]
    for cursor in range(30):
        drawn = under_way_lines(found, cursor, (width, room))
        assert len(drawn) <= room
        assert {width_of(line) for line in drawn} == {width}
        assert any(f"Name {cursor} " in text for line in drawn for text, _ in line if text)
        assert sum("►" in text for line in drawn for text, _ in line) == 1


async def test_a_check_in_progress_is_gone_on_with_and_not_named_as_one_to_begin(
    place: Place,
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "3", "escape", "minus", "minus")
        assert board.says("go on with Blade at 90")
        assert not board.says("check Blade at 90")


async def test_steps_name_no_enter_where_only_a_number_goes_on(place: Place) -> None:
    """A change's first step, and the reasons of a tag: the footer promises what a key does."""
    async with place.open() as board:
        await board.press(*TO_CHANGE[:-1])
        assert "Unplug the machine" in board.text
        assert "Enter" not in board.lines[-1]
        assert "x /  give up" in board.lines[-1]
        await board.press("1")
        assert "Enter  go on" in board.lines[-1]
        await board.press("full_stop")
        assert "Why is it out of use?" in board.text
        assert "Enter" not in board.lines[-1]


async def test_over_a_check_0_leads_back_to_it_and_opens_it_no_second_time(place: Place) -> None:
    """A point struck where no number is typed opens the tag: what follows must not be lost."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY)
        asked, deep = board.text, len(board.app.screen_stack)
        await board.press("full_stop")
        assert "Why is it out of use?" in board.text
        await board.press("0")
        assert board.text == asked
        assert len(board.app.screen_stack) == deep
        await board.press("3")
        assert not board.says("NOT RECORDED")
        assert board.text != asked
