"""Whether values rise or fall along x, and how fast, whatever their distribution.

The slope is the middle one of the slopes between every two values, so that a few wild values
cannot pull it (Theil 1950, Sen 1968); its interval and the test for a trend come from counting
how many pairs rise and how many fall (Kendall, Mann), exactly where the values are few.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, combinations

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.student import coverage_factor, normal_cdf

EXACT_UP_TO = 20
"""Values up to which every order is counted; from there on the normal form is as good."""


class MannKendall(NamedTuple):
    """Whether values rise or fall in their order."""

    s: int
    """Pairs that rise less pairs that fall."""
    z: float
    """S over its standard deviation, one step nearer to 0 (correction for continuity)."""
    p: float
    """Probability that values in a chance order show as much, either way."""


class Slope(NamedTuple):
    """The slope of a robust straight line."""

    slope: float
    low: float
    """Lower end of the slope's interval; minus infinity where the values are too few for one."""
    high: float
    """Upper end of the slope's interval."""


def median(values: Sequence[float]) -> float:
    """Give the middle one of some values, or the mean of the middle two.

    Raises:
        IndexError: when there is none.
    """
    ordered, half = sorted(values), len(values) // 2
    return ordered[half] if len(values) % 2 else (ordered[half - 1] + ordered[half]) / 2


@lru_cache(maxsize=EXACT_UP_TO)
def _falling_pairs(count: int) -> tuple[float, ...]:
    """Probabilities of 0, 1, 2 ... falling pairs or less among so many values in a chance order."""
    chances = [1.0]
    for values in range(2, count + 1):  # one value more falls behind 0 to values - 1 of the others
        longer = [0.0] * (len(chances) + values - 1)
        for falling, chance in enumerate(chances):
            for more in range(values):
                longer[falling + more] += chance / values
        chances = longer
    return tuple(accumulate(chances))


def _spread_of_s(*rows: Sequence[float]) -> float:
    """Give the standard deviation of S, smaller where values of a row are the same (Kendall)."""
    count = len(rows[0])

    def part(n: int) -> int:
        return n * (n - 1) * (2 * n + 5)

    tied = sum(part(times) for row in rows for times in Counter(row).values())
    return math.sqrt(max(0, part(count) - tied) / 18)


def mann_kendall(values: Sequence[float]) -> MannKendall:
    """Test whether values rise or fall in their order (Mann 1945, Kendall 1975).

    Exact for up to `EXACT_UP_TO` values that all differ, else by the normal form with the
    corrections for ties and for continuity (Helsel and Hirsch, ch. 10 and 12).
    """
    s = sum((later > before) - (later < before) for before, later in combinations(values, 2))
    spread = _spread_of_s(values)
    z = math.copysign(max(0, abs(s) - 1), s) / spread if spread else 0.0
    count = len(values)
    if count > EXACT_UP_TO or len(set(values)) < count:
        return MannKendall(s, z, min(1.0, 2 * normal_cdf(-abs(z))))
    fewest = (count * (count - 1) // 2 - abs(s)) // 2
    return MannKendall(s, z, min(1.0, 2 * _falling_pairs(count)[fewest]))


def theil_sen(xs: Sequence[float], ys: Sequence[float], level: float = 0.95) -> Slope:
    """Fit a robust line: its slope with the distribution-free interval.

    Sen 1968; Hollander and Wolfe, ch. 9: the interval leaves out as many slopes at each end as
    a chance order leaves on the wrong side with the probability left over, exactly for few
    values that all differ.

    Args:
        xs: where the values lie; pairs with the same x give no slope.
        ys: the values, as many.
        level: how sure the interval is; it is at least that where it is exact.

    Raises:
        ValueError: when no two x differ, or the lengths do.
    """
    pairs = combinations(zip(xs, ys, strict=True), 2)
    slopes = sorted((d - b) / (c - a) for (a, b), (c, d) in pairs if a != c)
    if not slopes:
        raise ValueError("a slope needs two different x")
    slope = median(slopes)
    rank = _rank_of_end(xs, ys, len(slopes), 1 - level)
    low, high = (slopes[rank - 1], slopes[-rank]) if rank else (-math.inf, math.inf)
    return Slope(slope, low, high)


def _rank_of_end(xs: Sequence[float], ys: Sequence[float], slopes: int, risk: float) -> int:
    """Give which slope from either end is an end of the interval, from 1; 0: there is none."""
    count = len(xs)
    if count <= EXACT_UP_TO and len(set(xs)) == len(set(ys)) == count:
        return sum(1 for chance in _falling_pairs(count) if 2 * chance <= risk)
    reach = coverage_factor(math.inf, 1 - risk) * _spread_of_s(xs, ys)
    return max(0, round((slopes - reach) / 2))
