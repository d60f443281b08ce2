"""Small days are planned the best way there is, as a constraint solver says on its own."""

from __future__ import annotations

import pytest

from shopboard.prep.schedule.bounds import least_changes as least_by_ways
from shopboard.prep.schedule.job import Workday
from shopboard.prep.schedule.network import UNIT, network
from shopboard.prep.schedule.shortest_day import schedule
from tests.in_turn import few, part
from tests.prep.cp_model import ask, least_changes
from tests.prep.days import SHAPES, day_of
from tests.prep.keeps import faults, told
from tests.prep.test_schedule import KNOWN

pytestmark = pytest.mark.whole_search

SIZES = {4: 2, 6: 2, 8: 3, 10: 3, 11: 3, 12: 5}
"""Jobs -> days of each shape: 108 in all, 42 of them in the usual run."""


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("jobs", SIZES)
def test_the_finish_is_that_of_the_solver(shape: str, jobs: int) -> None:
    for seed in range(part(SIZES[jobs], 3)):
        day = day_of(shape, jobs, seed)
        plan, opinion = schedule(day), ask(day)
        assert opinion.finish == opinion.bound, "the solver was not done"
        assert plan.finish == plan.bound == opinion.finish, f"seed {seed}"
        assert not faults(day, plan.order, plan.starts)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("jobs", few([11, 7, 9], 2))
def test_walks_and_wanted_jobs_are_those_of_the_solver(shape: str, jobs: int) -> None:
    for seed in range(20, 20 + part(2 if jobs < 11 else 1)):
        day = day_of(shape, jobs, seed)
        opinion = ask(day, all_three=True)
        expected = (opinion.finish, 0, opinion.walks, opinion.firsts)
        assert told(day, schedule(day)) == expected, f"seed {seed}"


@pytest.mark.parametrize(("known", "finish"), KNOWN.values(), ids=KNOWN)
def test_the_solver_finds_the_known_finishes_too(known: Workday, finish: float) -> None:
    assert ask(known).finish == finish


@pytest.mark.parametrize("seed", few(range(4), 2))
def test_the_least_time_for_changes_is_that_of_the_solver(seed: int) -> None:
    day = day_of("modes", 36, seed)
    assert least_by_ways(network(day), 0) == UNIT * least_changes(day, "combi", 16)
