"""What loses nothing and is better followed: a late change of cutter, what is worth most first.

Times are added up by hand. That nothing is lost is asked of days made by chance, whose rules are
read anew by `keeps`. Both orders are common practice, no source.
"""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from shopboard.prep.fill_window import Stint
from shopboard.prep.kept_plans import KeptPlans
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.timetable import starts_of
from shopboard.prep.well_ordered import changed_late, worth_first
from tests.prep.days import SHAPES, day_of, harmful, patient
from tests.prep.keeps import faults, left

CHANGE = Job("change", 6, "saw", opens="saw", closes="saw")
DUST, BLADE = Job("dust", 10, "saw"), Job("blade", 8, "saw", after=(("change", 0.0),))
HONE, FENCE = Job("hone", 20, "bench"), Job("fence", 5, "jointer")


def planned(*jobs: Job, place: str = "") -> Stint:
    """Give what is done in one window, in that order."""
    day = Workday(jobs, place=place)
    starts = starts_of(day, range(len(jobs)))
    end = max(starts[job.id] + job.minutes + job.tail for job in jobs)
    places = [one.place for one in jobs]
    walks = sum(a != b for a, b in zip([place or places[0], *places], places, strict=False))
    return Stint(0, day, Schedule(starts, tuple(job.id for job in jobs), end, end, walks))


def pieces(stint: Stint, **brought_by: str) -> dict[str, Piece]:
    """Give the pieces of its jobs; by a check, the change that brings it."""
    return {
        job.id: Piece(
            job.id,
            "cutter" if job.id in brought_by.values() else "check",
            job.place,
            job.id,
            job.minutes,
            brought_by=(brought_by[job.id],) if job.id in brought_by else (),
        )
        for job in stint.workday.jobs
    }


def test_a_cutter_is_changed_when_one_is_there_to_measure_it() -> None:
    """The dust is emptied at 0, the blade would be changed at 10 and measured at 36."""
    stint = planned(DUST, CHANGE, HONE, BLADE)
    found = changed_late(stint, pieces(stint, blade="change")).found
    assert found.order == ("dust", "hone", "change", "blade")
    assert (found.starts["change"], found.finish) == (30, 44)


def test_it_stays_where_that_costs_a_walk_or_moves_a_wait() -> None:
    alone = planned(CHANGE, HONE, FENCE)
    assert changed_late(alone, pieces(alone, fence="change")) == alone
    wax = Job("wax", 5, "jointer", tail=10)
    buff = Job("buff", 5, "jointer", after=(("wax", 10),), patience=5)
    hazes = planned(CHANGE, wax, HONE._replace(minutes=10), buff, BLADE, place="saw")
    assert changed_late(hazes, pieces(hazes, blade="change")) == hazes


def test_no_work_ends_later_though_a_wait_goes_on_for_longer() -> None:
    """The oil soaks for two hours; with the blade changed later work ends at 49, not at 43."""
    oil, soak = Job("oil", 5, "drill", tail=120), Job("soak", 1, "jointer", tail=11)
    wipe = Job("wipe", 5, "jointer", after=(("soak", 11),))
    stint = planned(oil, soak, CHANGE, HONE._replace(minutes=5), wipe, BLADE._replace(minutes=21))
    assert stint.found.starts["blade"] == 22
    assert changed_late(stint, pieces(stint, blade="change")) == stint


def test_nobody_who_is_at_it_is_put_off() -> None:
    stint = planned(DUST, CHANGE, HONE, BLADE)
    assert changed_late(stint, pieces(stint, blade="change"), ["change"]) == stint


def test_what_is_worth_most_is_done_first_machine_by_machine() -> None:
    found = worth_first(planned(HONE, DUST, BLADE._replace(after=())), ["blade", "dust", "hone"])
    assert found.found.order == ("dust", "blade", "hone")
    assert (found.found.finish, found.found.walks) == (38, 1)


@pytest.mark.parametrize("stay", ["hone", ""])
def test_nothing_comes_before_what_one_is_at_or_needs(stay: str) -> None:
    needs = FENCE if stay else FENCE._replace(after=(("hone", 0.0),))
    stint = planned(HONE, needs)
    assert worth_first(stint, ["fence", "hone"], [stay]) == stint


def test_no_minute_no_walk_and_no_rule_is_lost_by_it() -> None:
    """Of days of twelve jobs, half of whose waits it harms to leave; worth and changes by lot."""
    moved = 0
    for shape, seed in product(SHAPES, range(30)):
        draw = Random(seed)
        day = harmful(patient(day_of(shape, 12, seed)))
        quick = KeptPlans().quick(day)
        assert quick is not None
        found = next(quick.by_rules(1))  # the shortest leave little to move
        ids = [job.id for job in day.jobs]
        told = pieces(Stint(0, day, found), **{one: draw.choice(ids) for one in ids[::3]})
        after = worth_first(changed_late(Stint(0, day, found), told), draw.sample(ids, len(ids)))
        order, starts = after.found.order, after.found.starts
        moved += order != found.order
        ends = (starts[job.id] + job.minutes + job.tail for job in day.jobs)
        assert max(ends) <= found.finish + 1e-6
        assert after.found.walks <= found.walks
        assert {*faults(day, order, starts)} <= {*faults(day, found.order, found.starts)}
        for harms in (False, True):
            assert {*left(day, starts, harms=harms)} <= {*left(day, found.starts, harms=harms)}
    assert moved > 3
