"""Closing time and what hazes: one stays a few minutes for it, or does not begin it at all.

Minutes by hand: the wax of each shop has three steps of three or four minutes and hazes for ten; it
is buffed off by ten minutes later (our choice, as is how long one stays after closing).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import datetime, timedelta
from math import ceil
from pathlib import Path
from typing import Any

import pytest

from shopboard.commands.prep_told import plan_json
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import detail, time_words
from shopboard.prep.time_had import TimeHad
from shopboard.sittings.cutter_change import begin
from shopboard.sittings.task import TaskSitting
from tests.builders import do_steps
from tests.journal.helpers import Clock
from tests.prep.test_lived_day import SHOPS, planned, with_knives

HOURS = 'hours = "8:00 to 12:00 and 13:00 to 17:00"'

WAX = """
[[machine]]
id = "bench"
name = "Cast bench"

[[machine.task]]
id = "wax"
name = "Wax it"
every = "4 weeks"
minutes = "10 min"
steps = ["Wipe clean", "Wax on, wait 10 min", "Buff"]
"""

HAZE = '"Wax on, wait 10 min"'
HAZE_LONG = '{ do = "Wax on", wait = "10 min", at_most = "2 h" }'


def with_wax(name: str) -> str:
    """Give a shop with hours, dull knives, and a task that waxes in three steps."""
    text = with_knives(name, HOURS)
    return text if HAZE in text else text + WAX


class Shop:
    """A shop with hours, on a day of its own."""

    def __init__(self, folder: Path, clock: Clock, text: str) -> None:
        (folder / "shop.toml").write_text(text, encoding="utf-8")
        self.clock, self.day = clock, clock.now.astimezone()
        self.at(12, 30)
        self.open = OpenShop(folder / "shop.toml", folder / "journal.sqlite3", clock, 0.05)
        (self.place,) = [
            (one.machine.id, task.task)
            for one in self.open.standing.machines
            for task in one.tasks
            if task.task.leaves == "wax" and len(task.task.steps) == 3
        ]

    def at(self, hour: int, minute: float) -> datetime:
        self.clock.now = self.day.replace(hour=hour, minute=0, second=0) + timedelta(minutes=minute)
        return self.clock.now

    def wax_on(self) -> None:
        """Wipe it clean, put the wax on; it hazes from now."""
        machine, task = self.place
        do_steps(TaskSitting(self.open.journal, machine, task, None), 2)

    def buff(self, had: TimeHad | None = None) -> tuple[DayPlan, PlanLine]:
        plan = planned(self.open, had)
        (line,) = [
            line
            for line in plan.lines
            if (line.piece.machine, line.piece.target) == (self.place[0], self.place[1].id)
            and line.piece.steps[0] == 3
        ]
        return plan, line


@pytest.fixture(params=[*SHOPS])
def shop(request: pytest.FixtureRequest, tmp_path: Path, clock: Clock) -> Iterator[Shop]:
    found = Shop(tmp_path, clock, with_wax(request.param))
    with closing(found.open):
        yield found


def data(plan: DayPlan, shop: Shop) -> list[dict[str, Any]]:
    """Give the pieces as data, as the command gives them."""
    told: Any = plan_json(plan, shop.open, allow_open=False)["plan"]
    return [*told]


def test_what_hazes_is_buffed_past_closing_and_the_plan_says_by_how_much(shop: Shop) -> None:
    """Hazed at 16:58: it is buffed then, until a little after 17:00, and not the next morning."""
    shop.at(16, 48)
    shop.wax_on()
    now = shop.at(16, 50)
    plan, line = shop.buff()
    assert line.start == shop.at(16, 58)
    assert line.past == pytest.approx(line.piece.minutes - 2)
    minutes = round(line.past)
    machines = {one.id: one.name for one in shop.open.shop.machines}
    assert f"; {minutes} min past 17:00" in detail(line, now, machines)
    (told, *_) = [one for one in data(plan, shop) if one["past_minutes"]]
    assert told["past_minutes"] == pytest.approx(line.past, abs=0.01)
    assert time_words(plan) == f"Time until 17:00, {minutes} min past it, the rest later."
    others = [one for one in plan.lines if one is not line]
    assert all(one.end <= shop.at(17, 0) or one.start > shop.at(20, 0) for one in others)


def test_one_is_still_there_while_it_can_be_buffed(shop: Shop) -> None:
    """At 17:04 it is what there is to do now; at 17:25 it is hard, one has gone home."""
    shop.at(16, 50)
    shop.wax_on()
    now = shop.at(17, 4)
    plan, line = shop.buff()
    assert (line.start, plan.opens, plan.lines[0]) == (now, None, line)
    assert time_words(plan).startswith("Time was until 17:00, ")
    shop.at(17, 25)
    plan, line = shop.buff()
    assert plan.opens is not None
    assert line.start >= plan.opens
    (note,) = [one for one in plan.left_out if "longer than its wait" in one]
    assert "left 15 h longer than its wait" in note
    (told,) = [one for one in data(plan, shop) if one["left_minutes"]]
    assert told["left_minutes"] == 15 * 60  # over at 17:00, opened at 8:00


def test_of_what_was_left_while_one_was_away_no_order_is_to_blame(shop: Shop) -> None:
    """Haze of 10 min may wait 10 more; after 40 no plan could have kept it, in a day begun, too."""
    shop.at(8, 1)
    begin_day(shop.open.journal, "", None)
    shop.wax_on()
    shop.at(8, 41)
    plan, _ = shop.buff()
    (note,) = [one for one in plan.left_out if "longer than its wait" in one]
    assert note.endswith("left 30 min longer than its wait.")


def test_it_is_done_before_closing_where_other_work_can_come_later(shop: Shop) -> None:
    """Hazed at 16:45 no check of a quarter of an hour goes first."""
    shop.at(16, 35)
    shop.wax_on()
    shop.at(16, 45)
    plan, line = shop.buff()
    assert (plan.lines[0], line.past) == (line, 0)


@pytest.mark.parametrize("second", [1, 7, 13, 23, 37, 59])
def test_seconds_do_not_send_one_home(shop: Shop, second: int) -> None:
    """The wax went on between two full minutes."""
    shop.at(16, 48 + second / 60)
    shop.wax_on()
    shop.at(16, 50 + second / 70)
    _, line = shop.buff()
    assert 0 < line.past < 10


@pytest.mark.parametrize("name", [*SHOPS])
def test_what_can_wait_over_the_pause_does(tmp_path: Path, clock: Clock, name: str) -> None:
    """Wax that may stay on for two hours is buffed after noon, not in the pause."""
    text = with_wax(name)
    assert HAZE in text
    shop = Shop(tmp_path, clock, text.replace(HAZE, HAZE_LONG))
    with closing(shop.open):
        shop.at(11, 49)
        shop.wax_on()
        shop.at(11, 58)
        _, line = shop.buff()
    assert line.start >= shop.at(13, 0)
    assert (line.past, line.left_over) == (0, 0)


@pytest.mark.parametrize("minute", range(24, 60, 4))
def test_no_wax_is_begun_that_cannot_be_buffed_before_closing(shop: Shop, minute: int) -> None:
    """Two steps, ten minutes, the last one: it is begun early enough, or not on this day."""
    shop.at(16, minute)
    plan, line = shop.buff()
    (on,) = [
        one
        for one in plan.lines
        if one.piece.machine == shop.place[0] and one.over and one.piece.target == shop.place[1].id
    ]
    assert on.start.date() == line.start.date()
    assert (line.past, line.left_over) == (0, 0)
    assert minute < 50 or on.start.date() != shop.clock.now.date()


@pytest.mark.parametrize(("said", "minutes"), [(False, 4), (True, 14)])
def test_loose_knives_stay_first_past_the_end_of_the_time(
    shop: Shop, said: bool, minutes: int
) -> None:
    """A few minutes past closing they are tightened, with more missing on the next day.

    Of a time that was said there is no next day. Of half an hour 30 * 6 / 8 are left: 23 min.
    """
    (one,) = [
        each for m in shop.open.standing.machines for each in m.cutters if each.id == "knives"
    ]
    change = begin(shop.open.journal, shop.open.shop, one, "turn")
    change.answer("plug out")
    change.answer("done")
    left = ceil(30 * 6 / 8)
    now = shop.at(17, minutes - left)
    had = TimeHad(until=shop.at(17, 0)) if said else None
    shop.clock.now = now
    plan = planned(shop.open, had)
    first = plan.lines[0]
    assert (first.piece.sort, first.start) == ("cutter", now)
    assert first.past == minutes
    shop.clock.now = now + timedelta(minutes=20)
    plan = planned(shop.open)
    first = plan.lines[0]
    assert first.piece.sort == "cutter"
    assert plan.opens is None or first.start == plan.opens


@pytest.mark.parametrize(("hours", "then"), [(True, 25), (True, 73), (False, 25), (False, 73)])
@pytest.mark.parametrize("name", [*SHOPS])
def test_what_is_left_too_long_comes_before_what_one_is_at(
    tmp_path: Path, clock: Clock, name: str, hours: bool, then: int
) -> None:
    """Wax that may haze for 20 minutes, 25 ago and over an hour ago: nobody said yet where one was.

    Before that another job is at hand while it hazes. Buffing is not late by what was lost: it
    begins now, and the rest after it.
    """
    text = with_wax(name).replace(HAZE, HAZE_LONG.replace("2 h", "20 min"))
    shop = Shop(tmp_path, clock, text if hours else text.replace(HOURS, ""))
    with closing(shop.open) as open_shop:
        shop.at(8, 0)
        begin_day(open_shop.journal, "", None)
        shop.wax_on()
        planner = Planner(open_shop)
        shop.at(8, 5)
        open_shop.refresh()
        soon = planner.plan()
        first = soon.lines[0].piece
        assert (first.machine, first.target) != (shop.place[0], "wax")
        now = shop.at(8, then)
        plan = planner.plan()
        line = plan.lines[0]
        assert (line.piece.words, line.start, line.late) == ("Buff", now, 0)
        assert plan.lines[1].start >= line.end == now + timedelta(minutes=line.piece.minutes)
        assert line.left_over == then - 10
        assert (plan.quiet_since is None) == (then < 60)
        assert Planner(open_shop).plan().lines == plan.lines, "another window says the same"
