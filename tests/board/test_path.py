"""The way of a person with gloves on: from the board to a verdict on record, by keys alone."""

from __future__ import annotations

import pytest

from shopboard.journal import open_journal
from tests.board.conftest import Board, Place

TO_CHECK = ("1", "1", "1")
"""Table saw, its blade, check it now."""

READY = ("1", "enter", "enter")
"""Unplugged, tools taken, square placed."""

NO_LIGHT = ("3", "1")
"""No light, and the thinnest leaf goes at neither end."""

TYPED = ("1", "3", *".012", "enter", *".015", "enter")
"""Light at the top, the two leaves typed."""

TRUE_READING = (*READY, *NO_LIGHT, "enter")
"""A true finding, kept."""

OUT_READING = (*READY, *TYPED)
"""A finding out of tolerance."""


async def keep_a_true_finding(board: Board) -> str:
    """Check the blade of the table saw, and find no light."""
    await board.press(*TO_CHECK)
    return await board.press(*TRUE_READING, "2")


async def test_from_the_start_to_a_verdict_on_record_and_still_there_tomorrow(
    place: Place,
) -> None:
    async with place.open() as board:
        assert "The old boathouse" in board.lines[0]
        assert "nothing checked yet" in board.lines[0]
        assert "Table saw" in await board.press("1")
        assert "check it now" in await board.press("1")
        assert "Unplug the machine" in await board.press("1")
        assert "Take square and leaves" in await board.press("1")
        assert "Set its stock on" in await board.press("enter")
        assert "Look for light" in await board.press("enter")
        assert "1.5 thou leaf at both ends" in await board.press("3")
        finding = await board.press("1")
        assert "As found." in finding
        assert "Error" in finding
        assert "tolerance ± 20.9 thou/ft" in finding
        kept = await board.press("enter")
        assert "Recorded 08:00, as-found: true." in kept
        assert "Next here: Blade parallel to the slot." in kept
        assert "Take every tool off the machine" in await board.press("2")
        await board.press("enter")
        assert board.says("The check is closed. Its results are on disk.")
        assert "■ true" in board.text
        assert "46 unproven · 1 true" in (await board.press("minus", "minus")).split("\n")[0]

    place.clock.pass_by(hours=20)
    async with place.open() as board:
        assert "46 unproven · 1 true" in board.lines[0]
        shown = await board.press("1")
        assert "■ true" in shown
        assert "20 hours ago" in shown
        assert "as-found" in await board.press("1")


async def test_the_number_pad_alone_is_enough(place: Place) -> None:
    """Digits, Enter, minus and the point of the pad; its keys have names of their own."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3")
        await board.strike("decimal", ".")
        assert "0.012 in" in await board.press("0", "1", "2")
        assert "thinnest that won't go" in await board.press("enter")
        await board.strike("decimal", ".")
        await board.press("0", "1", "5")
        assert "As found." in await board.press("enter")
        assert "thinnest that won't go" in await board.press("subtract")
        assert "Table saw · Blade at 90" in await board.press("escape")
        assert "Table saw" in await board.press("subtract")
        assert "The old boathouse" in await board.press("subtract")


async def test_after_a_refusal_the_number_is_typed_anew_or_gets_its_unit(place: Place) -> None:
    """The pad has no backspace: a new number takes the place of the refused one; a unit is added.

    The star of the pad lists what else can be done in a field, too: its first line empties it.
    """
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3")
        assert "did you mean 12 thou?" in await board.press("1", "2", "enter")
        assert "> .012_" in await board.press(*".012")
        assert "> .0121_" in await board.press("1")
        await board.press(*["backspace"] * 5)
        await board.press("1", "2", "enter")
        assert "> 12 thou_" in await board.press("space", *"thou")
        await board.press(*["backspace"] * 7, "1", "2", "enter")
        assert "> _" in await board.press("backspace", "backspace")
        assert "Strike out what is typed" not in await board.press("asterisk")
        await board.press("minus", "1", "asterisk", "enter")
        assert "> _" in board.text
        await board.press("1", "2", "enter")
        assert "> -_   - once more goes back" in await board.press("minus")
        assert "thickest that goes" not in await board.press("minus")


async def test_a_correction_leads_to_the_same_measurement_as_left(place: Place) -> None:
    async with place.open() as board:
        assert "As found." in await board.press(*TO_CHECK, *OUT_READING)
        assert "Correct it now?" in await board.press("enter")
        assert "Slacken the tilt lock" in await board.press("1")  # the plug is out since step 1
        assert "How far did you turn" in await board.press("enter")
        assert "lock" in (await board.press("enter")).lower()
        assert "now that it is locked" in await board.press("enter")
        assert "As left." in await board.press("enter", *NO_LIGHT)
        assert "as-left: true" in await board.press("enter")
        await board.press("2", "enter")
        rows = [line for line in board.lines if "as-left" in line or "as-found" in line]
        assert "as-left" in rows[0]
        assert "as-found" in rows[1]

    journal = open_journal(place.journal_file, place.clock)
    found, left = reversed(journal.recent("check", "saw", "blade"))
    assert found.body["verdict"] == "out"
    assert left.body["verdict"] == "true"
    assert len(journal.recent("moved", "saw", "blade")) == 1
    journal.close()


async def test_back_goes_one_step_back_and_a_kept_finding_stays_kept(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK)
        first = body(board.text)
        assert "UNPROVEN" in await board.press("minus")  # before the first step it leaves
        assert body(await board.press("1")) == first
        placed = await board.press("1")
        await board.press("enter")
        assert body(await board.press("minus")) == body(placed)
        await board.press(*TRUE_READING[1:])
        assert "the result is recorded" in await board.press("minus")


def body(text: str) -> str:
    """What a screen says above its notices."""
    return "\n".join(text.split("\n")[:16])


STEPS: list[tuple[str, ...]] = [
    *(("1",), ("enter",), ("enter",), ("1",), ("3",), (*".012", "enter"), (*".015", "enter")),
    *(("enter",), ("1",), ("enter",), ("enter",), ("enter",), ("enter",)),
]
"""A finding out of tolerance and a correction, up to the second look for light."""


async def test_at_every_step_a_check_can_be_cut_off_and_goes_on_there(place: Place) -> None:
    async with place.open() as board:
        here = body(await board.press(*TO_CHECK))
    for keys in STEPS:
        async with place.open() as board:
            assert board.says("go on with Blade at 90")
            assert body(await board.press("0")) == here
            there = body(await board.press(*keys))
            assert there != here, keys
            here = there
    assert "Look for light" in here


@pytest.mark.parametrize("keys", [(*READY, "3"), TRUE_READING[:-1], TRUE_READING])
async def test_leaving_a_check_keeps_it(place: Place, keys: tuple[str, ...]) -> None:
    async with place.open() as board:
        before = body(await board.press(*TO_CHECK, *keys))
        shown = await board.press("escape")
        assert "go on with the check begun just now" in shown
        assert body(await board.press("1")) == before
        await board.press("escape", "minus", "minus")
        assert board.says("go on with Blade at 90")


async def test_a_check_begun_anew_closes_the_old_one(place: Place) -> None:
    """Once that is agreed to by the same digit again."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "3", "escape")
        assert "Unplug the machine" in await board.press("2", "2")
        await board.press(*READY, "3", "escape", "minus", "minus")
        assert len(board.app.open_shop.waiting) == 1


async def test_after_a_pause_the_plug_is_asked_for_again(place: Place) -> None:
    async with place.open() as board:
        before = body(await board.press(*TO_CHECK, "1", "enter"))
    place.clock.pass_by(minutes=38)
    async with place.open() as board:
        assert "» Blade at 90: begun 38" in board.lines[2]
        assert "still unplugged" in await board.press("0")
        assert body(await board.press("1")) == before


async def test_a_check_of_yesterday_is_not_gone_on_with(place: Place) -> None:
    async with place.open() as board:
        first = body(await board.press(*TO_CHECK))
        await board.press("1", "enter")
    place.clock.pass_by(hours=23)
    async with place.open() as board:
        assert board.says("go on with Blade at 90")
    place.clock.pass_by(hours=1)
    async with place.open() as board:
        assert "go on with" not in board.text
        assert body(await board.press(*TO_CHECK)) == first


async def test_a_key_that_bounces_counts_once(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK)
        place.seconds.step = 0.05
        place.seconds.at += 1
        assert "Take square and leaves" in await board.press("1", "1", "1")
        place.seconds.at += 1
        assert "Set its stock on" in await board.press("enter", "enter", "enter")


async def test_a_digit_that_bounces_opens_a_check_and_does_not_answer_it(place: Place) -> None:
    """The caution about the plug stands until it is answered."""
    async with place.open() as board:
        await board.press(*TO_CHECK[:-1])
        place.seconds.step = 0.02
        place.seconds.at += 1
        key = TO_CHECK[-1]
        await board.press(key, key, key)
        assert board.says("the plug is out")
        assert not board.says("Take square and leaves")


async def test_a_refused_answer_leaves_the_step_and_the_entry(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3")
        assert "> 40_" in await board.press(*"40", "enter")
        assert board.says("! 40 in: the gap cannot be larger than")


async def test_a_result_is_taken_back_with_a_reason_and_stays_in_the_history(place: Place) -> None:
    async with place.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter")
        assert "why?" in await board.press("v")
        assert "there is no such line" in await board.press("9")
        shown = await board.press("1")
        assert board.says("Withdrawn; it stays in the history.")
        assert board.says("WITHDRAWN misread, or typed wrong")
        assert "not checked since its result was withdrawn" in shown
        assert "no result here to withdraw" in await board.press("v")


async def test_what_happened_makes_due_what_it_undoes(place: Place) -> None:
    async with place.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter", "minus")
        assert "what happened?" in await board.press("h")
        place.clock.pass_by(minutes=5)
        await board.press("1")
        assert board.says("press 1 once more to record it")
        shown = await board.press("1")
        assert board.says("Recorded: blade changed.")
        assert "○ due" in shown
        assert "blade changed on Mon 1 Jun 2026" in shown


async def test_why_shows_the_formula_and_the_budget(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK)
        assert "Nothing is worked out yet" in await board.press("w")
        await board.press(*TRUE_READING[:-1])
        for keys in (("w",), ("multiply", "2")):
            shown = await board.press(*keys)
            assert "Why: Table saw · Blade at 90" in shown
            assert "square, its own error" in shown
            assert "k u" in shown
            await board.press("minus")
        await board.press("enter", "2", "enter")
        assert "square, its own error" in await board.press("w")
