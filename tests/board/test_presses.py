"""Tools of a set fill a wait, and no more: what harms to be left is named before the next one."""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta

import pytest

from shopboard.board.screens.prep import PrepScreen
from shopboard.board.screens.task_steps import TaskStepsScreen
from shopboard.journal import open_journal
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.sittings.task import TaskSitting
from tests.board.conftest import Board, Place
from tests.board.test_prep import worked_out
from tests.builders import do_steps
from tests.two_shops import COMBINATION, METRIC

ROLLERS = """
[[machine.task]]
id = "rollers"
name = "Clean the feed rollers"
every = "4 weeks"
minutes = "10 min"
leaves = "dirt"
steps = [{ do = "Solvent on", wait = "10 min", at_most = "15 min" }, "Wipe dry"]
"""
CHISELS = """
[[machine.task]]
id = "chisels"
name = "Hone the chisels"
every = "4 weeks"
minutes = "24 min"
each = ["6 mm", "12 mm", "18 mm", "25 mm"]
"""


def text_of(shop: str) -> str:
    """Put the rollers on the planer, and the chisels among the hand tools."""
    at = shop.index('\n[[machine]]\nid = "tools"')
    end = shop.find("\n[[project]]")
    return shop[:at] + ROLLERS + shop[at:end] + CHISELS + shop[end:]


SHOPS = {
    "metric": text_of(METRIC),
    "combination": text_of(
        COMBINATION.replace(
            "\n[[project]]", '\n[[machine]]\nid = "tools"\nname = "Hand tools"\n\n[[project]]', 1
        )
    ),
}


@pytest.fixture(params=[*SHOPS])
def place(bare: Place, request: pytest.FixtureRequest) -> Place:
    bare.shop_file.write_text(SHOPS[request.param], encoding="utf-8")
    with closing(open_journal(bare.journal_file, bare.clock)) as journal:
        begin_day(journal, "", None)
        shop = OpenShop(bare.shop_file, bare.journal_file, bare.clock).shop
        task = next(one for one in shop.machines_by_id["planer"].tasks if one.id == "rollers")
        do_steps(TaskSitting(journal, "planer", task, None))
    return bare


async def at_the_chisels(board: Board) -> None:
    await board.press("n")
    await worked_out(board)
    shop = board.app.open_shop
    task = next(one for one in shop.shop.machines_by_id["tools"].tasks if one.id == "chisels")
    board.app.push_screen(TaskStepsScreen(TaskSitting(shop.journal, "tools", task, None)))
    await board.settle()


async def test_a_tool_that_still_fits_goes_on_to_the_next(place: Place) -> None:
    """Six minutes each: three from now the second one would be done before time is up."""
    async with place.open() as board:
        await at_the_chisels(board)
        assert not board.says("Its time is up")
        place.clock.pass_by(minutes=3)
        await board.press("enter")
        assert isinstance(board.app.screen, TaskStepsScreen)
        assert not board.says("Its time is up")


@pytest.mark.parametrize(
    ("minutes", "told"),
    [(6, "Its time is up at 8:10, 8:15 at the latest."), (12, "Its time is up, 8:15 at the late")],
)
async def test_what_is_over_before_the_next_is_done_leads_back(
    place: Place, minutes: int, told: str
) -> None:
    place.clock.now = place.clock.now.replace(hour=8)
    async with place.open() as board:
        await at_the_chisels(board)
        place.clock.pass_by(minutes=minutes)
        await board.look()
        await board.press("enter")
        assert isinstance(board.app.screen, PrepScreen)
        assert board.says("Recorded. ")
        assert board.says(told)


async def test_it_is_said_before_the_next_tool_and_once_it_is_too_late(place: Place) -> None:
    async with place.open() as board:
        await at_the_chisels(board)
        place.clock.now += timedelta(minutes=12)
        await board.look()
        assert board.says("Wipe dry. Its time is up,")
        assert board.says("Esc see to that first")
        place.clock.now += timedelta(minutes=12)
        await board.look()
        assert board.says("Its time is up, it was left too long.")
