"""Safety round and tag on the board: by keys alone, at 80x24."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.board.colours import styles_of
from shopboard.board.glyphs import TAG_MARK
from shopboard.journal import NewEntry, kinds, new_uid, open_journal
from shopboard.journal.kinds import ROUND
from shopboard.upkeep.safety_record import DO_NOT_USE
from shopboard.upkeep.tags import record_tag
from tests.board.conftest import Board, Place
from tests.board.test_changes import Refusal
from tests.board.test_hostile import NAMES
from tests.board.test_path import READY, body, keep_a_true_finding

TO_SAW_ROUND = ("s", "2")
"""From the board: the daily safety walks, the table saw."""

PLUG_OUT = "1"
WHOLE = "4"
GUARD_OFF = "3"
TO_GUARD = (*TO_SAW_ROUND, PLUG_OUT, WHOLE)
TAGGED = (*TO_GUARD, GUARD_OFF, "1")
"""The guard is off, and the machine is tagged for it."""


STYLES = styles_of("dark")


def styles(board: Board) -> dict[str, str]:
    """The text in each style that the screen draws."""
    found: dict[str, str] = {}
    for strip in board.app.screen._compositor.render_strips():
        for segment in strip:
            for name in (one for one in STYLES if STYLES[one] == segment.style):
                found[name] = found.get(name, "") + segment.text
    return found


def large(board: Board) -> bool:
    """Tell whether the screen begins with a bar that says DO NOT USE, and why."""
    return board.lines[1].startswith(f"  {TAG_MARK} {DO_NOT_USE}: ")


async def test_a_tag_cleared_before_a_check_began_is_not_asked_about(place: Place) -> None:
    """Its words need not be read any more: the check begins with its own first step."""
    async with place.open() as board:
        await board.press("1", "full_stop", "1", "1", "1")
        assert "This machine is tagged" in board.text
        await board.press("full_stop", "1", "1")
        assert "This machine is tagged" not in board.text
        assert "Unplug the machine" in board.text


async def test_a_round_by_the_number_pad_alone(place: Place) -> None:
    """The star of the pad opens the rounds; digits answer."""
    async with place.open() as board:
        shown = await board.press("s")
        assert "The shop itself" in shown
        assert "Table saw" in shown
        assert "Bench" not in shown  # no cutter
        assert "Isolate it and wait until the cutter has stopped" in await board.press("2")
        assert board.says("The maker's manual and local rules come first")
        assert "Look at the cutter from all sides" in await board.press(PLUG_OUT)
        assert "Move the guard" in await board.press(WHOLE)
        assert "riving knife: thicker than the plate, 0.087 in" in await board.press("2")
        assert "Push stick and push block" in await board.press("3")
        assert "paddle" in await board.press(digit_of(board, "within reach"))
        shown = await board.press(digit_of(board, "it hangs free"))
        assert board.says("Take tools off, put every guard back")
        await board.press(digit_of(board, "it stops, and stays"))
        assert board.says("Table saw: 7 of 7 answered, 7 in order.")
        assert "►3 Jointer" in board.text  # and on to the next
        await board.press("subtract")
        assert "The old boathouse" in board.lines[0]
        await board.press("1")
        assert board.says("safety walk: done just now, 7 in order")
        assert "safe" not in board.text.lower().replace("safety walk", "")
        assert "answered" not in styles(board).get("true", "")  # never a green all-clear


def digit_of(board: Board, words: str) -> str:
    """The digit that stands before an answer."""
    line = next(line for line in board.lines if words in line)
    return line.split()[0]


async def test_what_is_not_as_wanted_is_said_and_shown_with_its_age(place: Place) -> None:
    async with place.open() as board:
        shown = await board.press(*TO_GUARD, GUARD_OFF)
        assert "Not right. Guard: it is off." in shown
        assert "Should be: it is on and moves freely." in shown
        assert "tag it DO NOT USE" in shown
        assert "Measure the riving knife" in await board.press("2")
        await board.press("escape")
        assert board.says("The walk waits; it goes on at the same question.")
        assert "3 of 7 answered just now, 1 problem: guard, it is off" in board.text
    place.clock.pass_by(days=3)
    async with place.open() as board:
        assert "! guard, it is off (3" in board.lines[2]
        await board.press("1")
        assert board.says("! safety walk: 3 of 7 answered 3 days ago, 1 problem: guard,")
        assert not large(board)


async def test_the_round_of_the_shop_shows_on_the_boards_line(place: Place) -> None:
    async with place.open() as board:
        await board.press("s", "1")
        label = "it is not in its place"
        shown = await board.press(digit_of(board, label))
        assert "Not right. Extinguisher: it is not in its place." in shown
        assert "tag" not in shown
        assert "Try each door" in await board.press("enter")
        await board.press("escape", "minus")
        assert board.says("s or * 5: go on with the daily safety walk of the shop.")
    place.clock.pass_by(hours=13)
    async with place.open() as board:
        assert board.says(
            "! Daily safety walk of the shop: 1 of 8 answered 13 hours ago, 1 problem"
        )


async def test_at_every_question_it_can_be_cut_off_and_goes_on_there(place: Place) -> None:
    async with place.open() as board:
        here = body(await board.press(*TO_SAW_ROUND))
        await board.press("escape")
    for key in (PLUG_OUT, WHOLE, GUARD_OFF, "1", "3"):
        async with place.open() as board:
            if key != PLUG_OUT:
                assert board.says("s or * 5: go on with the daily safety walk of Table saw.")
            assert body(await board.press("s", "enter" if key != PLUG_OUT else "2")) == here
            there = body(await board.press(key))
            assert there != here, key
            here = there
    assert "Push stick and push block" in here


async def test_a_round_of_yesterday_is_begun_anew(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_GUARD, "escape")
    place.clock.pass_by(hours=13)
    async with place.open() as board:
        assert not board.says("go on with the daily safety walk")
        assert "Isolate it and wait" in await board.press(*TO_SAW_ROUND)


async def test_back_and_wrong_keys_in_a_round(place: Place) -> None:
    async with place.open() as board:
        first = await board.press(*TO_SAW_ROUND)
        await board.press("minus")
        assert "IN PROGRESS" not in board.text  # nothing was answered: nothing waits
        assert body(await board.press(TO_SAW_ROUND[-1])) == body(first)
        assert "there is no answer 9 here" in await board.press("9")
        assert "press the number of what you see" in await board.press("enter")
        assert body(board.text) == body(first)
        second = await board.press(PLUG_OUT)
        await board.press(WHOLE)
        assert body(await board.press("minus")) == body(second)
        place.seconds.step = 0.05  # a key that bounces
        place.seconds.at += 1
        assert "Move the guard" in await board.press(WHOLE, WHOLE)


async def test_a_machine_is_asked_about_from_its_own_screen(place: Place) -> None:
    async with place.open() as board:
        assert "Isolate it" in await board.press("1", "s")
        await board.press("escape")
        assert "Table saw" in board.lines[0]
        await board.press("minus", "8")
        assert "no cutter of this machine is told" in await board.press("s")


async def test_a_tag_makes_every_screen_of_its_machine_say_so(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TAGGED)
        assert "╳ DO NOT USE: guard, it is off" in board.lines[1]
        assert "DO NOT USE" in styles(board)["danger bar"]
        await board.press("escape", "minus")
        assert "SAW      ╳  DO NOT USE" in board.lines[1]
        assert "1 DO NOT USE · nothing checked yet" in board.lines[0]
        assert "guard, it is off" in styles(board)["danger"]
        await board.press("1")
        assert large(board)
        assert "? unproven" in board.text
        assert "9 to check" in board.text
        await board.press("h")
        assert "DO NOT USE" in board.lines[1]
        await board.press("minus", "1")
        assert "DO NOT USE" in board.lines[1]
        await board.press("1")
        assert "DO NOT USE" in board.lines[1]
        assert "This machine is tagged DO NOT USE: guard, it is off" in board.text
        assert "DO NOT USE" not in await board.press("escape", "minus", "minus", "2")


async def test_so_does_a_question_about_it(place: Place) -> None:
    """Whoever types how long it ran is about to note that it ran."""
    async with place.open() as board:
        await board.press("1", "d", "1", "h")
        (line,) = [one for one in board.lines if " hours run " in one]
        assert "How long did it run?" in await board.press(line.split()[0].strip("►"))
        assert "╳ DO NOT USE: a guard is off or damaged" in board.lines[1]


async def test_a_tagged_machine_keeps_its_place_and_comes_first_of_what_is_next(
    place: Place,
) -> None:
    async with place.open() as board:
        assert "►1 SAW" in board.lines[1]
        await board.press("5", "d", "1", "minus")
        assert "NEXT    5 DRILL    ╳ " in board.text
        assert "5 DRILL    ╳  DO NOT USE" in board.text
        assert "a guard is off or" in board.text


async def test_it_is_tagged_with_one_key_and_a_digit_and_cleared_by_a_deliberate_act(
    place: Place,
) -> None:
    async with place.open() as board:
        assert "Why is it out of use?" in await board.press("1", "full_stop")
        assert "Never tagged." in board.text
        assert "there is no such line" in await board.press("9")
        await board.press("6")
        assert board.says("Table saw: DO NOT USE.")
        assert large(board)
        place.clock.pass_by(days=2)
        shown = await board.press("d")
        assert "clear its tag?" in shown
        assert large(board)
        assert "2 days ago     ╳ DO NOT USE it is in pieces" in shown
        assert "press the number of a reason" in await board.press("enter")
        await board.press("3")
        assert board.says("press 3 once more to clear the tag")
        place.seconds.step = 0.05  # the same key bounced: that is no second press
        assert large(board)
        await board.press("3")
        place.seconds.step = 1.0
        assert board.app.open_shop.standing.tagged
        await board.press("3")
        assert board.says("Table saw: the tag is cleared.")
        assert not large(board)
        shown = await board.press("d")
        assert board.says("cleared put back together and tested")
        assert "╳ DO NOT USE it is in pieces" in shown
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        ups = [one.body["out_of_use"] for one in journal.recent(kinds.TAG.name, "saw", "")]
    assert ups == [False, True]


async def test_all_tags_are_shown_and_one_that_came_during_the_clearing_stays(
    place: Place,
) -> None:
    async with place.open() as board:
        with closing(open_journal(place.journal_file, place.clock)) as other:
            for why in ("odd noise", "the stop button sticks"):
                record_tag("saw", why, other)
            await board.look()
            assert "2 tags:" in board.text
            shown = await board.press("1", "d")
            assert "Clearing takes off all of these; look at each:" in shown
            listed = [line.strip() for line in board.lines]
            assert {"╳ the stop button sticks", "╳ odd noise"} <= {*listed}
            await board.press("1")
            assert board.says("press 1 once more")
            record_tag("saw", "smells hot", other)
        await board.press("1")
        assert board.says("it stays DO NOT USE: smells hot")
        await board.press("d")
        assert board.says("cleared fixed and tested")
        assert "Clearing takes off" not in board.text


async def test_a_second_reason_is_put_on_a_tagged_machine(place: Place) -> None:
    async with place.open() as board:
        shown = await board.press("1", "d", "5", "d")
        assert "6  tag it for another reason, too" in shown
        shown = await board.press("6")
        assert "Table saw: tag it DO NOT USE, too?" in shown
        assert "odd noise or vibration" in shown  # what stands on it is still told
        assert "What was fixed?" in await board.press("minus")
        await board.press("6", "2")
        await board.press("d")
        assert board.says("2 tags: the stop button does not stop it; odd noise or vibration")
        await board.press("6", "8")
        for letter in "hot":
            await board.press(letter)
        await board.press("enter")
        assert len(board.app.open_shop.journal.recent(kinds.TAG.name, "saw", "")) == 3
        assert board.app.open_shop.standing.tagged[0].tag.startswith("3 tags: hot; ")


async def test_who_puts_up_a_tag_clears_none_that_came_meanwhile(place: Place) -> None:
    async with place.open() as board:
        with closing(open_journal(place.journal_file, place.clock)) as other:
            await board.press("1", "d")
            record_tag("saw", "odd noise", other)
            await board.look()
            assert "tag it DO NOT USE, too?" in board.text
            assert "1  a guard is off or damaged" in board.text
            await board.press("8", "h", "o", "t")
            record_tag("saw", "smells", other)
        await board.look()
        await board.press("enter")
        assert board.app.open_shop.standing.tagged[0].tag == "3 tags: hot; smells; odd noise"


async def test_more_tags_than_are_shown_at_once_are_taken_off_oldest_first(place: Place) -> None:
    async with place.open() as board:
        with closing(open_journal(place.journal_file, place.clock)) as other:
            for number in range(1, 8):
                record_tag("saw", f"reason {number}", other)
        await board.look()
        shown = await board.press("1", "d")
        assert "2 newer ones stay on; look at the screen again after that." in shown
        await board.press("1", "1")
        assert board.says("it stays DO NOT USE: 2 tags: reason 7; reason 6")


async def test_another_digit_does_not_clear_a_tag(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "d", "1", "d", "1", "2")
        assert board.says("press 2 once more")
        assert board.app.open_shop.standing.tagged


async def test_a_tag_in_words_of_ones_own(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "d", "8")
        assert "a few words" in await board.press("enter")
        assert "> the belt?_" in await board.press(*"the", "space", *"belt", "question_mark")
        await board.press("backspace", *" slips", "minus", *"off", "enter")
        assert board.says("the belt slips-off")
        assert large(board)
        await board.press("d", "5", "minus")  # minus leaves an empty field
        assert "What was fixed?" in board.text
        await board.press("5", *"new", "space", *"belt", "enter")
        assert board.says("the tag is cleared.")
        assert "new belt" in await board.press("d")


async def test_a_tag_that_cannot_be_recorded_is_not_put_up(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press("1", "d")
        refusal = Refusal(board, monkeypatch)
        await board.press("1")
        assert board.says("NOT RECORDED. The disk is full.")
        refusal.end()
        await board.press("1")
        assert board.says("Table saw: DO NOT USE.")


async def test_an_answer_that_cannot_be_recorded_can_be_given_again(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press(*TO_SAW_ROUND)
        refusal = Refusal(board, monkeypatch)
        assert "Isolate it" in await board.press(PLUG_OUT)
        assert board.says("NOT RECORDED. The disk is full.")
        refusal.end()
        assert "Look at the cutter" in await board.press(PLUG_OUT)


async def test_a_check_of_a_tagged_machine_shows_the_tag_first_and_then_goes_its_way(
    place: Place,
) -> None:
    async with place.open() as board:
        await board.press("1", "d", "2", "1")
        shown = await board.press("1")
        assert "tagged DO NOT USE: the stop button does not stop it" in shown
        assert "1  I have read it" in shown
        assert "press the number of your answer" in await board.press("enter")
        assert "Unplug the machine" in await board.press("1")
        await board.press(*READY, "3", "1", "enter", "2", "enter")
        assert "■ true" in board.text
        assert "DO NOT USE" in board.lines[1]
        await board.press("minus", "minus")
        assert "SAW      ╳  DO NOT USE" in board.lines[1]
        assert "1 DO NOT USE · 46 unproven · 1 true" in board.lines[0]


async def test_a_tag_that_another_program_puts_up_shows_by_itself(place: Place) -> None:
    async with place.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter")
        with closing(open_journal(place.journal_file, place.clock)) as other:
            record_tag("saw", "the cord is cut", other)
        await board.look()
        assert "DO NOT USE: the cord is cut" in board.lines[1]


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (160, 48)])
async def test_every_screen_works_at_every_size(place: Place, size: tuple[int, int]) -> None:
    async with place.open(*size) as board:
        for keys, says in (
            (("s",), "The shop itself"),
            (("2",), "Isolate it"),
            (("1", "4", "3"), "tag it DO NOT USE"),
            (("1",), "riving knife"),
            (("escape", "minus"), "DO NOT USE"),
            (("1",), "guard, it is off"),
            (("d",), "clear its tag"),
            (("5",), "> _"),
        ):
            assert says in await board.press(*keys) or board.asks(says)
            assert [len(line) for line in board.lines] == [size[0]] * size[1]
        assert "in my own words" in await board.press("minus")


HOSTILE = """
[shop]
name = "S {name}"
unit = "inch"

[[safety]]
id = "door"
ask = "Ask {name}"
wanted = "W {name}"
others = "O {name}"

[[machine]]
id = "m"
name = "M {name}"

[[machine.safety]]
id = "thing"
ask = "Ask {name}"
wanted = "W {name}"
others = "O {name}"
"""


@pytest.mark.parametrize("name", NAMES)
async def test_markup_in_questions_and_tags_is_shown_literally(place: Place, name: str) -> None:
    place.shop_file.write_text(HOSTILE.replace("{name}", name), encoding="utf-8")
    async with place.open() as board:
        shown = await board.press("s", "2")
        assert all(f"{what} {name}" in shown for what in ("M", "Ask", "W", "O"))
        shown = await board.press(digit_of(board, f" O {name}"))
        assert f"Thing: O {name}." in shown
        assert f"Should be: W {name}." in shown
        await board.press("1")
        assert board.says(f"thing, O {name}")
        assert f"thing, O {name}" in await board.press("minus")
        await board.press("1")
        assert f"thing, O {name}" in await board.press("d")
        assert board.app.is_running


async def test_control_characters_in_an_older_journal_are_written_out(place: Place) -> None:
    evil = "\x1b[2J\x9b31m\u202e\x07[/]"
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        tag = {"v": 1, "out_of_use": True, "why": evil}
        body = {
            "v": 1, "round": evil, "number": 1, "of": 7, "answers": {evil: evil}, "wrong": [evil],
            "older": {evil: {"text": evil, "when": "2026-01-01T00:00:00+00:00", "wrong": True}},
        }  # fmt: skip
        for machine in ("saw", ""):
            journal.append([NewEntry(new_uid(), ROUND.name, machine, "", body)])
        journal.append([NewEntry(new_uid(), kinds.TAG.name, "saw", "", tag)])
    async with place.open(160, 48) as board:
        for keys in ((), ("1",), ("d",), ("minus", "1"), ("1",), ("escape", "minus", "minus", "s")):
            shown = await board.press(*keys) if keys else board.text
            assert not {"\x1b", "\x9b", "\u202e", "\x07"} & set(shown)
            assert "<U+001B>[2J" in shown


async def test_help_shows_the_keys_of_the_new_screens(place: Place) -> None:
    async with place.open() as board:
        for keys in (("s",), ("2",), ("escape", "minus", "1", "d")):
            await board.press(*keys)
            shown_keys = board.app.screen.keys_now()  # type: ignore[attr-defined]
            await board.press("question_mark")
            for key in shown_keys:
                told = "Move the cursor." if key.label in "↑↓←→" else key.help
                assert key.label in board.text, key
                assert board.says(told), key
            await board.press("question_mark")


async def test_the_other_screens_of_a_tagged_machine_say_so_too(place: Place) -> None:
    """Its tasks, one of them step by step, a point through the years, a result withdrawn."""
    async with place.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter")
        with closing(open_journal(place.journal_file, place.clock)) as other:
            record_tag("saw", "the cord is cut", other)
        await board.look()
        for keys in (("g",), ("minus", "v"), ("minus", "minus", "t"), ("1",)):
            await board.press(*keys)
            assert "╳ DO NOT USE: the cord is cut" in board.lines[1], (keys, board.lines[0])
        await board.press("escape", "minus", "minus", "t")
        assert "DO NOT USE" not in board.lines[1]  # the tasks of all machines are about no one
