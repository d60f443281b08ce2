"""A day typed on the pad: how every point stood at its end, and what changed since."""

from __future__ import annotations

import platform
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual import events

from shopboard.board.look_back_view import LookBackRow, ToldSince, ask_lines, then_lines
from shopboard.board.paint import plain, width_of
from shopboard.journal import NewEntry, new_uid, open_journal
from shopboard.metrology.quantity import LONGEST
from shopboard.standing.model import WORST_FIRST, State
from shopboard.upkeep.happenings import record_happening
from tests.board.conftest import Board, Place
from tests.board.test_path import TO_CHECK, TRUE_READING, keep_a_true_finding
from tests.board.test_views import NAMES, NOW, SIZES, point_standing
from tests.in_turn import part


async def a_month(place: Place) -> None:
    """Find the blade true on 1 June; change it on the 4th; it is the 20th."""
    async with place.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter")
    place.clock.pass_by(days=3)
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        record_happening(journal, "saw", "blade changed")
    place.clock.now = datetime(2026, 6, 20, 8, tzinfo=UTC)


def row(board: Board, name: str) -> str:
    """The row of a point in the list, above what is told of it."""
    (found,) = [line for line in board.lines[:18] if name in line]
    return found


async def test_a_day_is_typed_and_shows_then_and_now(place: Place) -> None:
    await a_month(place)
    async with place.open() as board:
        assert "Which day?" in await board.press("y")
        await board.press(*"2026-06-03")
        assert "> 2026-06-03_   the end of Wed 3 Jun 2026" in board.text
        await board.press("enter")
        assert "Look back: the end of Wed 3 Jun 2026" in board.lines[0]
        assert "46 unproven · 1 true" in board.text
        assert "■ true" in row(board, "Blade at 90")
        assert "2 days old" in row(board, "Blade at 90")
        assert "→ ○ due" in row(board, "Blade at 90")
        assert board.says("then: true")
        assert board.says("now: due: blade changed on Thu 4 Jun 2026")
        assert board.says("Thu 4 Jun 2026 08:00 blade changed")
        assert "The old boathouse" in await board.press("minus")


async def test_the_number_pad_alone_is_enough(place: Place) -> None:
    """Days ago; minus twice goes back from the empty field, and is part of a date."""
    await a_month(place)
    async with place.open() as board:
        assert "the end of Wed 3 Jun 2026" in await board.press("y", "1", "7", "enter")
        assert "Which day?" in await board.press("enter")
        await board.press(*"2026", "subtract", "0", "6", "subtract", *"03")
        assert "> 2026-06-03_" in board.text
        assert "Wed 3 Jun" in (await board.press("enter")).split("\n")[0]
        assert "- once more goes back" in await board.press("enter", "subtract")
        assert "The old boathouse" in await board.press("subtract")


async def test_only_what_changed_can_be_shown(place: Place) -> None:
    await a_month(place)
    async with place.open() as board:
        await board.press("y", "1", "7", "enter")
        assert board.says("1 only what changed since: 1")
        assert "Arbor flange" in board.text
        await board.press("down", "1")
        assert "Arbor flange" not in board.text
        assert "► Blade at 90" in board.text
        assert "Arbor flange" in await board.press("1")
        await board.press("enter", "0", "enter", "1")
        assert board.says("Every point stands the same now.")


async def test_a_result_taken_back_since_is_marked(place: Place) -> None:
    await a_month(place)
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        journal.void(journal.recent("check", "saw", "blade")[0].uid, "wrong leaf")
    async with place.open() as board:
        await board.press("y", "1", "7", "enter")
        assert "withdrawn" in row(board, "Blade at 90")
        assert board.says("Its result was withdrawn since: wrong leaf")
        assert board.says("now: unproven: not checked since its result was withdrawn")


async def test_all_that_happened_since_is_told_where_there_is_room(place: Place) -> None:
    """A result that was withdrawn with its mark and all of the reason; else it is counted."""
    await a_month(place)
    why = "read 0.049 for 0.0049: the needle had gone round once, which nobody saw until today"
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        old = journal.recent("check", "saw", "blade")[0]
        for _ in range(6):
            journal.append([NewEntry(new_uid(), "check", "saw", "blade", old.body)])
        journal.void(journal.recent("check", "saw", "blade")[0].uid, why)
    async with place.open(80, 24) as board:
        await board.press("y", "1", "7", "enter")
        await board.press("1")
        assert board.says("Thu 4 Jun 2026 08:00 blade changed")
        told = " ".join(board.text.split())
        assert told.count("checked, ") == 6
        assert f"WITHDRAWN: {why}" in told
    seven = ["one", "two", "three", "four", "five", "six", "seven " * 30]
    stood = point_standing("m", 1, "true", "A")
    rows = [LookBackRow("Machine", stood, stood, changed=True)] * 30
    lines = then_lines(rows, 0, ("", ""), ToldSince(["then: true"], seven), NOW, "inch", (80, 15))
    words = " ".join(" ".join(map(plain, lines)).split())
    assert "then: true 5 earlier: `shopboard changes` lists them six seven seven" in words


async def test_what_is_recorded_meanwhile_shows_by_itself(place: Place) -> None:
    await a_month(place)
    async with place.open() as board:
        await board.press("y", "1", "enter")
        assert board.says("only what changed since: 0")
        with closing(open_journal(place.journal_file, place.clock)) as other:
            old = other.recent("check", "saw", "blade")[0]
            other.append([NewEntry(new_uid(), "check", "saw", "blade", old.body)])
        await board.look()
        assert board.says("only what changed since: 1")
        assert "→ ■ true" in row(board, "Blade at 90")


async def test_before_the_first_record_nothing_was_known(place: Place) -> None:
    await a_month(place)
    async with place.open() as board:
        await board.press("y", *"400", "enter")
        assert board.says("Nothing was on record by then.")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("2026-02-30", "there is no day 2026-02-30"),
        ("2026-06-21", "still to come: today is Sat 20 Jun 2026"),
        ("2026", "is not a day: write a day as 2026-05-01"),
        ("soon", "soon is not a day"),
        ("", "nothing is not a day"),
    ],
)
async def test_a_day_that_cannot_be_is_refused_and_typed_anew(
    place: Place, typed: str, says: str
) -> None:
    """The pad has no backspace: what is typed next takes the place of what was refused."""
    await a_month(place)
    async with place.open() as board:
        await board.press("y", *typed, "enter")
        assert board.says(says)
        assert "Which day?" in board.text
        assert "> 1_" in await board.press("1")
        assert "Fri 19 Jun" in (await board.press("enter")).split("\n")[0]


async def test_the_field_keeps_what_may_be_shown(place: Place) -> None:
    async with place.open() as board:
        await board.press("y", *("1" * 80))
        assert f"> {'1' * (LONGEST + 1)}_" in board.text
        assert "> _" in await board.press("ctrl+u")
        board.app.post_message(events.Paste("2026-06\x1b[2J\u202e-01"))
        await board.pilot.pause()
        await board.pilot.pause()
        assert "\x1b" not in board.text
        assert "> 2026-06[2J-01_" in board.text
        await board.press("backspace")
        assert "> 2026-06[2J-0_" in board.text
        assert "Keys: Look back" in await board.press("question_mark")
        assert "> 2026-06[2J-0_" in await board.press("minus")


async def test_the_window_may_be_of_any_size(place: Place) -> None:
    await a_month(place)
    async with place.open() as board:
        for size in ((60, 20), (80, 24), (160, 48)):
            await board.resize(*size)
            await board.press("y")
            assert "Which day?" in board.text
            await board.press("1", "7", "enter", *["down"] * 30)
            assert "►" in board.text
            assert [len(line) for line in board.lines] == [size[0]] * size[1]
            await board.press("minus")


async def test_a_journal_from_another_computer_is_named_once(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Until the next key; and no more once this computer has recorded."""
    monkeypatch.setattr(platform, "node", lambda: "laptop[/]\x1b[2J")
    async with place.open() as board:
        await keep_a_true_finding(board)
        assert not board.says("another computer")
    monkeypatch.setattr(platform, "node", lambda: "bench")
    async with place.open() as board:
        assert board.says("written on another computer (laptop[/]<U+001B>[2J), on Mon 1 Jun 2026")
        await board.press("right")
        assert not board.says("another computer")
        await board.press("0")
        await board.press("1", "enter")
    async with place.open() as board:
        assert not board.says("another computer")


@settings(max_examples=part(40), deadline=None)
@given(
    SIZES,
    st.lists(
        st.tuples(st.sampled_from(WORST_FIRST), st.sampled_from(WORST_FIRST), NAMES), max_size=60
    ),
    st.data(),
)
def test_every_list_fits_its_window_with_the_cursor_in_sight(
    size: tuple[int, int], points: list[tuple[State, State, str]], data: st.DataObject
) -> None:
    width, room = size[0], size[1] - 3
    rows = [
        LookBackRow(
            f"Machine {number // 7}",
            point_standing("m", number, before, name),
            point_standing("m", number, after, name),
            before != after,
        )
        for number, (before, after, name) in enumerate(points)
    ]
    cursor = data.draw(st.integers(0, max(len(rows) - 1, 0)))
    details = ToldSince(["then: true", "x " * 200], ["2026-06-01 08:00  moved"] * 9)
    about = ("As it was known then: 1 true", "only what changed since: 1")
    when = NOW - timedelta(days=1)
    lines = then_lines(rows, cursor, about, details, when, "inch", (width, room))
    assert len(lines) <= room
    assert {width_of(line) for line in lines} == {width}
    assert sum("►" in plain(line) for line in lines) == (1 if rows else 0)
    asked = ask_lines("2026-06-01", "the end of Mon 1 Jun 2026", (width, room))
    assert len(asked) <= room
    assert {width_of(line) for line in asked} == {width}


async def test_an_age_is_told_to_its_end_in_the_smallest_window(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING, "2", "enter")
        place.clock.pass_by(minutes=36)
        await board.press("minus", "minus", "y", "0", "enter")
        assert "36 minutes old  " in row(board, "Blade at 90")


def test_a_name_is_cut_only_where_its_row_has_no_room() -> None:
    """The widest state of all need not be there: what the rows leave free is the name's."""
    name = "Auxiliary rest smooth, straight"
    stood = point_standing("m", 1, "true", name)
    rows = [LookBackRow("Machine", stood, stood, changed=False)]
    about = ("As it was known then: 1 true", "only what changed since: 0")
    lines = then_lines(rows, 0, about, ToldSince([], []), NOW - timedelta(days=1), "inch", (80, 21))
    assert f"► {name} " in plain(lines[3])
    assert plain(lines[3]).rstrip().endswith("=")
