"""What the mean of several sets of readings is worth: the budget of one, and their scatter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from statistics import fmean

from shopboard.checks.asked import Taken
from shopboard.metrology.outlier import disagree
from shopboard.metrology.own_hand import USUAL_DOF
from shopboard.metrology.propagate import repeated
from shopboard.metrology.sources import APART, FEEL, REPEATS
from shopboard.metrology.uncertainty import Budget, Source

ENOUGH_FOR_SCATTER = 3
"""From so many sets on, their own scatter says how well they repeat (GUM 4.2); with fewer, k would
be 12.7 and what is usual in the trade says more."""

MOST_SETS = 9
"""Sets of readings that are taken at the most."""


def usual_scatter(u: float, hand: str = "") -> Source:
    """Say how well one set usually repeats."""
    return Source(REPEATS, "how well it repeats", u, USUAL_DOF, hand=hand)


def apart_by(half_width: float) -> Source:
    """Say that two readings differ by more than they should."""
    return Source.within(APART, "the two readings disagree", half_width)


def budget_of_leaves(mean: Budget, single: Budget, results: Sequence[float]) -> Budget:
    """Give the budget of the mean of gaps that were read leaf by leaf.

    How far they scatter hardly shows between leaves, so that what is usual of a hand stands, unless
    they differ by more than such readings do.

    Args:
        mean: the budget of the mean, with what its hand is usually worth.
        single: the budget of one result.
        results: the error from each set, in the unit of the budgets.
    """
    if len(results) < 2 or not disagree(max(results), min(results), single.u_repeat):
        return mean
    if len(results) < ENOUGH_FOR_SCATTER:
        return Budget((*mean.sources, apart_by((max(results) - min(results)) / 2)))
    kept = tuple(one for one in mean.sources if one.id != FEEL)
    return Budget((*kept, repeated(results)[1]))


def budget_of_mean(single: Budget, results: Sequence[float]) -> Budget:
    """Give the budget of the mean of several results, from the budget of one.

    Args:
        single: the budget of one result, with how well it usually repeats.
        results: the error from each set, in the unit of the budget.
    """
    if len(results) < 2:
        return single
    kept = [one for one in single.sources if one.id != REPEATS]
    if len(results) >= ENOUGH_FOR_SCATTER:
        return Budget((*kept, repeated(results)[1]))
    share = len(results) ** -0.5
    usual = [one._replace(u=one.u * share) for one in single.sources if one not in kept]
    apart = max(results) - min(results)
    if disagree(max(results), min(results), single.u_repeat):
        usual.append(apart_by(apart / 2))
    return Budget((*kept, *usual))


def mean_taken(sets: Sequence[Taken]) -> Taken:
    """Give the first set with its readings replaced by their means: what is to be moved goes by it.

    A set in which something else was picked (light at the other end) is read otherwise: its
    readings are left out.
    """
    first = sets[0]
    alike = [one for one in sets if one.words == first.words]
    means = {
        name: replace(one, value=fmean(each.inputs[name].value for each in alike))
        for name, one in first.inputs.items()
        if all(name in each.inputs for each in alike)
    }
    return replace(first, inputs={**first.inputs, **means})
