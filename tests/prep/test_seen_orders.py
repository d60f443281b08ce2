"""Orders that were once planned worse than they can be, as shop files; minutes by hand.

A combination machine is changed over between its modes; while its saw blade is in the bath it saws
and planes nothing, and is not changed over (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan
from shopboard.prep.schedule.shortest_day import schedule
from tests.journal.helpers import Clock
from tests.prep.cp_model import ask
from tests.prep.own_rules import Day
from tests.prep.random_shop import Made, Place, Spot, Step, Upkeep
from tests.prep.shop_oracle import opened, planned, wrong

BATH = Upkeep("bath", 5, (Step(40, cutter="off"), Step(cutter="on")))
"""Off 5, soak 40, on 5."""


def shop(*, now: str, planing: int, extra: tuple[Place, ...] = ()) -> Made:
    """A machine that saws and planes, last used in a mode; a check of so many minutes in planing.

    To plane costs 5 to change over, to saw 5.
    """
    done = {now: (Spot(now, "used", 4, true=True),)}
    saw = Place("saw", "combi", 5, (BATH,), spots=done.get("saw", ()))
    spots = (*done.get("planer", ()), Spot("planer", "bed", planing))
    return Made((saw, Place("planer", "combi", 5, spots=spots), *extra))


def plan_of(made: Made, folder: Path) -> DayPlan:
    """Plan it; by the solver and the rules told once more nothing is wrong with that."""
    plan = planned(made, folder)
    assert wrong(made, plan) is None
    return plan


def changes(plan: DayPlan) -> int:
    return sum(line.change > 0 for line in plan.lines)


@pytest.mark.parametrize("now", ["planer", "saw"])
def test_one_change_over_does_where_two_took_longer(now: str, tmp_path: Path) -> None:
    """Planing now: 20, over 5, the bath 50; sawing now: the bath, over, 20. Two made 85."""
    plan = plan_of(shop(now=now, planing=20), tmp_path)
    assert (plan.minutes, changes(plan)) == (75, 1)
    assert plan.is_shortest


def test_work_elsewhere_goes_into_the_bath_and_the_other_mode_around_it(tmp_path: Path) -> None:
    """Off 5, at the lathe 40 of 120, on 5, the other 80, over 5, planed 20: 155, all of it work."""
    lathe = Place("lathe", spots=tuple(Spot("lathe", f"p{at}", 40) for at in range(3)))
    plan = plan_of(shop(now="saw", planing=20, extra=(lathe,)), tmp_path)
    assert (plan.minutes, changes(plan)) == (5 + 40 + 5 + 80 + 5 + 20, 1)


def test_with_two_baths_in_two_modes_the_machine_is_changed_over_once(tmp_path: Path) -> None:
    """Each keeps the machine in its mode: 50, over 5, the other 50, planed 20 after it."""
    made = shop(now="saw", planing=20)
    saw, planer = made.places
    both = Made((saw, Place("planer", "combi", 5, (BATH,), spots=planer.spots)))
    plan = plan_of(both, tmp_path)
    assert (plan.minutes, changes(plan)) == (50 + 5 + 50 + 20, 1)


def test_what_needs_no_mode_is_done_while_the_cutter_is_out(tmp_path: Path) -> None:
    """A tray of bits that belongs to the planer: in and out of its bath while the blade soaks."""
    tray = Upkeep("bits", 10, (Step(15, tray=True), Step(tray=True)))
    made = shop(now="saw", planing=20)
    saw, planer = made.places
    plan = plan_of(Made((saw, Place("planer", "combi", 5, (tray,), spots=planer.spots))), tmp_path)
    assert (plan.minutes, changes(plan)) == (75, 1)


def test_a_mode_is_left_and_come_back_to_where_clinging_to_it_takes_longer(tmp_path: Path) -> None:
    """Oil that soaks before the fence is checked costs 16 to change over, and spares 40 idle.

    Sawing first: off 5, at the lathe 40, on 5, checks 66 and 40; over 8, oil 10, idle 40, off 10.
    """
    oil = Upkeep("oil", 10, (Step(40), Step()))
    used = Spot("saw", "used", 4, true=True)
    checks = (Spot("saw", "blade", 66), Spot("saw", "fence", 40))
    lathe = Place("lathe", spots=(Spot("lathe", "rest", 40),))
    saw = Place("saw", "combi", 8, (BATH,), spots=(used, *checks))
    made = Made((saw, Place("planer", "combi", 8, (oil,)), lathe))
    plan = plan_of(made, tmp_path)
    assert (plan.minutes, changes(plan), plan.is_shortest) == (224 - 40 + 16, 3, True)
    day = Day(made).workday()
    sawn = tuple((job.id, 0.0) for job in day.jobs if job.mode == "saw")
    clings = (
        job._replace(after=(*job.after, *sawn)) if job.mode == "planer" else job for job in day.jobs
    )
    assert ask(day._replace(jobs=tuple(clings))).bound == 224


def test_a_wait_that_runs_over_is_named_with_its_minutes(tmp_path: Path) -> None:
    """Oil that is on may be left 10 and 15 more; the glue's 60, ahead of its 240, begin at once."""
    wet = Upkeep("oil", 5, (Step(10), Step()))
    glue = Upkeep("glue", 30, (Step(), Step(240)))
    begun = Upkeep("oil", 5, wet.steps, done=1)
    made = Made((Place("saw", upkeep=(begun,)), Place("bench", upkeep=(glue,))))
    plan = plan_of(made, tmp_path)
    assert plan.minutes == 60 + 240 + 1
    assert [one for one in plan.left_out if "longer" in one] == [
        "Machine saw, Task oil: left 50 min longer than its wait; "
        "no other order was found that ends as soon."
    ]


def test_one_stands_idle_so_that_a_wait_does_not_run_over(tmp_path: Path) -> None:
    """Also where it would not harm: by hand, and the solver leaves none either."""
    made = Made((Place("saw", upkeep=(Upkeep("oil", 5, (Step(10), Step())),)),))
    day = Day(made).workday()
    first, last = day.jobs
    check = last._replace(id="check", minutes=10.0, after=(), ready=20.0, tail=30.0, patience=999.0)
    late = last._replace(minutes=20.0, patience=5.0)
    plan = schedule(day._replace(jobs=(first, late, check)))
    assert (plan.finish, plan.left, plan.over) == (60, 0, {})
    assert plan.held == {first.id: 10}


@pytest.mark.parametrize(("body", "first"), [("combi", "task saw.bath 2"), ("", "task bed.wax 2")])
def test_for_what_is_left_too_long_nothing_is_changed_over_with_its_cutter_out(
    tmp_path: Path, clock: Clock, body: str, first: str
) -> None:
    """The blade is in the bath, the wax on the bed of the same machine, or of another, is hard."""
    bath, wax = replace(BATH, done=1), Upkeep("wax", 4, (Step(15, 20), Step()), "wax", done=1)
    saw, bed = Place("saw", body, 5, (bath,)), Place("bed", body, 5, (wax,))
    with opened(Made((saw, bed)), tmp_path, clock) as shop:
        clock.pass_by(minutes=60)
        shop.refresh()
        lines = [line.piece.id for line in Planner(shop).plan().lines]
    assert lines[0] == first
    assert {*lines} == {"task saw.bath 2", "task bed.wax 2"}
