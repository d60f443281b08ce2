"""Long days: within 3 % of what a constraint solver proves that no plan can beat."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopboard.prep.schedule.shortest_day import schedule
from tests.campaigns.frame import chance
from tests.in_turn import few
from tests.prep.cp_model import ask
from tests.prep.days import day_of
from tests.prep.keeps import faults
from tests.prep.random_shop import some_shop
from tests.prep.shop_oracle import planned, wrong

pytestmark = pytest.mark.whole_search

LONG = [  # each shape stands once at an even place, which is tried always
    ("loose", 0),
    ("shop", 0),
    ("waits", 0),
    ("shop", 1),
    ("heads and tails", 0),
    ("heads and tails", 2),
    ("open", 0),
    ("open", 1),
    ("modes", 0),
    ("open", 3),
    ("shop", 3),
    ("modes", 3),
    ("shop", 2),
    ("shop", 7),
]

_WORK = {("shop", 7): 6.0, ("shop", 0): 0.1, ("modes", 0): 0.4}
"""Where the solver needs longer for a bound that says anything, or says as much sooner."""


@pytest.mark.parametrize(("shape", "seed"), few(LONG, 2))
def test_sixty_jobs_finish_within_three_percent_of_the_bound(shape: str, seed: int) -> None:
    day = day_of(shape, 60, seed)
    plan = schedule(day)
    assert not faults(day, plan.order, plan.starts)
    # a plan that can be had is no secret
    opinion = ask(day, work=_WORK.get((shape, seed), 0.5), known=round(plan.finish))
    assert plan.finish <= 1.03 * opinion.bound
    assert plan.bound <= plan.finish
    if opinion.finish >= 0:
        assert plan.bound <= opinion.finish


def test_few_long_trials_miss_what_many_short_ones_find(tmp_path: Path) -> None:
    """Planned in 222 once; 215 is the least, proves the solver, which `wrong` asks."""
    draw = chance(8, 57)
    made = some_shop(draw, draw.randint(4, 7))
    assert wrong(made, planned(made, tmp_path)) is None


@pytest.mark.parametrize(("seed", "index"), [(43, 27), (104, 27)])
def test_all_that_is_done_in_one_mode_is_moved_as_one(
    tmp_path: Path, seed: int, index: int
) -> None:
    """Planned in 202 and 188 once; 193 and 175 can be had, finds the solver, which `wrong` asks."""
    draw = chance(seed, index)
    made = some_shop(draw, draw.randint(2, 4))
    assert wrong(made, planned(made, tmp_path)) is None


@pytest.mark.parametrize("shape", ["open", "shop"])
def test_eighty_jobs_are_planned_and_keep_every_constraint(shape: str) -> None:
    day = day_of(shape, 80, 0)
    plan = schedule(day)
    assert not faults(day, plan.order, plan.starts)
    assert plan.bound <= plan.finish <= 1.05 * plan.bound


def test_the_plan_does_not_depend_on_chance_or_on_what_was_planned_before() -> None:
    day = day_of("shop", 24, 1)
    first = schedule(day)
    schedule(day_of("open", 20, 1))
    assert schedule(day) == first
