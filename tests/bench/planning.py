"""How long a day takes to plan: run with ``python -m tests.bench.planning``."""

from __future__ import annotations

import argparse
import sys
import time

from shopboard.prep.schedule.shortest_day import schedule
from tests.prep.days import SHAPES, day_of, patient

TARGET = 1.0
"""Seconds that a day of 60 jobs may take."""


def main() -> None:
    """Plan days of every shape and print the longest and the usual time of each size.

    Every other day has waits that must not be left too long.
    """
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=5, help="days of each shape and size")
    days = parser.parse_args().days
    worst = 0.0
    for jobs in (6, 12, 20, 30, 60, 80, 200, 1800):
        times = []
        for shape in SHAPES:
            for seed in range(days):
                day = day_of(shape, jobs, 1000 + seed)
                if seed % 2:
                    day = patient(day)
                begin = time.perf_counter()
                plan = schedule(day)
                took = time.perf_counter() - begin
                over = plan.finish / plan.bound - 1
                times.append((took, shape, over, plan.finish == plan.bound))
        times.sort()
        proven = sum(one[-1] for one in times)
        sys.stdout.write(
            f"{jobs:4} jobs: worst {times[-1][0]:.2f} s ({times[-1][1]}), "
            f"half below {times[len(times) // 2][0]:.2f} s, "
            f"proven least {proven} of {len(times)}, "
            f"the others at most {100 * max(one[2] for one in times):.1f} % over the bound\n"
        )
        worst = times[-1][0] if jobs == 60 else worst
    sys.stdout.write(f"target at 60 jobs: {TARGET} s, {'met' if worst < TARGET else 'MISSED'}\n")


if __name__ == "__main__":
    main()
