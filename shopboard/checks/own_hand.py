"""A budget with what one's own hand repeats to, where that is known better than what is usual."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shopboard.metrology.own_hand import BRACKET, OwnHand
from shopboard.metrology.uncertainty import Budget, Estimate, Source

DIAL = "dial"
RULE = "rule"
"""Sorts of reading, beside `LEAF`; what only one method reads goes by the method's name."""


def with_own_hand(budget: Budget, hands: Sequence[OwnHand]) -> Budget:
    """Put what the hand repeats to in the place of what was assumed, once it is known better."""
    known = {one.sort: one for one in hands}
    if not known:
        return budget
    return Budget(tuple(_own(source, known.get(source.hand)) for source in budget.sources))


def by_own_hand(found: Estimate, hands: Sequence[OwnHand]) -> Estimate:
    """Give an estimate whose budget goes by the own hand."""
    return found._replace(budget=with_own_hand(found.budget, hands)) if hands else found


def _own(source: Source, hand: OwnHand | None) -> Source:
    """Give a source as the hand makes it. What is even by assumption has no degrees of freedom."""
    assumed = 0.0 if source.even or math.isinf(source.dof) else source.dof
    if hand is None or source.own is not None or not (hand.worse or hand.dof > assumed):
        return source
    return source._replace(u=source.u * hand.ratio, dof=hand.dof, even=False, own=hand)


def as_read(budget: Budget, errors: Sequence[float], per_unit: float) -> dict[str, object]:
    """Give what a record keeps of how readings repeat: each error, and what was to be expected.

    Args:
        budget: of one reading.
        errors: what each reading gave, in the unit of the budget.
        per_unit: of that unit, how many of the record's whole units make one.
    """
    assumed: dict[str, float] = {}
    for source in budget.sources:
        if source.hand not in ("", BRACKET) and source.u > 0:
            u = source.u / source.own.ratio if source.own else source.u
            assumed[source.hand] = math.hypot(assumed.get(source.hand, 0.0), u)
    half = math.sqrt(3 * sum(one.u**2 for one in budget.sources if one.hand == BRACKET))
    return {
        "errors": [round(one * per_unit) for one in errors],
        "hand": {sort: round(u * per_unit) for sort, u in assumed.items()},
        "half": round(half * per_unit),
    }


def sort_of(assumed: Mapping[str, float]) -> str:
    """Name the sort of reading that nearly all of the scatter is of; empty where two make it."""
    total = sum(u * u for u in assumed.values())
    return next((sort for sort, u in assumed.items() if u * u > 0.8 * total), "")
