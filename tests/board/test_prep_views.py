"""The prep day as it is drawn, held against pictures."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from shopboard.board.frame import SMALLEST
from shopboard.board.paint import plain, width_of
from shopboard.board.prep_list import ListPage
from shopboard.board.prep_view import Shown, goes_on, prep_lines
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import NOT_ABOUT_SAFETY, clock, detail
from shopboard.prep.stays_open import StaysOpen
from shopboard.shop.machine import Task, TaskStep
from shopboard.shop.project import Project
from shopboard.standing.waits import Wait
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.tasks import TaskStanding
from tests.board.test_views import NOW, same_as_golden, texts

MACHINES = {"saw": "Table saw", "combi": "Combination machine, planing", "edges": "Hand tools"}
PITCH = Task(
    "pitch",
    "Clean the pitch off the blade",
    steps=(TaskStep("Blade off"), TaskStep("Soak", 10), TaskStep("Brush"), TaskStep("Blade on")),
)


def at(minutes: float) -> datetime:
    return NOW + timedelta(minutes=minutes)


PIECES = (
    (Piece("a", "check", "saw", "Blade at 90", 6, "adjust Blade at 90, check it"), 0.0),
    (Piece("b", "task", "saw", PITCH.name, 4, "Brush", steps=(3, 4), of=4), 0.0),
    (Piece("c", "task", "combi", "Wax the beds", 6, "Wipe", steps=(1, 2), of=3, wait=10), 5.0),
    (Piece("d", "cutter", "saw", "Spare on", 6, "Change to Spare rip blade"), 0.0),
    (Piece("e", "task", "edges", "Hone the gouges", 12, "Hone the gouges"), 0.0),
    (Piece("f", "task", "combi", "Wax the beds", 3, "Buff", steps=(3, 3), of=3), 0.0),
    *((Piece(f"p{n}", "check", "saw", f"Point {n}", 8, f"Point {n}"), 0.0) for n in range(6)),
)


def lines(first: float = 0.0, late: float = 0.0) -> tuple[PlanLine, ...]:
    found: list[PlanLine] = []
    minutes = first
    for number, (piece, change) in enumerate(PIECES):
        start = minutes + change
        minutes = start + piece.minutes + (late if not number else 0.0)
        found.append(
            PlanLine(piece, at(start), at(minutes), change, 0.0, late if not number else 0.0)
        )
    return tuple(found)


def wait(seconds: float, name: str = "saw") -> Wait:
    begun = Begun("u", NOW, 2, NOW, 10.0, NOW)
    standing = TaskStanding(PITCH, True, "due", begun=begun)
    return Wait(name, standing, seconds, "Soak: 8 min left", ("u", NOW, 10.0))


CHEST = Project("chest", "Blanket chest")
DAY = PrepDay("d", 1, at(-30), "chest", finish=at(80))
LEAST: dict[str, Any] = {"bound": 60.0, "minutes": 60.0}
"""Of a plan that is proven to be the shortest."""
RUNNING = Shown(
    DayPlan(
        lines(-9.0, 3.0), at(102), NOW, DAY, CHEST, ("Not for this project: 4 more.",), **LEAST
    ),
    MACHINES,
    (wait(-20), wait(461)),
)
IDLE = Shown(DayPlan(lines(12.0), at(95), NOW, DAY, CHEST, **LEAST), MACHINES, (wait(720),))
AHEAD = Shown(DayPlan(lines(), at(90), NOW, **LEAST), MACHINES, projects=2)
OPENS = (
    StaysOpen("machine", "saw", "saw", "Table saw", "", "DO NOT USE, guard off", "fix the guard"),
    StaysOpen(
        *("point", "combi", "combi.fence", "Combination machine, planing", "Fence"),
        *("borderline, found so twice today; 2 points wait for it", "check it by five-cut test"),
    ),
    StaysOpen("joint", "", "chest.lid", "Blanket chest", "Lid", "HOLD, it is out", "check it"),
)
DONE = Shown(
    DayPlan((), NOW, NOW, DAY, CHEST, ("Not for this project: 4 more.",), stays_open=OPENS),
    MACHINES,
    cost="The day took 1 h 50 min, 1 h 35 min planned; 12 checked, 2 out, 2 set right.",
)
LONG = Shown(DayPlan(lines(600.0), at(700), NOW), MACHINES, projects=2)
"""Its last piece begins after ten hours and more."""
ALL = {"running": RUNNING, "idle": IDLE, "ahead": AHEAD, "done": DONE}


@pytest.mark.parametrize("size", [(80, 24), (160, 48)])
@pytest.mark.parametrize("name", ALL)
def test_pictures_of_a_day(name: str, size: tuple[int, int]) -> None:
    drawn = prep_lines(ALL[name], (size[0], size[1] - 3))
    same_as_golden(f"prep-{name}-{size[0]}x{size[1]}", drawn)


@pytest.mark.parametrize("size", [SMALLEST, (80, 24), (100, 30), (160, 48)])
@pytest.mark.parametrize("name", [*ALL, "long"])
@pytest.mark.parametrize("cursor", [0, 5, 11])
def test_every_size_has_its_list_and_no_line_is_too_long(
    name: str, size: tuple[int, int], cursor: int
) -> None:
    shown = {**ALL, "long": LONG}[name]
    shown = shown._replace(cursor=cursor if shown.plan.lines else 0)
    drawn = prep_lines(shown, (size[0], size[1] - 3))
    assert len(drawn) <= size[1] - 3
    assert all(width_of(line) == size[0] for line in drawn)
    if shown.plan.lines:
        assert [one for one in texts(drawn) if one.startswith("►")]


@pytest.mark.parametrize("size", [SMALLEST, (80, 24), (100, 30), (160, 48)])
@pytest.mark.parametrize("name", [*ALL, "long"])
def test_more_leads_by_every_line_with_its_digit_to_what_is_said_and_back(
    name: str, size: tuple[int, int]
) -> None:
    """The number pad has no arrows: what + does not show cannot be seen there."""
    shown = {**ALL, "long": LONG}[name]
    room = size[0], size[1] - 3
    seen: set[str] = set()
    for _ in range(40):
        seen |= {" ".join(one.split()) for one in texts(prep_lines(shown, room))}
        further = goes_on(shown, room)
        if further is None:
            break
        shown = shown._replace(cursor=further[0], page=further[1])
        if further == (0, ListPage()):
            break
    else:
        pytest.fail("it never comes back to the first line")
    rows = [one.removeprefix("►").split(" ")[0] for one in sorted(seen)]
    count = shown.how_many
    assert all(rows.count(str(digit)) >= (count - digit) // 9 + 1 for digit in range(1, 10))
    for note in shown.plan.left_out:
        assert any(note in one for one in seen)


def test_a_tool_of_a_set_is_not_told_twice_what_is_done_with_it() -> None:
    one = Piece("h", "task", "edges", "Hone them", 8, "6 mm: Hone them", steps=(1, 1), of=2)
    line = PlanLine(one, at(0), at(8))
    drawn = "\n".join(texts(prep_lines(Shown(DayPlan((line,), at(8), NOW), MACHINES), (160, 45))))
    assert "6 mm: Hone them  8 min" in drawn
    assert detail(line, NOW, MACHINES) == "step 1 of 2; 8 min"


@pytest.mark.parametrize("size", [SMALLEST, (80, 24), (160, 48)])
def test_the_bar_of_the_cursor_has_no_holes(size: tuple[int, int]) -> None:
    drawn = prep_lines(RUNNING._replace(cursor=2), (size[0], size[1] - 3))
    bar = next(line for line in drawn if plain(line).startswith("►"))
    assert {style for _, style in bar} == {"bar"}


def test_the_words_that_count_are_there_at_the_smallest_size() -> None:
    shown = "\n".join(texts(prep_lines(RUNNING, (SMALLEST[0], SMALLEST[1] - 3))))
    for words in ("begun 7:30", "done by 9:42, 22 min later", "NOW  Table saw", "next", "7:41"):
        assert words in shown


@pytest.mark.parametrize("size", [SMALLEST, (80, 24)])
def test_more_than_a_day_is_said_with_what_to_do_about_it(size: tuple[int, int]) -> None:
    drawn = " ".join(" ".join(texts(prep_lines(LONG, (size[0], size[1] - 3)))).split())
    assert "More than one day's work: naming a project plans only what that needs." in drawn
    short = " ".join(texts(prep_lines(AHEAD, (80, 21))))
    assert "More than one day" not in short


def test_no_control_character_of_a_name_reaches_the_screen() -> None:
    evil = Piece("x", "task", "saw", "e\x1b[2J", 5, "e\x1b[2Jvil \u202e")
    plan = DayPlan((PlanLine(evil, NOW, at(5)),), at(5), NOW, None, None, ("left \x1b out",))
    shown = "\n".join(texts(prep_lines(Shown(plan, {"saw": "s\x1baw"}), (80, 21))))
    assert "\x1b" not in shown
    assert "\u202e" not in shown


def test_it_never_says_safe() -> None:
    for shown in ALL.values():
        words = " ".join(texts(prep_lines(shown, (160, 45)))).lower()
        assert words.count("safe") == 0


def test_a_change_of_mode_is_to_be_done_now_and_not_waited_for() -> None:
    """The machine is changed over first: nothing keeps from that, and its time is what is said."""
    piece = Piece("c", "task", "combi", "Wax the beds", 6, "Wipe", steps=(1, 2), of=3, wait=10)
    first = PlanLine(piece, at(5), at(11), change=5.0)
    drawn = texts(prep_lines(Shown(DayPlan((first,), at(21), NOW, DAY, CHEST), MACHINES), (80, 21)))
    assert any("NOW  Combination machine, planing: change over to it, then: Wipe" in one
               for one in drawn)  # fmt: skip
    assert any(f"►1  {clock(NOW, NOW)}  Combination" in one for one in drawn)
    over = DayPlan((first._replace(start=at(0), end=at(6)),), at(16), NOW, DAY, CHEST)
    assert any("planing: Wipe" in one for one in texts(prep_lines(Shown(over, MACHINES), (80, 21))))
    # changed over at once, but then what stands there has to dry
    drying = first._replace(start=at(8), end=at(14), idle=3.0)
    assert drying.begins == NOW
    assert drying.changing_over(NOW)
    assert not drying.changing_over(at(6))
    waits = Shown(DayPlan((drying,), at(24), at(6), DAY, CHEST), MACHINES)
    assert any(f"{clock(at(8), at(6))}  Combination" in one
               for one in texts(prep_lines(waits, (80, 21))))  # fmt: skip


@pytest.mark.parametrize("width", [60, 80, 160])
def test_a_sentence_about_safety_is_never_cut(width: int) -> None:
    plan = AHEAD.plan._replace(lines=AHEAD.plan.lines[:1])
    drawn = texts(prep_lines(AHEAD._replace(plan=plan), (width, 40)))
    assert NOT_ABOUT_SAFETY in " ".join(" ".join(drawn).split())


def test_every_number_of_the_list_has_its_unit() -> None:
    drawn = texts(prep_lines(RUNNING, (80, 21)))
    assert any(one.rstrip().endswith("11 min, then a 10 min wait") for one in drawn)


def test_a_project_of_two_words_is_named_whole_at_the_smallest_size() -> None:
    cabinet = Project("c", "Chart cabinet with doors")
    plan = RUNNING.plan._replace(project=cabinet)
    first = texts(prep_lines(RUNNING._replace(plan=plan), (80, 21)))[0]
    assert "for Chart cabinet with doors   begun" in first
    assert "22 min later" in first


def test_why_a_point_is_to_be_checked_is_said_when_it_is_its_turn() -> None:
    piece = Piece("a", "check", "saw", "Blade at 90", 6, "Blade at 90", "true now, due by then")
    shown = Shown(DayPlan((PlanLine(piece, NOW, at(6)),), at(6), NOW, DAY, CHEST), MACHINES)
    assert any("6 min; true now, due by then" in one for one in texts(prep_lines(shown, (80, 21))))


def test_a_piece_without_a_digit_has_no_key_drawn() -> None:
    drawn = prep_lines(RUNNING, (160, 45))
    assert not [text for line in drawn for text, style in line if style == "key" and text.isspace()]
