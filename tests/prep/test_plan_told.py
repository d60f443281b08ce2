"""A plan of a prep day, told: its times added up by hand, its words as they are read."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from shopboard.prep.begun_day import PrepDay
from shopboard.prep.job_list import ToDo
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import (
    about,
    clock,
    detail,
    done_by,
    how_near,
    span,
    started,
    too_long,
)
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.time_had import Window
from shopboard.prep.timing import DayToPlan, timed
from shopboard.prep.worth import Worth
from shopboard.shop.project import Project

DAY = datetime(2026, 6, 1, 8, tzinfo=UTC)


def at(minutes: float) -> datetime:
    return DAY + timedelta(minutes=minutes)


def piece(ident: str = "p", minutes: float = 5.0, **more: Any) -> Piece:
    return Piece(ident, "task", "saw", ident, minutes, **more)


def line(start: float, end: float, **more: Any) -> PlanLine:
    return PlanLine(piece(minutes=end - start), at(start), at(end), **more)


def plan(*lines: PlanLine, finish: float = 60.0, **more: Any) -> DayPlan:
    return DayPlan(lines, at(finish), DAY, **more)


def begun(finish: float | None) -> PrepDay:
    return PrepDay("u", 1, DAY, finish=None if finish is None else at(finish))


def test_a_change_of_mode_begins_before_the_idle_time_after_it() -> None:
    """Six minutes to change over, four to wait: at 20 the piece itself begins."""
    one = line(20, 25, change=6.0, idle=4.0)
    assert one.begins == at(10)
    changing = [one.changing_over(at(now)) for now in (9.9, 10, 15.9, 16, 20)]
    assert changing == [False, True, True, False, False]
    waits = line(20, 25, idle=4.0)
    assert waits.begins == at(20)
    assert not waits.changing_over(at(20))


def test_the_wait_after_a_piece_is_over_so_long_after_its_end() -> None:
    assert line(0, 5).over is None
    soaks = line(0, 5)._replace(piece=piece(wait=30.0))
    assert soaks.over == at(35)


def test_what_is_left_is_added_up() -> None:
    lines = (line(0, 5), line(11, 16, change=6.0))
    assert plan(*lines).hands_on == 5 + 6 + 5
    assert plan(*lines).first == lines[0]
    assert plan().first is None
    assert plan().hands_on == 0


@pytest.mark.parametrize(("end", "is_so"), [(600, False), (600.1, True)])
def test_more_than_ten_hours_are_more_than_one_day(end: float, *, is_so: bool) -> None:
    """What is left alone after the last piece keeps nobody up (common practice, no source)."""
    assert plan(line(0, 5), line(end - 5, end), finish=2000).is_too_long is is_so
    assert not plan(finish=2000).is_too_long


def test_how_much_later_than_first_said() -> None:
    """To the nearest minute; nothing where nothing was said or nothing is left."""
    left = line(0, 5)
    assert plan(left, day=begun(57.6)).later == 2
    assert plan(left, day=begun(57.4)).later == 3
    assert plan(left, day=begun(63)).later == -3
    assert plan(left).later is None
    assert plan(left, day=begun(None)).later is None
    assert plan(day=begun(57)).later is None


def test_a_day_that_begins_now_is_done_as_long_after_now_as_it_takes() -> None:
    """Planned from the last full minute; what has to wait for the clock comes no later."""
    late = plan(line(0, 5), minutes=50.0)._replace(now=at(0.5))
    assert late.from_now == at(60)
    assert late._replace(minutes=60.0).from_now == at(60.5)


def settled(workday: Workday, *order: str) -> tuple[DayToPlan, Schedule]:
    pieces = {job.id: piece(job.id, job.minutes) for job in workday.jobs}
    todo = ToDo(pieces, workday.jobs)
    return (
        DayToPlan(todo, workday, DAY, (Window(DAY),), Worth((), {})),
        Schedule({}, order, 0, 0, 0),
    )


MIXED = Workday(
    (
        Job("saw", 10, body="combi", mode="saw"),
        Job("plane", 5, body="combi", mode="plane", after=(("saw", 20),)),
        Job("any", 5, body="combi"),
        Job("late", 4, ready=60, tail=90, opens="planer"),
    ),
    {("combi", "plane"): 6.0, ("combi", "saw"): 3.0},
    {"combi": "saw"},
)


def test_every_piece_comes_as_soon_as_it_can() -> None:
    """By hand: 10 of work, 2 more so far, 1 left; 6 to change over; the soak of 20 ends at 33."""
    lines, finish = timed(*settled(MIXED, "saw", "plane", "any", "late"), at(12))
    told = [(one.piece.id, one.start, one.end, one.change, one.idle, one.late) for one in lines]
    assert told == [
        ("saw", at(0), at(13), 0, 0, 2),
        ("plane", at(33), at(38), 6, 14, 0),
        ("any", at(38), at(43), 0, 0, 0),
        ("late", at(60), at(64), 0, 17, 0),
    ]
    assert [one.opens for one in lines] == ["", "", "", "planer"]
    assert finish == at(64 + 90)


def test_what_is_held_back_on_purpose_says_why() -> None:
    """Held to 30, free at 0: its wait would be left too long. Held to 5, free at 10: it is not."""
    day = Workday((Job("a", 10), Job("b", 5, tail=10)))
    asked, found = settled(day, "a", "b")
    for held, told in ((30, True), (5, False), (0, False)):
        lines, _ = timed(asked, found._replace(held={"b": held}), at(0))
        assert [one.is_held for one in lines] == [False, told]
        words = detail(lines[1], at(0), {"saw": "Saw"})
        assert ("not sooner, or its wait is left too long" in words) == told
        assert "not sooner" not in detail(lines[1], at(40), {"saw": "Saw"})


def test_only_the_first_piece_is_late_and_no_mode_costs_nothing() -> None:
    order = ("saw", "plane")
    lines, finish = timed(*settled(MIXED._replace(modes={}), *order), at(-3))
    assert [(one.start, one.change, one.late) for one in lines] == [(at(0), 0, 0), (at(30), 6, 0)]
    assert finish == at(35)
    lines, finish = timed(*settled(MIXED._replace(modes={"combi": "plane"}), *order), at(13))
    assert [(one.start, one.change, one.late) for one in lines] == [(at(3), 3, 0), (at(33), 6, 0)]
    lines, finish = timed(*settled(MIXED, "saw", "plane"), at(200))
    assert (lines[0].late, lines[0].left, lines[1].late, finish) == (190, 10, 0, at(235))


@pytest.mark.parametrize(
    ("minutes", "steps", "spent", "left"),
    [
        (12, (0, 0), 0, 12),
        (12, (0, 0), 9, 3),
        (12, (0, 0), 12, 0),
        (12, (0, 0), 16, 2),  # half as long again as it is over
        (12, (0, 0), 600, 12),  # and no longer than it takes by itself
        (12, (2, 4), 3, 9),  # three steps of four minutes
        (12, (2, 4), 6, 9),  # 8 for those to come, 1 for this one
        (12, (2, 4), 600, 12),
        (1, (5, 4), 3, 1),  # the end of a last wait
    ],
)
def test_what_is_left_of_a_job_goes_by_its_minutes_and_steps(
    minutes: float, steps: tuple[int, int], spent: float, left: float
) -> None:
    """By hand. A step recorded is no part of a piece any more: those of a piece are all to do."""
    one = Piece("p", "task", "saw", "p", minutes, "p", steps=steps, of=steps[1])
    todo, workday = ToDo({"p": one}, ()), Workday((Job("p", minutes),))
    day = DayToPlan(todo, workday, DAY, (Window(DAY),), Worth((), {}))
    (line,), finish = timed(day, Schedule({}, ("p",), 0, 0, 0), at(spent))
    assert finish == line.end == at(spent + left)


def test_while_one_was_away_nothing_was_done() -> None:
    """Ten minutes of work that were begun before a break of an hour take ten after it."""
    lines, finish = timed(*settled(MIXED, "saw", "plane"), at(60), 60.0)
    assert [(one.start, one.end, one.late) for one in lines] == [
        (at(60), at(70), 0),
        (at(90), at(95), 0),
    ]
    assert finish == at(95)


def test_with_nothing_to_do_it_is_done_now() -> None:
    assert timed(*settled(Workday(())), at(7)) == ((), at(7))
    assert timed(*settled(Workday(())), at(-7)) == ((), at(0))


def local(day: int, hour: int, minute: int, second: int = 0, month: int = 6) -> datetime:
    return datetime(2026, month, day, hour, minute, second).astimezone()


@pytest.mark.parametrize(
    ("when", "words"),
    [
        (local(1, 9, 5), "9:05"),
        (local(1, 9, 4, 29), "9:04"),
        (local(1, 9, 4, 30), "9:05"),
        (local(1, 23, 59, 30), "Tue 0:00"),
        (local(2, 9, 5), "Tue 9:05"),
        (local(7, 17, 40), "Sun 17:40"),
        (local(8, 9, 5), "Mon 8 Jun 2026 9:05"),
        (local(26, 9, 5, month=5), "Tue 9:05"),
        (local(25, 9, 5, month=5), "Mon 25 May 2026 9:05"),
    ],
)
def test_a_time_is_told_with_its_day_where_that_is_another(when: datetime, words: str) -> None:
    """1 June 2026 is a Monday: by the calendar of ISO 8601."""
    assert clock(when, local(1, 12, 0)) == words


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0, "0 min"),
        (0.2, "1 min"),
        (1.6, "2 min"),
        (59.4, "59 min"),
        (60, "1 h"),
        (61, "1 h 1 min"),
        (130, "2 h 10 min"),
    ],
)
def test_how_long_something_takes(minutes: float, words: str) -> None:
    assert span(minutes) == words


def test_a_plan_says_what_it_is_for_and_when_all_is_done() -> None:
    assert about(plan()) == "for all that is due"
    assert about(plan(project=Project("chest", "Chest"))) == "for Chest"
    left = line(0, 5)
    done = f"done by {clock(at(60), DAY)}"
    assert done_by(plan(left)) == done
    told = {said: done_by(plan(left, day=begun(said))) for said in (60, 59, 61, 120, 60.4)}
    assert told == {
        60: f"{done}, on schedule",
        60.4: f"{done}, on schedule",
        59: f"{done}, 1 min later than planned",
        61: f"{done}, 1 min sooner than planned",
        120: f"{done}, 1 h sooner than planned",
    }


def test_whether_the_day_was_begun() -> None:
    assert started(plan()) == "not begun"
    assert started(plan(day=begun(None))) == f"begun {clock(DAY, DAY)}"


@pytest.mark.parametrize(
    ("bound", "words"),
    [
        (0.0, ""),  # nothing is known of it
        (60, "No other order ends sooner."),
        (59.1, "No other order ends sooner."),
        (59, "No other order ends more than 1 min sooner."),
        (57.8, "No other order ends more than 3 min sooner."),
    ],
)
def test_how_much_sooner_another_order_could_end(bound: float, words: str) -> None:
    lines = (line(0, 5), line(5, 10))
    assert how_near(plan(*lines, bound=bound, minutes=60.0)) == words
    assert how_near(plan(lines[0], bound=bound, minutes=60.0)) == ""


def test_what_to_do_where_it_is_more_than_one_day() -> None:
    """Naming a project makes it less; one that is named, or begun, is planned anew."""
    long = plan(line(0, 601))
    assert too_long(plan(line(0, 599)), 3) == ""
    named = "More than one day's work: naming a project plans only what that needs."
    assert too_long(long, 1) == named
    assert "of a project in the shop file" in too_long(long, 0)
    anew = "More than one day's work: what is left by then is planned again."
    assert too_long(long._replace(day=begun(None)), 1) == anew
    assert too_long(long._replace(project=Project("chest", "Chest")), 0) == anew
