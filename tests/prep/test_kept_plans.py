"""What was planned once is looked up: it is what planning anew would give, of that day alone."""

from __future__ import annotations

import pytest

from shopboard.prep import kept_plans
from shopboard.prep.kept_plans import KeptPlans
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.network import network
from shopboard.prep.schedule.search import by_rules_alone
from shopboard.prep.schedule.shortest_day import schedule, timed_plan
from shopboard.prep.share_out import share_out
from tests.prep.days import SHAPES, day_of, harmful, hours, patient


@pytest.mark.parametrize("shape", SHAPES)
def test_what_is_looked_up_is_what_is_planned_anew(shape: str) -> None:
    day = harmful(patient(day_of(shape, 9, 4)))
    net, plans = network(day), KeptPlans()
    rules = [timed_plan(day, net, one, 0) for one in by_rules_alone(net)]
    for most in (1, 2, 99, 2):
        quick = plans.quick(day)
        assert quick is not None
        assert [*quick.by_rules(most)] == rules[:most]
    assert plans.searched(day, 0.02) == plans.searched(day, 0.02) == schedule(day, 0.02)


def test_a_day_that_begins_otherwise_is_another() -> None:
    """Where one stands, what is open, in which mode a machine is, and how long it is looked."""
    jobs = (
        Job("out", 5, "saw", "combi", "saw", opens="saw"),
        Job("in", 5, "saw", "combi", "saw", closes="saw"),
        Job("note", 5, "bench"),
    )
    change = {("combi", "saw"): 7.0}
    days = (
        Workday(jobs, change, {"combi": "saw"}, place="saw"),
        Workday(jobs, change, {"combi": "saw"}, place="bench"),
        Workday(jobs, change, {"combi": "plane"}, place="saw"),
        Workday(jobs[1:], change, {"combi": "saw"}, place="saw"),
        Workday(jobs[1:], change, {"combi": "saw"}, place="saw", open_now="saw"),
    )
    plans = KeptPlans()
    for _ in range(2):
        for day in days:
            assert plans.searched(day, 0.01) == schedule(day, 0.01)
            quick = plans.quick(day)
            assert quick is not None
            assert quick.least == sum(job.minutes for job in day.jobs) * 1000 + (
                7000 if day.modes["combi"] == "plane" else 0
            )
    clash = (Job("a", 5, opens="saw"), Job("b", 5, opens="planer"))
    for _ in range(2):
        assert plans.quick(Workday(clash)) is None
        assert plans.searched(Workday(clash), 0.01) is None


def test_no_window_is_searched_twice_with_the_same_allowance(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """However often it is filled with the same jobs, in whatever way the day is shared out."""
    searched: list[tuple[object, ...]] = []

    def heard(day: Workday, seconds: float) -> object:
        modes = tuple(day.modes.items())
        searched.append((day.jobs, modes, day.open_now, day.place, seconds))
        return schedule(day, seconds)

    monkeypatch.setattr(kept_plans, "schedule", heard)
    day = harmful(patient(day_of("open", 60, 1000)))
    alone = [job.id for job in day.jobs]
    share_out(day, alone, hours(day), alone)
    assert len(searched) == len(set(searched)) > 2
