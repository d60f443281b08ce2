"""What is known of the size of a point's error on a day: its newest result, and its wander since.

A joint takes the error of a point by its size, and so does a bound on it. The bound never falls
when a point gets worse: neither wander nor error is counted on to bring the other back to nought,
and what lies beyond the bound on the whole is counted as beyond it altogether. Both make it larger
than it had to be, never smaller.
"""

from __future__ import annotations

import math
from datetime import datetime
from functools import lru_cache

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.drift import Wander
from shopboard.metrology.spread import Spread

_DAY = 86400.0
"""s."""

_FINE = 1e-6
"""Share of a bound below which it is not looked for any closer."""


class ErrorKnown(NamedTuple):
    """What is known of the size of an error."""

    parts: tuple[tuple[float, Spread], ...]
    """How likely, and the spread then, about the size of the error; all of them make 1."""
    likely: float
    """The likely size, rad or mm."""

    def within(self, size: float) -> float:
        """Probability, rather too small, that the error is no larger than `size`, either way.

        Of a part whose centre lies beyond, nothing is counted.
        """
        return sum(weight * _inside(spread, size) for weight, spread in self.parts)

    def bound(self, level: float) -> float:
        """Give the size that the error does not pass, with a probability of `level` or more."""
        return _bound(self, level)


@lru_cache(maxsize=1024)
def _bound(known: ErrorKnown, level: float) -> float:
    """Find the bound; the joints of a project ask for those of the same points again and again."""
    high = max(_reach(spread) for _, spread in known.parts)
    low = 0.0
    while high - low > _FINE * high:
        middle = (low + high) / 2
        low, high = (low, middle) if known.within(middle) >= level else (middle, high)
    return high


def _reach(spread: Spread) -> float:
    """Give what the size surely does not pass."""
    return abs(spread.centre) + sum(map(abs, spread.even)) + 12 * spread.sigma


def _inside(spread: Spread, size: float) -> float:
    if size < spread.centre:
        return 0.0
    if spread.u == 0:
        return 1.0
    return min(1.0, max(0.0, spread.cdf(size) - spread.cdf(-size)))


def present(result: Spread, wander: Wander | None = None, time: float = 0.0) -> ErrorKnown:
    """Work out what is known of an error some time after it was measured.

    While no wander shows, nothing is made of what is merely unknown of it: then the interval of
    the shop file is relied on, as it is for what is due.

    Args:
        result: what was known of it then. Of a size, which is folded over at 0, as much is within
            a bound as of the same spread unfolded.
        wander: how the point wanders; None: nothing is known of it.
        time: since then, in days or minutes of running, whichever the wander goes by.
    """
    if wander is None or not wander.shows or time <= 0:
        spread = Spread(abs(result.centre), result.even, result.sigma)
        return ErrorKnown(((1.0, spread),), abs(result.centre))
    parts, expected = [], result.centre
    for weight, rate, variance, growth in wander.parts:
        sigma = math.sqrt(result.sigma**2 + growth * time + variance * time * time)
        centre = _at_worst(result.centre, rate * time)
        parts.append((weight, Spread(centre, result.even, sigma)))
        expected += weight * rate * time
    return ErrorKnown(tuple(parts), abs(expected))


def _at_worst(error: float, shift: float) -> float:
    """Give the size that an error can have come to on the way: what has shifted may be there yet.

    Where they go against each other the larger one counts, and not the difference.
    """
    if error * shift >= 0:
        return abs(error) + abs(shift)
    return max(abs(error), abs(shift))


def time_until(
    wander: Wander, made: datetime, day: datetime, now: datetime, ran: tuple[float, float]
) -> float:
    """Give the time from a result to a day by the clock that a wander goes by.

    Args:
        wander: whose clock it is.
        made: when the result was taken; later than `now` counts as now.
        day: the day; before `now` it counts as now.
        now: the time.
        ran: minutes that the machine ran since the result, and those that it runs a day from now.
    """
    ahead = max(0.0, (day - now).total_seconds() / _DAY)
    if wander.clock == "minutes":
        since, a_day = ran
        return max(0.0, since) + ahead * a_day
    return max(0.0, (now - made).total_seconds() / _DAY) + ahead
