"""The pictures of tasks, steps, waits and happenings, line by line, without a board."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.board.board_view import panes
from shopboard.board.glyphs import big, can_be_big
from shopboard.board.happened_view import happened_lines
from shopboard.board.machine_view import machine_lines
from shopboard.board.paint import Line, plain, width_of
from shopboard.board.pane_view import pane
from shopboard.board.task_view import caution_lines, clock_words, step_lines, wait_lines
from shopboard.board.tasks_view import task_rows, tasks_lines
from shopboard.journal import Entry
from shopboard.shop.machine import Machine, Task, TaskStep
from shopboard.sittings.task import unplug
from shopboard.standing.model import MachineStanding, PointStanding, ShopStanding
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.tasks import Done, TaskStanding
from shopboard.upkeep.uses import named_first
from tests.board.test_views import NAMES, NOW, SIZES, machine_standing, same_as_golden, texts
from tests.builders import make_point, make_shop
from tests.in_turn import part

CLEAN = Task(
    "clean",
    "Clean the blade",
    28,
    every="4 weeks",
    steps=(
        TaskStep("Warm soda water over it"),
        TaskStep("Soak", 10),
        TaskStep("Brush off all pitch, gullets and sides, until the steel shows everywhere"),
        TaskStep("Öl dünn auftragen"),
    ),
    cutter_near=True,
)
DUST = Task("dust", "Empty the dust box", 14, every="2 weeks")
GUARD = Task("guard", "Look over the guard", after=("knocked",))
SOAKING = Begun("u", NOW, 2, NOW, 10.0, NOW)
TASKS = (
    TaskStanding(CLEAN, True, "never recorded", None, None, SOAKING),
    TaskStanding(DUST, True, "done 15 days ago, every 2 weeks", NOW - timedelta(days=1)),
    TaskStanding(GUARD, False, "after: knocked", None, Done(1, NOW)),
)
SAW = MachineStanding(Machine("saw", "Saw"), "due", (), TASKS)
WAITS = {("saw", "clean"): "Soak: 6 min left"}
BOTH = pytest.mark.parametrize("size", [(80, 24), (160, 48)])


@BOTH
def test_the_list_of_tasks_looks_as_drawn(size: tuple[int, int]) -> None:
    lines = tasks_lines(task_rows((SAW,)), 1, WAITS, (size[0], size[1] - 3))
    same_as_golden(f"tasks-{size[0]}x{size[1]}", lines)


@BOTH
def test_a_machine_without_points_looks_as_drawn(size: tuple[int, int]) -> None:
    lines = machine_lines(SAW, 0, NOW, "inch", (size[0], size[1] - 3), None, WAITS)
    same_as_golden(f"kept-{size[0]}x{size[1]}", lines)


@BOTH
@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_a_step_looks_as_drawn(size: tuple[int, int], number: int) -> None:
    same_as_golden(
        f"task-step-{number}-{size[0]}x{size[1]}",
        step_lines(CLEAN, number, (size[0], size[1] - 3)),
    )


@pytest.mark.parametrize(("name", "seconds"), [("wait", 581.0), ("over", -130.0)])
def test_a_wait_looks_as_drawn(name: str, seconds: float) -> None:
    same_as_golden(f"task-{name}-80x24", wait_lines(CLEAN, 3, seconds, (80, 21)))


def test_a_wait_that_ran_over_a_night_says_what_to_do() -> None:
    """Time is up since the evening before; twelve hours for ten minutes is too long."""
    night = NOW.astimezone().replace(hour=7, minute=40) + timedelta(days=1)
    lines = texts(wait_lines(CLEAN, 3, -12 * 3600.0, (80, 21), 10.0, night))
    words = "\n".join(lines)
    assert "12 h ago. It was left over a night." in words
    assert "Look at it first: cleaner or wax that has dried on" in words
    assert "  3  do it again: back to that step" in words
    assert "longer" not in words
    same = texts(wait_lines(CLEAN, 3, -14 * 60.0, (80, 21), 10.0, night))
    assert "  3 " not in "\n".join(same)
    assert "Time was up 14 min ago." in "\n".join(same)


def test_a_wait_says_and_keeps_how_long_it_may_last() -> None:
    """Two minutes over are too long where the shop file says so."""
    on, rest = CLEAN.steps[1], CLEAN.steps[2:]
    assert on.wait_minutes == 10
    task = CLEAN._replace(steps=(CLEAN.steps[0], on._replace(at_most_minutes=11.0), *rest))
    assert "Then leave it for 10 min, 11 min at the most." in "\n".join(
        texts(step_lines(task, 2, (80, 21)))
    )
    for found, too_long in ((task, True), (CLEAN, False)):
        drawn = "\n".join(texts(wait_lines(found, 3, -120.0, (80, 21), 10.0, NOW)))
        assert ("Look at it first: cleaner or wax" in drawn) is too_long
        assert ("  3  do it again" in drawn) is too_long


def test_a_wait_says_till_when_it_may_be_left() -> None:
    """Of ten minutes four are gone, or twelve; 25 are the most: 21 minutes from now, or 13."""
    task = CLEAN._replace(steps=(CLEAN.steps[0], CLEAN.steps[1]._replace(at_most_minutes=25.0)))
    for left, minutes in ((6, 21), (-2, 13)):
        drawn = "\n".join(texts(wait_lines(task, 3, left * 60.0, (80, 21), 10.0, NOW)))
        at = (NOW + timedelta(minutes=minutes)).astimezone()
        assert f"Go on by {at.hour}:{at:%M} at the latest." in drawn
    drawn = "\n".join(texts(wait_lines(CLEAN, 3, 360.0, (80, 21), 10.0, NOW)))
    assert "at the latest" not in drawn


def test_what_lies_beside_the_machine_has_nothing_dried_on_it() -> None:
    soaking = CLEAN.steps[1]._replace(off_machine=True)
    task = CLEAN._replace(steps=(CLEAN.steps[0], soaking, *CLEAN.steps[2:]))
    drawn = "\n".join(texts(wait_lines(task, 3, -3600.0, (80, 21), 10.0, NOW)))
    assert "Look at it first." in drawn
    assert "wax" not in drawn


def test_the_caution_looks_as_drawn() -> None:
    """In the style of danger, and deferring to the maker's manual."""
    lines = caution_lines(unplug(again=False), 80)
    same_as_golden("task-caution-80x24", lines)
    filled = [line[1] for line in lines[:4]]
    assert all(style == "danger" for _, style in filled)
    rows = [row for row, _ in filled]
    assert not {"█", "▀"} & {*rows[0]}, "letters touch the upper edge: on white paper they merge"
    assert all(row[0] == row[-1] == " " for row in rows)
    assert "maker's manual" in "\n".join(texts(lines))


def test_what_happened_looks_as_drawn() -> None:
    point = make_point(undone_by=("blade changed",))
    shop = make_shop(point, make_point("saw.fence", rests_on=("saw.blade",)))
    machine = shop.machines[0]
    listed = named_first(shop, machine)
    bodies: list[dict[str, object]] = [
        {"what": "hours run", "amount": 150.0, "total": 2400.0},
        {"what": "note", "note": "the bearing hums"},
        {"what": "knocked"},
        {"what": "cuts made", "amount": "many"},
    ]
    entries = [
        Entry(
            9 - at, f"u{at}", NOW - timedelta(days=at), "happening", "saw", "", "", body, None, True
        )
        for at, body in enumerate(bodies)
    ]
    lines = happened_lines(shop, machine, listed, 1, entries, NOW, (80, 21))
    same_as_golden("happened-80x24", lines)


def test_a_pane_shows_the_wait_before_all_else() -> None:
    """Right under its name, however low the pane is."""
    lines = texts(panes(ShopStanding((SAW,)), "saw", NOW, 80, 8, {"saw": ["Soak: 6 min left"]}))
    assert "Soak: 6 min left" in lines[1]
    assert len(lines) == 5


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0.1, "0:01"), (59.2, "1:00"), (581, "9:41"), (3599.5, "1:00:00"), (36_061, "10:01:01")],
)
def test_a_clock_shows_no_less_than_is_left(seconds: float, words: str) -> None:
    """Rounded up to whole seconds."""
    assert clock_words(seconds) == words
    assert can_be_big(words)
    assert len(big(words, tall=True)) == 5


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0.2, "12 s"), (1, "1 min"), (1.5, "1.5 min"), (10, "10 min"), (90, "90 min"), (150, "2.5 h")],
)
def test_a_wait_is_said_as_long_as_it_is(minutes: float, words: str) -> None:
    """Half a minute is not none, a minute and a half not two."""
    task = Task("t", "Wax", steps=(TaskStep("Wax on", minutes), TaskStep("Buff")))
    shown = texts(step_lines(task, 1, (80, 21)))
    assert f"  Then leave it for {words}." in [line.rstrip() for line in shown]


@given(SIZES, st.lists(st.text(min_size=1, max_size=120), min_size=1, max_size=9), st.data())
@settings(max_examples=part(80), deadline=None)
def test_every_step_and_wait_fits_its_window(
    size: tuple[int, int], words: list[str], data: st.DataObject
) -> None:
    task = Task("t", words[0], steps=tuple(TaskStep(one, 10) for one in words))
    number = data.draw(st.integers(1, len(words)))
    room = (size[0], size[1] - 3)
    seconds = data.draw(st.floats(-1e6, 1e6))
    for lines in (step_lines(task, number, room), wait_lines(task, number + 1, seconds, room)):
        assert len(lines) <= room[1]
        assert {width_of(line) for line in lines} == {size[0]}
        assert "Enter" in said(lines) or "carry on" in said(lines)


@given(SIZES, st.lists(NAMES, min_size=1, max_size=30), st.data())
@settings(max_examples=part(60), deadline=None)
def test_every_list_of_tasks_fits_and_shows_the_cursor(
    size: tuple[int, int], names: list[str], data: st.DataObject
) -> None:
    tasks = tuple(
        TaskStanding(Task(f"t{at}", name), bool(at % 2), name) for at, name in enumerate(names)
    )
    one = MachineStanding(Machine("m", names[0]), "due", (), tasks)
    for rows in (task_rows((one,)), task_rows((one, one._replace(machine=Machine("n", "N"))))):
        cursor = data.draw(st.integers(0, len(rows) - 1))
        lines = tasks_lines(rows, cursor, {("m", "t0"): names[0]}, (size[0], size[1] - 3))
        assert len(lines) <= size[1] - 3
        assert {width_of(line) for line in lines} == {size[0]}
        assert sum("►" in plain(line) for line in lines) == 1


@given(SIZES, NAMES, st.integers(0, 6), st.text(max_size=80))
@settings(max_examples=part(60), deadline=None)
def test_every_pane_is_as_wide_as_it_must_be_with_any_wait(
    size: tuple[int, int], name: str, points: int, wait: str
) -> None:
    """However long it is."""
    from shopboard.board.board_view import grid

    look = grid(3, size[0], size[1] - 3).look
    standing = machine_standing(1, "due", name, points)
    lines = pane(standing, ("1", name.upper()), True, NOW, look, (wait,))
    assert len(lines) == look.height
    assert all(width_of(line) <= look.width for line in lines)


def said(lines: Sequence[Line]) -> str:
    return "\n".join(texts(lines))


@pytest.mark.parametrize("cursor", range(20))
def test_of_many_tasks_the_nine_round_the_cursor_have_digits_and_are_in_sight(cursor: int) -> None:
    """Each of them can be chosen by one key, and the list says how many are out of sight."""
    tasks = tuple(
        TaskStanding(Task(f"t{n}", f"Task number {n}", 28, every="4 weeks"), True, "not on record")
        for n in range(20)
    )
    many = MachineStanding(Machine("saw", "Saw"), "due", (), tasks)
    shown = texts(tasks_lines(task_rows((many,)), cursor, {}, (80, 21)))
    start = cursor // 9 * 9
    for digit, number in enumerate(range(start, min(start + 9, 20)), 1):
        mark = "►" if number == cursor else " "
        assert any(line.startswith(f"{mark}{digit} Task number {number} ") for line in shown)
    listed = [line for line in shown if "Task number" in line]
    told = [int(n) for n in re.findall(r"[▲▼] (\d+) more", shown[0])]
    assert len(listed) + sum(told) == 20
    assert sum(line[1:2].isdigit() for line in listed) == min(9, 20 - start)


def test_where_a_row_has_no_room_a_task_says_when_it_is_due_before_when_it_was_done() -> None:
    """Its end, which is what one looks for, was cut off."""
    task = Task("wax", "Clean and wax the table", 28)
    reason = "done 28 minutes ago; due Tue 29 Dec 2026 or in 40 h of use"
    points = tuple(
        PointStanding(make_point(f"saw.p{at}"), "unproven", "never checked") for at in range(7)
    )
    saw = SAW._replace(points=points, tasks=(TaskStanding(task, False, reason),), cutters=())
    lines = texts(machine_lines(saw, 0, NOW, "inch", (80, 18)))
    (row,) = [one for one in lines if "wax the table" in one]
    assert row.rstrip().endswith("due Tue 29 Dec 2026 or in 40 h of use")
    wide = texts(machine_lines(saw, 0, NOW, "inch", (160, 18)))
    assert any(reason in one for one in wide)
