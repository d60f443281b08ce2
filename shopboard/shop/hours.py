"""When somebody is in the shop, as the shop file says it. Pure; minutes from midnight."""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple


class OpenHours(NamedTuple):
    """The hours of some days of the week."""

    spans: tuple[tuple[int, int], ...]
    """From when to when, one after the other; between two of them is a pause."""
    days: tuple[int, ...] = ()
    """Days of the week, Monday is 0; empty: all that no other says anything of."""


def spans_on(hours: tuple[OpenHours, ...], weekday: int) -> tuple[tuple[int, int], ...]:
    """Give the hours of a day of the week; empty: the shop is closed all day."""
    named = next((one for one in hours if weekday in one.days), None)
    found = named or next((one for one in hours if not one.days), None)
    return found.spans if found is not None else ()


def minutes_of_day(hour: int, minute: int = 0, half: str = "") -> int | None:
    """Give a time of the day in minutes from midnight; 24:00 is its end.

    Args:
        hour: from 0 to 24; with a half of the day from 1 to 12.
        minute: from 0 to 59.
        half: ``am`` or ``pm``; empty: the hour is that of the whole day.

    Returns:
        None: there is no such time.
    """
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    found = hour * 60 + minute
    return found if minute <= 59 and found <= 24 * 60 else None


def clock_words(minutes: int) -> str:
    """Write a time of the day, told in minutes from midnight: ``8:05``."""
    return f"{minutes // 60}:{minutes % 60:02}"
