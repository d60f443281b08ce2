"""A pause within a prep day: whether one was away is asked, and kept, so that its times hold.

Without a word the minutes of a pause would count as work at what was in hand, and all that comes
after it would be late by what nobody did. There are two answers: one that is withdrawn counts as
the other one.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store, kinds, new_uid
from shopboard.journal.kinds import Pause
from shopboard.prep.begun_day import PrepDay, day_under_way

LONG = timedelta(hours=1)
"""With nothing recorded for so long, it is asked (our choice, no source)."""

LATE = 30.0
"""Minutes by which what is in hand is late, too, then: of what takes an hour and more a few
minutes are no pause (our choice, no source)."""

NIGHT = timedelta(hours=4)
"""So long, and on to another day, nobody need be asked (our choice, no source)."""

_MOST = 500
"""Pauses that are looked at, of one day."""


class Away(NamedTuple):
    """When one was away within a prep day."""

    when: datetime
    """When one was back; of a day without a pause, when it was begun."""
    minutes: float = 0.0
    """How long in all."""
    spans: tuple[tuple[datetime, datetime], ...] = ()
    """From when to when, each time."""
    at_it: datetime | None = None
    """When one said last to have been at it all the time."""


def record_pause(journal: Store, since: datetime, *, away: bool, uid: str = "") -> None:
    """Record whether one was away since the newest record.

    Args:
        journal: the journal.
        since: when something was recorded before.
        away: whether one was.
        uid: name of the entry; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    journal.append([kinds.PAUSE.new(uid or new_uid(), Pause(away, since))])


def away_on(journal: Store, day: PrepDay) -> Away:
    """Tell how long one was away on a day, and since when one is back.

    Raises:
        JournalError: when the journal cannot be read.
    """
    said = [one for one in journal.recent(kinds.PAUSE.name, "", "", _MOST) if one.seq > day.seq]
    found = [(one.when, kinds.PAUSE.read(one).since) for one in said if was_away(one)]
    gone = tuple((min(since, when), when) for when, since in found if since)
    minutes = sum((when - since) / timedelta(minutes=1) for since, when in gone)
    at_it = next((one.when for one in said if not was_away(one)), None)
    return Away(max((when for _, when in gone), default=day.when), minutes, gone, at_it)


def was_away(entry: Entry) -> bool:
    """Tell whether one was away, by an entry of a pause and whether that was withdrawn."""
    return kinds.PAUSE.read(entry).away is (entry.void is None)


def quiet_since(journal: Store, now: datetime) -> datetime | None:
    """Give the newest record of a prep day that is under way, if that is long ago; else None.

    Raises:
        JournalError: when the journal cannot be read.
    """
    newest = journal.newest_when()
    if newest is None or now - newest < LONG or day_under_way(journal) is None:
        return None
    return newest


def was_a_night(since: datetime, now: datetime) -> bool:
    """Tell whether a pause went on to another day: nobody need be asked."""
    return now - since >= NIGHT and since.astimezone().date() != now.astimezone().date()
