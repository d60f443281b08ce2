"""The axis of time: columns that are all as many seconds wide, and the dates below them.

Dates are those of local time.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple

_DAY = 86400.0

_SHORTEST = timedelta(hours=8)
"""No plot is of less than this."""

_STEPS: tuple[tuple[str, int, float], ...] = (
    ("hour", 1, _DAY / 24),
    ("hour", 3, _DAY / 8),
    ("hour", 6, _DAY / 4),
    ("hour", 12, _DAY / 2),
    ("day", 1, _DAY),
    ("day", 2, _DAY * 2),
    ("day", 7, _DAY * 7),
    ("month", 1, _DAY * 28),
    ("month", 3, _DAY * 90),
    ("month", 6, _DAY * 181),
    *(("year", years, _DAY * 365 * years) for years in (1, 2, 5, 10, 20, 50, 100, 200, 500)),
)
"""What stands at a tick, how many of it from tick to tick, and the shortest that this can be, s."""

_WIDTHS = {"hour": 6, "day": 6, "month": 4, "year": 4}


class Tick(NamedTuple):
    """A date below the axis."""

    column: int
    label: str


class TimeAxis(NamedTuple):
    """Columns from the left, each as many seconds wide as the others."""

    start: datetime
    end: datetime
    columns: int

    def column(self, when: datetime) -> int:
        """Give the column of a time; the end belongs to the last one."""
        share = (when - self.start) / (self.end - self.start)
        return min(int(share * self.columns), self.columns - 1)

    def holds(self, when: datetime) -> bool:
        """Tell whether a time lies on the axis."""
        return self.start <= when <= self.end

    def ticks(self) -> list[Tick]:
        """Give the dates to write, as close as their labels allow."""
        per_second = self.columns / (self.end - self.start).total_seconds()
        for what, count, shortest in _STEPS:
            if shortest * per_second >= _WIDTHS[what] + 2:
                return list(self._ticks(what, count))
        return []

    def _ticks(self, what: str, count: int) -> Iterator[Tick]:
        try:
            when = _first(self.start.astimezone().replace(tzinfo=None), what, count)
            end = self.end.astimezone().replace(tzinfo=None)
            while when <= end:
                there = when.astimezone()
                if self.holds(there) and there.date() == when.date():  # a zone may skip a day
                    yield Tick(self.column(there), _label(when, what))
                when = _next(when, what, count)
        except (OverflowError, ValueError):
            return  # the calendar ends with the year 9999


def time_axis(start: datetime, end: datetime, columns: int) -> TimeAxis:
    """Make an axis over a time, stretched backward where it is too short to draw."""
    return TimeAxis(min(start, end - _SHORTEST), end, columns)


def _label(when: datetime, what: str) -> str:
    """Write a local time; what the clock says, even where it is put on over this very hour."""
    if what == "hour" and when.hour:
        return f"{when:%H:%M}"
    if what in ("hour", "day"):
        return f"{when.day} {when:%b}"
    return f"{when.year}" if what == "year" or when.month == 1 else f"{when:%b}"


def _first(start: datetime, what: str, count: int) -> datetime:
    """Give the tick at or before a local time."""
    day = start.replace(hour=0, minute=0, second=0, microsecond=0)
    if what == "hour":
        return day
    if what == "day":
        return day - timedelta(days=(day.toordinal() - 1) % count)  # weeks begin on a Monday
    if what == "month":
        return day.replace(day=1, month=(day.month - 1) // count * count + 1)
    return day.replace(day=1, month=1, year=max(1, day.year // count * count))


def _next(when: datetime, what: str, count: int) -> datetime:
    if what in ("hour", "day"):
        return when + timedelta(**{f"{what}s": count})
    if what == "month":
        months = when.month - 1 + count
        return when.replace(year=when.year + months // 12, month=months % 12 + 1)
    return when.replace(year=when.year // count * count + count)
