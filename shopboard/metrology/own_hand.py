"""What one's own hand repeats to, learnt from readings that were taken again.

Every budget assumes how well a hand repeats: the feel of a leaf, a dial, a rule. Readings taken
again tell it of this hand. Each reading is known to lie within a bracket (between two leaves,
between two divisions), so the spread of the hand is that under which the brackets seen are
likeliest; brackets that always agree tell little, and the answer says so by its degrees of freedom.
Everything is in units of the assumed standard uncertainty, so that readings of one sort over
different distances go together.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.student import normal_cdf, normal_density

LEAF = "leaf"
DIAL = "dial"
RULE = "rule"
"""Sorts of reading, beside `LEAF` and `DIAL`; what only one method reads goes by its name."""

BRACKET = "bracket"
"""Sort of a source that is no hand's: a reading lies somewhere between two leaves or divisions."""

MOST_PAIRS = 120
"""Pairs that are gone by, the newest; more would tell little and take long."""

LEAST_RATIO = 0.3
"""No hand counts as repeating to less than this share of what is usual: what tool and eye leave
does not go away (common practice, no source)."""

_SURELY = 3.84 / 2
"""Of the log-likelihood: a difference that chance alone makes in 5 % (Wilks; chi squared with one
degree of freedom, tables of statistics)."""

_FEW = 4.0
"""Degrees of freedom from which a hand that is surely worse is gone by; with fewer k would be 3 and
more."""

_FARTHEST = 20.0
"""Times the assumed uncertainty: two readings further apart than that, beyond their brackets, were
parted by something that moved or was misread, not by a hand (common practice, no source)."""

_FINEST = 0.05
"""Half-width of a bracket, in assumed uncertainties, below which it is as good as none."""

_PLACES = 96
"""Of the trapezoidal rule."""

_SEARCHED = (math.log(0.05), math.log(20.0))
_STEP = 0.15
"""Of the logarithm, over which the curvature is taken."""


USUAL_DOF = 8.0
"""Degrees of freedom of what is usual, taken as known to 25 % (GUM G.4.2)."""


class OwnHand(NamedTuple):
    """What a hand repeats to at one sort of reading."""

    sort: str
    """``leaf``, ``dial``, ``rule``, or the name of a method whose work repeats like that."""
    ratio: float
    """Its standard uncertainty over the assumed one."""
    dof: float
    """Degrees of freedom with which that is known."""
    pairs: int
    """Independent pairs of readings that it was learnt from."""
    worse: bool = False
    """It repeats surely worse than what was assumed: that counts before it is known well."""

    @property
    def counts(self) -> bool:
        """Whether it takes the place of what is usual: it is known better, or surely worse."""
        return self.worse or self.dof > USUAL_DOF


class Again(NamedTuple):
    """Readings of one thing, in units of the assumed standard uncertainty."""

    values: tuple[float, ...]
    halves: tuple[float, ...]
    """Half-width of the bracket of each."""

    @property
    def pairs(self) -> int:
        """How many independent pairs they are."""
        return len(self.values) - 1

    @property
    def apart(self) -> float:
        """How far the outermost two are apart beyond their brackets."""
        low, high = (pick(range(len(self.values)), key=self.values.__getitem__) for pick in _ENDS)
        return self.values[high] - self.values[low] - self.halves[high] - self.halves[low]


_ENDS = (min, max)


def pairs_of(errors: Sequence[float], halves: Sequence[float], u: float) -> list[Again]:
    """Give some readings of one thing as what a hand is learnt from; none for fewer than two.

    Args:
        errors: what each gave, in any unit.
        halves: half-width of the bracket of each, same unit.
        u: assumed standard uncertainty of one, same unit, above 0.
    """
    if len(errors) < 2:
        return []
    return [Again(tuple(one / u for one in errors), tuple(one / u for one in halves))]


def learnt(sort: str, pairs: Sequence[Again]) -> OwnHand | None:
    """Learn what a hand repeats to; None where the pairs do not tell.

    The likeliest ratio, and the degrees of freedom that the curvature of the log-likelihood there
    is worth: for plain normal readings s and n - 1 (ln L = -v ln s - v s0^2 / (2 s^2), whose second
    derivative by ln s at its top is -2 v; mathematics, no source).

    Args:
        sort: sort of reading.
        pairs: the newest first.
    """
    told, left = list[Again](), MOST_PAIRS
    for one in pairs:
        if one.apart <= _FARTHEST and left >= one.pairs:
            told.append(one)
            left -= one.pairs
    if not told:
        return None
    at = _highest(lambda log_ratio: _log_likelihood(told, math.exp(log_ratio)))
    here, below, above = (
        _log_likelihood(told, math.exp(at + step)) for step in (0.0, -_STEP, _STEP)
    )
    most = float(sum(one.pairs for one in told))
    dof = min(most, (2 * here - below - above) / _STEP**2 / 2)
    if dof < 1:
        return None
    count = round(most)
    worse = at > 0 and dof >= _FEW and here - _log_likelihood(told, 1.0) > _SURELY
    return OwnHand(sort, max(LEAST_RATIO, math.exp(at)), dof, count, worse)


def _highest(value: Callable[[float], float]) -> float:
    """Find where a function with one top is highest (golden section)."""
    golden = (math.sqrt(5) - 1) / 2
    low, high = _SEARCHED
    one, other = high - golden * (high - low), low + golden * (high - low)
    at_one, at_other = value(one), value(other)
    while high - low > 0.005:
        if at_one >= at_other:
            high, other, at_other = other, one, at_one
            one = high - golden * (high - low)
            at_one = value(one)
        else:
            low, one, at_one = one, other, at_other
            other = low + golden * (high - low)
            at_other = value(other)
    return (low + high) / 2


def _log_likelihood(groups: Sequence[Again], ratio: float) -> float:
    return math.fsum(math.log(_likelihood(one, ratio)) for one in groups)


def _likelihood(group: Again, ratio: float) -> float:
    """Give how likely all brackets are together, wherever the thing itself lies (evenly)."""
    halves = [max(_FINEST, half) for half in group.halves]
    found = (
        _of_two(group.values[0] - group.values[1], halves, ratio)
        if len(halves) == 2
        else _of_many(group.values, halves, ratio)
    )
    return max(found, 1e-300)


def _of_two(apart: float, halves: Sequence[float], ratio: float) -> float:
    """Give it for a pair.

    The difference of two readings is normal, ratio * sqrt(2) wide; integrated over both brackets it
    is a second difference of the twice integrated normal density.
    """
    spread = ratio * math.sqrt(2)
    apart = -abs(apart)  # on this side small probabilities are not differences of large ones
    one, other = halves
    return (
        _twice(apart + one + other, spread)
        - _twice(apart + one - other, spread)
        - _twice(apart - one + other, spread)
        + _twice(apart - one - other, spread)
    ) / (4 * one * other)


def _of_many(values: Sequence[float], halves: Sequence[float], ratio: float) -> float:
    """Give it for more: the same thing lies behind all, so they are taken together at each place.

    By the trapezoidal rule, over every place from which all are within reach.
    """
    brackets = Counter(zip(values, halves, strict=True))
    reach = 6 * ratio
    low = max(value - half for value, half in brackets) - reach
    high = min(value + half for value, half in brackets) + reach
    if high <= low:
        return 0.0
    step = (high - low) / _PLACES
    total = 0.0
    for at in range(1, _PLACES):
        place, product = low + at * step, 1.0
        for (value, half), times in brackets.items():
            inside = normal_cdf((value + half - place) / ratio) - normal_cdf(
                (value - half - place) / ratio
            )
            product *= (inside / (2 * half)) ** times
        total += product
    return total * step


def _twice(x: float, spread: float) -> float:
    z = x / spread
    return x * normal_cdf(z) + spread * normal_density(z)
