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
from collections.abc import Callable, Sequence
from itertools import combinations
from typing import NamedTuple

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
    """One pair of readings of the same thing, in units of the assumed standard uncertainty."""

    apart: float
    halves: tuple[float, float]
    """Half-width of the bracket of each."""
    weight: float = 1.0
    """Of n readings of one thing every pair is taken, but they tell as much as n - 1."""


def pairs_of(errors: Sequence[float], halves: Sequence[float], u: float) -> list[Again]:
    """Give every pair of some readings of one thing.

    Args:
        errors: what each gave, in any unit.
        halves: half-width of the bracket of each, same unit.
        u: assumed standard uncertainty of one, same unit, above 0.
    """
    weight = 2 / len(errors) if errors else 0.0
    return [
        Again((one - other) / u, (half / u, beside / u), weight)
        for (one, half), (other, beside) in combinations(zip(errors, halves, strict=True), 2)
    ]


def learnt(sort: str, pairs: Sequence[Again]) -> OwnHand | None:
    """Learn what a hand repeats to; None where the pairs do not tell.

    The likeliest ratio, and the degrees of freedom that the curvature of the log-likelihood there
    is worth: for plain normal readings s and n - 1 (ln L = -v ln s - v s0^2 / (2 s^2), whose second
    derivative by ln s at its top is -2 v; mathematics, no source).

    Args:
        sort: sort of reading.
        pairs: the newest first.
    """
    told = [one for one in pairs if abs(one.apart) <= _FARTHEST + sum(one.halves)][:MOST_PAIRS]
    if not told:
        return None
    at = _highest(lambda log_ratio: _log_likelihood(told, math.exp(log_ratio)))
    here, below, above = (
        _log_likelihood(told, math.exp(at + step)) for step in (0.0, -_STEP, _STEP)
    )
    most = math.fsum(one.weight for one in told)
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


def _log_likelihood(pairs: Sequence[Again], ratio: float) -> float:
    return math.fsum(one.weight * math.log(_likelihood(one, ratio)) for one in pairs)


def _likelihood(pair: Again, ratio: float) -> float:
    """Give how likely both brackets are, wherever the thing itself lies (evenly).

    The difference of two readings is normal, ratio * sqrt(2) wide; integrated over both brackets it
    is a second difference of the twice integrated normal density.
    """
    spread = ratio * math.sqrt(2)
    apart = -abs(pair.apart)  # on this side small probabilities are not differences of large ones
    one, other = (max(_FINEST, half) for half in pair.halves)
    found = (
        _twice(apart + one + other, spread)
        - _twice(apart + one - other, spread)
        - _twice(apart - one + other, spread)
        + _twice(apart - one - other, spread)
    ) / (4 * one * other)
    return max(found, 1e-300)


def _twice(x: float, spread: float) -> float:
    z = x / spread
    return x * normal_cdf(z) + spread * normal_density(z)
