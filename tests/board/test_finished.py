"""Which project is finished, by keys alone: its digit twice; another one; withdrawn again."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import Entry, open_journal
from tests.board.conftest import Board, Place
from tests.prep.workshop import SHOP


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop with a project, which is cut on its saw."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


def recorded(place: Place) -> list[Entry]:
    """What is on record and stands."""
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        return journal.recent("happening", "", "project finished", include_void=False)


async def asked(board: Board) -> str:
    """Go to the question which project is finished."""
    await board.press("h")
    line = next(one for one in board.lines if "project finished" in one)
    return await board.press(line.replace("►", " ").split()[0])


async def test_its_digit_twice_records_it_with_the_machines_it_was_cut_on(loft: Place) -> None:
    async with loft.open() as board:
        shown = await asked(board)
        assert "Which project is finished?" in shown
        assert "1 Blanket chest" in shown
        assert "2 another one" in shown
        await board.press("1")
        assert board.says("Finished: Blanket chest. 1 or Enter once more records it.")
        assert recorded(loft) == []
        await board.press("1")
        assert board.says("Recorded: project finished, Blanket chest.")
        assert "Blanket chest; 1 project, 1 project in all" in await board.press("h")
    (entry,) = recorded(loft)
    assert (entry.body["project"], entry.body["machines"]) == ("chest", ["saw"])


async def test_another_one_is_recorded_without_a_name(loft: Place) -> None:
    async with loft.open() as board:
        await asked(board)
        await board.press("down", "enter", "enter")
        assert board.says("Recorded: project finished.")
    (entry,) = recorded(loft)
    assert "project" not in entry.body


async def test_another_line_is_asked_anew_and_minus_records_nothing(loft: Place) -> None:
    async with loft.open() as board:
        await asked(board)
        await board.press("1", "2")
        assert board.says("Finished: another one. 2 or Enter once more records it.")
        await board.press("-", "-")
    assert recorded(loft) == []


async def test_it_is_told_later_with_its_day(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        at = next(n for n, one in enumerate(board.lines) if "project finished" in one)
        first = next(n for n, one in enumerate(board.lines) if "►" in one)
        await board.press(*["down"] * (at - first), "y", "2", "enter")
        assert board.says("Which project is finished?")
        await board.press("1", "1")
        assert board.says("Recorded: project finished, Blanket chest, of ")
    (entry,) = recorded(loft)
    assert entry.body["on"]
