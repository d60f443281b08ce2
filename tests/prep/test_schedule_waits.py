"""Waits are not left much longer than they say where that costs no later finish."""

from __future__ import annotations

import math
from random import Random

import pytest

from shopboard.prep.schedule.bounds import least_finish, tails
from shopboard.prep.schedule.exact import among_soonest, soonest
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.list_rules import by_rules
from shopboard.prep.schedule.network import UNIT, network
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.schedule.timetable import worth
from tests.in_turn import few, part
from tests.prep.cp_model import ask, least_left
from tests.prep.days import SHAPES, day_of, patient
from tests.prep.keeps import best_of_all, faults, left, told

pytestmark = pytest.mark.whole_search

WAX = (
    Job("wax on", 5, "saw"),
    Job("buff", 5, "saw", after=(("wax on", 10),), patience=15),
    *(Job(f"check {at}", 20, "planer", first=True) for at in range(4)),
)


def test_wax_is_buffed_off_before_it_is_hard_even_if_it_takes_a_walk_more() -> None:
    plan = schedule(Workday(WAX, place="saw"))
    assert plan.finish == plan.bound == 90
    assert plan.starts["buff"] - plan.starts["wax on"] == 5 + 20
    assert (plan.left, plan.walks) == (0, 3)


def test_a_wait_may_be_left_where_its_job_has_all_the_time() -> None:
    jobs = tuple(job._replace(patience=math.inf) for job in WAX)
    assert schedule(Workday(jobs, place="saw")).walks == 2


def test_no_wait_is_kept_at_the_price_of_a_later_finish() -> None:
    """The long check has to begin at once; meanwhile what was begun before is left."""
    jobs = (
        Job("buff", 5, ready=10, patience=15),
        Job("long check", 60, tail=30),
    )
    plan = schedule(Workday(jobs))
    assert (plan.finish, plan.left) == (90, 1)
    assert schedule(Workday((jobs[0], jobs[1]._replace(tail=0, minutes=24)))).left == 0


def test_what_was_begun_before_the_day_comes_soon() -> None:
    """Its wait is over: its patience counts from now."""
    jobs = (Job("buff", 5, "saw", patience=15), *(Job(f"c{at}", 10, "bench") for at in range(4)))
    plan = schedule(Workday(jobs, place="bench"))
    assert (plan.starts["buff"], plan.left) == (10, 0) or plan.starts["buff"] == 0
    assert plan.left == 0


TELLING = (499, 754, 958, 1174, 1499, 9632)
"""Days for which partial plans have to be compared with all the care there is: leaving out any of
what is compared of their waits misses the best order of some of them."""


def hard_day(seed: int) -> Workday:
    """Make a small day in which waits, changes of mode and open machines get in each other's way.

    In the order of its list all is possible.
    """
    rng = Random(seed)
    jobs = []
    for at in range(6):
        before = rng.sample(range(at), min(at, rng.choice((0, 1, 1, 2))))
        body = rng.choice(("", "combi"))
        jobs.append(
            Job(
                str(at),
                rng.randint(1, 12),
                rng.choice("ABC"),
                body,
                rng.choice(("saw", "plane")) if body else "",
                tuple((str(one), float(rng.choice((0, 0, 3, 5, 10, 20)))) for one in before),
                rng.choice((0, 0, 15)),
                rng.choice((0, 0, 0, 12, 25)),
                first=rng.random() < 0.3,
                patience=rng.choice((math.inf, 0, 2, 6)),
            )
        )
    if rng.random() < 0.5:
        first, last = sorted(rng.sample(range(6), 2))
        jobs[first] = jobs[first]._replace(opens="saw")
        jobs[last] = jobs[last]._replace(closes="saw")
        other = rng.choice([at for at in range(6) if not first <= at <= last] or [first])
        if other != first:
            jobs[other] = jobs[other]._replace(opens="planer", closes="planer")
    cost = {("combi", "saw"): 4.0, ("combi", "plane"): 3.0}
    return Workday(tuple(jobs), cost, {"combi": rng.choice(("saw", "plane"))}, place="A")


def harmful(day: Workday, rng: Random) -> Workday:
    """Let some waits of a day be such that it harms to leave them: each begun by one job."""
    jobs = []
    for job in day.jobs:
        waits = [lag for _, lag in job.after if lag]
        if len(waits) == 1 and not job.ready and rng.random() < 0.7:
            job = job._replace(harms=True, patience=rng.choice((0, 2, 5)))
        jobs.append(job)
    return day._replace(jobs=tuple(jobs))


@pytest.mark.parametrize("seed", [*few(range(40), 2), *TELLING])
def test_the_exact_search_alone_finds_the_best_of_all_orders(seed: int) -> None:
    """From the worst of the orders by rules, so that nothing is found for it."""
    day = hard_day(seed)
    best, net = best_of_all(day), network(day)
    begin = max(worth(net, order) for order in by_rules(net, tails(net)))
    plan, proven, _ = soonest(net, begin, least_finish(net), 10**6)
    plan = among_soonest(net, plan, 10**6)
    assert proven
    found = (plan.finish / UNIT, plan.left, plan.walks, plan.firsts / UNIT)
    assert found == pytest.approx(best)


@pytest.mark.parametrize("seed", few(range(60), 6))
def test_no_wait_is_left_that_it_harms_to_leave_and_the_rest_is_the_best_of_all(seed: int) -> None:
    """Idle on purpose where that is better: all orders, each timed by itself."""
    day = harmful(hard_day(seed), Random(seed))
    best, plan = best_of_all(day), schedule(day)
    if best is None:
        assert plan.over
        return
    assert not faults(day, plan.order, plan.starts)
    assert (plan.finish, plan.bound) == pytest.approx((best[0], best[0]))
    assert told(day, plan) <= best or told(day, plan) == pytest.approx(best)


def test_what_begins_a_wait_is_held_back_where_that_is_better() -> None:
    """The check has to begin at 20; waxed at once, it would be hard by then; by hand."""
    jobs = (
        Job("wax", 5),
        Job("buff", 20, after=(("wax", 10),), patience=5, harms=True),
        Job("check", 10, ready=20, tail=20),
    )
    plan = schedule(Workday(jobs))
    assert plan.finish == plan.bound == 50
    assert plan.starts == {"wax": 10, "check": 20, "buff": 30}
    assert plan.held == {"wax": 10}
    assert not plan.over
    soft = Workday((jobs[0], jobs[1]._replace(harms=False), jobs[2]))
    plan = schedule(soft)
    assert (plan.finish, plan.left, plan.held) == (50, 0, {"wax": 10})


def test_a_wait_that_cannot_but_be_left_is_named_with_its_minutes() -> None:
    jobs = (Job("buff", 5, patience=15, harms=True, after=(("long", 0),)), Job("long", 60))
    plan = schedule(Workday(jobs))
    assert (plan.over, plan.left, plan.finish) == ({"buff": 60}, 0, 65)
    plan = schedule(Workday((jobs[0]._replace(harms=False), jobs[1])))
    assert (plan.over, plan.left) == ({"buff": 60}, 1)


@pytest.mark.parametrize("others", [1, 2, 12])
def test_what_cannot_but_harm_is_left_no_longer_for_minutes_saved(others: int) -> None:
    """The wax is hard half a minute after the change-over; another change costs 5 min; by hand."""
    buff = Job("buff", 5, "combi", "combi", "planer", patience=4.5, harms=True)
    work = [Job(f"work {one}", 60, "combi", "combi", "saw") for one in range(others)]
    minutes = {("combi", "planer"): 5.0, ("combi", "saw"): 5.0}
    plan = schedule(Workday((*work, buff), minutes, {"combi": "saw"}))
    assert plan.order[0] == "buff"
    assert plan.over == {"buff": 5}
    assert plan.finish == 5 + 5 + 5 + 60 * others


@pytest.mark.parametrize("shape", SHAPES)
def test_patience_costs_no_later_finish(shape: str) -> None:
    for seed in few(range(40, 43), 3):
        day = patient(day_of(shape, 11, seed))
        plan = schedule(day)
        assert plan.finish == plan.bound == ask(day).finish
        assert not faults(day, plan.order, plan.starts)
        carefree = schedule(day_of(shape, 11, seed))
        assert plan.left <= len(left(day, carefree.starts))


@pytest.mark.parametrize("shape", SHAPES)
def test_no_more_waits_are_left_too_long_than_the_solver_leaves(shape: str) -> None:
    """On these days it gains nothing by standing idle, which is left out of a plan."""
    for seed in few(range(40, 46), 3):
        day = patient(day_of(shape, 12, seed))
        plan = schedule(day)
        assert plan.left == len(left(day, plan.starts))
        assert plan.left == least_left(day, round(plan.finish)), f"seed {seed}"


@pytest.mark.parametrize("shape", ["loose", "shop"])
def test_of_sixty_jobs_hardly_a_wait_is_left_too_long(shape: str) -> None:
    """Where other work fits around; without patience many are left."""
    kept = forgotten = waits = 0
    for seed in range(part(3)):
        day = patient(day_of(shape, 60, seed))
        plan, carefree = schedule(day), schedule(day_of(shape, 60, seed))
        assert plan.finish == carefree.finish
        assert not faults(day, plan.order, plan.starts)
        assert plan.left == told(day, plan)[1]
        waits += sum(job.patience < math.inf for job in day.jobs)
        kept += plan.left
        forgotten += len(left(day, carefree.starts))
    assert kept <= 0.1 * waits < 0.2 * waits < forgotten
