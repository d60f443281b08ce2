"""Tasks by keys alone: marked done, done step by step, waited for, left, killed, withdrawn."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import JournalCannotWrite, open_journal
from tests.board.conftest import Place
from tests.board.workshop import SHOP

PLUG_OUT = "1"
SOAKING = ("1", "t", "1", PLUG_OUT, "enter", "enter")
"""Saw, its tasks, the first one, unplugged, sprayed, soaked: now it waits."""


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


def count(place: Place, kind: str) -> int:
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        return sum(1 for one in journal.machine_entries(kind, "saw") if one.void is None)


async def test_a_task_is_marked_done_with_one_question(loft: Place) -> None:
    async with loft.open() as board:
        assert "3 to check · 2 to do" in board.lines[2]
        shown = await board.press("1", "t")
        assert "2 due" in board.lines[1]
        assert "►1 Clean the blade      ○ due" in shown
        assert "never recorded · 4 steps" in shown
        assert "3 Look over the guard  ─ not due" in shown
        await board.press("2")
        assert board.says("Empty the dust box: press 2 once more when it is done.")
        assert count(loft, "task") == 0
        await board.press("2")
        assert board.says("Done and recorded: Empty the dust box.")
        assert board.says("done just now; due Mon 15 Jun 2026 or in 1 project")
        assert "3 to check · 1 to do" in await board.press("minus", "minus")
    assert count(loft, "task") == 1


async def test_the_same_by_cursor_and_enter_from_the_board(loft: Place) -> None:
    """The list of the whole shop names the machine of each task."""
    async with loft.open() as board:
        shown = await board.press("t")
        assert "The loft: tasks" in board.lines[0]
        assert "3 Hand tools: Hone the gouges" in shown
        await board.press("down", "down", "enter", "enter")
        assert board.says("Done and recorded: Hone the gouges.")
        assert board.says("2 due")


async def test_another_key_in_between_does_not_confirm(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("t", "2", "down", "2")
        assert board.says("press 2 once more")
        await board.press("question_mark", "minus", "2")
        assert board.says("press 2 once more")
        assert "there is no such line" in await board.press("9")
    assert count(loft, "task") == 0


async def test_a_key_that_bounces_confirms_nothing(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("t")
        loft.seconds.step = 0.05
        loft.seconds.at += 1
        await board.press("2", "2")
        assert board.says("press 2 once more")
    assert count(loft, "task") == 0


async def test_a_key_that_bounces_does_not_fall_through_to_the_next_screen(loft: Place) -> None:
    """Not from a list into a step."""
    async with loft.open() as board:
        await board.press("1")
        loft.seconds.step = 0.02
        loft.seconds.at += 1
        await board.press("t", "t", "t")
        assert "Saw: tasks" in board.lines[0]
        loft.seconds.at += 1
        await board.press("1", "1")
        assert board.says("Unplug the machine first.")  # not answered by the same digit


async def test_near_a_cutter_the_plug_is_asked_for_even_without_steps(loft: Place) -> None:
    """And nothing is recorded by the key that opened it, however often it is pressed."""
    async with loft.open() as board:
        shown = await board.press("1", "t", "3")
        assert "Unplug the machine first." in shown
        assert board.says("maker's manual")
        await board.press("3", "3", "enter", "enter")
        assert board.says("press 1 when the plug is out")
        assert count(loft, "task") == 0
        shown = await board.press(PLUG_OUT)
        assert board.says("Look over the guard")
        assert "then it is done" in shown
        await board.press("enter")
        assert board.says("Done and recorded: Look over the guard.")
        assert count(loft, "task") == 1


async def test_a_task_done_on_another_day_is_said_later(loft: Place) -> None:
    """Its next time counts from that day; a day before its newest mark is refused."""
    async with loft.open() as board:
        await board.press("1", "t", "2", "2")
        assert board.says("Done and recorded: Empty the dust box.")
        loft.clock.pass_by(days=5)
        await board.press("y")
        assert board.says("On which day was it?")
        await board.press("9", "9", "enter")
        assert board.says("it is already recorded as done later")
        assert count(loft, "task") == 1
        await board.press("y", "2")
        assert board.says("2_")
        await board.press("enter")
        assert board.says("and recorded: Empty the dust box.")
        assert board.says("done on Thu 4 Jun 2026, recorded just now; due Thu 18 Jun 2026")
    assert count(loft, "task") == 2


async def test_a_task_step_by_step(loft: Place) -> None:
    async with loft.open() as board:
        shown = await board.press("1", "t", "1")
        assert "Unplug the machine first." in shown
        assert board.says("maker's manual")
        assert "press 1 when the plug is out" in await board.press("enter")
        shown = await board.press(PLUG_OUT)
        assert "Spray" in shown
        assert "next: Soak" in shown
        assert count(loft, "task-begin") == 0
        shown = await board.press("enter")
        assert "Then leave it for 10 min." in shown
        assert count(loft, "task-step") == 1
        shown = await board.press("enter")
        assert "Leave it; the timer" in shown
        assert "next: Scrub the teeth" in shown
        await board.press("enter")
        assert board.says("10 min left: 1 goes on now, 2 waits longer, 3 began sooner")
        loft.clock.pass_by(minutes=10)
        assert "Time is up" in await board.look()
        assert "still unplugged" not in await board.press("enter")
        assert "Scrub the teeth" in board.text
        assert "then it is done" in await board.press("enter")
        shown = await board.press("enter")
        assert board.says("Done and recorded: Clean the blade.")
        assert "Saw: tasks" in board.lines[0]
        assert "in 20 h of use" in shown
    assert count(loft, "task") == 1


async def test_after_a_long_wait_the_plug_is_asked_for_again(loft: Place) -> None:
    """Somebody may have used the machine."""
    async with loft.open() as board:
        await board.press(*SOAKING)
        loft.clock.pass_by(minutes=25)
        await board.look()
        assert "Time was up 15 min ago." in board.text
        assert "Is the machine still unplugged?" in await board.press("enter")
        assert "Scrub the teeth" in await board.press(PLUG_OUT)


async def test_a_wait_runs_on_while_the_screen_is_left_and_rings(
    loft: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with loft.open() as board:
        rung: list[int] = []
        monkeypatch.setattr(board.app, "bell", lambda: rung.append(1))
        await board.press(*SOAKING)
        shown = await board.press("escape")
        assert board.says("The task waits; its timer keeps running.")
        assert "» Soak: 10 min left" in shown
        loft.clock.pass_by(minutes=4)
        assert "» Soak: 6 min left  Clean the blade" in await board.press("minus")
        shown = await board.press("minus")
        assert "» Clean the blade: Soak: 6 min left" in board.lines[2]
        assert board.says("go on with Clean the blade")
        loft.clock.pass_by(minutes=5)
        assert "Soak: 1 min left" in (await board.look()).split("\n")[2]
        assert not rung
        loft.clock.pass_by(seconds=61)
        await board.look()
        assert len(rung) == 1
        assert board.says("Soak: time is up (Saw: Clean the blade).")
        await board.look()
        assert len(rung) == 1
        assert "Time is up" in await board.press("0")


async def test_killed_at_any_step_it_goes_on_there(loft: Place) -> None:
    """The clock of the wait does not stop for it."""
    async with loft.open() as board:
        await board.press(*SOAKING[:-1])
    async with loft.open() as board:
        assert board.says("go on with Clean the blade")
        assert "still unplugged" in await board.press("0")
        assert "Then leave it for 10 min." in await board.press(PLUG_OUT)
        await board.press("enter")
    loft.clock.pass_by(minutes=7)
    async with loft.open() as board:
        assert "Soak: 3 min left" in board.lines[2]
        assert "Leave it; the timer" in await board.press("0")
    loft.clock.pass_by(minutes=7)
    async with loft.open() as board:
        assert "Soak: time is up" in board.lines[2]
        assert "Time was up 4 min ago." in await board.press("0")
        assert "Is the machine still unplugged?" in await board.press("enter")
    async with loft.open() as board:
        assert "Scrub the teeth" in await board.press("0", PLUG_OUT)
        await board.press("enter", "enter")
        assert board.says("Done and recorded: Clean the blade.")


async def test_a_wait_is_cut_short_or_made_longer(loft: Place) -> None:
    async with loft.open() as board:
        await board.press(*SOAKING)
        loft.clock.pass_by(minutes=2)
        await board.press("2", "enter")
        assert board.says("13 min left")
        loft.clock.pass_by(minutes=20)
        assert "Time was up" in await board.look()
        await board.press("2", "enter")
        assert board.says("5 min left")
        assert "Is the machine still unplugged?" not in await board.press("1")
        assert "Scrub the teeth" in board.text


async def test_back_and_leaving_undone(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("1", "t", "1", PLUG_OUT)
        await board.press("minus")
        assert board.says("Nothing was begun.")
        await board.press("1", PLUG_OUT)
        await board.press("enter", "enter", "minus", "minus")
        assert "Then leave it" in board.text
        await board.press("minus")
        assert "next: Soak" in board.text
        await board.press("x")
        assert board.says("x once more")
        await board.press("enter", "x")
        assert board.says("x once more")
        await board.press("x")
        assert board.says("Abandoned.")
        assert "►1 Clean the blade      ○ due" in board.text
        assert "Unplug the machine first." in await board.press("1")


async def test_the_newest_mark_is_taken_back(loft: Place) -> None:
    async with loft.open() as board:
        assert "there is no mark to withdraw" in await board.press("1", "t", "v")
        await board.press("2", "2")
        loft.clock.pass_by(hours=3)
        await board.press("v")
        assert board.says(
            "Withdraw that Empty the dust box was done 3 hours ago? / or v once more."
        )
        await board.press("v")
        assert board.says("Withdrawn; it stays on record.")
        assert board.says("2 due")


async def test_a_machine_without_points_is_kept_by_its_tasks(loft: Place) -> None:
    """It has something to do, then not; Enter leads to the tasks."""
    async with loft.open() as board:
        assert "nothing checked yet" in board.lines[0]
        assert "1 to do" in board.lines[2]
        shown = await board.press("2")
        assert "no points" not in shown
        assert "○ due Hone the gouges" in shown
        await board.press("enter", "1", "1")
        assert board.says("nothing is due")
        shown = await board.press("minus")
        assert "─ not due Hone the gouges" in shown
        shown = await board.press("minus")
        assert "to do" not in board.lines[2].partition("to check · 2 to do")[2]
        assert "next due Mon 29 Jun 2026: Hone" in board.text
        assert "nothing checked yet" in board.lines[0]
        assert "no checks" not in board.lines[0]


async def test_hours_and_projects_make_tasks_due(loft: Place) -> None:
    async with loft.open() as board:
        await board.press("t", "2", "2", "3", "3", "minus")  # a number keeps its meaning
        await board.press("right", "h", "1", *"8", "enter")
        assert board.says("Recorded: hours run, 8 h.")
        assert "8 h run since, every 4 weeks or 8 hours" in await board.press("2")
        await board.press("minus", "left", "1", "h")
        number = next(line for line in board.lines if "project finished" in line).split()[0]
        await board.press(number, "enter")
        assert board.says("used in 1 project since, every 2 weeks or 1 project")


async def test_what_cannot_be_recorded_stays_undone(
    loft: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with loft.open() as board:
        await board.press("1", "t", "1", PLUG_OUT)

        def full(*_: object) -> None:
            raise JournalCannotWrite("The disk is full.", "Make room.")

        with monkeypatch.context() as patch:
            patch.setattr(board.app.open_shop.journal, "append", full)
            shown = await board.press("enter")
            assert board.says("NOT RECORDED. The disk is full.")
            assert "next: Soak" in shown
            await board.press("escape", "2", "2")
            assert board.says("NOT RECORDED. The disk is full.")
        await board.press("2")  # it was chosen twice already
        assert board.says("Done and recorded")


async def test_a_task_taken_out_of_the_shop_file_does_not_stop_its_screens(loft: Place) -> None:
    async with loft.open() as board:
        await board.press(*SOAKING)
        short = SHOP[: SHOP.index("[[machine.task]]")]
        loft.shop_file.write_text(short, encoding="utf-8")
        await board.look()
        assert "Leave it; the timer" in board.text
        assert "No tasks" in await board.press("escape")
        assert "The loft" in await board.press("minus", "minus")
        await board.press("t", "1", "v", "down", "enter")
        assert board.app.is_running


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (160, 48)])
async def test_every_size_shows_step_wait_and_list(loft: Place, size: tuple[int, int]) -> None:
    async with loft.open(*size) as board:
        await board.press("1", "t")
        assert board.asks("Clean the blade")
        assert "the plug is out" in await board.press("1")
        assert "done, go on" in await board.press(PLUG_OUT)
        await board.press("enter", "enter")
        assert "carry on" in board.text
        assert "wait 5 minutes longer" in board.text
        assert "Esc" in board.lines[-1]
        assert [len(line) for line in board.lines] == [size[0]] * size[1]


async def test_the_help_names_every_key_of_a_step(loft: Place) -> None:
    async with loft.open() as board:
        await board.press(*SOAKING)
        shown = await board.press("question_mark")
        for words in ("its timer keeps running", "Abandon the task", "Go on; done."):
            assert words in shown
        assert "Leave it; the timer" in await board.press("minus")


async def test_taking_back_is_offered_only_for_a_task_that_is_marked(loft: Place) -> None:
    async with loft.open(160, 48) as board:
        assert "withdraw" not in await board.press("1", "t")
        await board.press("2", "2", "up", "up", "up")
        offered = ["withdraw" in await board.look()]
        offered += ["withdraw" in await board.press("down") for _ in range(2)]
        assert sorted(offered) == [False, False, True]


async def test_a_question_that_another_key_took_off_the_screen_is_not_answered_later(
    loft: Place,
) -> None:
    """What waits for its key once more, and what the screen says, are one."""
    async with loft.open() as board:
        await board.press("1", "t", "2")
        assert board.says("press 2 once more")
        await board.press("f5")
        assert not board.says("once more")
        await board.press("2")
        assert board.says("press 2 once more")
        assert count(loft, "task") == 0
        board.app.screen.say("Soak is over.")  # type: ignore[attr-defined]
        await board.press("2")
        assert count(loft, "task") == 0


async def test_a_machine_without_points_has_a_cursor_on_its_tasks(loft: Place) -> None:
    """One bar from end to end; Enter and the digit lead to the task that it is on."""
    async with loft.open() as board:
        await board.press("2")
        assert "►1 ○ due Hone the gouges" in board.text
        assert "►1 Hone the gouges" in await board.press("enter")
        await board.press("minus")
        assert "►1 Hone the gouges" in await board.press("1")


async def test_a_wait_that_runs_is_not_lost_by_one_key(loft: Place) -> None:
    """The way back ends its clock: it is asked for twice; another key takes the question off."""
    async with loft.open() as board:
        await board.press("1", "t", "1", PLUG_OUT, "enter", "enter", "enter")
        assert "also off this screen (Esc or * 1)" in board.text
        shown = await board.press("minus")
        assert "- once more goes back" in shown
        assert "the timer keeps running" in shown
        assert "- once more goes back" in await board.press("2", "minus")
        shown = await board.press("minus")
        assert "the timer keeps running" not in shown
        await board.press("enter", "asterisk", "1")
        assert board.says("The task waits; its timer keeps running.")
