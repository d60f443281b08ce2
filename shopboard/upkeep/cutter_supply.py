"""When to send out or order so that a sharp cutter is always at hand. Pure.

Nothing is guessed: without a recorded pace or a known life there is no date.
Times are days, running times minutes, lengths of wood mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.cutters import UseUnit
from shopboard.upkeep.cutter_words import if_dull, rate_words
from shopboard.upkeep.cutters import CutterStanding, KnownLife

PACE_DAYS = 90
"""The pace is that of so many days at the most: an older one may be of other work."""

LEAST_DAYS = 14
"""Fewer days on record tell no pace."""

DAYS_A_MONTH = 365.25 / 12

FARTHEST_DAYS = 3650
"""A date farther off says nothing."""

_AHEAD = timedelta(days=365)
"""What is to be bought later than that needs no thought today. (our choice, no source)"""

Amounts = Sequence[tuple[datetime, float]]
"""When how much was recorded."""


class Pace(NamedTuple):
    """How fast cutters are used up."""

    per_day: float
    unit: UseUnit
    days: float
    """Of so many days on record."""


def pace(used: Amounts, recorded: Sequence[datetime], unit: UseUnit, now: datetime) -> Pace | None:
    """Learn how fast some cutters are used.

    Args:
        used: what was recorded of them.
        recorded: when use was recorded on their machine at all, whichever cutter was on it.
        unit: of the amounts.
        now: the time.

    Returns:
        The pace; None when the record is too short. What was recorded first counts for nothing:
        nobody knows how many days it stands for.
    """
    start = now - timedelta(days=PACE_DAYS)
    if not any(when <= start for when in recorded):
        start = min(recorded, default=now)
    days = (now - start) / timedelta(days=1)
    if days < LEAST_DAYS:
        return None
    return Pace(sum(amount for when, amount in used if when > start) / days, unit, days)


def pace_words(known: Pace, *, feet: bool) -> str:
    """Say a pace and what it is from: ``11 h a month, over the last 84 days``."""
    rate = rate_words(known.per_day * DAYS_A_MONTH, known.unit, feet=feet)
    return f"{rate}, over the last {known.days:.0f} days"


class Supply(NamedTuple):
    """What to see to for one cutter, or for all that do its work."""

    words: str
    """A sentence without its full stop."""
    by: datetime | None = None
    """When at the latest; None: no date follows from the record."""
    now: bool = False
    """It is time."""


def remaining(one: CutterStanding, life: KnownLife) -> float:
    """Give what a cutter can still do, edges that were not in use yet among it."""
    if one.state in ("dull", "worn out"):
        this_edge = 0.0
    else:
        this_edge = max(one.sharp_for(life) - one.use.of(life.unit), 0.0)
    unused = one.cutter.edges - one.edge if one.state != "worn out" else 0
    return this_edge + unused * life.amount


def lasts_until(
    group: Sequence[CutterStanding], known: Pace | None, now: datetime
) -> datetime | None:
    """Tell when the last edge here that is not dull will be; None when nothing tells it.

    Args:
        group: the cutters that do one sort of work; those at the sharpener do not count.
        known: how fast they are used.
        now: the time.
    """
    life = shared_life(group)
    here = [one for one in group if one.where != "at the sharpener"]
    if life is not None and here and not any(remaining(one, one_life(one, life)) for one in here):
        return now  # whatever the pace
    if known is None or life is None or known.unit != life.unit or known.per_day <= 0:
        return None
    days = sum(remaining(one, one_life(one, life)) for one in here) / known.per_day
    return now + timedelta(days=days) if days <= FARTHEST_DAYS else None


def shared_life(group: Sequence[CutterStanding]) -> KnownLife | None:
    """Give the first life that is known of any of them."""
    return next((one.life for one in group if one.life is not None), None)


def one_life(one: CutterStanding, shared: KnownLife) -> KnownLife:
    """Give a cutter's own life where it is known in the same unit, else that of the others."""
    own = one.life
    return own if own is not None and own.unit == shared.unit else shared


def supply(group: Sequence[CutterStanding], known: Pace | None, now: datetime) -> list[Supply]:
    """Say what to see to so that a sharp one is always at hand, the most pressing first.

    Args:
        group: the cutters that do one sort of work.
        known: how fast they are used; None: the record is too short.
        now: the time.
    """
    here = [one for one in group if one.where != "at the sharpener"]
    ready = [one for one in here if one.state in ("sharp", "dirty") or _edges_left(one)]
    until = lasts_until(group, known, now) if ready else now
    names = ", ".join(one.cutter.name for one in group)
    found = [] if ready else [Supply(f"no sharp one in the shop: {names}", now, now=True)]
    for one in here:
        found += _one_here(one, here, ready, until, now)
    found += [said for one in group if one not in here for said in _one_away(one, until, now)]
    if ready and until is not None and not _something_follows(group, ready):
        found += _nothing_follows(ready[0], until, now)
    return sorted(found, key=urgency)


def urgency(one: Supply) -> tuple[bool, bool, float]:
    """Give what sorts the most pressing first: what is to be done now, then by date."""
    dated = one.by is not None and not one.now
    return (not one.now, one.by is None, one.by.timestamp() if dated and one.by else 0.0)


def _edges_left(one: CutterStanding) -> bool:
    return one.state != "worn out" and one.edge < one.cutter.edges


def _something_follows(group: Sequence[CutterStanding], ready: Sequence[CutterStanding]) -> bool:
    """Tell whether one can be sharp again by the time that the last ready one is dull."""
    others = [one for one in group if one not in ready and one.state != "worn out"]
    if any(one.where == "at the sharpener" or one.sharpenings != 0 for one in others):
        return True
    if any(one.sharpenings != 0 and one.cutter.honed_here for one in ready):
        return True
    return len(ready) > 1 and any(one.sharpenings != 0 for one in ready)


def _one_here(
    one: CutterStanding,
    here: Sequence[CutterStanding],
    ready: Sequence[CutterStanding],
    until: datetime | None,
    now: datetime,
) -> list[Supply]:
    """Say what to see to for one cutter that is in the shop."""
    name = one.cutter.name
    if one.blunt:
        return [_one_blunt(one, ready, until, now)]
    if one.mounted and one.state == "dirty":
        spare = any(other.state == "sharp" for other in ready if not other.mounted)
        return [Supply(f"{name}: {'change it, then ' if spare else ''}clean it", now, now=True)]
    if one.mounted:
        return []
    if one.state == "dirty":
        clean = [other for other in ready if other.state == "sharp" and not other.blunt]
        if any(other.blunt for other in here) and not clean:
            return [Supply(f"{name}: clean it, then change to it", now, now=True)]
        return [Supply(f"{name}: clean it")]
    return [] if one.state == "sharp" else [_send_or_order(one, until, now)]


def _one_blunt(
    one: CutterStanding, ready: Sequence[CutterStanding], until: datetime | None, now: datetime
) -> Supply:
    """Say what to do with one that is dull or past its rated life: what is at hand first."""
    if _edges_left(one):
        return Supply(if_dull(one, "turn it to its next edge"), now, now=True)
    if any(other is not one and other.state == "sharp" for other in ready):
        return Supply(if_dull(one, "change it"), now, now=True)
    if one.state in ("dull", "worn out"):
        return _send_or_order(one, until, now)
    return Supply(if_dull(one, way_out(one)), now, now=True)


def _one_away(one: CutterStanding, until: datetime | None, now: datetime) -> list[Supply]:
    """Say when one comes back from the sharpener."""
    name, away = one.cutter.name, one.cutter.away_days
    if one.sent is None or away is None:
        return []
    back = one.sent + timedelta(days=away)
    if back < now:
        return [Supply(f"{name}: due back from the sharpener since {day(back)}", back, now=True)]
    late = ", after the last sharp edge here goes dull" if until and until < back else ""
    return [Supply(f"{name}: back about {day(back)}{late}", back)]


def way_out(one: CutterStanding) -> str:
    """Say what gives an edge again."""
    if one.state == "worn out" or one.sharpenings == 0:
        return "order a new one"
    return "sharpen it" if one.cutter.honed_here else "send it out"


def _send_or_order(one: CutterStanding, until: datetime | None, now: datetime) -> Supply:
    """Say by when a dull or worn one must be on its way for a sharp one to be here in time."""
    todo = f"{one.cutter.name}: {way_out(one)}"
    away = one.cutter.away_days
    if until is None:
        return Supply(todo)
    by = until - timedelta(days=away or 0)
    if by <= now:
        return Supply(f"{todo} now", by, now=True)
    if away is None:
        return Supply(f"{todo} in time: the last sharp edge here goes dull about {day(until)}", by)
    return Supply(f"{todo} by {day(by)}", by)


def _nothing_follows(one: CutterStanding, until: datetime, now: datetime) -> Iterator[Supply]:
    """Say by when there must be another one, unless that is far off: none can follow this one."""
    if one.sharpenings == 0:
        start = f"{one.cutter.name}: nothing to replace it; order a new one"
        away = one.cutter.away_days or 0
    else:
        start, away = f"{one.cutter.name}: no spare while it is away; get another one", 0
    by = until - timedelta(days=away)
    if by - now <= _AHEAD:
        yield Supply(f"{start} {'now' if by <= now else f'by {day(by)}'}", by, now=by <= now)
