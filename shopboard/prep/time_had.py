"""The time that one has: so long, until then, so many days, or as the hours of the shop go. Pure.

A window is a time in which somebody is there. Whatever is planned lies within one.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.hours import OpenHours, spans_on

_MINUTE = timedelta(minutes=1)

FARTHEST = 28
"""Days that are looked ahead, or as many weeks as days were said: a shop may open once a week.
What is planned later than that is not planned yet."""

UNTOLD = (OpenHours(((8 * 60, 18 * 60),)),)
"""Hours of a day in a shop that tells none. (common practice, no source)"""


_SLACK, _LEAST_SLACK, _MOST_SLACK = 0.1, 3 * _MINUTE, 5 * _MINUTE
"""By how much, of the time that was said, a day in progress may run over: nobody looks at the
clock more closely, but who says 17:00 does not mean a quarter past. (common practice, no
source)"""

_AT_FIRST, _PER_GONE_BY = _MINUTE, 0.2
"""By how much of that a plan may be made longer: by a minute at its beginning, and by a part of
the time that has gone by. Else it would be filled with more than was asked for. (our own)"""


class TimeHad(NamedTuple):
    """What a person said of the time that they have; of nothing said the shop's hours hold."""

    until: datetime | None = None
    """The end of it; None: not told."""
    days: int = 0
    """Days on which the shop is open, the first with them; 0: as many as it takes."""
    any_hours: bool = False
    """Whether the hours of the shop do not matter: one stays through pause and closing."""


def put_back(had: TimeHad, by: timedelta) -> TimeHad:
    """Give what was said so long ago of a day that is not begun: 45 minutes are as long still."""
    if had.until is None or not had.any_hours:
        return had
    return had._replace(until=had.until + by)


class Window(NamedTuple):
    """A time in which somebody is there."""

    start: datetime
    end: datetime | None = None
    """None: it has no end."""


_NONE = timedelta()


def windows(
    had: TimeHad,
    hours: tuple[OpenHours, ...],
    now: datetime,
    since: datetime,
    late: timedelta = _NONE,
) -> tuple[Window, ...]:
    """Give the windows that one has, from the one of now on, or the next.

    Args:
        had: what was said of it.
        hours: of the shop.
        now: the time.
        since: when that was said, or the last full minute.
        late: how long after the end that was said one goes on with what is in hand.
    """
    if had.until is not None and had.until + late <= now:
        return ()
    if had.any_hours or (not (hours and _closes(hours)) and not had.days):
        return (Window(since, had.until),)
    found: list[Window] = []
    ahead = max(FARTHEST, 7 * (had.days + 1))
    for number, day in enumerate(_open_days(hours or UNTOLD, min(since, now), ahead), 1):
        if had.days and number > had.days:
            break
        found += [one for one in day if one.end is not None and one.end > now]
    if had.until is None:
        return _joined(found)
    return _upto(had.until, _joined(found), since)


Shut = Literal["closed", "pause", "untold"]
"""Why nobody is there: the shop is closed, it is one of its pauses, or its hours are not told."""


def why_shut(hours: tuple[OpenHours, ...], now: datetime, opens: datetime) -> Shut:
    """Say why nobody is there before a window begins.

    Args:
        hours: of the shop.
        now: the time.
        opens: when the next window begins.
    """
    if not hours:
        return "untold"
    local, then = now.astimezone(), opens.astimezone()
    spans = spans_on(hours, local.weekday())
    was_there = any(end <= local.hour * 60 + local.minute for _, end in spans)
    return "pause" if was_there and then.date() == local.date() else "closed"


class RunsOver(NamedTuple):
    """How long after the time that was said a day in progress may end."""

    planned: timedelta
    """So much more may be planned into it by now."""
    more: timedelta
    """So much later still it may be over before anything is put off."""


def runs_over(had: TimeHad, since: datetime, upto: datetime) -> RunsOver:
    """Let a day in progress end a little after the time that was said.

    Who begins a minute later, or is slower by two, leaves nothing out for that.

    Args:
        had: what was said.
        since: when.
        upto: when something of the day was recorded last.
    """
    if had.until is None:
        return RunsOver(_NONE, _NONE)
    most = min(max(_SLACK * (had.until - since), _LEAST_SLACK), _MOST_SLACK)
    planned = min(most, _AT_FIRST + _PER_GONE_BY * max(upto - since, _NONE))
    return RunsOver(planned, most - planned)


def later_by(found: tuple[Window, ...], had: TimeHad, by: timedelta) -> tuple[Window, ...]:
    """Let the windows that one has end so much after the time that was said."""
    if had.until is None or not found or found[-1].end != had.until:
        return found
    return (*found[:-1], found[-1]._replace(end=had.until + by))


def as_said(one: Window, had: TimeHad) -> Window:
    """Let a window end no later than was said: what is shown of it is what one said."""
    late = had.until is not None and one.end is not None and one.end > had.until
    return one._replace(end=had.until) if late else one


def of_one_day(found: tuple[Window, ...], had: TimeHad) -> tuple[Window, ...]:
    """Give the windows that begin on the day of the first, as one said them."""
    days = [one.start.astimezone().date() for one in found]
    return tuple(as_said(one, had) for one, day in zip(found, days, strict=True) if day == days[0])


def _closes(hours: tuple[OpenHours, ...]) -> bool:
    """Tell whether there is a time of the week at which nobody is there."""
    return any(spans_on(hours, day) != ((0, 24 * 60),) for day in range(7))


def _open_days(hours: tuple[OpenHours, ...], first: datetime, most: int) -> Iterator[list[Window]]:
    """Give the days on which the shop is open, with their windows, of so many at the most."""
    midnight = first.astimezone().replace(tzinfo=None, hour=0, minute=0, second=0, microsecond=0)
    for ahead in range(most):
        day = midnight + timedelta(days=ahead)
        spans = spans_on(hours, day.weekday())
        each = [Window(*((day + one * _MINUTE).astimezone() for one in span)) for span in spans]
        left = [one for one in each if one.end is not None and one.end > first]
        if left:
            yield left


def _joined(found: list[Window]) -> tuple[Window, ...]:
    """Join those that follow each other without a break."""
    joined: list[Window] = []
    for one in found:
        if joined and joined[-1].end == one.start:
            joined[-1] = Window(joined[-1].start, one.end)
        else:
            joined.append(one)
    return tuple(joined)


def _upto(until: datetime, found: tuple[Window, ...], since: datetime) -> tuple[Window, ...]:
    """Keep the windows up to an end that was said; past the shop's own hours one stays longer."""
    kept = [one for one in found if one.start < until]
    if not kept:
        return (Window(since, until),)
    last = kept[-1]
    is_over = last.end is not None and last.end < until
    within = len(found) > len(kept) and is_over and found[len(kept)].start <= until
    kept[-1] = last if within else Window(last.start, until)
    return tuple(kept)
