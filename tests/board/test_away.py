"""After an hour of which nothing is on record the next key is answered by: were you away?"""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta

import pytest

from shopboard.journal import kinds, open_journal
from tests.board.conftest import Board, Place
from tests.board.test_prep import PLUG_OUT, worked_out
from tests.prep.workshop import SHOP
from tests.two_shops import SHOPS

ASKED = "Nothing was recorded since 8:00, for 1 h 10 min."


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop with a project."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


def pauses(place: Place) -> list[tuple[bool, int]]:
    """Give the pauses on record, newest first: whether away, and for how many minutes."""
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        found = journal.recent(kinds.PAUSE.name, "", "")
    told = [(kinds.PAUSE.read(one), one.when) for one in found]
    return [(one.away, (when - (one.since or when)) // timedelta(minutes=1)) for one, when in told]


async def begun(board: Board) -> None:
    await board.press("n")
    await worked_out(board)
    await board.press("enter")
    assert board.says("begun 8:00")


@pytest.mark.parametrize("shop", ["metric", "combination", ""])
async def test_one_key_says_that_one_was_away(loft: Place, shop: str) -> None:
    if shop:
        loft.shop_file.write_text(SHOPS[shop], encoding="utf-8")
    async with loft.open() as board:
        await begun(board)
        loft.clock.pass_by(minutes=70)
        assert board.says("Nothing recorded since") is False
        await board.press("enter")
        assert board.says(ASKED)
        await board.press("4")
        assert board.says("press 1 or 2")
        await board.press("1")
        assert board.says("On record: you were away for 1 h 10 min, which does not count.")
        await worked_out(board)
        assert board.says("on schedule, not counting 1 h 10 min away")
        assert not board.says("longer so far")
        assert pauses(loft) == [(True, 70)]
        await board.press("down")
        assert not board.says("Nothing was recorded since")


async def test_in_the_middle_of_a_step_one_was_at_it(loft: Place) -> None:
    """The key that is answered by the question does nothing else: the step is still to do."""
    async with loft.open() as board:
        await begun(board)
        await board.press("enter", PLUG_OUT)
        assert board.says("Blade off, into the tub")
        loft.clock.pass_by(minutes=70)
        await board.press("enter")
        assert board.says(ASKED)
        await board.press("2")
        assert board.says("On record: you were at it for 1 h 10 min.")
        assert board.says("Blade off, into the tub")
        await board.press("escape")
        await worked_out(board)
        assert board.says("1 h 6 min longer so far, about 4 min left")
        assert pauses(loft) == [(False, 70)]


async def test_a_question_left_open_comes_with_the_next_key_again(loft: Place) -> None:
    async with loft.open() as board:
        await begun(board)
        loft.clock.pass_by(minutes=70)
        await board.press("down", "minus")
        assert not board.says("Nothing was recorded since")
        assert board.says("Nothing recorded since 8:00: planned on from now.")
        await board.press("down")
        assert board.says(ASKED)
        assert pauses(loft) == []


async def test_over_a_night_nobody_is_asked(loft: Place) -> None:
    """It is recorded and said with the first key, which does nothing else."""
    async with loft.open() as board:
        await begun(board)
        loft.clock.pass_by(hours=24)
        await board.press("enter")
        assert board.says("A new day. On record: away for 24 h, since Mon 8:00.")
        await worked_out(board)
        assert board.says("begun Mon 8:00 · done by 8:59, planned for Mon 8:59")
        assert board.says("NOW Table saw: Blade off")
        await board.press("enter")
        assert board.says("Unplug the machine first.")
        assert pauses(loft) == [(True, 24 * 60)]


async def test_a_question_left_open_over_a_night_is_answered_by_that(loft: Place) -> None:
    async with loft.open() as board:
        await begun(board)
        loft.clock.pass_by(minutes=70)
        assert ASKED in await board.press("enter")
        loft.clock.pass_by(hours=15)
        await board.press("1")
        await worked_out(board)
        assert board.says("A new day. On record: away for 16 h 10 min")
        assert not board.says(ASKED)
        assert board.says("NOW Table saw: Blade off")
        assert len(pauses(loft)) == 1


async def test_what_the_plan_waits_for_is_no_pause(loft: Place) -> None:
    """A soak of two hours with nothing else to do: whoever is away meanwhile does as planned."""
    long_soak = SHOP.replace("wait 20 min", "wait 2 h").replace('every = "4 weeks"', "", 1)
    assert long_soak != SHOP
    loft.shop_file.write_text(long_soak, encoding="utf-8")
    async with loft.open() as board:
        await begun(board)
        await board.press("enter", PLUG_OUT, "enter", "enter")
        loft.clock.pass_by(minutes=100)
        await board.press("enter")
        assert board.says("20 min left")
        loft.clock.pass_by(minutes=81)
        await board.press("enter")
        assert board.says("Nothing was recorded since")


async def test_a_soak_that_ran_over_a_night_says_so_and_is_done_again(loft: Place) -> None:
    async with loft.open() as board:
        await begun(board)
        await board.press("enter", PLUG_OUT, "enter")
        assert board.says("done: its 20 min begin now")
        loft.clock.pass_by(hours=9)
        await board.press("2")  # the key of a question that is not asked: nothing was recorded
        await board.press("1", "enter", "3")
        assert board.says("it began 5 minutes before that")
        await board.press("enter")
        assert board.says("15 min left")
        loft.clock.pass_by(hours=15)
        assert "Soak" in await board.look()
        assert board.says("Time was up")
        assert board.says("It was left over a night.")
        assert board.says("cleaner or wax that has dried on is put on again")
        await board.press("3", "3")  # the first key of the day does nothing else
        assert board.says("done: its 20 min begin now")
        await board.press("escape")
        await worked_out(board)
        assert board.says("NOW Table saw: Soak")


async def test_outside_of_a_prep_day_nobody_is_asked(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("n")
        await worked_out(board)
        loft.clock.pass_by(hours=3)
        await board.press("down", "minus", "t")
        assert pauses(loft) == []
        assert not board.says("Nothing was recorded since")
