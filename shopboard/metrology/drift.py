"""How a point wanders from check to check.

Only what lies between two settings counts: from the result after which nothing was moved to the
next as-found result. A change too large for slow wander is a step, and is left out of the rate.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.sudden import Sorted, linked, sort_out
from shopboard.metrology.trend import Slope, mann_kendall, theil_sen
from shopboard.metrology.wander import Likely, Scale, TimeSpan, believe, shows

TimeUnit = Literal["days", "minutes"]

FEW = 5
"""Changes below which what was taken beforehand still shows."""

_NEWEST = 30
"""Changes looked at: how a point wandered long ago says little of today."""

_ASSUMED_DAYS = 365.0
"""Interval that is taken beforehand for a point that the shop file gives none."""

_SURELY = 3.0
"""Running is what the wander goes by when it explains the changes so many times better."""

_MOST = 20.0
"""Power of e beyond which odds are no longer told apart."""

_QUICKENING = 0.01
"""How often a rate that never changed is called changed."""

_LEAST_FOR_QUICKENING = 8
"""Changes from which that can be told at all at this level, and half of them still say enough."""


class Change(NamedTuple):
    """What a point changed by while nobody set it."""

    days: float
    """Between the two results."""
    minutes: float | None
    """Of running between them; None: not known."""
    change: float
    """Of the error: the later result less the earlier one."""
    u: float
    """Standard uncertainty of the change."""
    sudden: str = ""
    """What happened to the machine between, in its words; empty: nothing that is known."""
    shared: float = 0.0
    """Standard uncertainty of the earlier result when the change before this one ended with it;
    0 after a setting."""
    beside: str = ""
    """What else happened to the machine between, which is not known to move this point."""


class DriftStep(NamedTuple):
    """A change too large for slow wander."""

    number: int
    """Which of the changes given, from 0."""
    excess: float
    """What slow wander does not explain of it."""
    chance: float
    """How likely slow wander is to make as much, either way."""
    cause: str
    """What happened between, in its words; empty: nothing that is known."""
    beside: str = ""
    """What else happened between, which is not known to move this point."""


class Wander(NamedTuple):
    """How a point wanders."""

    clock: TimeUnit
    """What the wander goes by: days, or minutes of running."""
    odds: float
    """How many times better that explains the changes than the other; 1 where nothing tells."""
    rate: float
    """Steady part, per day or minute."""
    low: float
    """Lower end of the rate's interval, 95 %."""
    high: float
    """Upper end of the rate's interval, 95 %."""
    changes: int
    """How many changes this rests on."""
    seen: float
    """Days or minutes that they cover."""
    shows: bool
    """Whether they are more than measuring alone makes of nothing."""
    steps: tuple[DriftStep, ...]
    quickening: Slope | None
    """How fast the rate itself changes, per day or minute of either; None: not surely. With it
    only the newer half of the changes counts."""
    scale: Scale
    """What was taken beforehand, by the same clock."""
    parts: tuple[Likely, ...]
    """How it may wander, in full."""
    one_way: bool = False
    """Whether there were several changes and none surely went against the others."""

    @property
    def few(self) -> bool:
        """Whether what was taken beforehand still shows."""
        return self.changes < FEW

    @property
    def steady(self) -> bool:
        """Whether it surely wanders one way."""
        return self.low > 0 or self.high < 0


def learn(
    changes: Sequence[Change], tolerance: Tolerance, interval_days: int | None
) -> Wander | None:
    """Learn how a point wanders.

    Args:
        changes: the oldest first; one that took no time says nothing and is left out.
        tolerance: the point's tolerance of today.
        interval_days: longest time that a check holds by the shop file; None: no limit.

    Returns:
        None when there is nothing to learn from, or the results are no measures.
    """
    usable = _usable(changes)
    if tolerance.kind in YES_NO_WORDS or not usable:
        return None
    by_days = Scale(tolerance.half_width, float(interval_days or _ASSUMED_DAYS))
    days = {i: _span(one, one.days) for i, one in usable.items()}
    told = sort_out(days, by_days)
    minutes = {i: _span(one, one.minutes) for i, one in usable.items() if one.minutes is not None}
    running = sum(span.time for span in minutes.values())
    if running <= 0:
        return _sum_up("days", 1.0, days, told, by_days, changes)
    # beforehand both clocks say the same: the interval is as much running as usually goes with it
    share = running / sum(days[i].time for i in minutes)
    by_minutes = Scale(by_days.half_width, by_days.time * share)
    other = sort_out(minutes, by_minutes)
    same = told
    if len(minutes) < len(days):  # both must explain the same changes
        same = sort_out({i: days[i] for i in minutes}, by_days)
    odds = math.exp(max(-_MOST, min(_MOST, other.log_evidence - same.log_evidence)))
    ran = any(minutes[i].time > 0 for i in other.kept)  # else all of it was a sudden move's
    if ran and odds >= _SURELY:
        return _sum_up("minutes", odds, minutes, other, by_minutes, changes)
    return _sum_up("days", 1 / odds, days, told, by_days, changes)


def _usable(changes: Sequence[Change]) -> dict[int, Change]:
    """Give the newest changes that took any time, by their number."""
    first = max(0, len(changes) - _NEWEST)
    return {i: changes[i] for i in range(first, len(changes)) if changes[i].days > 0}


def _span(one: Change, time: float) -> TimeSpan:
    return TimeSpan(time, one.change, one.u, one.shared)


def _sum_up(
    clock: TimeUnit,
    odds: float,
    spans: Mapping[int, TimeSpan],
    told: Sorted,
    scale: Scale,
    changes: Sequence[Change],
) -> Wander:
    kept, belief = told.kept, told.belief
    quickening = _quickening([spans[i] for i in kept if spans[i].time > 0])
    if quickening is not None:  # the older half says how it was, not how it goes on
        kept = kept[len(kept) // 2 :]
        belief = believe(linked(spans, kept), scale)
    rate, low, high = belief.mean, belief.quantile(0.025), belief.quantile(0.975)
    steps = tuple(
        DriftStep(
            i, spans[i].change - rate * spans[i].time, chance, changes[i].sudden, changes[i].beside
        )
        for i, chance in told.steps.items()
    )
    return Wander(
        clock=clock,
        odds=odds,
        rate=rate,
        low=low,
        high=high,
        changes=len(kept),
        seen=sum(spans[i].time for i in kept),
        shows=low > 0 or high < 0 or shows(linked(spans, kept), scale),
        steps=steps,
        quickening=quickening,
        scale=scale,
        parts=belief.parts,
        one_way=_one_way([spans[i] for i in kept]),
    )


def _one_way(spans: Sequence[TimeSpan]) -> bool:
    """Tell whether several changes all went one way, but for what measuring makes of nothing."""
    total = sum(span.change for span in spans)
    return len(spans) > 1 and all(
        span.change * math.copysign(1, total) >= -span.u for span in spans
    )


def _quickening(spans: Sequence[TimeSpan]) -> Slope | None:
    """Tell how the rate itself changed, from change to change; None when that is not sure."""
    if len(spans) < _LEAST_FOR_QUICKENING:
        return None
    rates = [span.change / span.time for span in spans]
    if mann_kendall(rates).p >= _QUICKENING:
        return None
    ends = accumulate(span.time for span in spans)
    middles = [end - span.time / 2 for end, span in zip(ends, spans, strict=True)]
    return theil_sen(middles, rates)
