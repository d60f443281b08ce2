"""The computer's clock, held against the newest record: it may lag, or have run away."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.commit import EARLIEST, LATEST

Clock = Callable[[], datetime]

_BEHIND = 120
"""Seconds that it may stand before the newest record."""


class ShopClock(NamedTuple):
    """The time in a shop."""

    clock: Clock
    newest: datetime | None = None
    """When the newest entry was recorded; None: there is none."""

    def now(self) -> datetime:
        """Give the time, never before the newest record: a lagging clock makes nothing younger.

        A clock that has run away stands at the last time that one can reckon from.
        """
        clock = min(self.clock(), LATEST)
        return clock if self.newest is None else max(clock, self.newest)

    def clock_now(self) -> datetime:
        """Give the clock, also where it stands before the newest record: that one may be wrong.

        Where the clock cannot be right, the time is that of `now`.
        """
        clock = self.clock()
        return clock if clock >= EARLIEST else self.now()

    @property
    def is_wrong(self) -> bool:
        """Whether it stands clearly before the newest record, before 2026, or far after."""
        newest, clock = self.newest, self.clock()
        behind = newest is not None and (newest - clock).total_seconds() > _BEHIND
        return behind or not EARLIEST <= clock < LATEST


def clock_trouble(clock: datetime, newest: datetime | None) -> str:
    """Say of a clock that is wrong what it says, what that means for the records, what to do.

    Args:
        clock: what it says.
        newest: when the newest entry was recorded; None: there is none.
    """
    says = f"The clock looks wrong: it says {_moment(clock)}"
    means = "What is recorded now has no sure date, so it soon counts as due."
    if not EARLIEST <= clock < LATEST or newest is None:
        return f"{says}. {means} Set the computer's clock."
    right = "if it is right, and the record's was ahead: `shopboard clock --right`."
    return f"{says}, the newest record {_moment(newest)}. {means} Set the clock; {right}"


def _moment(when: datetime) -> str:
    return f"{day(when)}, {when.astimezone():%H:%M}"
