"""The time one has: what was said of it, and the hours of the shop; times told by hand."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.prep.time_had import TimeHad, Window, as_said, not_to_the_minute, windows
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
    """Half an hour may be 33 minutes, two hours 12 more; closing stays closing."""
    for minutes, later in ((30, 3), (120, 12), (5, 3)):
        had = TimeHad(until=at(9) + timedelta(minutes=minutes), any_hours=True)
        (one,) = not_to_the_minute(windows(had, HOURS, at(9), at(9)), had, at(9))
        assert one.end == had.until + timedelta(minutes=later)  # type: ignore[operator]
        assert as_said(one, had).end == had.until
    for had in (TimeHad(), TimeHad(days=1)):
        found = windows(had, HOURS, at(9), at(9))
        assert not_to_the_minute(found, had, at(9)) == found
        assert as_said(found[0], had) == found[0]
