"""Several methods at a point, notes typed on the board, and what the drawer cannot prove."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import open_journal
from shopboard.sittings.check import start
from shopboard.sittings.check_sitting import CheckSitting
from tests.board.conftest import Place
from tests.cli.test_methods import WITH_MORE
from tests.journal.helpers import opened
from tests.sittings.test_two_methods import CLOSED

DIALS = """
[[drawer.indicator]]
id = "dial"
name = "Dial indicator"
reach = "1 in"
within = "0.2 thou"

[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "36 in"
within = "1 thou"

[[machine]]
id = "drill"
name = "Drill press"

[[machine.point]]
id = "table"
name = "Table to the quill"
check = "tram"
tolerance = "4 thou over 8 in"
[machine.point.sizes]
radius = "4 in"

[[machine.point]]
id = "flat"
name = "Table flatness"
check = "flatness"
tolerance = "10 thou"

[[machine.point]]
id = "seats"
name = "Knives seated"
check = "seating"
"""


def to_the_cut(sitting: CheckSitting) -> None:
    """Answer a flip test up to where the cut is looked at."""
    while sitting.step is not None and sitting.step.key != "open":
        sitting.answer(sitting.step.unasked or "1")


@pytest.fixture
def more(bare: Place) -> Place:
    """A shop of few points with more than one method, a note, and one that cannot be proven."""
    text = WITH_MORE.replace('tolerance = "0.2 deg"\nrests_on', 'tolerance = "0.002 deg"\nrests_on')
    bare.shop_file.write_text(text, encoding="utf-8")
    return bare


async def test_each_method_is_a_choice_with_the_best_that_it_can_do(more: Place) -> None:
    async with more.open() as board:
        await board.press("2", "1")
        text = await board.look()
        assert "1  check it now: Square and feeler, typically ± " in text
        assert "2  check it now: Flip test cut, typically ± " in text
        await board.press("2")
        assert board.says("A test cut is a cut")


async def test_a_waiting_check_names_its_method_and_the_others_begin_anew(more: Place) -> None:
    async with more.open() as board:
        await board.press("2", "1", "2", "1", "enter", "enter", "escape")
        text = await board.look()
        assert "1  go on with the check begun just now, by flip" in text
        assert "2  start over: Square and feeler" in text
        assert "3  start over: Flip test cut" in text
        await board.press("2")
        assert board.says("Discard its readings? 2 once more. Its results stay.")
        await board.press("3")
        assert board.says("Discard its readings? 3 once more. Its results stay.")
        await board.press("2", "2")
        assert board.says("Take square and leaves")


async def test_another_bench_s_check_is_named_and_its_unsaved_result_kept(more: Place) -> None:
    async with more.open() as board:
        shop = board.app.open_shop.shop
        with closing(open_journal(more.journal_file, more.clock, who=lambda: "phone")) as journal:
            phone = start(journal, shop, shop.points["jointer.fence"], "flip")
            to_the_cut(phone)
            await board.look()
            await board.press("2", "1")
            assert board.says("1 go on with the check begun just now by phone, by flip")
            await board.press("2")
            assert board.says("Discard its readings by phone? 2 once more.")
            while not phone.at_result:
                phone.answer(CLOSED.get(phone.step.key, "1") if phone.step else "")
            await board.look()
            await board.press("2")
            assert board.says("its result waits to be saved: 1 goes on with it")
            await board.press("1")
            phone.answer("")
            await board.look()
            assert board.says("Somebody else (phone) has closed this check meanwhile. Esc leaves")
            await board.press("escape")
            assert board.says("That check is closed. Its results stay.")


async def test_the_history_marks_methods_where_there_is_more_than_one(more: Place) -> None:
    async with more.open() as board:
        await board.press("3", "1", "1", "enter", "enter", "enter", *"6in", "enter", "3")
        await board.press("0", "enter", "1", "enter")
        text = await board.look()
        row = next((line for line in text.splitlines() if "as-found" in line), text)
        assert "as-found square-flip" in row
        assert "■ true" in row
        assert len(row) == 80


async def test_a_note_is_typed_with_every_key_that_a_note_has(more: Place) -> None:
    """Also ``?``, ``-`` and ``w``, which are keys of the board elsewhere."""
    async with more.open() as board:
        await board.press("3", "3", "1")
        assert board.says("what do you want to note?")
        await board.press("enter")
        assert board.says("write a few words")
        text = await board.press(*"belt", "minus", *"worn", "question_mark")
        assert "> belt-worn?_" in text
        await board.press("enter", "enter")
        assert "belt-worn?" in await board.look()
    journal = opened(more.journal_file)
    (entry,) = journal.recent("check", "bench", "belt")
    journal.close()
    assert entry.body["lean"] == "belt-worn?"


async def test_the_machine_says_which_points_the_drawer_cannot_prove(more: Place) -> None:
    async with more.open() as board:
        await board.press("1")
        text = await board.look()
        assert "Your tools cannot settle this (" in text
        await board.press("2")
        await board.look()
        assert board.says("it takes a ")
        await board.press("1")  # it may still be found out, but nobody begins unaware
        assert board.says("Your tools cannot prove it true here.")


async def test_a_tolerance_of_the_wrong_kind_shows_after_the_first_picture(more: Place) -> None:
    text = more.shop_file.read_text(encoding="utf-8")
    more.shop_file.write_text(text.replace('"0 to 10 s"', '"3 thou"'), encoding="utf-8")
    async with more.open() as board:
        assert not board.app.open_shop.problems
        assert board.app.open_shop.look_closer()
        await board.look()
        await board.press("p")
        assert board.says("a length where the check timed measures a time")
        await board.press("minus", "3", "4", "1")
        assert board.says("Time by the watch measures time, the tolerance is of length")


@pytest.fixture
def dials(bare: Place) -> Place:
    """A shop with an indicator and a straightedge; the drill press is its fourth machine."""
    bare.shop_file.write_text(WITH_MORE + DIALS, encoding="utf-8")
    return bare


async def test_a_reading_below_zero_begins_with_minus(dials: Place) -> None:
    """The first minus is the sign, also the pad's; the second one goes a step back."""
    async with dials.open() as board:
        await board.press("4", "1", "1", "1", "enter", "enter", "enter")
        assert board.says("on the near side?")
        assert board.says("- first when it is below zero; - - goes back a step")
        assert "> -.003_" in await board.press("subtract", *".003")
        await board.press("enter")
        assert board.says("on the right side?")
        assert board.says("before: What does the indicator show on the near side? -.003 in")
        assert "> -_" in await board.press("minus")
        await board.press("minus")
        assert board.says("on the near side?")
        await board.press("minus", "3", "enter")
        assert board.says("did you mean -3 thou?")


async def test_a_minus_that_bounces_is_one_sign(dials: Place) -> None:
    async with dials.open() as board:
        await board.press("4", "1", "1", "1", "enter", "enter", "enter")
        dials.seconds.step = 0.01
        assert "> -_" in await board.press("minus", "minus")
        assert board.says("on the near side?")


async def test_a_working_that_does_not_fit_is_read_to_its_end(dials: Place) -> None:
    async with dials.open(height=20) as board:
        await board.press("4", "2", "1", "enter", *(["3", "enter"] * 7), "enter", "w")
        assert board.says("error = minimum zone")
        assert board.says("more lines")
        assert not board.says("true from")
        for _ in range(3):
            await board.press("2")
        assert board.says("true from 95.0 %")
        assert board.says("the end")
        await board.press("8", "8", "8")
        assert board.says("error = minimum zone")


async def test_what_is_said_has_no_budget(dials: Place) -> None:
    async with dials.open() as board:
        await board.press("4", "3", "1", "1", *"11211")
        assert board.says("light under a knife")
        await board.press("w")
        assert board.says("one no is enough")
        assert not board.says("u =")
        await board.press("minus", "enter", "1")
        assert board.says("Do it now.")


async def test_a_digit_where_there_is_nothing_to_choose_says_what_goes_on(dials: Place) -> None:
    async with dials.open() as board:
        await board.press("4", "1", "1", "1")
        assert board.says("done, go on")
        await board.press("2")
        assert board.says("Enter goes on")
        assert board.says("done, go on")
