"""Dates and ages in words, in local time; times as records keep them."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.base.text import counted

_DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
"""A board writes hundreds of days anew at a key; `strftime` takes thrice as long."""


def day(when: datetime) -> str:
    """Write a day in local time: ``Tue 3 Nov 2026``."""
    local = when.astimezone()
    return f"{_DAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]} {local.year:04}"


def said_later(on: datetime | None, recorded: datetime) -> str:
    """Write a day, and where told later, when: ``Mon 2 Nov 2026, recorded Tue 3 Nov 2026``."""
    return day(recorded) if on is None else f"{day(on)}, recorded {day(recorded)}"


def days_after(when: datetime, days: int) -> datetime:
    """Give the same time of the day so many local days later, whatever the clocks do between.

    A day on which the clocks change has 23 or 25 hours: counted in hours, what was done just
    after midnight would fall due on the day before.
    """
    local = when.astimezone().replace(tzinfo=None)
    return (local + timedelta(days=days)).astimezone()


def morning_after(when: datetime, days: int) -> datetime:
    """Give the start of the local day so many days later: what is due that day is due all day."""
    local = when.astimezone().replace(tzinfo=None) + timedelta(days=days)
    return local.replace(hour=0, minute=0, second=0, microsecond=0).astimezone()


OF_NO_AGE = "while the clock was wrong: how old that is cannot be told"
"""Of what holds for so many days, and was recorded so: nobody knows how many are left."""


def age(when: datetime, now: datetime, did: str = "", *, clock_ok: bool = True) -> str:
    """Write how old something is, after what was done: ``checked 12 days ago``.

    Args:
        when: when it was recorded.
        now: the time.
        did: what was done; empty: not told.
        clock_ok: whether the clock was right then; if not, nobody knows.
    """
    return f"{did} {ago(when, now)}".lstrip() if clock_ok else f"{did}, age unknown".lstrip(", ")


def ago(when: datetime, now: datetime) -> str:
    """Write an age in words, never negative: ``12 days ago``."""
    seconds = max(0.0, (now - when).total_seconds())
    if seconds < 60:
        return "just now"
    if seconds < 3600:
        return f"{counted(seconds // 60, 'minute')} ago"
    if seconds < 48 * 3600:
        return f"{counted(seconds // 3600, 'hour')} ago"
    return f"{counted(seconds // 86400, 'day')} ago"


def told_time(value: object) -> datetime | None:
    """Read a time that a record keeps, ISO 8601 with its zone; None when it is none."""
    try:
        when = datetime.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
    return when if when is not None and when.tzinfo is not None else None


def told_on(on: datetime | None, recorded: datetime) -> datetime | None:
    """Give when something happened that was said later; None: at its recording.

    Args:
        on: what the record keeps of it.
        recorded: when it was recorded; nothing is told before it happens.
    """
    return on if on is not None and on < recorded else None
