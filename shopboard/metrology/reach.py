"""What the drawer's tools can prove at best on a point, and which to take.

The best reading is the one that a perfect point would give: no light, and the
thinnest leaf refused (or the bracket around the middle of a one-sided
tolerance). If even that does not reach the proof level, no reading will.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.feeler import stacks
from shopboard.metrology.instruments import Drawer, FeelerSet, Square
from shopboard.metrology.square import Reading, SetUp, estimate
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
    """What a perfect point would be measured as."""
    probability: float
    """Probability of conformity of that best reading."""


def reaches(
    lever: float, tolerance: Tolerance, drawer: Drawer, *, can_turn: bool
) -> tuple[Reach, ...]:
    """Rank every square with every feeler set, the smallest uncertainty first.

    Of those that are as good as one another, the shortest square comes first.

    Args:
        lever: the point's lever, mm.
        tolerance: the point's tolerance.
        drawer: tools at hand.
        can_turn: the square can be turned over at this point.
    """
    found = [
        _reach(min(lever, square.length), tolerance, square, feelers, turned)
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
    lever: float, tolerance: Tolerance, square: Square, feelers: FeelerSet, turned: bool
) -> Reach:
    reading = best_reading(math.tan(tolerance.middle) * lever, feelers)
    setup = set_up(square, feelers, lever)
    best = estimate(setup, reading, reading if turned else None)
    centred = best.budget.spread_around(tolerance.middle)
    probability = probability_within(centred, tolerance)
    return Reach(square, feelers, lever, turned, best, probability)


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


def best_reading(gap: float, feelers: FeelerSet) -> Reading:
    """Give the tightest reading that the set can give of a signed gap, mm."""
    thicknesses = [stack.thickness for stack in stacks(feelers)]
    size = abs(gap)
    if size < 1e-6:
        return Reading("none", 0.0, thicknesses[0])
    goes = max((one for one in thicknesses if one <= size), default=0.0)
    refused = min((one for one in thicknesses if one > size), default=goes * 2)
    return Reading("top" if gap > 0 else "bottom", goes, refused)


def what_would_help(reach: Reach) -> str:
    """Say in words what limits a reach most, and so what to get or do."""
    main = max(reach.best.budget.sources, key=lambda source: source.u)
    if main.name.startswith("square"):
        return "a finer square, or turning the square over where the point allows it"
    if main.name.startswith("bracket"):
        return "a thinner leaf or a longer lever"
    return "a longer lever"
