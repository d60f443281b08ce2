"""What lies ahead for the cutters of a machine: pace, costs, dates, what to see to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from shopboard.base.dates import told_on
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store, kinds
from shopboard.journal.kinds.cutters import UseUnit
from shopboard.shop.machine import PROJECT_FINISHED
from shopboard.upkeep.cutter_journal import UNIT_OF
from shopboard.upkeep.cutter_supply import (
    LEAST_DAYS,
    Pace,
    Supply,
    lasts_until,
    pace,
    pace_words,
    shared_life,
    supply,
)
from shopboard.upkeep.cutters import CutterStanding, group_of

_LOOKED_AT = 1000
"""Entries that a pace is learnt from: eleven a day for as long as it holds."""


class CutterOutlook(NamedTuple):
    """What lies ahead for the cutters that do one sort of work."""

    group: tuple[CutterStanding, ...]
    pace: Pace | None
    """How fast they are used; None: the record tells none."""
    until: datetime | None
    """When the last sharp edge here is dull; None: nothing tells it."""
    supply: tuple[Supply, ...]
    """What to see to, the most pressing first."""

    @property
    def basis(self) -> str:
        """Say what dates rest on, or why there are none."""
        first = self.group[0]
        if shared_life(self.group) is None:
            return (
                "cannot say when it goes dull: how long it stays sharp is not known;"
                " give `lasts` in the shop file, or record it as dull twice"
            )
        if self.pace is None:
            return f"cannot say when it goes dull: less than {LEAST_DAYS} days of use recorded"
        return f"used {pace_words(self.pace, feet=first.feet)}"


def outlooks(
    here: Sequence[CutterStanding], now: datetime, journal: Store
) -> tuple[CutterOutlook, ...]:
    """Look ahead for every sort of work that the cutters of a machine do.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return tuple(_outlook(group, now, journal) for group in _groups(here))


def _groups(here: Sequence[CutterStanding]) -> Iterator[list[CutterStanding]]:
    seen: set[str] = set()
    for one in here:
        if one.id not in seen:
            group = group_of(one, here)
            seen |= {other.id for other in group}
            yield group


def _outlook(group: list[CutterStanding], now: datetime, journal: Store) -> CutterOutlook:
    life = shared_life(group)
    known = learn_pace(group, life.unit, now, journal) if life else None
    until = lasts_until(group, known, now)
    return CutterOutlook(tuple(group), known, until, tuple(supply(group, known, now)))


def learn_pace(
    group: Sequence[CutterStanding], unit: UseUnit, now: datetime, journal: Store
) -> Pace | None:
    """Learn from the journal how fast the cutters that do one sort of work are used.

    Raises:
        JournalError: when the journal cannot be read.
    """
    what = next(what for what, its in UNIT_OF.items() if its == unit)
    modes = ("",) if what == PROJECT_FINISHED else (group[0].machine, *group[0].serves)
    recorded = [
        entry
        for machine in modes
        for entry in journal.recent(
            kinds.HAPPENING.name, machine, what, _LOOKED_AT, include_void=False
        )
    ]
    used = [
        (_when(entry, said.on), said.amount)
        for one in group
        for entry in journal.recent(
            kinds.CUTTER.name, one.machine, one.id, _LOOKED_AT, include_void=False
        )
        if (said := kinds.CUTTER.read(entry)).is_use and said.of == what
        if said.amount is not None
    ]
    told = [_when(entry, kinds.HAPPENING.read(entry).on) for entry in recorded]
    return pace(used, told, unit, now)


def _when(entry: Entry, on: datetime | None) -> datetime:
    """Give when something was used, be it said later."""
    return told_on(on, entry.when) or entry.when
