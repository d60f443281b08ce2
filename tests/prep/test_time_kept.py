"""The time one has, as a day goes on: kept from its beginning, through lateness and a pause.

Minutes by hand: at the metric shop there are 52 minutes of work in six jobs, one with a wait.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day, change_time
from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan
from shopboard.prep.plan_words import clock as clock_words
from shopboard.prep.plan_words import closed_words, done_by, time_words
from shopboard.prep.time_had import TimeHad, Window
from shopboard.prep.time_read import read_time
from shopboard.sittings.check import start
from shopboard.upkeep.task_marks import record_task
from tests.journal.helpers import Clock
from tests.two_shops import METRIC


def opened(folder: Path, clock: Clock, hours: str) -> OpenShop:
    told = f'unit = "mm"\nhours = "{hours}"' if hours else 'unit = "mm"'
    path = folder / "shop.toml"
    path.write_text(METRIC.replace('unit = "mm"', told, 1), encoding="utf-8")
    return OpenShop(path, folder / "journal.sqlite3", clock, 0.05)


@pytest.fixture
def kiln(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    clock.now = clock.now.astimezone().replace(hour=8)
    with closing(opened(tmp_path, clock, "")) as made:
        yield made


def planned(planner: Planner, open_shop: OpenShop) -> DayPlan:
    open_shop.refresh()
    return planner.plan()


def targets(plan: DayPlan) -> list[str]:
    return [line.piece.target for line in plan.lines]


def begun(open_shop: OpenShop, said: str) -> tuple[Planner, DayPlan]:
    """Look at a day for the time that is said, and begin it."""
    planner = Planner(open_shop)
    had = read_time(said, open_shop.now()) if said else TimeHad()
    planner.choose(had=had)
    looked_at = planner.plan()
    put_off = len(looked_at.left)
    begin_day(open_shop.journal, "", looked_at.from_now, had=had, put_off=put_off)
    planner.choose()
    return planner, looked_at


def test_the_day_that_is_begun_is_the_one_that_was_looked_at(kiln: OpenShop) -> None:
    """Not one of 33 minutes, with a check of 12 in the place of the wax."""
    planner, looked_at = begun(kiln, "30 min")
    plan = planned(planner, kiln)
    assert targets(plan) == targets(looked_at)
    assert (plan.hands_on, plan.later) == (30, 0)


@pytest.mark.parametrize("said", ["52 min", "30 min"])
@pytest.mark.parametrize("seconds", [20, 75, 200, 900])
def test_so_many_minutes_count_from_the_beginning(
    kiln: OpenShop, clock: Clock, said: str, seconds: float
) -> None:
    """Who looks at the plan for a while before they begin has as many minutes still."""
    clock.pass_by(seconds=50)
    planner, had = Planner(kiln), read_time(said, kiln.now())
    planner.choose(had=had)
    looked_at = planner.plan()
    clock.pass_by(seconds=seconds)
    begin_day(kiln.journal, "", planner.plan().from_now, had=planner.had or TimeHad())
    planner.choose()
    plan = planned(planner, kiln)
    assert targets(plan) == targets(looked_at)
    assert len(plan.left) == len(looked_at.left)


def test_a_time_by_the_clock_stays_where_it_was_said(kiln: OpenShop, clock: Clock) -> None:
    planner = Planner(kiln)
    planner.choose(had=read_time("until 9:00", kiln.now()))
    clock.pass_by(minutes=5)
    assert planner.had == read_time("until 9:00", kiln.now())


def test_only_the_same_work_is_compared_with_what_was_planned(kiln: OpenShop, clock: Clock) -> None:
    """Of 52 minutes in an hour none is over sooner for jobs that are left out, or in more time."""
    planner, looked_at = begun(kiln, "1 h")
    clock.pass_by(minutes=9)
    plan = planned(planner, kiln)
    assert (plan.left, plan.later, plan.fewer) == ((), 9, 0)
    assert done_by(plan).endswith("9 min later than planned")
    clock.pass_by(minutes=31)
    plan = planned(planner, kiln)
    fewer = len(looked_at.lines) - len(plan.lines)
    assert fewer == len(plan.left) > 1
    assert plan.later is None
    assert done_by(plan).endswith(f", {fewer} jobs fewer than planned")
    day = planner.day
    assert day is not None
    change_time(kiln.journal, day, read_time("2 h", kiln.now()))
    plan = planned(planner, kiln)
    assert (plan.left, plan.later) == ((), None)
    assert done_by(plan) == f"done by {clock_words(plan.finish, plan.now)}"


def test_what_runs_a_little_past_the_time_that_was_said_is_no_rest_for_later(
    kiln: OpenShop,
) -> None:
    """Of a time that was said nothing is done later; of the shop's hours it is."""
    planner, _ = begun(kiln, "1 h")
    plan = planned(planner, kiln)
    end = plan.lines[-1].start
    over = plan._replace(window=Window(plan.now, end), today=(), until=end)
    assert time_words(over) == f"Time until {clock_words(end, plan.now)}."
    assert time_words(over._replace(until=None)).endswith(", the rest later.")


def test_a_morning_is_not_filled_past_what_was_said(kiln: OpenShop, clock: Clock) -> None:
    """At 16:40 of a day until 17:00 that began at 8:00, 42 minutes of work do not end by 17:05."""
    planner, _ = begun(kiln, "until 17:00")
    clock.pass_by(hours=8, minutes=40)
    record_task(kiln.journal, "tools", "hone")
    plan = planned(planner, kiln)
    assert plan.left
    assert plan.finish <= clock.now + timedelta(minutes=25)


def test_lateness_before_a_pause_is_no_work_in_it(tmp_path: Path, clock: Clock) -> None:
    """What no longer fits before noon is done after it; nothing is left out."""
    clock.now = clock.now.astimezone().replace(hour=11, minute=15)
    with closing(opened(tmp_path, clock, "8:00 to 12:00 and 13:00 to 17:00")) as open_shop:
        planner, _ = begun(open_shop, "until 17:00")
        noon = clock.now.replace(hour=12, minute=0)
        for _ in range(14):
            plan = planned(planner, open_shop)
            ends = [line.end for line in plan.lines[1:] if line.start < noon]
            assert max(ends, default=noon) <= noon + timedelta(minutes=5)
            assert not plan.left
            clock.pass_by(minutes=3)


def test_who_is_two_minutes_slower_leaves_nothing_out(kiln: OpenShop, clock: Clock) -> None:
    """The gouges took 12 minutes of ten; the rest takes 42, which is all over after 54."""
    planner, _ = begun(kiln, "52 min")
    clock.pass_by(minutes=12)
    record_task(kiln.journal, "tools", "hone")
    plan = planned(planner, kiln)
    assert (plan.left, plan.hands_on, plan.later) == ((), 42, 2)
    clock.pass_by(minutes=4)  # at a step of three
    plan = planned(planner, kiln)
    assert (plan.left, plan.later) == ((), 4)


def test_what_is_in_hand_when_time_is_up_is_gone_on_with(kiln: OpenShop, clock: Clock) -> None:
    """For three minutes of half an hour; then time is up."""
    planner, _ = begun(kiln, "30 min")
    clock.pass_by(minutes=24)
    record_task(kiln.journal, "saw", "wax")
    clock.pass_by(minutes=1)
    assert targets(planned(planner, kiln)) == ["saw.arbor"]
    start(kiln.journal, kiln.shop, kiln.shop.points["saw.arbor"])
    for minutes, up in ((6.5, False), (2, True)):
        clock.pass_by(minutes=minutes)
        plan = planned(planner, kiln)
        assert plan.time_is_up is up
        assert targets(plan) == ([] if up else ["saw.arbor"])


@pytest.mark.parametrize("at", [61, 80])
def test_minutes_lost_before_a_pause_are_not_taken_from_the_time_after_it(
    tmp_path: Path, clock: Clock, at: int
) -> None:
    """The wax took the first hour; in the half hour after the pause there is room for it."""
    clock.now = clock.now.astimezone().replace(hour=8)
    with closing(opened(tmp_path, clock, "8:00 to 9:00 and 9:30 to 10:00")) as made:
        planner, _ = begun(made, "")
        for minutes in (30, 29, at - 59):
            clock.pass_by(minutes=minutes)
            plan = planned(planner, made)
        first = plan.lines[0].start.astimezone()
        assert (first.day, first.hour, first.minute) == (clock.now.day, 9, 30)


@pytest.mark.parametrize("said", ["40 min", "52 min", "1 hour"])
def test_what_one_is_at_stays_first_however_late_it_is(
    kiln: OpenShop, clock: Clock, said: str
) -> None:
    """Until something is recorded, or no time is left: what no longer fits is left out behind it.

    The day is planned anew several times meanwhile, as the board does it.
    """
    planner, looked_at = begun(kiln, said)
    now_at = looked_at.lines[0].piece.id
    for _ in range(16):
        clock.pass_by(minutes=2)
        plan = planned(planner, kiln)
        assert plan.lines[0].piece.id == now_at
    assert len(plan.left) > len(looked_at.left)


@pytest.mark.parametrize(
    ("hours", "at", "said", "told"),
    [
        ("8:00 to 12:00 and 13:00 to 17:00", "12:30", "", "Pause until 13:00."),
        ("8:00 to 12:00 and 13:00 to 17:00", "7:15", "", "Closed until 8:00."),
        ("8:00 to 12:00 and 13:00 to 17:00", "17:30", "", "Closed until {next} 8:00."),
        ("8:00 to 12:00 and 12:00 to 17:00", "12:00", "", ""),
        ("", "19:00", "2 days", "Planned on from {next} 8:00."),
    ],
)
def test_why_nobody_is_there_is_told_truly(
    tmp_path: Path, clock: Clock, hours: str, at: str, said: str, told: str
) -> None:
    """Two hours that touch leave no pause; a shop without hours is never closed."""
    hour, minute = map(int, at.split(":"))
    clock.now = clock.now.astimezone().replace(hour=hour, minute=minute)
    with closing(opened(tmp_path, clock, hours)) as open_shop:
        planner, _ = begun(open_shop, said)
        plan = planned(planner, open_shop)
        tomorrow = f"{clock.now + timedelta(days=1):%a}"
        work = sum(one.piece.minutes for one in plan.lines)
        jobs = len({(one.piece.machine, one.piece.target) for one in plan.lines})
        left = f" Left for then: {jobs} jobs, {work:.0f} min."  # less than an hour
        assert closed_words(plan) == (told and told.format(next=tomorrow) + left)


@pytest.mark.parametrize(
    ("hours", "at", "told"),
    [
        ("8:00 to 12:00 and 13:00 to 17:00", "9:00", "Time until 17:00, pause 12:00 to 13:00."),
        ("8:00 to 12:00 and 13:00 to 17:00", "14:00", "Time until 17:00."),
        (
            "8:00 to 12:00 and 13:00 to 17:00",
            "18:00",
            "Time until Tue 17:00, pause 12:00 to 13:00.",
        ),
        (
            "8:00 to 10:00 and 10:15 to 12:00 and 13:00 to 16:30",
            "9:00",
            "Time until 16:30, pause 10:00 to 10:15, pause 12:00 to 13:00.",
        ),
    ],
)
def test_the_hours_of_the_whole_day_are_named(
    tmp_path: Path, clock: Clock, hours: str, at: str, told: str
) -> None:
    """Of a day that all fits into; nothing was said of its time."""
    hour, minute = map(int, at.split(":"))
    clock.now = clock.now.astimezone().replace(hour=hour, minute=minute)
    with closing(opened(tmp_path, clock, hours)) as open_shop:
        planner, _ = begun(open_shop, "")
        assert time_words(planned(planner, open_shop)) == told
