"""What is shown of a day adds up: whole minutes, one count of jobs, nothing told that is not done.

The minutes are those of the shop file, added up by hand; that no minute is said in parts is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from math import ceil
from pathlib import Path

import pytest

from shopboard.commands.prep_told import plan_lines
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.prep.left_words import as_left, how_much
from shopboard.prep.pieces import minutes_of_part
from shopboard.prep.plan_words import closed_words, detail
from shopboard.prep.time_had import TimeHad
from shopboard.shop.machine import Task, TaskStep
from tests.journal.helpers import Clock
from tests.two_shops import METRIC, SHOPS

HOURS = 'unit = "mm"\nhours = "8:00 to 12:00 and 13:00 to 17:00"'
GUARD = """
[[machine.point]]
id = "guard"
name = "Guard down"
check = "go-no-go"
guards = true
minutes = "2 min"

[[machine.task]]
id = "wax"
"""


@pytest.fixture
def kiln(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    """A metric shop that is open from 8 to 12 and from 13 to 17, at 8:00."""
    path = tmp_path / "shop.toml"
    text = METRIC.replace('unit = "mm"', HOURS, 1)
    path.write_text(text.replace('\n[[machine.task]]\nid = "wax"\n', GUARD, 1), encoding="utf-8")
    clock.now = clock.now.astimezone().replace(hour=8, minute=0)
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as opened:
        yield opened


def begun(kiln: OpenShop) -> Planner:
    planner = Planner(kiln)
    begin_day(kiln.journal, "", planner.plan().from_now)
    kiln.refresh()
    return planner


@pytest.mark.parametrize("minutes", [1.0, 2.5, 8.0, 9.0, 14.0, 16.0])
@pytest.mark.parametrize("count", [1, 2, 3, 6])
def test_stretches_of_a_task_take_whole_minutes_that_add_up(minutes: float, count: int) -> None:
    """Of 8 minutes in three steps two are 6 and the last 2, not 5.33 and 2.67."""
    task = Task("wax", "Wax", minutes=minutes, steps=(TaskStep("rub"),) * count)
    parts = [minutes_of_part(task, number, number) for number in range(1, count + 1)]
    assert all(one == int(one) >= 1 for one in parts)
    assert sum(parts) == ceil(minutes) or minutes < count
    assert minutes_of_part(task, 1, count) == ceil(minutes)
    if 1 < count <= minutes:
        first, last = (1, count - 1), (count, count)
        assert sum(minutes_of_part(task, *part) for part in (first, last)) == ceil(minutes)


@pytest.mark.parametrize("name", [*SHOPS])
def test_the_next_piece_begins_when_the_one_before_it_is_over(
    tmp_path: Path, clock: Clock, name: str
) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(SHOPS[name], encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as opened:
        plan = Planner(opened).plan()
        assert plan.lines
        for line in plan.lines:
            assert (line.end - line.start) % timedelta(minutes=1) == timedelta()
            assert line.piece.minutes == int(line.piece.minutes)


def test_the_same_work_is_counted_alike_wherever_it_is_told(kiln: OpenShop, clock: Clock) -> None:
    """The wax is two pieces and one job: at noon, after closing and in what is left undone."""
    planner = begun(kiln)
    for hours in (4.5, 5.0):
        clock.pass_by(hours=hours)
        plan = planner.plan()
        left = how_much(as_left(planner.undone()))
        assert len(plan.lines) > plan.jobs == len(planner.undone())
        assert closed_words(plan).endswith(f"Left for then: {left}.")


def test_a_check_that_guards_is_said_to_guard_and_not_only_till_then(
    kiln: OpenShop, clock: Clock
) -> None:
    planner = begun(kiln)
    clock.pass_by(hours=4.5)
    risks = {one.piece.id: one.risk for one in planner.undone()}
    told = [one for one in plan_lines(planner.plan(), kiln, risks) if "check Guard down" in one]
    assert [one.endswith("(2 min; unproven: never checked; it guards you)") for one in told] == [
        True
    ]


def test_nothing_recorded_is_counted_from_the_newest_record(kiln: OpenShop, clock: Clock) -> None:
    """Begun at 8:00, looked at late: the pause of noon is no record."""
    planner, seen = begun(kiln), 0
    midnight = clock.now
    for minutes in range(5 * 60 + 5, 9 * 60):
        clock.now = midnight + timedelta(minutes=minutes)
        line = next(iter(planner.plan().lines), None)
        if line is not None and line.silent:
            seen += 1
            words = detail(line, clock.now, {one.id: one.name for one in kiln.shop.machines})
            hours, rest = divmod(minutes, 60)
            assert f"nothing recorded for {hours} h {rest} min".removesuffix(" 0 min") in words
    assert seen


def test_at_the_end_nothing_is_told_as_checked_that_was_not(kiln: OpenShop, clock: Clock) -> None:
    """With so much time that the checks fit and the upkeep before them does not."""
    found = []
    for minutes in range(5, 60, 5):
        planner = Planner(kiln)
        planner.choose(had=TimeHad(clock.now + timedelta(minutes=minutes)))
        found += [one.risk for one in planner.plan().left if "checked without it" in one.risk]
        assert not any("checked without it" in one.risk for one in planner.undone())
    assert found
