"""Cutters on the board: by keys alone, from the machine to a change and the check that it opens."""

from __future__ import annotations

import re
import signal
from contextlib import closing
from datetime import timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.board.cutter_view import cutter_lines
from shopboard.board.cutters_view import cutters_lines
from shopboard.board.glyphs import big
from shopboard.board.paint import plain, width_of
from shopboard.journal import JournalCannotWrite, NewEntry, new_uid, open_journal
from shopboard.upkeep.changing import Changing
from shopboard.upkeep.cutter_acts import possible
from shopboard.upkeep.cutter_outlook import CutterOutlook
from shopboard.upkeep.cutter_supply import Supply
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.happenings import record_happening
from tests.board.conftest import Place
from tests.board.test_hostile import NAMES, SHOP
from tests.board.test_path import body, keep_a_true_finding
from tests.board.test_prep import worked_out
from tests.board.test_terminal import Program, says
from tests.combination import SHOP as COMBINATION
from tests.in_turn import few, part
from tests.upkeep.cutter_shop import first_standings

CROSS = ("1", "c", "2")
"""Table saw, cutters, the crosscut blade."""

SWAP: list[tuple[str, ...]] = [
    *(("1",), ("2",), ("1",), ("enter",), ("enter",), ("1",), ("1",), ("enter",), ("enter",)),
]
"""Put it on, dirty all the same: plug, hands, off, dirty, riving knife, on, clear."""

SWAPPED = tuple(key for keys in SWAP for key in keys)


async def test_a_swap_by_keys_alone_ends_in_the_check_that_the_others_rest_on(
    place: Place,
) -> None:
    async with place.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter", "minus", "minus")
        assert "cutters" in await board.press("1")
        assert "▒ dirty" in await board.press("c")
        assert "put it on the machine" in await board.press("2")
        assert "Crosscut blade, 60 teeth is recorded as dirty." in await board.press("1")
        assert "press the number of your answer" in await board.press("enter")
        assert "Unplug the machine" in await board.press("2")
        assert "maker's manual" in board.text
        assert "Cover hands and edges" in await board.press("1")
        assert "Take off: Rip blade" in await board.press("enter")
        assert "Rip blade, 24 teeth: how is it?" in await board.press("enter")
        assert "Riving knife: thicker than the plate, thinner than the kerf?" in await board.press(
            "1"
        )
        assert "Put on: Crosscut blade" in await board.press("1")
        assert "Guards back on" in await board.press("enter")
        recorded = await board.press("enter")
        assert "Recorded: blade changed." in recorded
        assert "give up" not in recorded
        assert " -  back" in recorded
        assert board.says("First: Blade at 90, which others of them depend on.")
        assert "Unplug the machine" in await board.press("1")
        assert "Table saw · Blade at 90" in board.lines[0]
        assert board.says("step")
        await board.press("escape")
        assert "○" in await board.press("minus", "minus", "minus")
        assert board.says("Crosscut blade, 60 teeth dirty, on the machine, 0 h of 25 h")
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        (happened,) = journal.machine_entries("happening", "saw")
        whole = {one.kind for one in journal.thread(happened.refers)}
        assert whole == {"cutter", "happening"}
        assert {one.when for one in journal.thread(happened.refers)} == {happened.when}


async def test_a_change_told_by_what_happened_leads_to_which_one_is_on(place: Place) -> None:
    async with place.open() as board:
        shown = await board.press("1", "h")
        (digit,) = re.findall(r"(\d)  +blade changed", shown)
        await board.press(digit, digit)
        assert board.says("Which one is on now: c."), board.text
        assert "Table saw · cutters" in await board.press("c")


async def test_the_number_pad_alone_is_enough(place: Place) -> None:
    """Its star lists the cutters; its minus goes back, its slash gives a change up."""
    async with place.open() as board:
        await board.press("1")
        await board.strike("multiply", "*")
        assert "Show blades, knives and bits." in board.lines[4]
        await board.press("3")
        assert "Table saw · cutters" in board.lines[0]
        assert "put it on the machine" in await board.press("2")
        await board.press("1", "1", "1")
        await board.strike("divide", "/")
        assert board.says("Is everything on the machine as it was?")
        await board.strike("divide", "/")
        assert board.says("Given up; no change is recorded.")
        await board.press("subtract", "subtract")
        assert "IN PROGRESS" not in board.text


async def test_at_every_step_a_change_can_be_cut_off_and_goes_on_there(place: Place) -> None:
    async with place.open() as board:
        here = body(await board.press(*CROSS, *SWAP[0], *SWAP[1], *SWAP[2])).partition("\n")[2]
    for keys in SWAP[3:]:
        async with place.open() as board:
            assert "BLADE CHANGE IN PROGRESS" in board.text
            assert "BLADE CHANGE IN PROGRESS" in await board.press("1")
            assert "0 goes on with it" in await board.press("c")
            assert body(await board.press("0")).partition("\n")[2] == here
            there = body(await board.press(*keys)).partition("\n")[2]
            assert there != here, keys
            here = there
    assert "Recorded: blade changed." in here
    async with place.open() as board:
        assert "IN PROGRESS" not in board.text
        assert "No change is in progress" in await board.press("1", "c", "0")


@pytest.mark.parametrize("number", few([signal.SIGKILL, signal.SIGTERM], 2))
def test_killed_in_mid_change_the_board_says_so_and_goes_on(
    place: Place, number: signal.Signals
) -> None:
    """In a real terminal, by a real signal."""
    program = Program(place.shop_file, place.journal_file)
    with program.start() as terminal:
        for key in ("1", "c", "2", "1", "2", "1", "\r"):
            terminal.settle_and_read()
            terminal.send(key.encode())
        assert says(terminal, "Take off: Rip blade")
        terminal.signal(number)
        terminal.wait()
    with program.start() as terminal:
        assert says(terminal, "BLADE CHANGE IN PROGRESS")
        for key in ("1", "c", "0"):
            terminal.settle_and_read()
            terminal.send(key.encode())
        assert says(terminal, "Take off: Rip blade")


async def test_leaving_before_anything_was_done_leaves_nothing_under_way(place: Place) -> None:
    async with place.open() as board:
        await board.press(*CROSS, "1", "1", "escape")  # how it goes on is said, nothing opened
        assert "put it on the machine" in board.text
        assert "IN PROGRESS" not in await board.press("minus")
        await board.press("2", "1", "1", "1", "escape")
        assert board.says("The change waits: 0 on the list of cutters goes on with it.")
        assert "IN PROGRESS" in await board.press("minus")


async def test_back_and_a_key_that_bounces(place: Place) -> None:
    async with place.open() as board:
        await board.press(*CROSS, "1")
        first = body(board.text)
        assert "on the shelf" in await board.press("minus")
        assert body(await board.press("1")) == first
        await board.press("2", "1", "enter")
        assert "Cover hands and edges" in await board.press("minus")
        place.seconds.step = 0.05
        place.seconds.at += 1
        assert "Take off" in await board.press("enter", "enter", "enter")


async def test_a_digit_that_bounces_records_nothing(place: Place) -> None:
    """A gloved finger strikes twice; what is chosen by a digit is recorded by the second press."""
    async with place.open() as board:
        await board.press(*CROSS)
        place.seconds.step = 0.05
        place.seconds.at += 1
        number = next(n for n in "23456789" if f"{n}  it is cleaned" in board.text)
        await board.press(number, number)
        assert board.says(f"press {number} once more to record it")
        place.seconds.at += 1
        await board.press(number)
        assert board.says("Recorded: it is cleaned.")


async def test_an_act_needs_its_digit_twice_and_is_taken_back_with_two_keys(place: Place) -> None:
    async with place.open() as board:
        await board.press(*CROSS)
        await board.press("2")
        assert board.says("it is cleaned: press 2 once more to record it.")
        shown = await board.press("2")
        assert board.says("Recorded: it is cleaned.")
        assert "cleaned" in shown.split("Recorded, newest")[1]
        await board.press("v")
        assert board.says("/ or v once more withdraws: cleaned, just now.")
        shown = await board.press("v")
        assert board.says("Withdrawn; it stays on record.")
        assert "WITHDRAWN: recorded by mistake" in shown
        await board.press("v")
        assert board.says("there is nothing to withdraw")


async def test_the_way_to_the_sharpener_and_back(place: Place) -> None:
    """With what it cost; Enter alone takes what it cost before."""
    async with place.open() as board:
        await board.press(*CROSS, "3", "3")
        assert "at the sharpener" in board.text
        assert board.says("sent Mon 1 Jun 2026")
        asked = "What did it cost, in dollars? Enter alone: 24.00 dollars, as before."
        assert asked in await board.press("1")
        await board.press(*"26.5", "x", "enter")
        assert board.says('! "26.5x" is not an amount of money: write a bare number, 18.50')
        shown = await board.press("backspace", "enter")
        assert "on the shelf" in shown
        assert board.says("4 sharpenings left · 26.50 dollars a sharpening, 1.06 dollars per hour")
        assert board.says("back, sharp, 26.50")
        await board.press("2", "2", "1")
        assert "Enter alone: 26.50 dollars, as before" in board.text
        assert "What did it cost" in await board.press("1", "minus")  # it stays in the field
        await board.press("ctrl+u", "minus", "minus")
        assert "What did it cost" not in board.text
        await board.press("1", "enter")
        assert board.says("3 sharpenings left · 26.50 dollars a sharpening")
        for _ in range(4):
            await board.press("v", "v")
        assert board.says("5 sharpenings left · 24.00 dollars a sharpening")


async def test_a_note_is_written_and_shown(place: Place) -> None:
    async with place.open() as board:
        await board.press(*CROSS, "7")
        assert "A note, in a few words:" in board.text
        await board.press("enter")
        assert board.says("write a few words")
        await board.press(*"tooth-9", "enter")
        assert "Note: tooth-9" in board.text
        await board.press("minus")
        assert board.says("note: tooth-9")


async def test_knives_are_turned_to_their_next_edge(place: Place) -> None:
    text = place.shop_file.read_text(encoding="utf-8")
    second = 'state = "dull"\nkind = "knives"\nedges = 2\nedge = 2\n'
    assert text.count(second) == 1
    first = second.replace("dull", "sharp").replace("edge = 2", "edge = 1")
    place.shop_file.write_text(text.replace(second, first), encoding="utf-8")
    async with place.open() as board:
        assert "edge 1 of 2" in await board.press("3", "c", "1")
        assert "Unplug the machine" in await board.press("1")
        assert "Thickness planer · knife change" in board.lines[0]
        assert "Slacken and turn" in await board.press("1", "enter")
        assert "How was the old edge?" in await board.press("enter")
        assert "Seat every knife on edge 2" in await board.press("1")
        assert "Every screw of every knife tight?" in await board.press("enter")
        await board.press("1", "enter")
        if board.says("Recorded: knives turned."):  # the sample has points that listen to it
            await board.press("2")
        assert "edge 2 of 2" in board.text
        assert board.says("The change is recorded.")
        assert "turned" in board.text


async def test_a_dull_cutter_is_told_on_the_board_and_at_the_machine(place: Place) -> None:
    async with place.open() as board:
        assert "▬" in board.text
        await board.resize(120, 48)
        assert "▬ Head of two-sided" in board.text
        assert "▬ cutter dull" in await board.press("3")
        await board.press("minus")
        shop = board.app.open_shop.shop
        record_happening(board.app.open_shop.journal, "saw", "hours run", 22 * 60, shop=shop)
        assert "▬ Rip blade, 24 teeth: still sharp?" in await board.look()
        assert "▬ cutter still sharp?" in await board.press("1")
        await board.press("c", "1")
        assert "past its rated life" in board.text
        await board.press("1", "1")
        await board.press("minus", "minus")
        assert board.says("▬ cutter dull")
        assert board.says("Rip blade, 24 teeth dull, on the machine, 22 h of 20 h")


async def test_where_there_is_room_what_is_known_of_a_cutter_is_said_to_its_end(
    place: Place,
) -> None:
    async with place.open() as board:
        open_shop = board.app.open_shop
        record_happening(open_shop.journal, "saw", "hours run", 22 * 60, shop=open_shop.shop)
        await board.look()
        await board.press("1", "c")
        assert board.says(
            "still sharp? past its rated life · 6 sharpenings left · 16.50 dollars a sharpening"
        )
        assert board.says("0.82 dollars per hour of cutting")


async def test_a_small_pane_still_says_it(place: Place) -> None:
    """Nine machines on a small screen."""
    text = place.shop_file.read_text(encoding="utf-8")
    more = "".join(f'[[machine]]\nid = "m{n}"\nname = "M{n}"\n\n' for n in range(4))
    place.shop_file.write_text(f"{text}\n{more}", encoding="utf-8")
    async with place.open() as board:
        assert board.says("▬ Head of")


async def test_dates_follow_from_what_was_used(place: Place) -> None:
    async with place.open() as board:
        open_shop = board.app.open_shop
        for _ in range(11):
            record_happening(open_shop.journal, "saw", "hours run", 60, shop=open_shop.shop)
            place.clock.pass_by(days=2)
        await board.look()
        await board.press("1", "c")
        assert board.says("Rip blade, 24 teeth: used 14 h a month, over the last 22 days")
        # 11 h of 20 h are used, the first of them on unknown days: 10 h in 22 days, 9 h left.
        date = place.clock.now + timedelta(days=9 / (10 / 22))
        assert board.says(f"sharp until about {date:%a} {date.day} {date:%b %Y}")
        assert board.says("no spare while it is away; get another one by")


async def test_a_full_disk_is_told_and_nothing_is_said_to_be_recorded(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press(*CROSS)

        def full(*_: object) -> list[Any]:
            raise JournalCannotWrite("The disk is full.", "Make room.")

        monkeypatch.setattr(board.app.open_shop.journal, "append", full)
        await board.press("2", "2")
        assert board.says("NOT RECORDED. The disk is full.")
        await board.press("7", "x", "enter")
        assert board.says("NOT RECORDED. The disk is full.")
        assert "> x_" in board.text
        await board.press("escape", "1", "1")
        assert board.says("NOT RECORDED. The disk is full.")
        assert "it is clean now" in board.text


async def test_taking_back_is_offered_only_where_something_is_on_record(place: Place) -> None:
    async with place.open() as board:
        assert "withdraw" not in (await board.press("1", "c", "1"))
        await board.press("1")
        assert "withdraw" in await board.press("1")


async def test_a_machine_without_cutters_says_so(place: Place) -> None:
    async with place.open() as board:
        await board.press("5", "c")
        assert board.says("the shop file names no cutter of this machine")


async def test_a_change_of_a_cutter_that_the_shop_file_lost_can_be_ended(place: Place) -> None:
    async with place.open() as board:
        await board.press(*CROSS, "1", "2", "1", "escape", "minus", "minus")
        text = place.shop_file.read_text(encoding="utf-8")
        blocks = text.split("[[machine.cutter]]")
        rest = "[[machine]]" + blocks[2].partition("[[machine]]")[2]
        kept = [blocks[0], rest, *(f"[[machine.cutter]]{block}" for block in blocks[3:])]
        place.shop_file.write_text("\n".join(kept), encoding="utf-8")
        assert "IN PROGRESS" in await board.look()
        await board.press("c")
        assert board.says("0 ends the change that is in progress")
        await board.press("0", "minus")
        assert "IN PROGRESS" not in board.text


@pytest.mark.parametrize("name", NAMES)
async def test_markup_in_names_and_notes_is_shown_literally(place: Place, name: str) -> None:
    place.shop_file.write_text(SHOP.replace("{name}", name), encoding="utf-8")
    async with place.open(120, 40) as board:
        assert f"C {name}" in await board.press("1", "c")
        assert f"M {name} · C {name}" in await board.press("1")
        await board.press("1")
        await board.press("1", "enter")
        assert f"Put on: C {name}." in await board.press("1")
        await board.press("enter", "enter")
        assert "on the machine" in board.text


async def test_control_characters_in_the_journal_are_written_out(place: Place) -> None:
    evil = "\x1b[2J\x9b31m\u202e\x07[/]"
    async with place.open():
        pass
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        for point in ("rip-24", "cross-60"):
            text = dict.fromkeys(("what", "of", "note", "state", "where", "sent"), evil)
            entry = NewEntry(new_uid(), "cutter", "saw", point, {"v": 9, **text})
            journal.append([entry])
        journal.void(entry.uid, evil)
        journal.append([NewEntry(new_uid(), "cutter", "saw", "cross-60", {"v": 9, **text})])
        way = {"v": 9, "open": True, "kind": evil, "act": evil, "cutter": evil, "answers": evil}
        journal.append([NewEntry(new_uid(), "cutter", "saw", "", way)])
    async with place.open(160, 48) as board:
        for keys in ((), ("1",), ("c",), ("1",), ("minus", "2"), ("minus", "0")):
            shown = await board.press(*keys) if keys else board.text
            assert not {"\x1b", "\x9b", "\u202e", "\x07"} & set(shown)
        assert board.says("<U+001B>[2J")


async def test_a_change_is_taken_back_whole_from_the_list_of_happenings(place: Place) -> None:
    """And not while something recorded later rests on it."""
    async with place.open() as board:
        await board.press(*CROSS, *SWAPPED, "2", "minus", "minus")
        assert board.says("Crosscut blade, 60 teeth dirty, on the machine")
        await board.press("c", "2", "1", "1", "minus", "minus", "h", "v", "v")
        assert board.says("cross-60 has a newer record, cleaned: withdraw that first")
        await board.press("minus", "c", "2", "v", "v", "minus", "minus", "h", "v")
        if not board.says("Withdrawn"):  # where a second press confirms it
            await board.press("v")
        assert board.says("Withdrawn")
        await board.press("minus")
        assert board.says("Rip blade, 24 teeth sharp, on the machine")


STATES = st.sampled_from(["sharp", "dull", "dirty", "worn out"])
SIZES = st.tuples(st.integers(60, 220), st.integers(20, 70))


@settings(max_examples=part(60), deadline=None)
@given(
    SIZES, st.lists(STATES, min_size=1, max_size=30), st.text("刃abc [/]", max_size=60), st.data()
)
def test_every_list_of_cutters_fits_its_window(
    size: tuple[int, int], states: list[Any], name: str, data: st.DataObject
) -> None:
    width, room = size[0], size[1] - 3
    one = first_standings()[0]
    here: list[CutterStanding] = [
        one._replace(state=state, note=name, cutter=one.cutter._replace(name=name or "x"))
        for state in states
    ]
    ahead = [
        CutterOutlook((standing,), None, None, (Supply(f"{name}: x", None),)) for standing in here
    ]
    cursor = data.draw(st.integers(0, len(here) - 1))
    under_way = data.draw(st.sampled_from([None, Changing("blade change")]))
    lines = cutters_lines(here, ahead, under_way, cursor, (width, room))
    assert len(lines) <= room
    assert {width_of(line) for line in lines} == {width}
    shown = [plain(line) for line in lines]
    here_are = (f"►{cursor + 1} ", f"► {big(str(cursor + 1))[1]}")  # in letters of either size
    assert any(one in line for one in here_are for line in shown)
    acts = [act.words for act in possible(here[cursor])]
    drawn = cutter_lines(here[cursor], acts, 1, None, [], (width, room))
    assert len(drawn) <= room
    assert {width_of(line) for line in drawn} == {width}
    assert sum("►1 " in "".join(text for text, _ in line) for line in drawn) == 1


async def test_enter_after_a_change_opens_the_first_check_that_it_made_due(place: Place) -> None:
    async with place.open() as board:
        await board.press(*CROSS, *SWAPPED)
        assert "check Blade at 90 now (or Enter)" in board.text
        await board.press("enter")
        assert "Blade at 90" in board.lines[0]
        assert "Unplug the machine" in board.text
        assert "IN PROGRESS" not in board.text


async def test_a_change_under_way_is_named_on_every_screen_of_its_cutters(place: Place) -> None:
    async with place.open() as board:
        await board.press(*CROSS, *SWAPPED[:4])
        assert "Table saw · blade change" in board.lines[0]
        await board.press("escape")
        assert "BLADE CHANGE IN PROGRESS: 0 goes on with it" in board.lines[1]
        assert "put it on the machine" in board.text
        step = await board.press("0")
        assert "Table saw · blade change" in board.lines[0]
        assert "Take off: Rip blade" in step
        await board.press("escape", "minus", "minus")
        assert board.says("BLADE CHANGE IN PROGRESS: 0 goes on with it")
        await board.press("0")
        assert "Table saw · blade change" in board.lines[0]


async def test_a_tagged_machine_says_so_on_every_screen_of_its_cutters(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "d", "1")
        for key in ("c", "2", "1", "1"):  # its cutters, one, the plug, hands and edges
            await board.press(key)
            assert "DO NOT USE" in board.lines[1], key


async def test_the_record_of_a_cutter_tells_how_much_was_cut(place: Place) -> None:
    async with place.open() as board:
        open_shop = board.app.open_shop
        for what, amount in (("hours run", 150.0), ("cuts made", 40.0), ("length cut", 36_576.0)):
            record_happening(open_shop.journal, "saw", what, amount, shop=open_shop.shop)
        record_happening(open_shop.journal, "", "project finished", shop=open_shop.shop)
        await board.look()
        await board.press("1", "c", "1")
        for words in ("hours run 2.5 h", "cuts made 40 cuts", "length cut 120 ft"):
            assert words in board.text  # 36.576 m are 120 ft of 0.3048 m
        assert "project finished  " in board.text


async def test_the_cutter_of_another_mode_is_listed_changed_and_gone_on_with_here(
    bare: Place,
) -> None:
    """From the planer's screens, though it is written at the jointer."""
    bare.shop_file.write_text(COMBINATION, encoding="utf-8")
    async with bare.open() as board:
        assert "1 The head" in await board.press("3", "c")
        assert board.says("cuts in Surfacing, Thicknessing")
        await board.press("1")
        assert "Surfacing · The head" in board.lines[0]
        await board.press("1", "1", "escape")
        assert "KNIFE CHANGE IN PROGRESS" in await board.press("minus")
        assert "Thicknessing · cutters" in board.lines[0]
        assert "Cover hands and edges" in await board.press("0")
        await board.press("enter", "enter", "1", "enter", "1", "enter")
        assert board.says("Recorded: knives turned.")
        assert board.says("To check: Seat, Bed (Thicknessing).")
        await board.press("2", "minus")
        assert "0 h of 20 h" in board.text
        assert board.says("edge 2 of 2")


@pytest.mark.parametrize("opened", ["plan", "board"])
async def test_in_a_prep_day_enter_after_a_change_goes_on_with_its_plan(
    bare: Place, opened: str
) -> None:
    """Opened from the plan or from the board by 0; the check that it made due is the second line.

    Outside of a day Enter leads to that check.
    """
    bare.shop_file.write_text(
        COMBINATION.replace('kind = "knives"\nstate = "sharp"', 'kind = "knives"\nstate = "dull"'),
        encoding="utf-8",
    )
    async with bare.open() as board:
        await board.press("n")
        await worked_out(board)
        await board.press("enter", "minus", "3", "c", "1", "1", "1", "escape", *["minus"] * 3)
        if opened == "plan":
            await board.press("n")
            await worked_out(board)
            await board.press("enter")
        else:
            await board.press("0")
        await board.press("enter", "enter", "1", "enter", "1", "enter")
        assert board.says("Recorded: knives turned.")
        assert board.says("1 go on with the plan (or Enter)")
        assert board.says("2 check Seat now")
        await board.press("enter")
        assert "prep day" in board.lines[0]
        await worked_out(board)
        await board.press("minus")
        assert "The tram depot" in board.lines[0]
        assert "prep day" not in board.lines[0]
