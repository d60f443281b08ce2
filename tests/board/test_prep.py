"""The prep day by keys alone: chosen, begun, done piece by piece, killed, ended."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.board.screens.prep import PrepScreen
from shopboard.journal import JournalCannotWrite, NewEntry, new_uid, open_journal
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day, day_under_way
from shopboard.prep.day import Planner
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import record_tag
from shopboard.upkeep.task_marks import record_task
from tests.board.conftest import Board, Place
from tests.prep.results import result
from tests.prep.workshop import SHOP

PLUG_OUT = "1"


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop with a project."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


async def worked_out(board: Board) -> str:
    """Wait until a long plan is put in order beside the screen."""
    for _ in range(100):
        if not board.says("Working out"):
            return board.text
        await board.pilot.pause(0.05)
    raise AssertionError("the plan never came")


async def digit_of(board: Board, *words: str) -> str:
    """Go down the list until a line with these words is in sight; give its digit."""
    for _ in range(30):
        for line in board.lines[8:]:
            if line.lstrip("► ")[:1].isdigit() and all(word in line for word in words):
                return line.lstrip("► ")[0]
        await board.press("down")
    raise AssertionError(words)


def entries(place: Place, kind: str, machine: str = "", point: str = "") -> int:
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        return len(journal.recent(kind, machine, point))


async def test_a_whole_day_by_the_number_pad(loft: Place) -> None:
    """n, p for the project, Enter to begin; then Enter opens what is to be done now."""
    async with loft.open() as board:
        await board.press("n")
        await worked_out(board)
        assert board.says("A prep day for all that is due not begun · done by 8:59")
        await board.press("p")
        assert board.says("A prep day for Blanket chest not begun · done by 8:59")
        await board.press("enter")
        assert board.says("for Blanket chest begun 8:00 · done by 8:59, on schedule")
        assert board.says("NOW Table saw: Blade off, into the tub")
        assert board.says("2 steps, then a") or board.says("steps 1 to 2 of 4; 4 min")
        assert entries(loft, "prep") == 1
        await board.press("enter", PLUG_OUT, "enter", "enter")
        assert board.says("Leave it; the timer keeps running")
        await board.press("escape")
        await worked_out(board)
        assert board.says("20:00 left Table saw: Soak")
        assert board.says("NOW Hand tools: Hone the gouges")
        await board.press("enter")
        await board.press("enter")  # Enter opens what is next, as often as it is pressed
        assert board.says("Hone the gouges: press 1 when it is done.")
        assert entries(loft, "task", "edges", "hone") == 0
        loft.clock.pass_by(minutes=12)
        await board.press("1")
        assert board.says("Done and recorded: Hone the gouges.")
        assert entries(loft, "task", "edges", "hone") == 1


async def test_near_a_cutter_no_row_of_enters_records_a_task_without_steps(loft: Place) -> None:
    """Enter opens it; the plug is asked for, and only then can it be done."""
    near = SHOP.replace(
        'name = "Empty the chip bag"', 'name = "Empty the chip bag"\ncutter_near = true'
    )
    assert near != SHOP
    loft.shop_file.write_text(near, encoding="utf-8")
    async with loft.open() as board:
        await board.press("n", "enter")
        await worked_out(board)
        await board.press(await digit_of(board, "Empty the chip bag", "Jointer"))
        assert "Unplug the machine first." in board.text
        await board.press("enter", "enter", "enter")
        assert board.says("press 1 when the plug is out")
        assert entries(loft, "task", "jointer", "dust") == 0
        await board.press(PLUG_OUT)
        assert entries(loft, "task", "jointer", "dust") == 0
        await board.press("enter")
        assert board.says("Done and recorded: Empty the chip bag.")
        assert entries(loft, "task", "jointer", "dust") == 1


async def test_with_nothing_to_do_it_waits_and_the_bell_rings(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("n", "p", "enter", "enter", PLUG_OUT, "enter", "enter", "escape")
        loft.clock.pass_by(minutes=12)
        await board.press("enter", "1")
        assert board.says("8:20 Table saw: Scrub the teeth")
        assert "█ ▄ █" in board.text or "█▄▀▄█" in board.text  # WAIT in large letters
        assert board.says("8:00 left Table saw: Soak")  # eight minutes are left
        bells: list[int] = []
        board.app.bell = lambda: bells.append(1)  # type: ignore[method-assign]
        loft.clock.pass_by(minutes=8)
        await board.look()
        assert bells == [1]
        assert board.says("time is up Table saw: Soak")
        assert board.says("NOW Table saw: Scrub the teeth")


async def test_killed_it_shows_the_same_day_again(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("n", "p", "enter", "enter", PLUG_OUT, "enter", "enter", "escape")
        before = board.lines[1:20]
    async with loft.open() as board:  # nothing was told to end: the journal is all there is
        await board.press("n")
        await worked_out(board)
        assert board.lines[1:20] == before


async def test_the_board_names_the_day_that_is_under_way(loft: Place) -> None:
    async with loft.open() as board:
        assert not board.says("prep day")
        await board.press("n", "p", "enter", "minus")
        assert board.says("0: go on with the prep day, begun just now.")
        await board.press("0")
        assert isinstance(board.app.screen, PrepScreen)
        await board.press("enter", PLUG_OUT, "enter", "enter", "escape", "minus")
        assert board.says("n or * 1: go on with the prep day, begun just now.")
        assert board.lines[2].startswith("▌ » Clean the")
        await board.press("1")
        assert not board.says("* 1: go on")  # that key is the board's alone


async def test_a_digit_opens_another_piece(loft: Place) -> None:
    """A check opens its point, where 1 begins it; a change opens its steps."""
    async with loft.open() as board:
        await board.press("n", "p", "enter")
        await board.press(await digit_of(board, "Blade at 90"))
        assert "Table saw · Blade at 90" in board.lines[0]
        await board.press("minus")
        assert "prep day" in board.lines[0]
        assert board.says("NOW Table saw: Blade off")
        await board.press("9")
        assert board.says("there is no such line")


async def test_a_second_machine_is_not_opened_unheeded(loft: Place) -> None:
    """The blade of the saw is off; the bandsaw's comes off only when it is meant."""
    pitch = SHOP[SHOP.index('[[machine.task]]\nid = "pitch"') : SHOP.index("[[machine.cutter]]")]
    other = SHOP.replace('[[machine]]\nid = "edges"', f'{pitch}\n[[machine]]\nid = "edges"')
    loft.shop_file.write_text(other, encoding="utf-8")
    async with loft.open() as board:
        await board.press("n")
        await worked_out(board)
        await board.press("enter")
        await worked_out(board)
        await board.press("enter", PLUG_OUT, "enter", "enter", "escape")
        await worked_out(board)
        first, second = ("Table saw", "Jointer")
        if "20:00  Jointer" in board.text:
            first, second = second, first
        digit = await digit_of(board, "Blade off, into", second)
        await board.press(digit)
        assert board.says(f"STOP. {first} is apart with its cutter out: close it first.")
        await board.press(digit)
        assert f"{second} · Clean the pitch" in board.lines[0]


async def test_the_other_mode_is_not_opened_while_the_cutter_is_out(loft: Place) -> None:
    """Even where two machines may stand open: it would be changed over with its blade in a tub."""
    combi = SHOP
    for ident in ("saw", "jointer"):
        combi = combi.replace(f'id = "{ident}"\n', f'id = "{ident}"\nbody = "combi"\n', 1)
    loft.shop_file.write_text(combi, encoding="utf-8")
    async with loft.open() as board:
        await board.press("n")
        await worked_out(board)
        await board.press("o", "enter")
        await worked_out(board)
        await board.press(await digit_of(board, "Blade off, into", "Table saw"))
        await board.press(PLUG_OUT, "enter", "enter", "escape")
        await worked_out(board)
        digit = await digit_of(board, "Empty the chip bag", "Jointer")
        await board.press(digit)
        assert board.says("STOP. Table saw is apart with its cutter out: close it first.")


async def test_a_blunt_blade_opens_the_guided_change(loft: Place) -> None:
    dull = SHOP.replace('state = "sharp"\nlasts', 'state = "dull"\nlasts')
    loft.shop_file.write_text(dull, encoding="utf-8")
    async with loft.open() as board:
        await board.press("n", "p", "enter")
        await board.press(await digit_of(board, "Change to Spare"))
        assert "Table saw · blade change" in board.lines[0]
        assert board.says("STOP") or board.says("Unplug")
        await board.press("1", "escape")
        await worked_out(board)
        assert isinstance(board.app.screen, PrepScreen)
        assert board.says("The change waits: its line in the plan goes on with it.")


async def test_it_ends_when_nothing_is_left_or_at_the_second_x(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("n", "p", "enter", "x")
        assert board.says("x / once more ends the day")
        await board.press("minus", "down", "x")
        assert board.says("x / once more ends the day")
        await board.press("x")
        assert board.says("The prep day is over: it took ")
    with closing(open_journal(loft.journal_file, loft.clock)) as journal:
        assert day_under_way(journal) is None


async def test_before_it_ends_it_says_what_is_left_and_what_that_puts_at_risk(loft: Place) -> None:
    """All that was planned, with its minutes; the same on the page of cost after the end."""
    with closing(OpenShop(loft.shop_file, loft.journal_file, loft.clock)) as shop:
        plan = Planner(shop).plan()
        planner = Planner(shop)
        left = planner.undone()
    jobs = {(line.piece.machine, line.piece.target) for line in plan.lines}
    assert {(one.piece.machine, one.piece.target) for one in left} == jobs
    minutes = round(sum(one.piece.minutes for one in left))
    assert minutes == round(sum(line.piece.minutes for line in plan.lines))
    async with loft.open() as board:
        await board.press("n", "enter")
        await worked_out(board)
        await board.press("x")
        told = f"{len(left)} jobs, {minutes // 60} h {minutes % 60} min"
        told = told if minutes >= 60 else f"{len(left)} jobs, {minutes} min"
        assert board.says(f"LEFT UNDONE: {told} of work")
        assert board.says("stays unproven")
        await board.press("slash")
        assert board.says(f"left undone: {told}.")
        await board.press("n", "c")
        await worked_out(board)
        assert board.says(f"Left undone when it ended: {told} of work.")


async def test_what_was_said_of_the_day_is_withdrawn_by_v_and_it_goes_on(loft: Place) -> None:
    """Its end; what went by since, an hour and more without a record, does not count."""
    async with loft.open() as board:
        await board.press("n", "enter", "x", "x")
        loft.clock.pass_by(minutes=90)
        await board.press("n", "v")
        assert board.says("day ended, with")
        await board.press("1")
        assert board.says("Withdraw: day ended")
        await board.press("down", "1")
        assert board.says("Withdraw: day ended")
        await board.press("1")
        assert board.says("Withdrawn: the prep day goes on; 1 h 30 min away since does not count.")
        await worked_out(board)
        assert board.says("on schedule, not counting 1 h 30 min away")
        await board.press("v")
        assert board.says("away, 1 h 30 min from")
        assert board.says("WITHDRAWN: recorded by mistake")
        await board.press("2")  # the end, once more
        assert board.says("it is withdrawn already")
        await board.press("3", "3")  # its beginning
        assert board.says("Withdrawn: no prep day is in progress.")
    with closing(open_journal(loft.journal_file, loft.clock)) as journal:
        assert day_under_way(journal) is None


async def test_what_cannot_be_recorded_is_said(
    loft: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with loft.open() as board:
        await board.press("n", "p")

        def full(*_: object) -> None:
            raise JournalCannotWrite("The disk is full.", "Make room.")

        monkeypatch.setattr(board.app.open_shop.journal, "append", full)
        await board.press("enter")
        assert board.says("NOT RECORDED. The disk is full.")
        assert board.says("not begun")


async def test_a_day_under_way_is_not_turned_into_another(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("n", "p", "enter", "p")
        assert board.says("this day is in progress; / ends it")
        await board.press("o")
        assert board.says("this day is in progress; / ends it")


async def test_a_minus_too_many_opens_nothing(loft: Place) -> None:
    """It says what leaves the board; Enter behind it opens the machine that is seen."""
    async with loft.open() as board:
        await board.press("t", "minus", "minus")
        assert board.says("Nothing is behind the board: q leaves it, or its line under *.")
        await board.press("minus", "minus")
        assert len(board.app.screen_stack) == 1


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (160, 48)])
async def test_it_fits_every_size(place: Place, size: tuple[int, int]) -> None:
    """The sample shop, all of it unproven: sixty-nine pieces."""
    async with place.open(*size) as board:
        await board.press("n")
        shown = await worked_out(board)
        assert "begin this day" in shown
        assert "NOW" in shown
        assert "Enter  begin " in board.lines[-1]
        shown = await board.press("down")
        assert "begin this day" not in shown
        assert "Enter  do it " in board.lines[-1]
        await board.press("plus", "plus")
        assert len(board.lines) == size[1]
        assert all(len(line) == size[0] for line in board.lines)


async def test_a_dirty_blade_comes_off_and_is_clean_at_its_second_digit(loft: Place) -> None:
    """No row of Enters says so; by then it lies ready for its next turn."""
    dirty = SHOP.replace(
        'where = "on the shelf"\nstate = "sharp"', 'where = "on the shelf"\nstate = "dirty"'
    )
    loft.shop_file.write_text(dirty, encoding="utf-8")
    async with loft.open() as board:
        await board.press("n")
        await worked_out(board)
        await board.press("enter")
        digit = await digit_of(board, "Clean Spare rip blade")
        await board.press(digit, "enter")
        assert board.says("Glasses, gloves, heed the cleaner's label.")
        assert entries(loft, "cutter", "saw", "spare") == 0
        await board.press(digit)
        assert board.says("Done and recorded: Spare rip blade is clean.")
        assert entries(loft, "cutter", "saw", "spare") == 1


async def test_half_an_hour_is_chosen_by_the_pad_and_what_does_not_fit_is_listed(
    loft: Place,
) -> None:
    """By hand: three checks of 6 minutes; the bath soaks 20 and the wax hazes 10, with 17 of work.

    The list on * has the key, so the pad reaches it. Of a day begun the time goes on record.
    """
    async with loft.open(80, 24) as board:
        await board.press("n", "t", "1")  # no hours are told: the first line is half an hour
        await worked_out(board)
        assert board.says("Time until 8:30. Not in your time: 3 jobs, 29 min.")
        await board.press(*["down"] * 5)
        assert board.says("LEFT OUT Table saw:")
        assert board.says("left Table saw")
        await board.press(*["up"] * 9, "enter")
        assert entries(loft, "prep") == 1
        await board.press("t", "2")
        assert entries(loft, "prep") == 2
        assert "Time until 9:0" in board.text


async def test_half_an_hour_is_as_long_when_it_is_begun_though_another_project_was_looked_at(
    loft: Place,
) -> None:
    """Said at 8:00, turned over at 8:02, begun at 8:03."""
    async with loft.open(80, 24) as board:
        await board.press("n", "t", "1")
        loft.clock.pass_by(minutes=2)
        await board.press("p", "p")
        await worked_out(board)
        loft.clock.pass_by(minutes=1)
        await board.press("question_mark", "minus")
        await worked_out(board)
        await board.press("enter")
        await worked_out(board)
        assert entries(loft, "prep") == 1
        assert board.says("Time until 8:33.")


async def test_what_stays_open_is_told_in_full_and_its_digit_leads_there(loft: Place) -> None:
    """Below the work; the day is done when nothing else is left, and says what it took."""
    with closing(open_journal(loft.journal_file, loft.clock)) as journal:
        record_tag("jointer", "guard is off", journal)
        record_task(journal, "edges", "hone")
        for task in ("wax", "pitch"):
            record_task(journal, "saw", task)
        begin_day(journal, "", None, planned=(("saw", 12.0),))
        for point in ("blade", "fence"):
            loft.clock.pass_by(minutes=5)
            journal.append([NewEntry(new_uid(), "check", "saw", point, result(0.0, 5e-5))])
    async with loft.open() as board:
        await board.press("n")
        await worked_out(board)
        assert board.says("Nothing is left in this plan. 1 thing stays open.")
        assert board.says("The day took 10 min, 12 min planned; 2 checked.")
        assert board.says("OPEN Jointer: DO NOT USE, guard is off")
        assert board.says("To settle it: fix Jointer, then clear its tag.")
        await board.press("1")
        assert "Jointer" in board.lines[0]
        await board.press("minus", "c")
        assert board.says("cost and use")
        assert board.says("The prep day in progress")
        await board.press("minus", "enter")
        assert board.says("The prep day is over: it took 10 min, 12 min planned; 2 checked.")


async def test_a_point_that_stays_open_can_be_looked_at(loft: Place) -> None:
    with closing(open_journal(loft.journal_file, loft.clock)) as journal:
        begin_day(journal, "", None)
        for _ in range(2):
            near = result(1.7e-3, 1e-4)  # of 0.1 deg, which are 1.745 mrad
            journal.append([NewEntry(new_uid(), "check", "jointer", "fence", near)])
    async with loft.open() as board:
        await board.press("n")
        await worked_out(board)
        await board.press(await digit_of(board, "open", "Jointer fence"))
        assert "Jointer · Jointer fence" in board.lines[0]


async def test_a_finished_project_is_offered_last(loft: Place) -> None:
    """What is to come is what a day is for; the finished one stands at the end."""
    box = '\n[[project]]\nid = "box"\nname = "Plain box"\n'
    chest = SHOP.index("[[project]]")
    joint = SHOP[SHOP.index("[[project.joint]]", chest) :]
    loft.shop_file.write_text(f"{SHOP}{box}\n{joint}", encoding="utf-8")
    async with loft.open() as board:
        await board.press("n", "p")
        assert "A prep day for Blanket chest" in await worked_out(board)
        shop, journal = board.app.open_shop.shop, board.app.open_shop.journal
        ended = shop.projects_by_id["chest"]
        record_happening(journal, "", "project finished", shop=shop, project=ended)
        await board.look()
        await board.press("minus", "n", "p")
        assert "A prep day for Plain box" in await worked_out(board)
        await board.press("p")
        assert "A prep day for Blanket chest" in await worked_out(board)
