"""What a person says of the time that they have, as it is typed. Pure."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from shopboard.metrology.duration import parse_minutes
from shopboard.metrology.quantity import QuantityError
from shopboard.prep.time_had import TimeHad
from shopboard.shop.hours import clock_words, minutes_of_day

_MINUTE = timedelta(minutes=1)

MOST_DAYS = 14
"""Days that one can say to have."""

ASKED = 'write "45 min", "2 h", "until 17:00" or "2 days"'


def read_time(text: str, now: datetime) -> TimeHad:
    """Read what a person says of the time that they have.

    Args:
        text: ``45 min``, ``45`` (minutes), ``2 h``, ``half an hour``, ``until 17:00``,
            ``17:00``, ``17.00`` (a number pad has no colon), ``2 days``.
        now: the time.

    Raises:
        QuantityError: with the reason, when it is none of these.
    """
    said = " ".join(text.lower().split())
    said = re.sub("^an? ", "1 ", re.sub("^half an? ", "0.5 ", said))
    days = re.fullmatch(r"(\d+)([.,]\d+)? ?(?:d|days?)", said, re.ASCII)
    if days:
        if days[2] or len(days[1]) > 2 or not 1 <= int(days[1]) <= MOST_DAYS:
            raise QuantityError(f"whole days, from 1 to {MOST_DAYS}")
        return TimeHad(days=int(days[1]))
    clock = re.fullmatch(r"(?:until|till|to)? ?(\d{1,2})(?:[:.](\d{2}))? ?(am|pm)?", said, re.ASCII)
    if clock and (said[0].isalpha() or clock[3] or clock[2]):
        return TimeHad(until=_clock_today(int(clock[1]), int(clock[2] or 0), clock[3] or "", now))
    if re.match(r"(until|till|to)\b", said):
        raise QuantityError('write a time of today such as "until 17:00"')
    try:
        minutes = parse_minutes(said, "min")
    except QuantityError as error:
        raise QuantityError(f"{error}; {ASKED}" if said else ASKED) from None
    if minutes > 24 * 60:
        raise QuantityError('more than a day: write "2 days"')
    return TimeHad(until=now + minutes * _MINUTE, any_hours=True)


def _clock_today(hour: int, minute: int, half: str, now: datetime) -> datetime:
    """Give a time of the day that is still to come, today."""
    said = minutes_of_day(hour, minute, half)
    if said is None:
        words = f"{hour}:{minute:02} {half}".rstrip()
        allowed = "from 1 to 12 with am or pm" if half else "from 0:00 to 24:00"
        raise QuantityError(f"there is no time {words}: {allowed}")
    midnight = now.astimezone().replace(tzinfo=None, hour=0, minute=0, second=0, microsecond=0)
    found, later = ((midnight + one * _MINUTE).astimezone() for one in (said, said + 12 * 60))
    if found <= now:
        local = now.astimezone()
        afternoon = not half and hour <= 12 and later > now
        hint = f'; did you mean "until {clock_words(said + 12 * 60)}"?' if afternoon else ""
        raise QuantityError(f"that is over today: it is {local.hour}:{local:%M}{hint}")
    return found
