"""How long a result can be believed: until the point may have wandered out of its tolerance."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.conformity import RISK, Tolerance, probability_within
from shopboard.metrology.drift import Wander
from shopboard.metrology.spread import Spread
from shopboard.metrology.wander import Likely

_BUSIER = 4.0
"""Running is looked ahead so many times as far as the interval usually holds of it."""

_LEAST_DAYS, _LEAST_MINUTES = 1, 60
"""No check is due sooner: the point was proven just now."""


class Due(NamedTuple):
    """How long a result can be believed; it is due by whichever comes first."""

    days: int | None
    """None: no limit by the calendar."""
    minutes: int | None
    """Of running; None: no limit by running."""
    by_wander: bool
    """Whether the wander sets it, and not the shop file's interval alone."""


def holds(
    wander: Wander | None,
    today: Spread,
    tolerance: Tolerance,
    interval_days: int | None,
    risk: float = RISK,
) -> Due:
    """Work out how long today's result can be believed.

    The next check is due when the probability of being out passes the risk: today's spread, the
    rate with what is not known of it, and the random part, which grows with time. While no wander
    shows, no date is made of what is merely unknown; without an interval nothing is looked for
    beyond the time that the changes cover.

    Args:
        wander: how the point wanders; None: nothing is known of it.
        today: what is known of the error now.
        tolerance: what it may be.
        interval_days: longest time that a check holds by the shop file; None: no limit.
        risk: accepted probability of being out.
    """
    if wander is None or not wander.shows:
        return Due(interval_days, None, by_wander=False)
    by_days = wander.clock == "days"
    ahead = wander.seen
    if interval_days is not None:
        ahead = float(interval_days) if by_days else _BUSIER * wander.scale.time
    first = _first_beyond(wander.parts, _simple(today), tolerance, risk, ahead)
    if first is None:
        return Due(interval_days, None, by_wander=False)
    if by_days:
        return Due(max(_LEAST_DAYS, int(first)), None, by_wander=True)
    return Due(interval_days, max(_LEAST_MINUTES, int(first)), by_wander=True)


def believed_for(
    wander: Wander, today: Spread, tolerance: Tolerance, risk: float, ahead: float
) -> float:
    """Give how long a result can be believed, whatever the shop file's interval.

    Args:
        wander: how the point wanders; that it may is counted, too, where nothing shows.
        today: what is known of the error now.
        tolerance: what it may be.
        risk: accepted probability of being out.
        ahead: how far is looked ahead, in days or minutes of running, as the wander goes.
    """
    first = _first_beyond(wander.parts, _simple(today), tolerance, risk, ahead)
    return ahead if first is None else first


def _simple(spread: Spread) -> Spread:
    """Give a spread with its widest even part only; the others are pooled with the normal one."""
    widest, *others = sorted((abs(half) for half in spread.even), reverse=True) or [0.0]
    sigma = math.hypot(spread.sigma, *(half / math.sqrt(3) for half in others))
    return Spread(spread.centre, (widest,) if widest else (), sigma)


def _first_beyond(
    parts: Sequence[Likely], today: Spread, tolerance: Tolerance, risk: float, ahead: float
) -> float | None:
    """Give the first time at which being out is likelier than the risk; None: not that soon."""

    def out(time: float) -> float:
        inside = 0.0
        for weight, rate, variance, growth in parts:
            sigma = math.sqrt(today.sigma**2 + growth * time + variance * time * time)
            then = Spread(today.centre + rate * time, today.even, sigma)
            inside += weight * probability_within(then, tolerance)
        return 1 - inside

    before = 0.0
    # the chance need not grow all the while (a point may cross its middle first): the first time is
    # looked for from the near end, in steps that are small where it most often lies
    for share in (1 / 16, 1 / 8, 1 / 4, 1 / 2, 3 / 4, 1):
        after = share * ahead
        if out(after) > risk:
            break
        before = after
    else:
        return None
    # no finer than a date, or an hour count, is told
    while after - before > max(0.25, 0.005 * after):
        middle = (before + after) / 2
        before, after = (before, middle) if out(middle) > risk else (middle, after)
    return before
