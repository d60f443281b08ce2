"""What was done on a prep day so far: from when its minutes count, and how the machines stand."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store, kinds
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import PrepDay, day_under_way
from shopboard.prep.pause import Away, away_on

_ACTS = tuple(
    one.name for one in (kinds.CHECK, kinds.END, kinds.TASK, kinds.TASK_STEP, kinds.CUTTER)
)
"""Kinds of records with which a piece of work is over."""


class DaySoFar(NamedTuple):
    """What is on record of a prep day."""

    day: PrepDay | None = None
    """None: none is under way."""
    act: Entry | None = None
    """The newest record with which a piece of its work was over."""
    in_hand: str = ""
    """Full name of the point whose check was begun on this day and is not done; empty: none."""
    begun: Entry | None = None
    """The entry that began that check."""
    answered: datetime | None = None
    """When that check was answered last."""
    away: Away | None = None
    newest: datetime | None = None
    """When anything was recorded last, of this day or not."""
    place: str = ""
    """Id of the machine at which a piece of work was done last; empty: none yet."""

    @property
    def order(self) -> tuple[str, ...]:
        """Ids of the day's pieces in the order in which it was begun; none: it is not told."""
        return self.day.order if self.day is not None else ()

    def said_at_it(self, since: datetime) -> bool:
        """Tell whether one said after a moment to have been at it all the time."""
        said = self.away.at_it if self.away is not None else None
        return said is not None and said > since


def acts(journal: Store, day: PrepDay) -> list[Entry]:
    """Give the records with which pieces of work of this day were over, the newest first."""
    found = (one for kind in _ACTS for one in journal.latest(kind).values() if one.seq > day.seq)
    return sorted(found, key=lambda one: -one.seq)


def _is_given_up(journal: Store, one: Entry) -> bool:
    """Tell whether a check ended without a result: it is no work that leads on to the next."""
    return one.kind == kinds.END.name and not any(
        each.kind == kinds.CHECK.name for each in journal.thread(one.refers)
    )


def so_far(open_shop: OpenShop) -> DaySoFar:
    """Collect what is on record of the day under way.

    Raises:
        JournalError: when the journal cannot be read.
    """
    journal = open_shop.journal
    day = day_under_way(journal)
    if day is None:
        return DaySoFar()
    in_hand = next((name for name, one in open_shop.waiting.items() if one.seq > day.seq), "")
    begun = open_shop.waiting.get(in_hand)
    thread = journal.thread(begun.uid) if begun is not None else []
    done = acts(journal, day)
    at = next((one.machine for one in done if not _is_given_up(journal, one)), "")
    return DaySoFar(
        day,
        done[0] if done else None,
        in_hand,
        begun,
        max((one.when for one in (begun, *thread) if one is not None), default=None),
        away_on(journal, day),
        journal.newest_when(),
        at,
    )


def zero_of(found: DaySoFar, now: datetime) -> datetime:
    """Give the moment from which the minutes count: the newest record of the day's work, or now.

    A check in hand counts from its newest answer, and what comes after a pause from its end.
    """
    if found.day is None:
        return full_minute(now)
    moments = [found.day.when, found.answered]
    moments += [found.act and found.act.when, found.away and found.away.when]
    return min(max(one for one in moments if one is not None), now)


def full_minute(now: datetime) -> datetime:
    """Give the last full minute."""
    return now.replace(second=0, microsecond=0)


def is_fresh(found: DaySoFar, zero: datetime) -> bool:
    """Tell whether nothing was done or said of a day since its beginning."""
    return found.day is not None and found.day.told is None and zero == found.day.when


def part_minute(found: DaySoFar, zero: datetime) -> timedelta:
    """Give what had gone by of the minute in which a day was begun, while nothing of it is done.

    It was looked at as planned from that full minute, and goes on as the day that was looked at.
    """
    return zero - full_minute(zero) if is_fresh(found, zero) else timedelta()
