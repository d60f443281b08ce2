"""What happened, by keys alone: chosen twice, an amount or words typed, the chain undone."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime

import pytest
from textual import events

from shopboard.board.paint import plain
from shopboard.board.point_view import point_lines
from shopboard.board.screens.base import ONCE_MORE
from shopboard.journal import JournalCannotWrite, open_journal
from shopboard.shop.machine import HAPPENINGS, NOTE, PROJECT_FINISHED, USES
from shopboard.standing.model import PointStanding, State
from shopboard.upkeep.happenings import newest_happenings, record_happening
from shopboard.upkeep.task_marks import record_task
from tests.board.conftest import Board, Place
from tests.board.workshop import SHOP
from tests.builders import make_point

CHECK = ("1", "enter", "enter", "3", "1", "enter", "2", "enter")
"""Begin, take the tools, place the square, no light, none of the leaves: true; clear, close."""


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


def recorded(place: Place, machine: str = "saw") -> list[tuple[str, object, object]]:
    """What stands on record, oldest first: sort, amount, note."""
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        entries = newest_happenings(journal, machine, 50)
    return [(one.point, one.body.get("amount"), one.body.get("note")) for one in reversed(entries)]


def line_with(board: Board, words: str) -> str:
    return next(line for line in board.lines if words in line)


def key_of(board: Board, words: str) -> str:
    """The digit before some words."""
    return line_with(board, words).replace("►", " ").split()[0]


async def test_what_the_shop_file_names_comes_first_and_says_what_it_undoes(loft: Place) -> None:
    async with loft.open() as board:
        shown = await board.press("h")
        assert "Saw: what happened?" in board.lines[0]
        assert key_of(board, "blade changed") == "1"
        assert "1 task due" in line_with(board, "blade changed")
        assert "3 points to check again" in line_with(board, "machine moved")
        assert "2 points to check again" in line_with(board, "knocked")
        assert "counts for the machines that ran" in line_with(board, "project finished")
        hasnt = ("knives changed", "knives turned", "belt changed", "stop re-set")
        listed = (*HAPPENINGS, *USES, NOTE)
        assert all((what in shown) == (what not in hasnt) for what in listed)
        assert "Nothing on record." in shown


@pytest.mark.parametrize("at", range(8))
async def test_everything_can_be_recorded_by_cursor_though_no_point_names_it(
    loft: Place, at: int
) -> None:
    """Enter chooses and records; a use asks how much, a note for its words."""
    async with loft.open() as board:
        await board.press("h", *["down"] * at)
        line = line_with(board, "►")
        what = next(one for one in (*HAPPENINGS, *USES, NOTE) if f" {one} " in line)
        await board.press("enter")
        if what in USES:
            assert "How" in board.text
            await board.press("7", "enter")
        elif what == NOTE:
            await board.press(*"hums", "enter")
        elif what == PROJECT_FINISHED:
            assert "Which machines ran?" in board.text
            await board.press("enter")
        else:
            assert board.says(f"{what}: press Enter once more to record it.")
            await board.press("enter")
        assert board.says("Recorded: ")
        assert "The loft" in board.lines[0]
    assert [one[0] for one in recorded(loft)] == [what]


async def test_nought_gives_the_digits_to_the_lines_after_the_ninth(loft: Place) -> None:
    """And again to the first nine; so the number pad alone chooses every line."""
    more = 'undone_by = ["knives changed", "belt changed", "stop re-set"]'
    text = SHOP.replace('rests_on = ["fence"]', f'rests_on = ["fence"]\n{more}')
    loft.shop_file.write_text(text, encoding="utf-8")
    async with loft.open() as board:
        first = await board.press("h")
        shown = await board.press("plus")
        assert "  1  blade changed" not in shown
        assert "►1  " in shown
        assert "     length cut" in first
        assert "  2  length cut" in shown
        assert "How much wood was cut?" in await board.press("2")
        await board.press("escape", "4")
        assert board.says("! there is no such line")
        await board.press("plus")
        assert "►1  blade changed" in board.text
        await board.press("1", "plus", "plus", "1")
        assert board.says("press 1 once more")
    assert recorded(loft) == []


async def test_the_order_of_checking_stands_there_before_it_is_recorded(loft: Place) -> None:
    """From the ground up, and the same that the machine's screen says by numbers afterwards."""
    async with loft.open() as board:
        await board.press("1")
        await check_all(board)
        await board.press("h")
        moved = key_of(board, "machine moved")
        shown = await board.press(moved)
        assert "To check after machine moved, in this order: Table, Fence, Stop." in shown
        shown = await board.press(moved)
        assert board.says("Recorded: machine moved. To check again: 3, first Table.")
        assert "check first: 3 Table; then 2, 1" in shown
        assert "►3 Table" in shown


async def test_what_happened_leads_the_cursor_to_what_is_checked_first(loft: Place) -> None:
    """Though the point that it was on is to be checked again, too."""
    async with loft.open() as board:
        await board.press("1")
        await check_all(board)
        await board.press("h")
        knocked = key_of(board, "knocked")
        assert "►2 Fence" in await board.press(knocked, knocked)
        assert "►1 Stop" in await board.press("up")
        await board.press("h", "minus")
        assert "►1 Stop" in board.text  # nothing happened: it stays
        await board.press("h")
        moved = key_of(board, "machine moved")
        assert "►3 Table" in await board.press(moved, moved)


@pytest.mark.parametrize(
    ("keys", "amount", "says"),
    [
        ("2", 120, "2 h"),
        ("2.5", 150, "2.5 h"),
        ("2h30", 150, "2.5 h"),
        ("90 min", 90, "1.5 h"),
    ],
)
async def test_hours_are_typed_as_a_person_says_them(
    loft: Place, keys: str, amount: float, says: str
) -> None:
    """What is understood stands beside it before it is taken."""
    async with loft.open() as board:
        await board.press("1", "h")
        await board.press(key_of(board, "hours run"))
        typed = ["space" if key == " " else "full_stop" if key == "." else key for key in keys]
        shown = await board.press(*typed)
        assert f"> {keys}_   {says}" in shown
        await board.press("enter")
        assert board.says(f"Recorded: hours run, {says}.")
        assert "Saw" in board.lines[0]
        shown = await board.press("h")
        assert f"{says}, {says} in all" in shown
    assert recorded(loft) == [("hours run", amount, None)]


async def test_it_is_told_at_a_point_too(loft: Place) -> None:
    """One key away, by h or the pad's plus; back at the point, it stands there."""
    async with loft.open() as board:
        await board.press("1")
        await check_all(board)
        await board.press("2")
        assert "Saw · Fence" in board.lines[0]
        await board.press("h")
        assert "Saw: what happened?" in board.lines[0]
        knocked = key_of(board, "knocked")
        shown = await board.press(knocked, knocked)
        assert "Saw · Fence" in board.lines[0]
        assert "knocked on Mon 1 Jun 2026" in shown


async def test_what_is_no_amount_is_refused_and_the_entry_stays(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        await board.press(key_of(board, "hours run"), "enter")
        assert board.says("! nothing typed")
        shown = await board.press(*"2h99", "enter")
        assert board.says("! 2h99: minutes after hours run from 0 to 59")
        assert "> 2h99_" in shown
        await board.press("backspace", "backspace", *"15", "enter")
        assert board.says("Recorded: hours run, 2.25 h.")


async def test_a_length_is_feet_in_a_shop_of_inches(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h", *["up"], *["down"] * 11, "enter", *"120", "enter")
        assert board.says("Recorded: length cut, 120 ft.")
    assert recorded(loft) == [("length cut", 120 * 304.8, None)]


async def test_leaving_the_question_records_nothing(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        await board.press(key_of(board, "hours run"), *"2", "escape")
        assert "what happened?" in board.lines[0]
        await board.press(key_of(board, "hours run"), "minus", "minus", "minus")
        assert "The loft" in board.lines[0]
    assert recorded(loft) == []


async def test_a_question_does_not_wait_for_its_key_for_minutes(loft: Place) -> None:
    """Who comes back after a while presses the key for the first time."""
    async with loft.open() as board:
        await board.press("h")
        place = key_of(board, "knocked")
        await board.press(place)
        assert board.says(f"press {place} once more to record it")
        loft.seconds.at += ONCE_MORE + 1
        board.app.look_again()
        assert "once more" not in await board.settle()
        await board.press(place)
        assert board.says(f"press {place} once more to record it")
        loft.seconds.at += ONCE_MORE
        await board.press(place)  # too late, even where the board had no time to look
        assert board.says(f"press {place} once more to record it")
    assert recorded(loft) == []


async def test_a_digit_alone_is_no_note(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        await board.press(key_of(board, "note"), "1", "enter")
        assert board.says("1 alone says nothing later: write a few words")
        await board.press("space", *"tooth missing", "enter")
        assert board.says("Recorded: a note.")
    assert recorded(loft) == [("note", None, "1 tooth missing")]


@pytest.mark.parametrize("minus", ["-", *"\u2212\u2013\u2014\u2010\u2011\ufe63\uff0d\u207b"])
async def test_hours_below_zero_are_refused_with_their_reason(loft: Place, minus: str) -> None:
    """However the minus is typed: it neither leaves the field nor is it dropped."""
    async with loft.open() as board:
        await board.press("h")
        await board.press(key_of(board, "hours run"))
        await board.strike("subtract" if minus == "-" else "some_dash", minus)
        assert "> -2_" in await board.press("2")
        await board.press("enter")
        assert board.says("! -2: it must be more than 0")
        assert "> 2_" in await board.press("2")  # typed anew, on the pad alone
        await board.press("enter")
        assert board.says("Recorded: hours run, 2 h.")
    assert recorded(loft) == [("hours run", 120.0, None)]


async def test_digits_of_full_width_are_read(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        await board.press(key_of(board, "hours run"))
        for char in "\uff12\uff0e\uff15":
            await board.strike("wide", char)
        assert "> 2.5_   2.5 h" in await board.settle()
        board.app.post_message(events.Paste("\u0662"))  # another script's: it stays, refused
        await board.press("enter")
        assert board.says("use the digits 0 to 9")
    assert recorded(loft) == []


async def test_a_pasted_note_is_words(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        await board.press(key_of(board, "note"))
        board.app.post_message(events.Paste("the [bold]belt[/] \x1b[2Jslips"))
        await board.press("enter")
        assert board.says("Recorded: a note.")
        assert "the [bold]belt[/] [2Jslips" in await board.press("h")
    assert recorded(loft) == [("note", None, "the [bold]belt[/] [2Jslips")]


async def check_all(board: Board) -> None:
    """Check table, fence and stop, as the board proposes them: Enter, from the machine's screen."""
    for name in ("Table", "Fence", "Stop"):
        assert f"► {name}" in board.text.replace("►1", "► ").replace("►2", "► ").replace(
            "►3", "► "
        ).replace("  ", " ")
        await board.press("enter")
        assert f"Saw · {name}" in board.lines[0]
        await board.press(*CHECK, "minus")


async def test_the_order_of_checking_again_follows_the_chain(loft: Place) -> None:
    """The board and the machine's screen propose what the others rest on; Enter leads there."""
    async with loft.open() as board:
        first = next(one for one in board.lines if "? check" in one)
        assert "? check Table" in first
        shown = await board.press("1")
        assert "check first: 3 Table; then" in shown
        await check_all(board)
        assert "3 true" in (await board.press("minus")).split("\n")[0]

        await board.press("h")
        moved = key_of(board, "machine moved")
        await board.press(moved, moved)
        assert "3 due" in board.lines[0]
        assert "○ Table: machine moved on" in board.text
        assert "NEXT    1 SAW      ○ check Table" in board.text
        shown = await board.press("1")
        assert shown.count("machine moved on Mon 1 Jun 2026; depends on Table") == 2
        await check_all(board)
        assert "■ true" in board.text
        assert "due" not in line_with(board, "Table")


async def test_the_point_says_what_to_check_first(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("1", "1")
        assert board.says("Depends on Fence, which is unproven: what that depends on comes first.")


async def test_taking_back_asks_once_and_the_checks_hold_again(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("1")
        await check_all(board)
        await board.press("h")
        knocked = key_of(board, "knocked")
        await board.press(knocked, knocked)
        assert "○ due" in board.text
        loft.clock.pass_by(minutes=30)
        await board.press("h", "v")
        assert board.says("Withdraw: knocked, 30 minutes ago? / or v once more.")
        assert len(recorded(loft)) == 1
        await board.press("v")
        assert board.says("Withdrawn; it stays on record.")
        assert "there is nothing to withdraw" in await board.press("v")
        assert "○ due" not in (await board.press("minus")).replace("○ due Clean", "").replace(
            "○ due Empty", ""
        )


async def test_hours_that_a_task_has_counted_are_taken_back_alone(loft: Place) -> None:
    """What the task still has to run is right afterwards: 8 hours less the one that stands."""
    with closing(open_journal(loft.journal_file, loft.clock)) as journal:
        record_happening(journal, "edges", "hours run", 120.0)
        record_task(journal, "edges", "hone")
        record_happening(journal, "edges", "hours run", 60.0)
    async with loft.open() as board:
        assert board.says("Hand tools")
        await board.press("2", "t")
        assert board.says("in 7 h of use")
        await board.press("minus", "h", "v", "plus", "v")
        assert board.says("Withdrawn; it stays on record.")
        assert board.says("1 h, 1 h in all")
        await board.press("minus", "t")
        assert board.says("in 7 h of use")


async def test_a_key_that_bounces_records_nothing(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("h")
        loft.seconds.step = 0.05
        loft.seconds.at += 1
        await board.press("1", "1")
        assert board.says("press 1 once more")
    assert recorded(loft) == []


async def test_what_cannot_be_recorded_is_said_and_the_entry_stays(
    loft: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with loft.open() as board:

        def full(_: object, after: int | None = None) -> None:
            raise JournalCannotWrite("The disk is full.", "Make room.")

        monkeypatch.setattr(board.app.open_shop.journal, "append", full)
        await board.press("h")
        await board.press(key_of(board, "hours run"), *"25", "enter")
        assert board.says("NOT RECORDED. The disk is full.")
        assert "> 25_" in board.text
        await board.press("escape", "1", "1")
        assert board.says("NOT RECORDED. The disk is full.")
    assert recorded(loft) == []


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (160, 48)])
async def test_every_size_shows_the_list_under_the_cursor(
    loft: Place, size: tuple[int, int]
) -> None:
    async with loft.open(*size) as board:
        await board.press("h", *["down"] * 20)
        assert "►" in board.text
        assert [len(line) for line in board.lines] == [size[0]] * size[1]


async def test_what_happened_on_another_day_is_said_later(loft: Place) -> None:
    """A use asks for the day first, then how much; both times are shown."""
    async with loft.open() as board:
        await board.press("h")
        await board.press(*["down"] * (int(key_of(board, "knocked")) - 1), "y")
        assert board.says("On which day was it?")
        assert "still to come" in await board.press(*"2099-01-01", "enter")
        await board.press(*["backspace"] * 10, "2", "enter")
        assert board.says("Recorded: knocked, of Sat 30 May 2026.")
        await board.press("h")
        assert "of Sat 30 May 2026" in line_with(board, "just now")
        await board.press(*["down"] * (int(key_of(board, "hours run")) - 1), "y", "1", "enter")
        assert board.says("How long did it run?")
        assert "hours run, Sun 31 May 2026" in board.lines[0]
        await board.press("3", "enter")
        assert board.says("Recorded: hours run, 3 h.")
    with closing(open_journal(loft.journal_file, loft.clock)) as journal:
        told = newest_happenings(journal, "saw", 9)
    assert [str(one.body["on"])[:10] for one in told] == ["2026-05-31", "2026-05-30"]


async def test_an_older_count_is_taken_back_alone(loft: Place) -> None:
    """Down or 0 chooses it; what was counted since stays, with the total that is right."""
    async with loft.open() as board:
        for hours in "123":
            await board.press("h")
            await board.press(key_of(board, "hours run"), hours, "enter")
        await board.press("h", "1", "1", "h")  # the blade is changed
        await board.press("v", "plus", "down")
        assert " ►hours run" in board.text
        assert "2 h, 3 h in all" in line_with(board, " ►hours run")
        await board.press("escape")
        assert board.says("Nothing is withdrawn.")
        await board.press("v", "down", "down", "v")
        assert board.says("Withdrawn; it stays on record.")
        assert "3 h, 4 h in all" in board.text
        assert "2 h, 3 h in all" not in board.text
    assert [one[1] for one in recorded(loft)] == [60, 180, None]


async def test_what_is_said_of_what_is_typed_is_told_to_its_end(place: Place) -> None:
    """At 80 columns; it was cut at the edge of the screen."""
    async with place.open() as board:
        await board.press("1", "h")
        line = next(one for one in board.lines if "hours run" in one)
        digit = line.replace("►", " ").split()[0]
        await board.press(digit, digit, *"5-2-2")
        assert board.says("two numbers: a whole number stands only before a fraction, as 1 3/16")


@pytest.mark.parametrize(
    ("state", "stale", "first", "words"),
    [
        ("out", "", "", "which is out: adjust that first."),
        ("out", "moved", "", "which is out: check that first."),
        ("near", "", "", "which is borderline: check that first."),
        ("due", "", "", "which is due: check that first."),
        ("waits", "", "saw.table", "which waits: what that depends on comes first."),
    ],
)
def test_what_comes_first_is_set_right_where_it_is_known_to_be_out(
    state: State, stale: str, first: str, words: str
) -> None:
    """A check cannot help what was measured to be out: common practice, no source."""
    base = PointStanding(make_point("saw.fence"), state, "", first=first, stale=stale)
    mine = PointStanding(make_point("saw.stop"), "out", "out of tolerance")
    lines = point_lines(mine, [base], [], [], 0, datetime(2026, 6, 1, tzinfo=UTC), "mm", (80, 24))
    assert words in " ".join(plain(line) for line in lines)
