"""A budget with what one's own hand repeats to, where that is known better than what is usual."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shopboard.metrology.own_hand import BRACKET, DIAL, LEAF, RULE, OwnHand
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.metrology.wording import share


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
    if hand is None or not hand.counts or source.own is not None:
        return source
    return source._replace(u=source.u * hand.ratio, dof=hand.dof, even=False, own=hand)


def assumed_of(budget: Budget) -> tuple[dict[str, float], float]:
    """Give what one reading was to repeat to, by sort of reading, and how coarsely it is read.

    Returns:
        Standard uncertainties that are usual, and the half-width of the bracket, in the budget's
        unit.
    """
    assumed: dict[str, float] = {}
    for source in budget.sources:
        if source.hand not in ("", BRACKET) and source.u > 0:
            u = source.u / source.own.ratio if source.own else source.u
            assumed[source.hand] = math.hypot(assumed.get(source.hand, 0.0), u)
    return assumed, math.sqrt(3 * sum(one.u**2 for one in budget.sources if one.hand == BRACKET))


def as_read(budget: Budget, errors: Sequence[float], per_unit: float) -> dict[str, object]:
    """Give what a record keeps of how readings repeat: each error, and what was to be expected.

    Args:
        budget: of one reading.
        errors: what each reading gave, in the unit of the budget.
        per_unit: of that unit, how many of the record's whole units make one.
    """
    assumed, half = assumed_of(budget)
    return {
        "errors": [round(one * per_unit) for one in errors],
        "hand": {sort: round(u * per_unit) for sort, u in assumed.items()},
        "half": round(half * per_unit),
    }


def sort_of(assumed: Mapping[str, float]) -> str:
    """Name the sort of reading that nearly all of the scatter is of; empty where two make it."""
    total = sum(u * u for u in assumed.values())
    return next((sort for sort, u in assumed.items() if u * u > 0.8 * total), "")


SORTS = {LEAF: "feeler leaves", DIAL: "a dial", RULE: "a rule"}
"""What a study can learn of a hand, as it is called; the rest is how work and machine repeat."""


def hand_words(hand: OwnHand) -> str:
    """Say what a hand repeats to beside what is usual, and whether that is gone by."""
    named = SORTS.get(hand.sort, "")
    seen = f"from {hand.pairs} pairs of readings"
    if not hand.counts:
        what = f"what you repeat to with {named}" if named else f"what {hand.sort} repeats to"
        return f"Not certain yet {what}, {seen}: the usual value stays in use."
    who = f"With {named} you repeat" if named else f"{hand.sort} repeats"
    how = f"{hand.ratio:.1f} times what is usual" if hand.ratio >= 1.05 else _finer(hand.ratio)
    return f"{who} to {how}, {seen}: the checks use it."


def _finer(ratio: float) -> str:
    return "what is usual" if ratio > 0.95 else f"{share(ratio)} of what is usual"
