"""Whatever the day, its plan keeps every constraint; small ones are compared with all orders."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.shortest_day import schedule
from tests.in_turn import part
from tests.prep.keeps import CHANGED_OVER, best_of_all, faults, stretches, told

pytestmark = pytest.mark.whole_search

MACHINES = st.sampled_from(("", "", "saw", "planer", "bandsaw"))


@st.composite
def days(draw: st.DrawFn, least: int, most: int) -> Workday:
    """Make a day with everything in it: waits, tails, modes, places, machines open."""
    jobs: list[Job] = []
    for at in range(draw(st.integers(least, most))):
        after = draw(
            st.dictionaries(st.integers(0, at - 1), st.integers(0, 40), max_size=2)
            if at
            else st.just({})
        )
        jobs.append(
            Job(
                f"job {at}",
                draw(st.integers(1, 40)) / 2,
                place=draw(st.sampled_from(("", "A", "B", "C"))),
                body=draw(st.sampled_from(("", "combi", "other"))),
                mode=draw(st.sampled_from(("", "sawing", "planing"))),
                after=tuple((f"job {one}", float(lag)) for one, lag in after.items()),
                tail=draw(st.sampled_from((0, 0, 0, 30, 90))),
                ready=draw(st.sampled_from((0, 0, 0, 15, 40))),
                opens=draw(MACHINES),
                closes=draw(MACHINES),
                first=draw(st.booleans()),
                patience=draw(st.sampled_from((math.inf, 0, 5, 20))),
            )
        )
    minutes = st.integers(0, 20).map(float)
    return Workday(
        tuple(draw(st.permutations(jobs))),
        draw(
            st.fixed_dictionaries(
                {
                    (body, mode): minutes
                    for body in ("combi", "other")
                    for mode in ("sawing", "planing")
                }
            )
        ),
        draw(st.sampled_from(({}, {"combi": "sawing"}, {"combi": "planing", "other": "sawing"}))),
        draw(st.booleans()),
        draw(st.sampled_from(("", "A", "D"))),
        draw(MACHINES),
    )


@settings(max_examples=part(150, 4), deadline=None)
@given(day=days(0, 5))
def test_a_small_day_is_as_good_as_the_best_of_all_orders(day: Workday) -> None:
    best = best_of_all(day)
    if best is None:
        try:
            plan = schedule(day)
        except ValueError as problem:
            assert re.search(r"open at once|circle", str(problem))  # noqa: PT017
        else:  # the jobs ask for it in a way that only open machines together make a must
            assert all(CHANGED_OVER in fault for fault in faults(day, plan.order, plan.starts))
        return
    plan = schedule(day)
    if plan.held:  # in the oracle's orders nobody stands idle so that a wait is not left
        assert told(day, plan) <= best
    else:
        assert told(day, plan) == best
    assert (plan.finish, plan.left, plan.walks) == told(day, plan)[:3]
    assert plan.bound == plan.finish


@settings(max_examples=part(40), deadline=None)
@given(day=days(6, 24))
def test_a_plan_keeps_every_constraint_and_its_bound(day: Workday) -> None:
    try:
        plan = schedule(day, 0.05)
    except ValueError:
        return
    broken = faults(day, plan.order, plan.starts)
    if any(None in one for one in stretches(day)):  # open all day, which jobs may ask not to be
        broken = [fault for fault in broken if CHANGED_OVER not in fault]
    assert not broken
    finish, waits_left, walks, _ = told(day, plan)
    assert plan.finish == finish >= plan.bound
    assert (plan.left, plan.walks) == (waits_left, walks)
    assert schedule(day, 0.05) == plan


@settings(max_examples=part(40, 4), deadline=None)
@given(day=days(4, 7), data=st.data())
def test_a_job_that_gets_shorter_never_makes_the_day_longer(
    day: Workday, data: st.DataObject
) -> None:
    try:
        plan = schedule(day)
    except ValueError:
        return
    at = data.draw(st.integers(0, len(day.jobs) - 1))
    less = day.jobs[at]._replace(minutes=day.jobs[at].minutes / 2)
    shorter = day._replace(jobs=(*day.jobs[:at], less, *day.jobs[at + 1 :]))
    assert schedule(shorter).finish <= plan.finish
