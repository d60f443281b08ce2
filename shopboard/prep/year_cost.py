"""What a year of upkeep cost and brought, and which checks could come less often."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import kinds
from shopboard.journal.kinds import LeftUndone
from shopboard.prep.cost import Cost, Counted, day_cost, records_after
from shopboard.prep.day_end import last_day
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.wander.interval import Interval, interval_of

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop

YEAR = timedelta(days=365)


class PointInterval(NamedTuple):
    """A point with what the record says of its interval."""

    point: Point
    where: str
    """Name of its machine."""
    found: Interval


class Use(NamedTuple):
    """What the last prep day and the last year cost and brought."""

    day: Cost | None
    """Of the prep day in progress, or else of the last one; None: there was none."""
    in_progress: bool
    year: Cost
    intervals: tuple[PointInterval, ...]
    """Of the points that have an interval in the shop file and are measured."""
    left: tuple[LeftUndone, ...] = ()
    """What the last prep day left undone when it ended, as it was told then."""
    machines: Mapping[str, str] = MappingProxyType({})
    """Names, by id."""

    @property
    def longer(self) -> tuple[PointInterval, ...]:
        """Those that could be checked less often."""
        return tuple(one for one in self.intervals if one.found.days)

    @property
    def too_few(self) -> int:
        """Of how many too few checks tell anything."""
        return sum(not one.found.is_enough for one in self.intervals)


def use_ahead(open_shop: OpenShop) -> Iterator[None]:
    """Work out, a little at a time, what `use_of` gives; it is kept.

    Raises:
        JournalError: when the journal cannot be read.
    """
    kept, journal, shop = open_shop.kept("use"), open_shop.journal, open_shop.shop
    if "use" in kept:
        return
    since, upto = open_shop.now() - YEAR, journal.last_seq()
    counted = Counted(shop)
    first = None
    for entries in records_after(journal, journal.seq_at(since), upto):
        first = first or next((one.when for one in entries), None)
        counted.take(entries)
        yield
    intervals = []
    for name, point in shop.points.items():
        seen = open_shop.outlook(name) if point.every_days is not None else None
        yield
        records = open_shop.history(name) if seen is not None else []
        found = interval_of(point, seen, records, shop.accepted_risk) if seen and records else None
        if found is not None:
            where = shop.machines_by_id[point.machine].name
            intervals.append(PointInterval(point, where, found))
        yield
    day, end = last_day(journal)
    until, left = (end.seq, kinds.PREP.read(end).left) if end is not None else (upto, ())
    of_day = day_cost(journal, shop, day, until) if day is not None else None
    year = counted.cost(max(since, first or since))
    kept["use"] = Use(
        of_day, day is not None and end is None, year, tuple(intervals), left, _names(shop)
    )


def _names(shop: Shop) -> dict[str, str]:
    return {ident: one.name for one in shop.machines for ident in (one.id, *one.was)}


def use_of(open_shop: OpenShop) -> Use:
    """Give what the last prep day and the last year cost and brought.

    Raises:
        JournalError: when the journal cannot be read.
    """
    for _ in use_ahead(open_shop):
        pass
    found: Use = open_shop.kept("use")["use"]
    return found
