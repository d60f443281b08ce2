"""How long a day takes to plan: run with ``python -m tests.bench.planning``.

Seconds of the processor, the least of a few times: what else the computer does is not counted, but
it slows a processor that it shares.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterator
from typing import NamedTuple

from shopboard.prep.schedule.job import Workday
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.share_out import Pauses, share_out
from tests.prep.days import SHAPES, day_of, harmful, hours, patient

SIZES = (6, 12, 20, 30, 60, 80, 200, 1800)

TARGETS = {60: 1.0, 1800: 2.0}
"""Seconds that a day of so many jobs may take; 500 machines have the larger number."""


class Took(NamedTuple):
    """How long a day took to plan."""

    seconds: float
    shape: str
    over: float
    """By how much it is longer than what no plan can beat, as a part of that; below 0: unknown."""


def _alone(day: Workday) -> float:
    plan = schedule(day)
    return plan.finish / plan.bound - 1


def _in_hours(day: Workday) -> float:
    alone, windows = [job.id for job in day.jobs], hours(day)
    numbers = [int(begin // 1440) for begin, _ in windows]
    share_out(day, alone, windows, alone, pauses=Pauses(numbers, alone[:3], 5.0))
    return -1


_SORTS: dict[str, tuple[Callable[[Workday], Workday], Callable[[Workday], float]]] = {
    "plain": (lambda day: day, _alone),
    "patient": (patient, _alone),
    "harm": (lambda day: harmful(patient(day)), _alone),
    "hours": (patient, _in_hours),
    "harm, hours": (lambda day: harmful(patient(day)), _in_hours),
}
"""Waits that may be left, that should not, half of which must not; and into the shop's hours."""


def _times(sort: str, jobs: int, days: int, times: int) -> Iterator[Took]:
    made, plan = _SORTS[sort]
    for shape in SHAPES:
        for seed in range(days):
            day = made(day_of(shape, jobs, 1000 + seed))
            took = []
            for _ in range(times):
                begin = time.process_time()
                over = plan(day)
                took.append(time.process_time() - begin)
            yield Took(min(took), shape, over)


def main() -> None:
    """Plan days of every shape and sort, and print the longest and the usual time of each size."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=2, help="days of each shape, size and sort")
    parser.add_argument("--times", type=int, default=3, help="times that each is planned")
    parser.add_argument("--jobs", type=int, nargs="*", default=SIZES, help="sizes")
    asked = parser.parse_args()
    worst = dict.fromkeys(TARGETS, 0.0)
    for jobs in asked.jobs:
        for sort in _SORTS:
            times = sorted(_times(sort, jobs, asked.days, asked.times))
            slowest, middle = times[-1], times[len(times) // 2]
            sys.stdout.write(
                f"{jobs:4} jobs, {sort:12} worst {slowest.seconds:5.2f} s {slowest.shape:16}"
                f"half below {middle.seconds:5.2f} s{_near(times)}\n"
            )
            sys.stdout.flush()
            if jobs in worst:
                worst[jobs] = max(worst[jobs], slowest.seconds)
    for jobs, target in TARGETS.items():
        met = "met" if worst[jobs] <= target else "MISSED"
        if jobs in asked.jobs:
            sys.stdout.write(f"target at {jobs} jobs: {target} s, worst {worst[jobs]:.2f}, {met}\n")


def _near(times: list[Took]) -> str:
    """Say how many are proven least, and how far over the bound the others are at most."""
    known = [one.over for one in times if one.over >= 0]
    if not known:
        return ""
    proven = sum(over < 1e-9 for over in known)
    return f"; least {proven} of {len(known)}, others within {max(known):.1%}"


if __name__ == "__main__":
    main()
