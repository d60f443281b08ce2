"""What a person says of the time that they have, as it is typed. Pure."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from shopboard.metrology.duration import parse_minutes
from shopboard.metrology.quantity import QuantityError
from shopboard.prep.time_had import TimeHad

_MINUTE = timedelta(minutes=1)

MOST_DAYS = 14
"""Days that one can say to have."""

ASKED = 'write "45 min", "2 h", "until 17:00" or "2 days"'


def read_time(text: str, now: datetime) -> TimeHad:
    """Read what a person says of the time that they have.

    Args:
        text: ``45 min``, ``45`` (minutes), ``2 h``, ``until 17:00``, ``17:00``, ``2 days``.
        now: the time.

    Raises:
        QuantityError: with the reason, when it is none of these.
    """
    said = " ".join(text.lower().split())
    days = re.fullmatch(r"(\d{1,3}) ?(?:d|days?)", said, re.ASCII)
    if days:
        if not 1 <= int(days[1]) <= MOST_DAYS:
            raise QuantityError(f"from 1 to {MOST_DAYS} days")
        return TimeHad(days=int(days[1]))
    clock = re.fullmatch(
        r"(?:until|till|to)? ?(\d{1,2})(?:([:.])(\d{2}))? ?(am|pm)?", said, re.ASCII
    )
    if clock and (said[0].isalpha() or clock[4] or clock[2] == ":"):
        return TimeHad(until=_clock_today(int(clock[1]), int(clock[3] or 0), clock[4], now))
    try:
        minutes = parse_minutes(said, "min")
    except QuantityError as error:
        raise QuantityError(f"{error}; {ASKED}" if said else ASKED) from None
    if minutes > 24 * 60:
        raise QuantityError('more than a day: write "2 days"')
    return TimeHad(until=now + minutes * _MINUTE, any_hours=True)


def _clock_today(hour: int, minute: int, half: str | None, now: datetime) -> datetime:
    """Give a time of the day that is still to come, today."""
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    if minute > 59 or hour * 60 + minute > 24 * 60:
        raise QuantityError(f"there is no time {hour}:{minute:02}: from 0:00 to 24:00")
    midnight = now.astimezone().replace(tzinfo=None, hour=0, minute=0, second=0, microsecond=0)
    found = (midnight + timedelta(hours=hour, minutes=minute)).astimezone()
    if found <= now:
        local = now.astimezone()
        raise QuantityError(f"that is over today: it is {local.hour}:{local:%M}")
    return found
