"""A past day or moment as a person writes it, in this computer's local time.

A day means its end: what was recorded on that day counts. Where the clocks were
put back and a time came twice, the later one is meant; a time that they skipped
is read as if they had not yet been put forward.
"""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless, plain_signs

_ASKED = "write a day as 2026-05-01, or 12 for 12 days ago"
_DAY = re.compile(r"(\d{4})([-./ ]?)(\d{1,2})\2(\d{1,2})(?:[T ] *(\d{1,2})[:.](\d{2}))?", re.ASCII)
_AGO = re.compile(r"(\d{1,5})(?: *d(?:ays?)?)?(?: *ago)?", re.ASCII)
_LOOKS_LIKE_A_YEAR = range(1970, 2200)
_INSTANT = timedelta(microseconds=1)


class MomentError(ValueError):
    """What was written is no past day or moment; the sentence says what is."""


class StillToComeError(MomentError):
    """It is a day or moment, but not a past one."""


class Moment(NamedTuple):
    """A moment to look back to."""

    when: datetime
    """What was recorded up to then counts."""
    words: str
    """``the end of Fri 1 May 2026``."""


def read_moment(text: str, now: datetime) -> Moment:
    """Read a day (its end is meant), a minute (its end, too), or a number of days ago.

    Args:
        text: ``2026-05-01``, ``20260501``, ``2026-05-01 14:30``, ``12``, ``yesterday``, ``now``.
        now: the time.

    Raises:
        MomentError: it is none of these, there is no such day, or it is still to come.
    """
    text = plain_signs(text)
    words = " ".join(text.lower().split())
    if words == "now":
        return Moment(now, "now")
    named = {"today": "0", "yesterday": "1"}
    found = _AGO.fullmatch(named.get(words, words))
    if found and not (int(found[1]) in _LOOKS_LIKE_A_YEAR and found[1] == words):
        return _end_of_day(_days_ago(int(found[1]), now), now)
    found = _DAY.fullmatch(text.strip().upper())
    if found is None:
        raise MomentError(f"{harmless(text.strip()[:40]) or 'nothing'} is not a day: {_ASKED}")
    year, month, date = int(found[1]), int(found[3]), int(found[4])
    try:
        start = datetime(year, month, date)  # noqa: DTZ001 - local time is meant
    except ValueError:
        raise MomentError(f"there is no day {year:04}-{month:02}-{date:02}: {_ASKED}") from None
    if found[5] is None:
        return _end_of_day(start, now)
    hour, minute = int(found[5]), int(found[6])
    if hour > 23 or minute > 59:
        raise MomentError(f"there is no time {hour}:{minute:02}: from 0:00 to 23:59")
    return _end_of_minute(start.replace(hour=hour, minute=minute), now)


def _days_ago(days: int, now: datetime) -> datetime:
    local = now.astimezone().replace(tzinfo=None, hour=0, minute=0, second=0, microsecond=0)
    try:
        return local - timedelta(days=days)
    except OverflowError:
        raise MomentError(f"there are no records from {days} days ago: {_ASKED}") from None


def _end_of_day(start: datetime, now: datetime) -> Moment:
    """Give the last instant before the next day begins, but no later than now."""
    begins = _first(start)
    if begins > now:
        raise StillToComeError(f"{start:%Y-%m-%d} is still to come: today is {day(now)}")
    end = _first(start + timedelta(days=1)) - _INSTANT
    if end >= now:
        return Moment(now, "now")
    return Moment(end, f"the end of {day(begins)}")


def _end_of_minute(start: datetime, now: datetime) -> Moment:
    begins = max(_instants(start))
    if begins > now:
        raise StillToComeError(f"{start:%Y-%m-%d %H:%M} is still to come: today is {day(now)}")
    end = begins + timedelta(minutes=1) - _INSTANT
    return Moment(min(end, now), f"{start:%H:%M} on {day(begins)}")


def _first(start: datetime) -> datetime:
    """Give the instant at which a local day begins; some days begin at 1:00, or twice at 0:00."""
    found = _instants(start)
    skipped = all(one.replace(tzinfo=None) != start for one in found)
    return max(found) if skipped else min(found)


def _instants(local: datetime) -> tuple[datetime, datetime]:
    """Give the instants that a local time can mean: two alike, mostly."""
    try:
        return local.astimezone(), local.replace(fold=1).astimezone()
    except (OverflowError, OSError, ValueError):  # before 1970 some systems know no local time
        raise MomentError(f"there are no records from {local.year}: {_ASKED}") from None
