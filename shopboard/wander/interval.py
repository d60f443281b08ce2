"""Whether a point could be checked less often than the shop file says, by how it wanders. Pure.

Bayes' rule as in `metrology/wander`: from the worst of the newest results that stood, the chance
of being out has to stay within the accepted risk for as long as is advised.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.due import believed_for
from shopboard.metrology.kind import YES_NO_WORDS, Kind
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import Point
from shopboard.wander.outlook import ENOUGH, Outlook

STARTS = 5
"""Newest results from which it is looked ahead (our choice, no source)."""

_AT_ONCE = 2.0
"""Times the interval that is looked ahead: more is advised only once that has shown to hold (our
choice, no source)."""

_WORTH = 1.25
"""Times the interval from which a longer one is worth saying (our choice, no source)."""


class Interval(NamedTuple):
    """What the record says of an interval of the shop file."""

    changes: int
    """Checks that it rests on: from each to the next nothing was set."""
    days: int = 0
    """How long it could be; 0: no longer than it is."""

    @property
    def is_enough(self) -> bool:
        """Whether so many checks tell anything."""
        return self.changes >= ENOUGH


def interval_of(
    point: Point, seen: Outlook, records: Sequence[CheckRecord], risk: float
) -> Interval | None:
    """Say how long a point's interval could be.

    Args:
        point: the point.
        seen: how it wanders.
        records: its results, in any order; those withdrawn and of another kind do not count.
        risk: accepted probability of being out.

    Returns:
        None where the shop file gives no interval, or the point is no measure.
    """
    kind, every, wander = point.tolerance.kind, point.every_days, seen.wander
    if every is None or kind in YES_NO_WORDS or kind == "note":
        return None
    found = Interval(wander.changes if wander is not None else 0)
    true = [one for one in _standing(records, kind) if one.verdict == "true"][:STARTS]
    if wander is None or not found.is_enough or len(true) < STARTS or wander.clock != "days":
        return found
    if any(not step.cause for step in wander.steps):  # it jumped, and nobody knows why
        return found
    ahead = _AT_ONCE * every
    limits = [point.tolerance.as_it_counts(size=one.spread.size) for one in true]
    starts = zip(true, limits, strict=True)
    days = min(believed_for(wander, one.spread, limit, risk, ahead) for one, limit in starts)
    return found._replace(days=int(days)) if days >= _WORTH * every else found


def _standing(records: Sequence[CheckRecord], kind: Kind) -> list[CheckRecord]:
    """Give the results of a kind that stand, the newest first."""
    found = (one for one in records if one.void is None and one.kind == kind)
    return sorted(found, key=lambda one: -one.seq)
