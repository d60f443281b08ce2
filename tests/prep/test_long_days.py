"""Days of hundreds of jobs: a few rules alone, and of each step only few jobs are looked at."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep import day, share_out
from shopboard.prep.plan_words import how_near
from shopboard.prep.schedule import at_hand
from shopboard.prep.schedule.at_hand import AtHand, Now
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.network import network
from shopboard.prep.schedule.search import by_rule_alone
from shopboard.prep.schedule.shortest_day import schedule, timed_plan
from tests.bench.filling import write_shop
from tests.in_turn import few
from tests.prep.days import SHAPES, day_of, patient
from tests.prep.keeps import faults, told

pytestmark = pytest.mark.whole_search

_OVER = {"open": 1.05, "modes": 1.15, "shop": 1.06}
"""Of the bound; the others within 1 %. Where one machine at a time stands open, or all is done on
one body, the bound itself lies low."""


@pytest.mark.parametrize("shape", SHAPES)
def test_a_long_day_keeps_every_constraint_and_tells_how_near_it_comes(shape: str) -> None:
    long = patient(day_of(shape, 500, 3))
    plan = schedule(long)
    assert not faults(long, plan.order, plan.starts)
    assert told(long, plan)[0] == pytest.approx(plan.finish)
    assert plan.bound <= plan.finish <= _OVER.get(shape, 1.01) * plan.bound


@pytest.mark.parametrize("shape", few(SHAPES, 2))
def test_the_first_hours_of_a_long_day_are_better_than_by_any_rule(shape: str) -> None:
    """As long at the most, with fewer walks or less, by its times; nothing is broken by that."""
    long = day_of(shape, 500, 5)
    plan, net = schedule(long), network(long)
    by_rule = timed_plan(long, net, by_rule_alone(net, 0), 0)
    assert not faults(long, plan.order, plan.starts)
    assert told(long, plan) < told(long, by_rule)
    assert plan.order[60:] == by_rule.order[60:]


@pytest.mark.parametrize("opened", [False, True])
def test_what_stands_open_is_closed_within_the_first_hours_or_opened_after(*, opened: bool) -> None:
    """The saw stands open, or is opened, from the first job to the last; or it never is closed."""
    jobs = [Job(str(at), 5, "AB"[at % 2], after=((str(at - 1), 1),)) for at in range(1, 300)]
    first = Job("0", 5, "A", opens="" if opened else "saw")
    for last in ("saw", ""):
        some = (first, *jobs[:-1], jobs[-1]._replace(closes=last))
        long = Workday(some, open_now="saw" if opened else "")
        plan = schedule(long)
        assert not faults(long, plan.order, plan.starts)


def test_where_all_fits_each_place_is_walked_to_once() -> None:
    jobs = tuple(Job(f"{at} {of}", 5, f"place {at}") for of in range(4) for at in range(100))
    plan = schedule(Workday(jobs, place="place 7"))
    assert plan.finish == plan.bound == 2000
    assert plan.walks == 99


def test_wax_of_a_hundred_machines_is_buffed_off_in_time() -> None:
    jobs = [Job(f"saw check {of}", 6, "saw") for of in range(3)]
    for at in range(100):
        place = f"machine {at}"
        jobs += [
            Job(f"{place} wax", 2, place),
            Job(f"{place} buff", 5, place, after=((f"{place} wax", 20),), patience=15),
            *(Job(f"{place} check {of}", 6, place) for of in range(3)),
        ]
    plan = schedule(Workday(tuple(jobs)))
    assert plan.left == 0
    assert plan.finish == plan.bound == 2518


def test_of_very_many_jobs_few_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    looks: list[int] = []
    choice = AtHand.choice

    def counted(self: AtHand, now: Now, serving: Collection[int]) -> Iterable[int]:
        found = list(choice(self, now, serving))
        looks.append(len(found))
        return found

    monkeypatch.setattr(AtHand, "choice", counted)
    schedule(day_of("heads and tails", 800, 1))
    assert len(looks) == 3 * 800 + 8 * 60  # the first sixty are put in order once more
    assert max(looks) <= at_hand.FEW
    assert sum(looks) / len(looks) < 30


class TestOfAShop:
    @pytest.fixture
    def open_shop(self, tmp_path: Path) -> OpenShop:
        """300 points to check; each look at the clock is a minute later than the last."""
        write_shop(tmp_path / "shop.toml", 100)
        clock = [datetime(2026, 5, 4, 9, tzinfo=UTC)]

        def now() -> datetime:
            clock[0] += timedelta(minutes=1)
            return clock[0]

        return OpenShop(tmp_path / "shop.toml", tmp_path / "journal.db", now)

    def test_it_is_worked_out_once_however_the_minutes_go_by(
        self, open_shop: OpenShop, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        asked: list[int] = []

        def counted(workday: Workday) -> Schedule:
            asked.append(len(workday.jobs))
            return schedule(workday)

        monkeypatch.setattr(share_out, "schedule", counted)
        plan = day.Planner(open_shop).plan()
        assert asked == [400]
        assert len(plan.lines) == 400
        assert how_near(plan) == "No other order ends sooner."
        assert how_near(plan._replace(bound=plan.minutes - 12.3)) == (
            "No other order ends more than 13 min sooner."
        )
        assert how_near(plan._replace(lines=plan.lines[:1])) == ""
