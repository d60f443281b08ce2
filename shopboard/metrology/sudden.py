"""Changes of a point that are too large for slow wander.

A change is called a step when slow wander, as the other changes show it, would make one as large
less often than `ALARM`. Where several are wild they hide each other, so those far off by a robust
scale are set aside first, and taken in again when the rest makes them likely after all.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.trend import median
from shopboard.metrology.wander import Belief, Scale, TimeSpan, believe

ALARM = 1 / 500
"""How often a change that is slow wander is called a step: once in so many changes."""

_ENOUGH = 6
"""Changes from which a robust scale means something."""

_FAR_OFF = 4.0**2
"""Squared robust standard deviations beyond which a change is set aside first."""

_MEDIAN_OF_SQUARES = 0.4549
"""Median of the square of a standard normal value (chi-square, 1 degree of freedom)."""

_DOUBTFUL = 0.75
"""Over the number of changes: a change likelier than that, itself counted, is no step. It has so
much say in what it is judged by; a test holds that none is missed for it."""

_ROUNDS = 5
"""In which those set aside are judged anew by the rest; where they still go to and fro, the last
counts. (our choice, no source)"""

_A_STEP = 0.01
"""How likely a change is to be a step, before it is seen."""

_STEP_SIZE = 1.0
"""Half of the steps are larger than this, in half-widths; the tails are long (Cauchy), so that no
huge step makes the clock certain that needs none."""


class Sorted(NamedTuple):
    """Changes sorted into slow wander and steps."""

    kept: tuple[int, ...]
    """Those that are slow wander, by their number."""
    steps: Mapping[int, float]
    """The others, with the probability that slow wander makes as much."""
    belief: Belief
    """What those kept say."""
    log_evidence: float
    """Logarithm of how likely all of them were, steps too."""


def sort_out(spans: Mapping[int, TimeSpan], scale: Scale) -> Sorted:
    """Sort changes into slow wander and steps.

    No more than a third of them, or a single one, can be steps: what happens more often is how
    the point wanders.

    Args:
        spans: by their number in the order in which they were seen.
        scale: what is taken beforehand.
    """
    steps: dict[int, float] = dict.fromkeys(_far_off(spans, scale), 0.0)
    for _ in range(_ROUNDS):
        kept = [i for i in spans if i not in steps]
        belief = believe(linked(spans, kept), scale)
        chances: dict[int, float] = {}
        for i, span in spans.items():
            chance = belief.surprise(span)
            # judged by all, a wild one makes itself likely; to leave each out in turn takes long
            if i not in steps and chance < _DOUBTFUL / len(spans):
                others = [other for other in kept if other != i]
                chance = believe(linked(spans, others), scale).surprise(span)
            if chance < ALARM:
                chances[i] = chance
        wildest = sorted(chances, key=lambda i: chances[i])[: max(1, len(spans) // 3)]
        before, steps = steps, {i: chances[i] for i in sorted(wildest)}
        if steps.keys() == before.keys():
            break
    else:
        kept = [i for i in spans if i not in steps]
        belief = believe(linked(spans, kept), scale)
    price = sum(_log_step(spans[i].change / scale.half_width) for i in steps)
    price += len(kept) * math.log(1 - _A_STEP)
    return Sorted(tuple(kept), steps, belief, belief.log_evidence + price)


def linked(spans: Mapping[int, TimeSpan], kept: Collection[int]) -> list[TimeSpan]:
    """Give those kept; one whose forerunner is gone shares no result with any other."""
    there = set(kept)
    return [spans[i] if i - 1 in there else spans[i]._replace(shared=0.0) for i in kept]


def _log_step(change: float) -> float:
    """Give the logarithm of how likely a step of this size is, in half-widths."""
    z = change / _STEP_SIZE
    return math.log(_A_STEP / (math.pi * _STEP_SIZE)) - math.log1p(z * z)


def _far_off(spans: Mapping[int, TimeSpan], scale: Scale) -> list[int]:
    """Give the changes that lie far off by the middle rate and the middle scatter."""
    moving = [span for span in spans.values() if span.time > 0]
    if len(moving) < _ENOUGH:
        return []
    rate = median([span.change / span.time for span in moving])
    squares = {i: (span.change - rate * span.time) ** 2 for i, span in spans.items()}
    least = (1e-6 * scale.half_width) ** 2

    def ratios(growth: float) -> Sequence[float]:
        return [squares[i] / (growth * span.time + span.u**2 + least) for i, span in spans.items()]

    steepest = max(squares[i] / span.time for i, span in spans.items() if span.time > 0)
    low, high = 0.0, steepest / _MEDIAN_OF_SQUARES
    for _ in range(20):
        growth = (low + high) / 2
        enough = median(ratios(growth)) < _MEDIAN_OF_SQUARES
        low, high = (low, growth) if enough else (growth, high)
    return [i for i, ratio in zip(spans, ratios(high), strict=True) if ratio > _FAR_OFF]
