"""What the drawer's tools tell of a point, and which to take.

What is promised is what a good check of a true point gives: its error may be
anywhere well within the tolerance, and leaves are tried until the bracket is
fine enough. A face without any light is no better known for it: between the
thinnest leaf one way and the thinnest the other way all is possible.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.feeler import Bracket, Stack, Try, bracket_of, next_stack, stacks
from shopboard.metrology.instruments import Drawer, FeelerSet, Square
from shopboard.metrology.square import Light, Reading, SetUp, estimate
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
    """Probability of conformity of an error in the middle, known as well as the best."""


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
    centred = best.budget.spread_around(tolerance.middle)
    probability = probability_within(centred, tolerance)
    return Reach(square, feelers, lever, turned, best, tuple(found), probability)


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
def felt(gap: float, feelers: FeelerSet, first: float, fine: float) -> tuple[Reading, int]:
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
        return Reading("none", 0.0, made[0].thickness), 1
    tries: list[Try] = []
    while True:
        known = bracket_of(tries)
        done = known.refused is not None and known.width / 2 <= fine
        stack = None if done else next_stack(made, known, len(tries), first)
        if stack is None:
            leaves = max((len(one.leaves) for one in made if _ends(one, known)), default=1)
            # Wider than every stack: it is measured otherwise, as closely as leaves would.
            return Reading(side, known.goes, known.refused or size + fine), leaves
        tries.append(Try(stack.thickness, stack.thickness <= size))


_NO_LIGHT_MM = 0.003
"""A gap through which no light is seen: common practice, no source."""


def _ends(stack: Stack, known: Bracket) -> bool:
    """Tell whether a bracket ends at a stack."""
    return stack.thickness in (known.goes, known.refused)


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
