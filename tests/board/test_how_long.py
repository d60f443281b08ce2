"""How long one has is asked where a day begins: a line of the screen, changed by one key."""

from __future__ import annotations

from datetime import timedelta

import pytest

from shopboard.board.paint import plain
from shopboard.board.prep_view import Shown, prep_lines
from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.plan import DayPlan
from shopboard.prep.plan_words import clock, time_words
from shopboard.prep.time_had import Window
from tests.board.conftest import Place
from tests.board.test_prep import worked_out
from tests.prep.test_plan_told import DAY, at, begun, line, piece
from tests.prep.workshop import SHOP

MACHINES = {"saw": "Table saw"}
ASKED = "t  How long do you have?"


def drawn(plan: DayPlan, width: int = 80) -> str:
    return "\n".join(plain(row) for row in prep_lines(Shown(plan, MACHINES), (width, 20)))


def test_it_is_asked_of_every_day_that_is_not_begun() -> None:
    plan = DayPlan((line(0, 5), line(5, 9)), at(9), DAY)
    assert f"{ASKED} As long as it takes." in drawn(plan)
    assert ASKED not in drawn(plan._replace(day=begun(9)))
    assert ASKED not in drawn(DayPlan((), DAY, DAY))


@pytest.mark.parametrize("width", [80, 160])
def test_the_answer_has_a_row_of_its_own_where_it_is_long(width: int) -> None:
    left = (LeftPiece(piece(minutes=90), "stays due: knocked"),)
    window = Window(DAY, at(30))
    plan = DayPlan((line(0, 5),), at(5), DAY, left=left, window=window, limited=True)
    told = "Time until 8:30. Not in your time: 1 job, 1 h 30 min."
    shown = drawn(plan, width)
    assert ASKED in shown
    assert told.replace("8:30", time_words(plan).split()[-1].rstrip(".")) in shown


def test_a_pause_within_the_time_one_has_is_named() -> None:
    plan = DayPlan((line(0, 5),), at(5), DAY, window=Window(DAY, at(60)), until=at(180))
    words = time_words(plan)
    assert "with a pause from" in words
    assert "pause" not in time_words(plan._replace(until=at(60)))


async def test_one_key_answers_and_the_next_begins(bare: Place) -> None:
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open() as board:
        await board.press("n")
        assert f"{ASKED} As long as it takes." in await worked_out(board)
        assert "How long do you have?" in await board.press("t")
        await board.press("1")
        until = bare.clock.now + timedelta(minutes=30)
        assert f"Time until {clock(until, bare.clock.now)}" in await worked_out(board)
        await board.press("enter")
        await worked_out(board)
        assert board.says("begun")
        assert not board.says(ASKED)
