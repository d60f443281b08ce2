"""What the drawer's tools tell of a point, and which to take.

What is promised is what a good check of a true point gives: its error may be
anywhere well within the tolerance, and leaves are tried until the bracket is
fine enough. A face without any light is no better known for it: between the
thinnest leaf one way and the thinnest the other way all is possible. What can
be proven at all is more than what is usual: a gap that two leaves hold close to
the middle of the tolerance is proven where others are not.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from heapq import nlargest
from itertools import islice

from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.feeler import Bracket, Stack, Try, bracket_of, next_stack, stacks
from shopboard.metrology.instruments import Drawer, FeelerSet, Square
from shopboard.metrology.own_hand import BRACKET
from shopboard.metrology.square import Light, SetUp, SquareReading, estimate
from shopboard.metrology.student import normal_cdf
from shopboard.metrology.uncertainty import Estimate


@dataclass(frozen=True)
class Reach:
    """The best that one square and one feeler set can do on a point."""

    square: Square
    feelers: FeelerSet
    lever: float
    """The point's lever, or the square's blade where that is shorter, mm."""
    turned: bool
    """The square is turned over, which cancels its own error."""
    best: Estimate
    """What a true point is usually measured as."""
    shown: tuple[Estimate, ...]
    """What true points are measured as, their errors spread over the tolerance."""
    probability: float
    """The surest that a true point is found to be true."""


WITHIN = (-2 / 3, -1 / 3, 0.0, 1 / 3, 2 / 3)
"""Errors that a true point may have, as shares of the tolerance's half-width from its middle."""

FINE_ENOUGH = 0.25
"""A bracket whose half-width is below this share of the tolerance's half-width needs no further
leaf once the verdict is proven: a finer one would change neither verdict nor correction."""


def true_errors(tolerance: Tolerance) -> tuple[float, ...]:
    """Give errors that a true point may have, spread over the tolerance.

    One of them is 0, which shows no gap, wherever it is allowed: so it is where all went well.
    """
    spread = [tolerance.middle + share * tolerance.half_width for share in WITHIN]
    if tolerance.low <= 0 <= tolerance.high:
        spread[min(range(len(spread)), key=lambda at: abs(spread[at]))] = 0.0
    return tuple(spread)


def usual_of(found: Sequence[Estimate]) -> Estimate:
    """Give the one of several results whose u is in the middle of theirs; there must be one."""
    return sorted(found, key=lambda one: one.budget.u)[len(found) // 2]


def reaches(
    lever: float,
    tolerance: Tolerance,
    drawer: Drawer,
    *,
    can_turn: bool,
    known: Callable[[Estimate], Estimate] = lambda found: found,
    fine: float = FINE_ENOUGH,
) -> tuple[Reach, ...]:
    """Rank every square with every feeler set, the smallest uncertainty first.

    Of those that are as good as one another, the shortest square comes first.

    Args:
        lever: the point's lever, mm.
        tolerance: the point's tolerance.
        drawer: tools at hand.
        can_turn: the square can be turned over at this point.
        known: puts what is known of the hand into an estimate.
        fine: share of the tolerance's half-width down to which brackets are halved.
    """
    found = [
        _reach(min(lever, square.length), tolerance, square, feelers, turned, known, fine)
        for square in drawer.squares
        for feelers in drawer.feelers
        for turned in ((False, True) if can_turn else (False,))
    ]
    best = min((one.best.budget.u for one in found), default=0.0)
    return tuple(sorted(found, key=lambda one: _rank(one, best)))


AS_GOOD = 1.1
"""Uncertainties within this ratio are as good as one another: the handier square comes first."""


def _rank(reach: Reach, best: float) -> tuple[float, bool, float]:
    u = reach.best.budget.u
    return (0.0 if u <= AS_GOOD * best else u), reach.turned, reach.square.length


def _reach(
    lever: float,
    tolerance: Tolerance,
    square: Square,
    feelers: FeelerSet,
    turned: bool,
    known: Callable[[Estimate], Estimate],
    fine: float,
) -> Reach:
    found = []
    for error in true_errors(tolerance):
        gap = math.tan(error) * lever
        limit = tolerance.high if gap > 0 else -tolerance.low
        finest = fine * tolerance.half_width * lever
        reading, leaves = felt(gap, feelers, max(limit * lever, 0.0), finest)
        setup = set_up(square, feelers, lever, leaves)
        found.append(known(estimate(setup, reading, reading if turned else None)))
    best = usual_of(found)._replace(error=tolerance.middle)

    def held(low: float, high: float, leaves: int) -> Estimate:
        reading = _between(low, high)
        setup = set_up(square, feelers, lever, leaves)
        return known(estimate(setup, reading, reading if turned else None))

    probability = surest(tolerance, found, feelers, held, lever)
    return Reach(square, feelers, lever, turned, best, tuple(found), probability)


def surest(
    tolerance: Tolerance,
    shown: Sequence[Estimate],
    feelers: FeelerSet,
    held: Callable[[float, float, int], Estimate],
    lever: float = 1.0,
) -> float:
    """Give the highest probability of conformity that a reading leaf by leaf can have.

    Args:
        tolerance: of an angle over the lever, or of a gap.
        shown: what some true points are measured as.
        feelers: the set.
        held: gives what is known of a signed gap between two leaves (mm), and of how many at most
            they are made.
        lever: mm; 1 where the gap itself has the tolerance.
    """
    middling = usual_of(shown).budget
    rest = math.sqrt(sum(one.u**2 for one in middling.sources if one.hand != BRACKET)) or 1e-12

    def likely(one: tuple[float, float, int]) -> float:
        low, high = one[0] / lever, one[1] / lever
        places = ((low, 1), ((low + high) / 2, 4), (high, 1))  # Simpson's rule over the bracket
        return sum(
            share
            * (normal_cdf((tolerance.high - at) / rest) - normal_cdf((tolerance.low - at) / rest))
            for at, share in places
        )

    most, least = tolerance.high * lever, tolerance.low * lever
    inside = [one for one in _holds(feelers) if one[0] < most and one[1] > least]
    found = [*shown, *(held(*one) for one in nlargest(_TRIED, inside, key=likely))]
    return max(probability_within(one.spread, tolerance) for one in found)


_TRIED = 4
"""Brackets that are worked out to the end, of those that promise most by a short sum."""

_APART = 3
"""Steps between two leaves that hold a gap: closer ones tell more, unless the middle of their
bracket lies much farther from that of the tolerance."""


@lru_cache(maxsize=32)
def _holds(feelers: FeelerSet) -> tuple[tuple[float, float, int], ...]:
    """Give the signed gaps (mm) that a set can hold, and how many leaves each takes."""
    made = stacks(feelers)
    steps = [(0.0, 1), *((one.thickness, len(one.leaves)) for one in made)]
    found = [(-made[0].thickness, made[0].thickness, 1)]
    for at, (goes, leaves) in enumerate(steps):
        for refused, more in islice(steps, at + 1, at + 1 + _APART):
            most = max(leaves, more)
            found += [(goes, refused, most), (-refused, -goes, most)]
    return tuple(found)


def _between(low: float, high: float) -> SquareReading:
    """Give the reading of a signed gap between two thicknesses, mm."""
    if low < 0 < high:
        return SquareReading("none", 0.0, high)
    return SquareReading("top", low, high) if high > 0 else SquareReading("bottom", -high, -low)


def set_up(square: Square, feelers: FeelerSet, lever: float, leaves: int = 1) -> SetUp:
    """Put a square and a feeler set together for a reading over a lever (mm)."""
    return SetUp(
        lever=lever,
        square_limit=square.limit,
        square_known=square.known_error,
        square_u=square.known_u,
        leaf_tolerance=feelers.leaf_tolerance,
        leaves=leaves,
    )


@lru_cache(maxsize=4096)
def felt(gap: float, feelers: FeelerSet, first: float, fine: float) -> tuple[SquareReading, int]:
    """Read a signed gap (mm) leaf by leaf, until the bracket's half-width is at most `fine`.

    Args:
        gap: between square and face.
        feelers: the set.
        first: thickness to begin with, mm.
        fine: mm.

    Returns:
        The reading, and the leaves in the thickest stack that was tried.
    """
    made, size = stacks(feelers), abs(gap)
    side: Light = "top" if gap > 0 else "bottom"
    if size < _NO_LIGHT_MM:
        return SquareReading("none", 0.0, made[0].thickness), 1
    tries: list[Try] = []
    while True:
        known = bracket_of(tries)
        done = known.refused is not None and known.width / 2 <= fine
        stack = None if done else next_stack(made, known, len(tries), first)
        if stack is None:
            leaves = max((len(one.leaves) for one in made if _ends(one, known)), default=1)
            # Wider than every stack: it is measured otherwise, as closely as leaves would.
            return SquareReading(side, known.goes, known.refused or size + fine), leaves
        tries.append(Try(stack.thickness, stack.thickness <= size))


_NO_LIGHT_MM = 0.003
"""A gap through which no light is seen: common practice, no source."""


def _ends(stack: Stack, known: Bracket) -> bool:
    """Tell whether a bracket ends at a stack."""
    return stack.thickness in (known.goes, known.refused)


def best_reading(gap: float, feelers: FeelerSet) -> SquareReading:
    """Give the tightest reading that the set can give of a signed gap, mm."""
    thicknesses = [stack.thickness for stack in stacks(feelers)]
    size = abs(gap)
    if size < 1e-6:
        return SquareReading("none", 0.0, thicknesses[0])
    goes = max((one for one in thicknesses if one <= size), default=0.0)
    refused = min((one for one in thicknesses if one > size), default=goes * 2)
    return SquareReading("top" if gap > 0 else "bottom", goes, refused)
