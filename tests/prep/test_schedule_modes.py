"""A combination machine is not changed over while a cutter of it is out; when else is chosen.

Minutes by hand; that a machine is not changed over around a bare arbor is common practice, no
source.
"""

from __future__ import annotations

import pytest

from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.shortest_day import schedule
from tests.prep.cp_model import ask
from tests.prep.keeps import CHANGED_OVER, changed_over, faults

CHANGE = {("combi", "saw"): 5.0, ("combi", "plane"): 5.0}
OFF = Job("off", 5, "combi", "combi", "saw", opens="saw")
ON = Job("on", 5, "combi", "combi", "saw", (("off", 40),), closes="saw")
PLANE = Job("plane", 20, "combi", "combi", "plane")


def planned(*jobs: Job, now: str = "plane", **more: object) -> tuple[Workday, Schedule]:
    """Plan a day around one machine of two modes; what comes out keeps every constraint."""
    day = Workday(jobs, CHANGE, {"combi": now})._replace(**more)  # type: ignore[arg-type]
    plan = schedule(day)
    assert not faults(day, plan.order, plan.starts)
    return day, plan


def test_what_the_machine_is_in_now_is_done_before_the_cutter_comes_off() -> None:
    """20, over to the saw 5, off 5, soak 40, on 5; after it, that would be 80 with two changes."""
    day, plan = planned(OFF, ON, PLANE)
    assert plan.order == ("plane", "off", "on")
    assert plan.finish == plan.bound == 75 == ask(day).finish


def test_from_the_mode_of_the_cutter_the_other_comes_after() -> None:
    day, plan = planned(OFF, ON, PLANE, now="saw")
    assert plan.order == ("off", "on", "plane")
    assert plan.finish == plan.bound == 75 == ask(day).finish


def test_elsewhere_work_goes_on_while_the_cutter_soaks() -> None:
    day, plan = planned(OFF, ON, PLANE, Job("lathe", 30, "lathe"), now="saw")
    assert plan.order == ("off", "lathe", "on", "plane")
    assert plan.finish == 75 == ask(day).finish


@pytest.mark.parametrize("allow_open", [False, True])
def test_two_open_machines_do_not_let_a_mode_be_changed(*, allow_open: bool) -> None:
    day, plan = planned(OFF, ON, PLANE, allow_open=allow_open)
    assert plan.finish == plan.bound == 75 == ask(day).finish


def test_what_the_closing_waits_for_is_done_before_the_opening() -> None:
    last = ON._replace(after=(*ON.after, ("plane", 0.0)))
    _, plan = planned(OFF, last, PLANE, now="saw")
    assert plan.order == ("plane", "off", "on")
    assert plan.finish == plan.bound == 5 + 20 + 5 + 5 + 40 + 5


def test_what_stands_open_now_is_closed_before_the_machine_is_changed_over() -> None:
    last = ON._replace(after=(), ready=40)
    _, plan = planned(last, PLANE, now="saw", open_now="saw")
    assert plan.order == ("on", "plane")
    assert plan.finish == plan.bound == 70


def test_work_in_another_mode_that_has_to_be_done_in_between_is_done_then() -> None:
    """As the shop asks for it, in so many words: the program knows no better."""
    between = PLANE._replace(after=(("off", 0.0),))
    last = ON._replace(after=(*ON.after, ("plane", 0.0)))
    _, plan = planned(OFF, last, between, now="saw")
    assert plan.order == ("off", "plane", "on")


def test_two_machines_that_stand_open_never_keep_each_other_from_being_closed() -> None:
    """Each is closed after work in another mode of the other: only one can be open at a time."""
    jobs = tuple(
        job
        for one, other in (("a", "b"), ("b", "a"))
        for job in (
            Job(f"{one} off", 3, one, one, "saw", opens=one),
            Job(f"{one} plane", 4, one, one, "plane"),
            Job(
                f"{one} on",
                3,
                one,
                one,
                "saw",
                ((f"{one} off", 30), (f"{other} plane", 0)),
                closes=one,
            ),
        )
    )
    day = Workday(jobs, {}, {"a": "saw", "b": "saw"}, allow_open=True)
    plan = schedule(day)
    assert not faults(day, plan.order, plan.starts)


def test_a_plan_that_changes_over_while_a_cutter_is_out_is_seen_by_these_tests() -> None:
    day = Workday((OFF, ON, PLANE), CHANGE, {"combi": "saw"})
    (seen,) = changed_over(day, {"off": 0, "plane": 10, "on": 50})
    assert CHANGED_OVER in seen
    assert not changed_over(day, {"off": 0, "on": 45, "plane": 55})
