"""Tools of a set are planned one by one, and next to each other where that costs nothing.

Minutes are divided by hand. That no time but theirs changes is asked of days made by chance, whose
rules `keeps` reads anew.
"""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest

from shopboard.prep.day import Planner
from shopboard.prep.fill_window import Stint
from shopboard.prep.in_one_go import in_one_go
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.time_had import TimeHad
from shopboard.sittings.task import TaskSitting
from tests import builders
from tests.in_turn import few
from tests.journal.helpers import Clock
from tests.prep.days import day_of
from tests.prep.keeps import faults, told
from tests.prep.test_lived_day import opened, planned
from tests.two_shops import METRIC

_CHISELS = """
[[machine.task]]
id = "chisels"
name = "Hone the chisels"
every = "4 weeks"
minutes = "{minutes}"
leaves = "nothing"
each = ["6 mm", "12 mm", "18 mm", "25 mm"]
steps = ["Bevel", "Back"]

[[machine.task]]
id = "hone"
"""


def test_a_task_that_does_not_fit_is_one_job_and_each_tool_of_a_set_another(
    tmp_path: Path, clock: Clock
) -> None:
    """Wiped and waxed in six minutes and buffed in three, it is nine; ten for each chisel."""
    text = METRIC.replace('\n[[machine.task]]\nid = "hone"\n', _CHISELS.format(minutes="40 min"))
    with closing(opened(tmp_path, clock, text)) as open_shop:
        had = TimeHad(until=clock.now + timedelta(minutes=1), any_hours=True)
        planner = Planner(open_shop)
        planner.choose(had=had)
        for left in (planner.plan().left, planner.undone()):
            told = {one.piece.id: (one.piece.words, one.piece.minutes) for one in left}
            assert told["task saw.wax 1"] == ("Wax the table", 9)
            assert "task saw.wax 3" not in told
            assert [one.piece.minutes for one in left if one.piece.target == "chisels"] == [10] * 4
        planner.choose()
        assert planner.plan().lines
        undone = [one.piece.words for one in planner.undone() if one.piece.target == "wax"]
        assert undone == ["Wax the table"]


@pytest.mark.parametrize(
    ("minutes", "parts"),
    [
        ("40 min", [(1, 2), (3, 4), (5, 6), (7, 8)]),  # 10 each
        ("20 min", [(1, 2), (3, 4), (5, 6), (7, 8)]),  # 5 each
        ("12 min", [(1, 4), (5, 8)]),  # 3 each
        ("8 min", [(1, 6), (7, 8)]),
    ],
)
def test_tools_of_a_set_are_planned_one_by_one(
    tmp_path: Path, clock: Clock, minutes: str, parts: list[tuple[int, int]]
) -> None:
    text = METRIC.replace('\n[[machine.task]]\nid = "hone"\n', _CHISELS.format(minutes=minutes))
    with closing(opened(tmp_path, clock, text)) as open_shop:
        lines = [one.piece for one in planned(open_shop).lines if one.piece.target == "chisels"]
        assert [one.steps for one in lines] == parts
        assert sum(one.minutes for one in lines) == float(minutes.split()[0])
        tools = ["6 mm", "12 mm", "18 mm", "25 mm"]
        for one in lines:  # each tool that it is for is named, or the first and the last of many
            some = tools[(one.steps[0] - 1) // 2 : one.steps[1] // 2]
            between = " and " if len(some) == 2 else " to "
            named = some[0] if len(some) == 1 else f"{some[0]}{between}{some[-1]}"
            assert one.words == f"{named}: Bevel"


def test_a_chisel_or_two_fill_the_time_that_is_left(tmp_path: Path, clock: Clock) -> None:
    """In 25 minutes that are for chisels alone, two of four; then the third comes first."""
    text = METRIC.replace(
        '\n[[machine.task]]\nid = "hone"\n',
        _CHISELS.format(minutes="40 min").replace("minutes", "guards = true\nminutes", 1),
    )
    with closing(opened(tmp_path, clock, text)) as open_shop:
        had = TimeHad(until=clock.now + timedelta(minutes=25), any_hours=True)
        plan = planned(open_shop, had)
        chisels = [one.piece.steps for one in plan.lines if one.piece.target == "chisels"]
        assert chisels == [(1, 2), (3, 4)]
        (task,) = [
            one
            for machine in open_shop.standing.machines
            for one in machine.tasks
            if one.task.id == "chisels"
        ]
        builders.do_steps(TaskSitting(open_shop.journal, "tools", task.task, task.begun), 4)
        first = planned(open_shop, had).lines[0].piece
        assert (first.target, first.steps, first.words) == ("chisels", (5, 6), "18 mm: Bevel")


@pytest.mark.parametrize(("steps", "goes_on"), [(4, False), (3, True)])
def test_between_two_tools_of_a_set_nothing_is_half_done(
    tmp_path: Path, clock: Clock, steps: int, goes_on: bool
) -> None:
    """The third chisel is upkeep like another, whose back is still to do is gone on with."""
    chisels = _CHISELS.format(minutes="40 min")
    text = METRIC.replace('\n[[machine.task]]\nid = "hone"\n', chisels)
    with closing(opened(tmp_path, clock, text)) as open_shop:
        had = TimeHad(until=clock.now + timedelta(minutes=17), any_hours=True)
        (task,) = [
            one.task
            for machine in open_shop.standing.machines
            for one in machine.tasks
            if one.task.id == "chisels"
        ]
        builders.do_steps(TaskSitting(open_shop.journal, "tools", task, None), steps)
        lines = planned(open_shop, had).lines
        assert [one.piece.steps for one in lines if one.piece.target == "chisels"] == (
            [(4, 4)] if goes_on else []
        )
        assert {one.piece.sort for one in lines[goes_on:]} == {"check"}
        words = [one.piece.why for one in planned(open_shop).lines if one.piece.of]
        assert words.count("in progress") == goes_on


def piece(job: Job, task: str) -> Piece:
    return Piece(job.id, "task", job.place, job.id, job.minutes, target=task)


def test_a_set_is_gone_on_with_past_what_can_be_done_after_it() -> None:
    """Chisel, gouges, rasps, chisel at one bench: the second chisel comes up to the first."""
    chain = (("a 1", 0.0),)
    jobs = (
        Job("a 1", 10, "t"),
        Job("b", 20, "t"),
        Job("c", 5, "t"),
        Job("a 2", 10, "t", after=chain),
    )
    pieces = {job.id: piece(job, job.id[0]) for job in jobs}
    order = ("a 1", "b", "c", "a 2")
    found = Schedule({"a 1": 0, "b": 10, "c": 30, "a 2": 35}, order, 45, 45, 0)
    moved = in_one_go(Stint(0, Workday(jobs), found), pieces).found
    assert moved.order == ("a 1", "a 2", "b", "c")
    assert moved.starts == {"a 1": 0, "a 2": 10, "b": 20, "c": 40}
    for change in ({"tail": 5.0}, {"place": "u"}, {"opens": "t"}, {"patience": 3.0}):
        kept = (*jobs[:2], jobs[2]._replace(**change), jobs[3])
        assert in_one_go(Stint(0, Workday(kept), found), pieces).found == found


@pytest.mark.parametrize("seed", few(range(40), 10))
@pytest.mark.parametrize("shape", ["shop", "waits", "modes"])
def test_nothing_else_moves_and_every_rule_is_kept(shape: str, seed: int) -> None:
    """Of days by chance, any jobs being parts of one task: finish, waits and walks stay."""
    rng = Random(seed)
    day = day_of(shape, 14, seed)
    found = schedule(day, 0.1)
    pieces = {job.id: piece(job, str(rng.randint(0, 3))) for job in day.jobs}
    moved = in_one_go(Stint(0, day, found), pieces).found
    assert sorted(moved.order, key=lambda name: moved.starts[name]) == [*moved.order]
    assert faults(day, moved.order, moved.starts) == faults(day, found.order, found.starts) == []
    assert told(day, moved)[:3] == told(day, found)[:3]


def test_a_tool_that_fills_no_wait_is_put_off_to_the_next_of_its_set() -> None:
    """A chisel between two checks of two machines; before the glue it fills a wait, and stays."""
    jobs = (
        Job("fence", 6, "saw"),
        Job("a 1", 6, "bench"),
        Job("bed", 10, "planer"),
        Job("a 2", 6, "bench", after=(("a 1", 0.0),)),
    )
    order = tuple(job.id for job in jobs)
    pieces = {job.id: piece(job, job.id[0])._replace(by_tool=job.id[0] == "a") for job in jobs}
    found = Schedule({"fence": 0, "a 1": 6, "bed": 12, "a 2": 22}, order, 28, 28, 3)
    moved = in_one_go(Stint(0, Workday(jobs), found), pieces).found
    assert moved.order == ("fence", "bed", "a 1", "a 2")
    assert moved.starts == {"fence": 0, "bed": 6, "a 1": 16, "a 2": 22}
    assert moved.walks == 2
    for stay in (["a 1"], ["fence"]):
        kept = in_one_go(Stint(0, Workday(jobs), found), pieces, stay).found
        assert (kept == found) == ("a 1" in stay)
    waits = (
        jobs[0]._replace(tail=6.0),
        jobs[1],
        jobs[2]._replace(after=(("fence", 6.0),)),
        jobs[3],
    )
    assert in_one_go(Stint(0, Workday(waits), found), pieces).found == found


@pytest.mark.parametrize("seed", few(range(40), 10))
@pytest.mark.parametrize("shape", ["shop", "waits", "modes", "open"])
def test_tools_put_together_lose_nothing(shape: str, seed: int) -> None:
    """Of days by chance, any jobs being tools of one set: no rule, no minute, no walk."""
    rng = Random(seed)
    day = day_of(shape, 14, seed)
    found = schedule(day, 0.1)
    pieces = {
        job.id: piece(job, str(rng.randint(0, 3)))._replace(by_tool=rng.random() < 0.6)
        for job in day.jobs
    }
    moved = in_one_go(Stint(0, day, found), pieces).found
    assert sorted(moved.order, key=lambda name: moved.starts[name]) == [*moved.order]
    assert faults(day, moved.order, moved.starts) == faults(day, found.order, found.starts) == []
    assert all(
        now <= was for now, was in zip(told(day, moved)[:3], told(day, found)[:3], strict=True)
    )
