"""What a point changed by while nobody set it, from what is on record of it. Pure.

A change runs from a result after which nothing was set to the next as-found result. Whatever was
set in between, the point itself or one that it is measured from, leaves no change to speak of.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.drift import Change
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import HAPPENINGS, HOURS_RUN, PROJECT_FINISHED, STOP_RESET, Point
from shopboard.upkeep.happenings import Happening

_DAY = 86400.0
"""s."""

_SAME = 0.05
"""What two results owe to their tools may differ by this share when the tools are the same: it
depends a little on the reading."""


class PointPast(NamedTuple):
    """What is on record of one point."""

    records: Sequence[CheckRecord]
    """Its results, voided or not, in any order."""
    moves: Sequence[int] = ()
    """Numbers of the entries that say that it was set, or a point that it is measured from."""
    happenings: Sequence[Happening] = ()
    """What happened to its machine, and how long that ran; those withdrawn left out."""


class FoundChange(NamedTuple):
    """A change, and the result that showed it."""

    change: Change
    record: CheckRecord


def changes_of(point: Point, past: PointPast) -> list[FoundChange]:
    """Give the changes of a point, the oldest first.

    Results count in the order of recording, and only those of the kind that its tolerance is of.
    A result whose clock was wrong ends and begins no change.

    Args:
        point: as the shop file has it today: what undoes its check is a likely cause.
        past: what is on record of it.
    """
    here = [one for one in past.happenings if one.machine in (point.machine, "")]
    undoing = _of_sorts(here, point.undone_by)
    others = _of_sorts(here, _others(point))
    anew = sorted([*past.moves, *(seq for seq, what in undoing if what == STOP_RESET)])
    runs = sorted((one.seq, one.total) for one in here if one.what == HOURS_RUN)
    found: list[FoundChange] = []
    known = 0.0  # of the result at which this change begins, when the one before ended with it
    for before, after in pairwise(_that_count(point, past)):
        begun, known = known, 0.0
        # by number, not by time: a clock that was set back puts nothing between two results
        was_set = bisect_left(anew, before.seq) < bisect_left(anew, after.seq)
        if was_set or after.run != "as-found" or not (before.clock_ok and after.clock_ok):
            continue
        u_before, u_after = _uncertainties(before, after)
        change = Change(
            days=(after.when - before.when).total_seconds() / _DAY,
            minutes=_minutes(runs, before.seq, after.seq),
            change=after.error - before.error,
            u=math.hypot(u_before, u_after),
            sudden=_between(undoing, before.seq, after.seq),
            shared=min(begun, u_before),
            beside=_between(others, before.seq, after.seq),
        )
        found.append(FoundChange(change, after))
        known = u_after
    return found


def _that_count(point: Point, past: PointPast) -> list[CheckRecord]:
    """Give the results that stand and are of the kind of today's tolerance, by number."""
    kind = point.tolerance.kind
    standing = (one for one in past.records if one.void is None and one.kind == kind)
    return sorted(standing, key=lambda one: one.seq)


def _of_sorts(happenings: Sequence[Happening], sorts: Sequence[str]) -> list[tuple[int, str]]:
    """Give number and sort of what happened, of some sorts, the oldest first."""
    return sorted((one.seq, one.what) for one in happenings if one.what in sorts)


def causes(point: Point) -> tuple[str, ...]:
    """Give what may have moved a point: what undoes its check, then what else can move a machine.

    The shop file may have forgotten to name one; a finished project moves nothing by itself.
    """
    return (*point.undone_by, *_others(point))


def _others(point: Point) -> tuple[str, ...]:
    known = (*point.undone_by, PROJECT_FINISHED)
    return tuple(what for what in HAPPENINGS if what not in known)


def total_minutes(past: PointPast, machine: str) -> float:
    """Give how long the machine has run in all, minutes; 0 when that was never recorded."""
    runs = [one for one in past.happenings if (one.machine, one.what) == (machine, HOURS_RUN)]
    return max(runs, key=lambda one: one.seq).total if runs else 0.0


def _minutes(runs: Sequence[tuple[int, float]], first: int, last: int) -> float | None:
    """Give how long the machine ran between two entries; None: not on record since before both."""
    one, other = (bisect_left(runs, (seq, 0.0)) for seq in (first, last))
    if one == 0:
        return None
    return max(0.0, runs[other - 1][1] - runs[one - 1][1])


def _between(undoing: Sequence[tuple[int, str]], first: int, last: int) -> str:
    """Name what happened between two entries, each thing once."""
    names = dict.fromkeys(what for seq, what in undoing if first < seq < last)
    return " and ".join(names)


def _uncertainties(before: CheckRecord, after: CheckRecord) -> tuple[float, float]:
    """Give the standard uncertainties of two results as far as they count in their change.

    With the same tools the error of the tools drops out. That they are the same shows in the
    method and in what they add to the uncertainty; a square is named as well.
    """
    full = before.u, after.u
    if before.u_repeat is None or after.u_repeat is None or before.method != after.method:
        return full
    own = abs(before.u_repeat), abs(after.u_repeat)
    tools = [math.sqrt(max(0.0, u * u - mine * mine)) for u, mine in zip(full, own, strict=True)]
    alike = math.isclose(*tools, rel_tol=_SAME, abs_tol=_SAME * max(own))
    named = before.readings.get("square") == after.readings.get("square")
    return own if alike and named else full
