"""Feeler leaves: which stacks a set can make, what the tries say, which one to try next.

A gap read with leaves is a bracket, never a number: the thickest stack that
goes and the thinnest that won't. All thicknesses are mm.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations
from operator import attrgetter

from shopboard.metrology.instruments import FeelerSet

_SAME = 1e-4
"""Two stacks closer than this (mm) are the same thickness: a tenth of a micrometre."""


class ContradictionError(ValueError):
    """Tries that cannot all be right: a stack goes that is thicker than one that won't."""


@dataclass(frozen=True)
class Stack:
    """One or more leaves held together."""

    leaves: tuple[float, ...]
    """Thickness of each leaf, mm, thinnest first."""

    @cached_property
    def thickness(self) -> float:
        """Thickness of the stack, mm."""
        return sum(self.leaves)


_thickness: Callable[[Stack], float] = attrgetter("thickness")


@dataclass(frozen=True)
class Try:
    """One stack tried in the gap."""

    thickness: float
    """mm."""
    goes: bool


@dataclass(frozen=True)
class Bracket:
    """The gap lies between two thicknesses."""

    goes: float
    """Thickest that goes, mm; 0 when nothing has gone yet."""
    refused: float | None
    """Thinnest that won't go, mm; None when everything tried has gone."""

    @property
    def width(self) -> float:
        """Width of the bracket, mm; infinite while nothing has been refused."""
        return float("inf") if self.refused is None else self.refused - self.goes


@lru_cache(maxsize=32)
def stacks(feelers: FeelerSet) -> tuple[Stack, ...]:
    """Give every thickness that the set can make, ascending, each by the fewest leaves."""
    by_thickness: dict[int, Stack] = {}
    for count in range(1, feelers.most_leaves + 1):
        for leaves in combinations(feelers.leaves, count):
            stack = Stack(tuple(sorted(leaves)))
            by_thickness.setdefault(round(stack.thickness / _SAME), stack)
    return tuple(by_thickness[key] for key in sorted(by_thickness))


def thickest(feelers: FeelerSet) -> float:
    """Give the thickest that the leaves of a set make together, mm."""
    return math.fsum(feelers.leaves[-feelers.most_leaves :])


def fills(feelers: FeelerSet, mm: float) -> bool:
    """Tell whether a thicker stack than this can be made: else a gap is measured otherwise."""
    return mm < thickest(feelers) - _SAME


def bracket_of(tries: Iterable[Try]) -> Bracket:
    """Put tries together to a bracket.

    Raises:
        ContradictionError: when a stack goes that is as thick as one that won't.
    """
    goes, refused = 0.0, None
    for one in tries:
        if one.goes:
            goes = max(goes, one.thickness)
        else:
            refused = one.thickness if refused is None else min(refused, one.thickness)
    if refused is not None and goes >= refused - _SAME:
        raise ContradictionError(
            "a leaf that goes cannot be as thick as a leaf that won't: try both again"
        )
    return Bracket(goes, refused)


def next_stack(
    candidates: Sequence[Stack], bracket: Bracket, tried: int = 0, first: float | None = None
) -> Stack | None:
    """Choose the stack that tells most.

    Between two leaves, the middle one of the stacks that are still possible. While everything has
    gone, twice the thickest so far: most errors are small. Both give way where they would need
    more than ceil(log2(stacks)) + 1 tries in all.

    Args:
        candidates: ascending, from `stacks`.
        bracket: what is known so far.
        tried: stacks tried so far.
        first: thickness (mm) to start from when nothing is known yet, such as the gap at the
            limit of the tolerance: one try there often decides.

    Returns:
        None when no stack lies inside the bracket.
    """
    most = math.inf if bracket.refused is None else bracket.refused
    start = bisect_right(candidates, bracket.goes + _SAME, key=_thickness)
    open_ones = candidates[start : bisect_left(candidates, most - _SAME, key=_thickness)]
    if not open_ones:
        return None
    last = len(open_ones) - 1
    if bracket.refused is None and bracket.goes:
        wanted = _index_near(open_ones, 2 * bracket.goes)
    elif bracket.refused is None and first is not None:
        wanted = _first(open_ones, first)
    else:
        wanted = _middle(open_ones)
    tries_after = math.ceil(math.log2(max(len(candidates), 2))) - tried
    may_be_left = (1 << max(tries_after, 0)) - 1
    if last > 2 * may_be_left:  # more is left than so few tries tell apart: halve it
        return open_ones[_middle(open_ones)]
    return open_ones[min(max(wanted, last - may_be_left), may_be_left, last)]


def _middle(ascending: Sequence[Stack]) -> int:
    """Give the middle one; of two, the one of fewer leaves: each adds its own tolerance."""
    lower, upper = (len(ascending) - 1) // 2, len(ascending) // 2
    fewer = len(ascending[lower].leaves) < len(ascending[upper].leaves)
    return lower if fewer else upper


def _index_near(ascending: Sequence[Stack], thickness: float) -> int:
    distances = [abs(stack.thickness - thickness) for stack in ascending]
    return distances.index(min(distances))


def _first(ascending: Sequence[Stack], thickness: float) -> int:
    """Give the thickest that is not thicker, a single leaf where there is one."""
    fitting = [at for at, stack in enumerate(ascending) if stack.thickness <= thickness + _SAME]
    single = [at for at in fitting if len(ascending[at].leaves) == 1]
    return single[-1] if single else fitting[-1] if fitting else 0
