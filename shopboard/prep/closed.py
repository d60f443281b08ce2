"""How long the shop is closed between two moments: nobody is late by that. Pure."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.prep.day_so_far import DaySoFar
from shopboard.prep.time_had import TimeHad, windows
from shopboard.shop.hours import OpenHours


def closed_between(
    had: TimeHad, hours: tuple[OpenHours, ...], start: datetime, end: datetime
) -> timedelta:
    """Give for how long of the time between two moments nobody is there; swapped, below 0.

    Who stays on past closing is there until then.
    """
    if end < start:
        return -closed_between(had, hours, end, start)
    shut, found = start, timedelta()
    for one in windows(had, hours, start, start):
        if shut < one.start <= end:
            found += one.start - shut
        shut = max(shut, one.end or end)
    return found


def closed_until(
    found: DaySoFar, had: TimeHad, hours: tuple[OpenHours, ...], finish: datetime
) -> float:
    """Give the minutes in which the shop is closed after the end that was first said of a day.

    What lies in a time in which one was away counts as away.

    Args:
        found: what is on record of the day.
        had: the time one has.
        hours: of the shop.
        finish: when all is done by now.
    """
    if found.day is None or found.day.finish is None:
        return 0.0
    away = found.away.spans if found.away is not None else ()
    apart = (closed_between(had, hours, since, when) for since, when in away)
    shut = closed_between(had, hours, found.day.finish, finish) - sum(apart, timedelta())
    return shut / timedelta(minutes=1)
