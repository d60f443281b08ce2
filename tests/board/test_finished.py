"""Which project is finished and which machines ran, by keys alone: digits, Enter, another one."""

from __future__ import annotations

import re
from contextlib import closing

import pytest

from shopboard.journal import Entry, open_journal
from tests.board.conftest import Board, Place
from tests.cli.test_finished import BENCH
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


async def test_its_digit_and_enter_record_it_with_the_machines_that_ran(loft: Place) -> None:
    """No point of jointer or hand tools shows in a cut: nothing tells that they did not run."""
    async with loft.open() as board:
        shown = await asked(board)
        assert "Which project is finished?" in shown
        assert "1 Blanket chest" in shown
        assert "2 another one" in shown
        await board.press("1")
        shown = " ".join(board.text.split())
        assert "1 Table saw ■ ran by its joints" in shown
        assert "3 Hand tools ■ ran no joint tells of it" in shown
        assert recorded(loft) == []
        await board.press("enter")
        assert board.says("Recorded: project finished, Blanket chest, for 3 of 3 machines.")
        shown = await board.press("h")
        assert "Blanket chest; 1 project here in all" in shown
    (entry,) = recorded(loft)
    assert entry.body["project"] == "chest"
    assert entry.body["machines"] == ["saw", "jointer", "edges"]
    assert "not_on" not in entry.body


async def test_the_page_of_a_machine_counts_its_own_projects(loft: Place) -> None:
    """The saw did not run in the second: its tasks count one, and its page said two."""
    async with loft.open(120, 30) as board:
        for keys in (("1", "enter"), ("2", "1", "enter")):
            await asked(board)
            await board.press(*keys)
        shown = await board.press("h")
        assert "did not run here; 1 project here in all; ran on 2 machines" in shown
        assert "Blanket chest; 1 project here in all; ran on 3 machines" in shown


async def test_a_bench_where_tools_are_proven_is_not_asked_about(loft: Place) -> None:
    loft.shop_file.write_text(SHOP + BENCH, encoding="utf-8")
    async with loft.open() as board:
        await asked(board)
        await board.press("1")
        assert board.says("3 Hand tools")
        assert not board.says("Bench")
        await board.press("enter")
        assert board.says("for 3 of 3 machines")


async def test_one_that_is_finished_stands_last_and_says_when(loft: Place) -> None:
    """It was offered first once more, and recorded once more, as if it had never been finished."""
    text = loft.shop_file.read_text(encoding="utf-8")
    stool = '\n[[project]]\nid = "stool"\nname = "Stool"\n'
    loft.shop_file.write_text(text + stool, encoding="utf-8")
    async with loft.open() as board:
        await asked(board)
        await board.press("1", "enter")
        shown = await asked(board)
        assert "1 Stool" in shown
        assert "2 Blanket chest" in shown
        assert re.search(r"Blanket chest .* finished \w{3} \d", shown)
        await board.press("2", "enter")
        assert board.says("Recorded: project finished, Blanket chest, again (before: ")
        assert re.search(r"Blanket chest .* finished \w{3} \d", await board.press("u"))
        await board.press("-", "n", "p", "p")
        assert board.says("That project was finished on ")


async def test_a_digit_takes_a_machine_away_and_adds_it_again(loft: Place) -> None:
    async with loft.open() as board:
        await asked(board)
        await board.press("1", "1", "2", "1")
        shown = " ".join(board.text.split())
        assert "1 Table saw ■ ran" in shown
        assert "2 Jointer ─ idle" in shown
        await board.press("3", "enter")
        assert board.says("Recorded: project finished, Blanket chest, for 1 of 3 machines.")
    (entry,) = recorded(loft)
    assert (entry.body["machines"], entry.body["not_on"]) == (["saw"], {"jointer": 1, "edges": 1})


async def test_another_one_is_recorded_without_a_name(loft: Place) -> None:
    async with loft.open() as board:
        await asked(board)
        await board.press("down", "enter", "enter")
        assert board.says("Recorded: project finished.")
    (entry,) = recorded(loft)
    assert not {"project", "machines", "not_on"} & entry.body.keys()


async def test_of_another_one_it_can_be_said_which_machines_ran(loft: Place) -> None:
    async with loft.open() as board:
        await asked(board)
        await board.press("2", "2", "enter")
        assert board.says("Recorded: project finished, for 2 of 3 machines.")
    (entry,) = recorded(loft)
    assert (entry.body["machines"], entry.body["not_on"]) == (["saw", "edges"], {"jointer": 1})


async def test_minus_records_nothing(loft: Place) -> None:
    async with loft.open() as board:
        await asked(board)
        await board.press("1", "1", "-")
        assert board.says("Which project is finished?")
        await board.press("-", "-")
    assert recorded(loft) == []


async def test_it_is_told_later_with_its_day(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        at = next(n for n, one in enumerate(board.lines) if "project finished" in one)
        first = next(n for n, one in enumerate(board.lines) if "►" in one)
        await board.press(*["down"] * (at - first), "y", "2", "enter")
        assert board.says("Which project is finished?")
        await board.press("1", "enter")
        assert board.says("Recorded: project finished, Blanket chest, for 3 of 3 machines, of ")
    (entry,) = recorded(loft)
    assert entry.body["on"]
