"""A wait that it harms to leave is ended in good time, where that costs no minute.

Times are added up by hand. That nothing else is lost is asked of days made by chance, whose rules
`keeps` reads anew.
"""

from __future__ import annotations

import pytest

from shopboard.prep.fill_window import Stint
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.schedule.timetable import starts_of
from shopboard.prep.to_spare import to_spare
from tests.in_turn import few
from tests.prep.days import SHAPES, day_of, harmful, patient
from tests.prep.keeps import faults, left

SPIRITS = Job("spirits", 5, "planer", tail=10)
CHISELS = tuple(Job(one, 5, "bench") for one in "abc")
WIPE = Job("wipe", 5, "planer", after=(("spirits", 10),), patience=5, harms=True)


def planned(*jobs: Job) -> Stint:
    """Give what is done in one window, in that order."""
    day = Workday(jobs)
    starts = starts_of(day, range(len(jobs)))
    end = max(starts[job.id] + job.minutes + job.tail for job in jobs)
    return Stint(0, day, Schedule(starts, tuple(job.id for job in jobs), end, end, 0))


def test_the_third_chisel_comes_after_the_rollers_that_would_be_wiped_at_the_last_minute() -> None:
    """The spirits are on at 5, may be wiped from 15 on and must be at 20; all is over at 25."""
    found = to_spare(planned(SPIRITS, *CHISELS, WIPE), ()).found
    assert found.order == ("spirits", "a", "b", "wipe", "c")
    assert (found.starts["wipe"], found.starts["c"], found.finish) == (15, 20, 25)
    assert found.walks == 3


@pytest.mark.parametrize(
    "third",
    [
        CHISELS[2]._replace(minutes=4, tail=10),  # its own wait is over at the end of the day
        CHISELS[2]._replace(opens="saw", closes="saw"),
        CHISELS[2]._replace(after=(("spirits", 10),), patience=2),
        CHISELS[2]._replace(after=(("spirits", 10),), patience=2, harms=True),
    ],
)
def test_it_stays_where_something_else_would_be_lost(third: Job) -> None:
    stint = planned(SPIRITS, *CHISELS[:2], third, WIPE)
    assert to_spare(stint, ()) == stint


def test_nothing_comes_before_what_one_is_at() -> None:
    stint = planned(SPIRITS, *CHISELS, WIPE)
    assert to_spare(stint, ["c"]) == stint


@pytest.mark.parametrize("shape", SHAPES)
def test_no_minute_and_no_rule_is_lost_by_it(shape: str) -> None:
    """Of days of twelve jobs, half of whose waits it harms to leave."""
    for seed in few([*range(30)], 10):
        day = harmful(patient(day_of(shape, 12, seed)))
        found = schedule(day)
        after = to_spare(Stint(0, day, found), ()).found
        ends = (after.starts[job.id] + job.minutes + job.tail for job in day.jobs)
        assert max(ends) <= found.finish + 1e-6
        assert {*faults(day, after.order, after.starts)} <= {
            *faults(day, found.order, found.starts)
        }
        for harms in (False, True):
            was = {*left(day, found.starts, harms=harms)}
            assert {*left(day, after.starts, harms=harms)} <= was
