"""Uncertainty through any formula: each input moved by its own uncertainty (GUM 5.1.3, note 2).

The sensitivity to an input is the difference of the formula over plus and
minus one standard uncertainty, exact for straight formulas. Where a formula
bends so much that its slope alone would say too little, as a sagitta does near
0, the bend adds its part (GUM 5.1.2, note: half the square of the second
derivative; that of a normal input, and a little more than that of an even one).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from shopboard.metrology.sources import SCATTER
from shopboard.metrology.uncertainty import Budget, Estimate, Source


@dataclass(frozen=True)
class Input:
    """One value that goes into a formula."""

    value: float
    sources: tuple[Source, ...] = ()
    """What makes it uncertain, in its own unit; empty for an exact value."""


def even(value: float, what: str, name: str, half_width: float) -> Input:
    """Make an input known within plus or minus `half_width`, evenly."""
    return Input(value, (Source.within(what, name, half_width),))


def propagate(
    formula: Callable[[Mapping[str, float]], float],
    inputs: Mapping[str, Input],
    more: Sequence[Source] = (),
) -> Estimate:
    """Evaluate a formula and put together the budget of its result.

    Args:
        formula: gives the result from values by name.
        inputs: values with what makes them uncertain; inputs are independent.
        more: sources already in the unit of the result.
    """
    values = {name: one.value for name, one in inputs.items()}
    here = formula(values)
    sources: list[Source] = []
    for name, one in inputs.items():
        for source in one.sources:
            if source.u <= 0:
                continue
            above = formula({**values, name: one.value + source.u})
            below = formula({**values, name: one.value - source.u})
            bend = above + below - 2 * here
            u = math.hypot((above - below) / 2, bend / math.sqrt(2))
            sources.append(source._replace(u=u))
    return Estimate(here, Budget((*sources, *more)))


def repeated(results: Sequence[float]) -> tuple[float, Source]:
    """Take the mean of repeated results, with the uncertainty of that mean (GUM 4.2.3).

    Raises:
        ValueError: for fewer than two results.
    """
    count = len(results)
    if count < 2:
        raise ValueError("scatter needs two results at least")
    mean = math.fsum(results) / count
    variance = math.fsum((one - mean) ** 2 for one in results) / (count - 1)
    u = math.sqrt(variance / count)
    return mean, Source(SCATTER, "scatter of the readings", u, float(count - 1))


REACH = 2.0
"""Standard uncertainties over which a corner is looked for: a reading is seldom off by more."""


def steepest(
    formula: Callable[[Mapping[str, float]], float], values: Mapping[str, float]
) -> Callable[[Mapping[str, float]], float]:
    """Give a formula with corners in a form that `propagate` can go through, near these values.

    The widest or worst of several has a corner where another one becomes the worst: a difference
    over both sides would call that other reading, or at the corner even this one, exact. So the
    steeper side counts, looked at over `REACH` standard uncertainties: rather too much than too
    little.
    """
    here = formula(values)

    def near(read: Mapping[str, float]) -> float:
        moved = {name: value - values[name] for name, value in read.items()}
        change = max(
            abs(
                formula({name: values[name] + side * REACH * by for name, by in moved.items()})
                - here
            )
            for side in (1, -1)
        )
        return math.copysign(change / REACH, sum(moved.values()))

    return near
