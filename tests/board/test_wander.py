"""The point's screen says how it wanders, when it is due by that, and what moved it at once."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import open_journal
from shopboard.shop.machine import HOURS_RUN
from shopboard.shop.reader import read_shop
from shopboard.upkeep.happenings import record_happening
from tests.board.conftest import Place
from tests.cli.program import SHOP
from tests.histories import GROWING, THOU_PER_FT, check_over_the_years

EVERY = 'tolerance = "0.1 deg"\nevery = "6 months"'


@pytest.fixture
def years(bare: Place) -> Place:
    """A saw's blade, checked every 90 days for two years."""
    bare.shop_file.write_text(SHOP.replace('tolerance = "0.1 deg"', EVERY), encoding="utf-8")
    shop = read_shop(bare.shop_file).shop
    with closing(open_journal(bare.journal_file, bare.clock)) as journal:
        record_happening(journal, "saw", HOURS_RUN, 60)
        check_over_the_years(journal, bare.clock, shop, "saw.blade", GROWING)
    return bare


@pytest.mark.parametrize(("width", "height"), [(80, 24), (160, 48)])
async def test_the_sentence_stands_above_what_can_be_done(
    years: Place, width: int, height: int
) -> None:
    async with years.open(width, height) as board:
        await board.press("1", "1")
        await board.look()
        assert board.says(
            " a month over 7 changes between checks; at that rate, 5 % chance of being out by"
        )
        assert board.says(": check every ")
        assert "check it now" in board.text
        assert "as-found" in board.text
        assert board.text.index("It drifts") < board.text.index("check it now")


async def test_the_day_that_is_said_is_the_day_on_which_it_becomes_due(years: Place) -> None:
    """Before that the shop file's half year would have let it be."""
    async with years.open() as board:
        due = board.app.open_shop.standing.of_point("saw.blade")
        assert due is not None
        assert due.due_on is not None
        days = (due.due_on - years.clock()).days
        assert 50 < days < 150
        await board.press("1", "1")
        await board.look()
        assert board.says(f"by {due.due_on:%a} {due.due_on.day} {due.due_on:%b %Y}: check every")
    years.clock.pass_by(days=days - 1, hours=23)
    async with years.open() as board:
        await board.press("1", "1")
        assert not board.says("it drifts about ")
    years.clock.pass_by(days=1)
    async with years.open() as board:
        await board.press("1", "1")
        assert board.says(f"good for {days} days: it drifts about ")


async def test_a_step_is_named_with_its_likely_cause(years: Place) -> None:
    shop = read_shop(years.shop_file).shop
    with closing(open_journal(years.journal_file, years.clock)) as journal:
        record_happening(journal, "saw", "blade changed")
        errors = [(65 * THOU_PER_FT, 0.0)]
        check_over_the_years(journal, years.clock, shop, "saw.blade", errors)
    async with years.open() as board:
        await board.press("1", "1")
        await board.look()
        assert board.says(
            "more than creep or drift explains: blade changed in between, probably the"
        )


async def test_a_point_never_checked_says_nothing_and_one_checked_once_what_is_assumed(
    years: Place,
) -> None:
    async with years.open() as board:
        await board.press("2", "1")
        await board.look()
        assert "wander" not in board.text
    shop = read_shop(years.shop_file).shop
    with closing(open_journal(years.journal_file, years.clock)) as journal:
        check_over_the_years(journal, years.clock, shop, "jointer.fence", [0.0])
    async with years.open() as board:
        await board.press("2", "1")
        await board.look()
        assert board.says("Too few checks yet to tell how it moves.")


async def test_a_result_taken_back_changes_what_is_said(years: Place) -> None:
    """Worked out anew as soon as the screen comes back."""
    async with years.open() as board:
        await board.press("1", "1")
        await board.look()
        assert board.says("over 7 changes between checks")
        await board.press("v", "1")
        await board.look()
        assert board.says("over 6 changes between checks")
