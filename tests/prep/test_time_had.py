"""The time one has: what was said of it, and the hours of the shop; times told by hand."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.prep.time_had import (
    TimeHad,
    Window,
    as_said,
    later_by,
    runs_over,
    why_shut,
    windows,
)
from shopboard.shop.hours import OpenHours

DAY = datetime(2026, 6, 8).astimezone()  # a Monday
HOURS = (OpenHours(((8 * 60, 12 * 60), (13 * 60, 17 * 60))),)


def at(hour: int, minute: int = 0) -> datetime:
    return DAY + timedelta(hours=hour, minutes=minute)


def test_windows_follow_the_hours_of_the_shop_and_the_pause_parts_them() -> None:
    found = windows(TimeHad(days=1), HOURS, at(9), at(9))
    assert found == (Window(at(8), at(12)), Window(at(13), at(17)))
    assert windows(TimeHad(days=1), HOURS, at(12, 30), at(12, 30)) == found[1:]


def test_what_a_person_says_goes_past_closing() -> None:
    half = TimeHad(until=at(17, 20), any_hours=True)
    assert windows(half, HOURS, at(16, 50), at(16, 50)) == (Window(at(16, 50), at(17, 20)),)
    assert windows(half, HOURS, at(17, 20), at(16, 50)) == ()


def test_a_day_in_progress_is_not_held_to_the_minute() -> None:
    """Half an hour may be 33 minutes in the end, 40 minutes 4 more, a day no more than 5.

    Closing stays closing.
    """
    for minutes, most in ((30, 3), (40, 4), (5, 3), (50, 5), (540, 5)):
        had = TimeHad(until=at(9) + timedelta(minutes=minutes), any_hours=True)
        for gone, planned in ((0, 1), (5, 2), (75, most)):
            later = runs_over(had, at(9), at(9) + timedelta(minutes=gone))
            assert later.planned == timedelta(minutes=planned), "it is not filled from the start"
            assert later.planned + later.more == timedelta(minutes=most)
        (one,) = later_by(windows(had, HOURS, at(9), at(9)), had, later.planned)
        assert one.end == at(9) + timedelta(minutes=minutes + most)
        assert as_said(one, had).end == had.until
    for had in (TimeHad(), TimeHad(days=1)):
        found = windows(had, HOURS, at(9), at(9))
        assert later_by(found, had, runs_over(had, at(9), at(10)).planned) == found
        assert as_said(found[0], had) == found[0]


def test_days_are_days_on_which_the_shop_is_open() -> None:
    """Open on Saturdays alone, 14 days are 14 weeks; with two spans that meet at midnight, one."""
    saturdays = (OpenHours(((8 * 60, 12 * 60),), (5,)),)
    for days in (1, 5, 14):
        found = windows(TimeHad(days=days), saturdays, at(9), at(9))
        weeks = [DAY.date() + timedelta(days=5 + 7 * week) for week in range(days)]
        assert [one.start.date() for one in found] == weeks
    night = (OpenHours(((0, 2 * 60), (22 * 60, 24 * 60))),)
    found = windows(TimeHad(days=2), night, at(23), at(23))
    assert [(one.start, one.end) for one in found] == [(at(22), at(26)), (at(46), at(48))]


def test_a_pause_is_told_from_closing_and_from_hours_that_nobody_told() -> None:
    """Mon to Fri 8 to 12 and 13 to 17: a pause lies between two hours of one day."""
    hours = (OpenHours(((8 * 60, 12 * 60), (13 * 60, 17 * 60)), (0, 1, 2, 3, 4)),)
    assert why_shut(hours, at(12), at(13)) == "pause"
    assert why_shut(hours, at(12, 59), at(13)) == "pause"
    assert why_shut(hours, at(6), at(8)) == "closed"
    assert why_shut(hours, at(17), at(8) + timedelta(days=1)) == "closed"
    assert why_shut(hours, at(12, 30), at(8) + timedelta(days=1)) == "closed"
    assert why_shut((), at(19), at(8) + timedelta(days=1)) == "untold"
