"""What is held back of an order is what one wait after the other asks for, and no more.

The oracle is `keeps.soonest`, which moves one wait at a time until nothing moves, written for these
tests alone; that it is the least there is follows from R. Bellman 1958, as the program's own does.
"""

from __future__ import annotations

from random import Random

import pytest

from shopboard.prep.schedule.bounds import tails
from shopboard.prep.schedule.held import held_back, overruns
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.list_rules import by_rules
from shopboard.prep.schedule.network import UNIT, network
from shopboard.prep.schedule.shortest_day import schedule
from tests.in_turn import few
from tests.prep.days import SHAPES, day_of, harmful, patient
from tests.prep.keeps import left, soonest


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("seed", few(range(6), 3))
def test_the_times_of_an_order_are_the_least_that_keep_its_waits(shape: str, seed: int) -> None:
    day = harmful(patient(day_of(shape, 14, seed), least=30))
    one_each = tuple(
        job._replace(harms=job.harms and sum(lag > 0 for _, lag in job.after) == 1)
        for job in day.jobs
    )
    day = day._replace(jobs=one_each)
    net = network(day)
    for order in by_rules(net, tails(net)):
        found = held_back(net, order)
        starts = {net.ids[at]: start / UNIT for at, start in found.timed.starts.items()}
        expected = soonest(day, [day.jobs[at] for at in order])
        if left(day, expected, harms=True):
            assert found.harm > 0
        else:
            assert found.harm == 0
            assert starts == pytest.approx(expected)


@pytest.mark.parametrize("seed", few(range(40), 10))
def test_of_waits_that_cannot_all_be_kept_those_are_named_that_are_not(seed: int) -> None:
    """Jobs in one line, one after the other: who waits for what is fixed, and so is what is left.

    A wait is kept if what is done in it, which is all between, takes no longer than it may last.
    """
    rng = Random(seed)
    jobs: list[Job] = []
    lost = []
    for at in range(8):
        after = [(jobs[-1].id, 0.0)] if jobs else []
        job = Job(f"job {at}", rng.randint(1, 20), after=tuple(after))
        if at > 1 and rng.random() < 0.5:
            begins, lag, patience = rng.randrange(at - 1), rng.randint(1, 20), rng.randint(0, 20)
            between = sum(one.minutes for one in jobs[begins + 1 :])
            if between > lag + patience:
                lost.append(job.id)
            waits = (*after, (f"job {begins}", float(lag)))
            job = job._replace(after=waits, patience=float(patience), harms=True)
        jobs.append(job)
    assert set(lost) <= schedule(Workday(tuple(jobs))).over.keys()


def test_of_waits_that_push_each_other_on_one_is_left_and_no_other_for_it() -> None:
    """By hand: the last job comes 60 after the first, and may come 5 + 2 + 1 + 5 + 2 after it."""
    jobs = [
        Job("strip", 1),
        Job("rinse", 1, after=(("strip", 5.0),), patience=2, harms=True),
        Job("fetch", 1, after=(("strip", 60.0),)),
        Job("oil", 1, after=(("rinse", 5.0), ("fetch", 0.0)), patience=2, harms=True),
    ]
    for at in range(10):  # each of these is kept where its soak is begun later
        jobs += [
            Job(f"soak {at}", 1),
            Job(
                f"scrub {at}", 1, ready=100.0 * (at + 1), after=((f"soak {at}", 5.0),), patience=2
            )._replace(harms=True),
        ]
    net = network(Workday(tuple(jobs)))
    found = held_back(net, range(len(jobs)))
    late = {net.ids[at] for at in overruns(net, found.timed, "strict")}
    assert found.harm == 1
    assert late in ({"rinse"}, {"oil"})
