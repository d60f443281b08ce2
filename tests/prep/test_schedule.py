"""Plans of small days whose least finish is known, and days that cannot be planned."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pytest

from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.shortest_day import schedule
from tests.prep.keeps import faults, told


def day(
    minutes: Sequence[float],
    lags: Sequence[tuple[int, int, float]] = (),
    ready: Sequence[float] = (),
    tails: Sequence[float] = (),
) -> Workday:
    """Make a day of numbered jobs; a lag is (before, after, minutes)."""
    return Workday(
        tuple(
            Job(
                str(at),
                work,
                after=tuple((str(one), lag) for one, other, lag in lags if other == at),
                ready=ready[at] if ready else 0,
                tail=tails[at] if tails else 0,
            )
            for at, work in enumerate(minutes)
        )
    )


KNOWN = {
    # J. Carlier, "The one-machine sequencing problem", European Journal of Operational Research 11
    # (1982) 42-47, the worked example of 7 jobs: optimum 50
    "Carlier": (
        day(
            (5, 6, 7, 4, 3, 6, 2),
            ready=(10, 13, 11, 20, 30, 0, 30),
            tails=(7, 26, 24, 21, 8, 17, 0),
        ),
        50,
    ),
    # the rest derived by hand and recomputed with the constraint solver (test_schedule_exact.py)
    "a soak is filled": (day((10, 5, 10, 5, 20, 15), ((0, 1, 60), (2, 3, 30))), 75),
    "two waits in a row": (day((15, 10, 5, 20, 25, 10), ((0, 1, 45), (1, 2, 30))), 105),
    "three soaks side by side": (day((5,) * 6, ((0, 1, 20), (2, 3, 20), (4, 5, 20))), 40),
    "a net": (
        day(
            (8, 12, 6, 9, 7, 11, 4),
            ((0, 1, 30), (0, 2, 10), (1, 3, 0), (2, 4, 25), (3, 6, 5), (4, 6, 0)),
        ),
        70,
    ),
    "an errand first": (day((12, 8, 20, 6), ((0, 1, 40),), tails=(0, 0, 90, 0)), 110),
}


@pytest.mark.parametrize(("known", "finish"), KNOWN.values(), ids=KNOWN)
def test_known_days_finish_when_they_must(known: Workday, finish: float) -> None:
    plan = schedule(known)
    assert plan.finish == plan.bound == finish
    assert not faults(known, plan.order, plan.starts)


def test_a_day_without_jobs_is_done() -> None:
    assert schedule(Workday(())) == ({}, (), 0, 0, 0, 0, {}, {})


def test_all_of_one_mode_is_done_together_where_it_pays() -> None:
    jobs = tuple(
        Job(str(at), 10, body="combi", mode="saw" if at % 2 else "plane") for at in range(6)
    )
    cost = {("combi", "saw"): 5.0, ("combi", "plane"): 5.0}
    plan = schedule(Workday(jobs, cost, {"combi": "saw"}))
    assert plan.finish == plan.bound == 60 + 5
    assert plan.order[:3] == ("1", "3", "5")


def test_another_machine_in_between_does_not_change_the_mode() -> None:
    jobs = (Job("a", 10, body="combi", mode="saw"), Job("b", 10), Job("c", 10, ready=20))
    jobs = (*jobs[:2], jobs[2]._replace(body="combi", mode="saw"))
    assert schedule(Workday(jobs, {("combi", "saw"): 7.0}, {"combi": "saw"})).finish == 30


def test_a_change_of_mode_is_done_while_something_soaks() -> None:
    jobs = (
        Job("a", 10, body="combi", mode="saw"),
        Job("b", 10, body="combi", mode="plane", after=(("a", 15),)),
    )
    plan = schedule(Workday(jobs, {("combi", "plane"): 8.0}, {"combi": "saw"}))
    assert plan.starts["b"] == 25


def test_nothing_is_put_in_where_the_change_of_mode_is_due() -> None:
    """The plank is ready at 40; the person has to begin its 19 minutes of change at 21."""
    jobs = (
        Job("plank", 0.5, body="combi", mode="plane", ready=40),
        *(Job(f"look {at}", minutes) for at, minutes in enumerate((0.5, 5.5, 15.5))),
        Job("check", 0.5, after=(("plank", 1),)),
    )
    plan = schedule(Workday(jobs, {("combi", "plane"): 19.0}, {"combi": "saw"}))
    assert plan.starts["plank"] == 40
    assert plan.finish == plan.bound == 42


OPEN = (
    Job("cutter off", 5, opens="jointer"),
    Job("cutter on", 5, closes="jointer", after=(("cutter off", 30),)),
    Job("knives out", 5, opens="planer"),
    Job("knives in", 5, closes="planer", after=(("knives out", 30),)),
    Job("look at the saw", 20),
)


def test_two_machines_are_never_open_at_once_unless_allowed() -> None:
    plan = schedule(Workday(OPEN))
    assert plan.finish == plan.bound == 80
    assert schedule(Workday(OPEN, allow_open=True)).finish == 45


def test_what_is_open_now_is_closed_before_another_is_opened() -> None:
    begun = (OPEN[1]._replace(after=(), ready=25), *OPEN[2:])
    plan = schedule(Workday(begun, open_now="jointer"))
    assert plan.order.index("cutter on") < plan.order.index("knives out")


def test_of_equal_finish_the_fewest_walks_and_then_the_wanted_jobs_early() -> None:
    jobs = tuple(
        Job(f"{place}{at}", 10, place, first=place == "C") for at in range(2) for place in "ABC"
    )
    plan = schedule(Workday(jobs, place="A"))
    assert plan.walks == 2
    assert [name[0] for name in plan.order] == list("AACCBB")


def test_a_job_without_a_place_costs_no_walk() -> None:
    jobs = (Job("a", 5, "A"), Job("b", 5, after=(("a", 0),)), Job("c", 5, "A", after=(("b", 0),)))
    assert schedule(Workday(jobs)).walks == 0


IMPOSSIBLE = {
    "a circle": (
        Workday((Job("a", 1, after=(("b", 5),)), Job("b", 1, after=(("a", 0),)))),
        "jobs wait for each other in a circle: 'a' after 'b' after 'a'",
    ),
    "itself": (
        Workday((Job("a", 1, after=(("a", 0),)),)),
        "in a circle: 'a' after 'a'",
    ),
    "an unknown job": (
        Workday((Job("a", 1, after=(("b", 5),)),)),
        "job 'a' comes after 'b', which is no job of the day",
    ),
    "a name twice": (Workday((Job("a", 1), Job("a", 2))), "two jobs are called 'a'"),
    "minutes below 0": (Workday((Job("a", -1),)), "job 'a' has -1 minutes; 0 or more"),
    "no number": (Workday((Job("a", 1, tail=float("nan")),)), "the time after job 'a' has nan"),
    "a change below 0": (
        Workday((Job("a", 1),), {("combi", "saw"): -2.0}),
        "the change of 'combi' to 'saw' has -2.0 minutes",
    ),
    "nested": (
        Workday(
            (
                Job("a", 1, opens="saw"),
                Job("b", 1, opens="planer", after=(("a", 0),)),
                Job("c", 1, closes="saw", after=(("b", 0),)),
                Job("d", 1, closes="planer"),
            )
        ),
        "two machines would be open at once with their cutters out: 'saw' from 'a' to 'c' and "
        "'planer' from 'b' to 'd'",
    ),
    "never closed": (
        Workday((Job("a", 1, opens="planer"),), open_now="saw"),
        "'planer' from 'a' to the end of the day and 'saw' from now to the end of the day",
    ),
}


@pytest.mark.parametrize(("wrong", "says"), IMPOSSIBLE.values(), ids=IMPOSSIBLE)
def test_what_cannot_be_planned_is_said_in_a_sentence(wrong: Workday, says: str) -> None:
    with pytest.raises(ValueError, match=re.escape(says)):
        schedule(wrong)


def test_a_circle_of_stretches_through_other_machines_is_found() -> None:
    """Each pair could be put in an order; the three of them cannot."""
    jobs = tuple(
        job
        for machine, before in (("x", "z"), ("y", "x"), ("z", "y"))
        for job in (
            Job(f"{machine} open", 1, opens=machine),
            Job(f"{machine} shut", 1, closes=machine, after=((f"{before} open", 0),)),
        )
    )
    with pytest.raises(ValueError, match="two machines would be open at once"):
        schedule(Workday(jobs))
    plan = schedule(Workday(jobs, allow_open=True))
    assert told(Workday(jobs, allow_open=True), plan)[0] == plan.finish
