"""What would settle a verdict that is not proven either way."""

from __future__ import annotations

import math

from shopboard.checks.mean_of_sets import ENOUGH_FOR_SCATTER
from shopboard.checks.outcome import Outcome
from shopboard.metrology.conformity import (
    Tolerance,
    aim_for_the_middle,
    is_about_nought,
    probability_within,
    verdict,
)
from shopboard.metrology.spread import Spread
from shopboard.metrology.student import normal_density
from shopboard.metrology.uncertainty import Budget, Source
from shopboard.metrology.wording import percent

_FARTHER = ", or readings farther apart"
"""Over a longer distance an angle is known better; a length is not."""

READ_AGAIN = "reading it all once more"
"""What makes smaller how far the readings scatter."""

NOTHING = ""
"""Deliberately none: nothing that is done at the machine makes it smaller."""

_WHOLE_NAMES = {
    "bracket between the leaves": "leaves between those that you used, or a longer lever in the"
    " shop file",
    "leaf thickness": "single leaves in place of stacks, or a longer lever in the shop file",
    "feel of the leaf": "the mean of ten readings, the last choice at the point",
    "lever": "measuring the lever closer",
    "square, its own error": "turning the square over where that is possible, or a finer square",
    "square, as certified or proven": "turning the square over where that is possible, or proving"
    " it closer",
    "square (cancelled by turning it over)": NOTHING,
    "board edge, not straight": "a board with a straighter edge",
    "edges of the board out of parallel": "a board whose edges are closer to parallel",
    "marked faces out of one plane": "the other way of this check: a straightedge across the faces",
    "angle of the lever": "setting the indicator's lever along the surface",
    "two axes make one tilt": f"a finer indicator{_FARTHER}",
    "the two readings disagree": "reading it all once more: the two do not agree",
    "heights of the points": "heights that are known closer",
    "modulus of the steel": NOTHING,
}

_STARTS = {"straightedge": "a straighter straightedge, or one that is proven closer"}

_ENDS = {
    "the indicator": f"a finer indicator{_FARTHER}",
    "the calliper": f"a finer calliper{_FARTHER}",
    "reading it": f"reading it between the divisions{_FARTHER}",
    "between the leaves": f"leaves between those that you used{_FARTHER}",
    "the leaves": f"leaves between those that you used{_FARTHER}",
    "leaf thickness": f"single leaves in place of stacks{_FARTHER}",
    # The budget keeps a hand's own error however often it reads: only finer steps or a longer
    # lever make it count for less.
    "feel of the leaf": f"leaves between those that you used{_FARTHER}",
    "the rule": "measuring it closer than with a rule",
    "the watch": "a stopwatch, started by the hand that switches off",
    "as typed": "more digits",
    "how well it repeats": READ_AGAIN,
    "scatter of the readings": READ_AGAIN,
}
"""By the end of the source's name: ``front, the indicator``."""


def remedy_for(source: str) -> str | None:
    """Give what makes one source of uncertainty smaller, by its name in a budget.

    Returns:
        A few words; `NOTHING` where nothing does; None for a source that is not known here.
    """
    if source in _WHOLE_NAMES:
        return _WHOLE_NAMES[source]
    for start, remedy in _STARTS.items():
        if source.startswith(start):
            return remedy
    return next((remedy for end, remedy in _ENDS.items() if source.endswith(end)), None)


def best_remedy(budget: Budget) -> tuple[str, float]:
    """Give what would most reduce an uncertainty, and what share of the budget it works on."""
    shares: dict[str, float] = {}
    for source in budget.sources:
        remedy = remedy_for(source.name) or NOTHING
        shares[remedy] = shares.get(remedy, 0.0) + budget.share(source)
    best = max(shares, key=lambda remedy: shares[remedy], default=NOTHING)
    return best, shares.get(best, 0.0)


WORTH_READING = 0.1
"""How likely another reading must settle a verdict to be proposed: one in ten."""

_STEPS = tuple(0.2 * step for step in range(-20, 21))
"""Where the next mean may lie, in its standard deviations."""


def chance_to_settle(outcome: Outcome, count: int, wanted: Tolerance | None = None) -> float:
    """Give how likely one more set of readings proves what is near, either way.

    The mean of one set more lies about today's, with what the budget says that it loses: what is
    known then is taken from what is known now (JCGM 106, 6: the distribution before and after a
    measurement).

    Args:
        outcome: what the sets so far gave.
        count: how many those are.
        wanted: the values that are wanted, where the work asks for fewer; None: the tolerance.
    """
    limits = wanted or outcome.tolerance

    def is_near(spread: Spread) -> bool:
        return (
            limits is not None
            and verdict(probability_within(spread, limits), outcome.level) == "near"
        )

    if not is_near(outcome.estimate.spread):
        return 0.0
    budget = outcome.estimate.budget
    after = Budget(tuple(_of_one_more(source, count) for source in budget.sources))
    moves = math.sqrt(max(0.0, budget.u**2 - after.u**2))
    if moves == 0:
        return 0.0
    chance = total = 0.0
    for step in _STEPS:
        error = outcome.estimate.error + step * moves
        then = outcome.estimate._replace(error=error, budget=after).spread
        weight = normal_density(step)
        total += weight
        chance += 0.0 if is_near(then) else weight
    return chance / total


def _of_one_more(source: Source, count: int) -> Source:
    """Give a source as one set more is likely to leave it."""
    if remedy_for(source.name) != READ_AGAIN:
        return source
    dof = float(count) if count + 1 >= ENOUGH_FOR_SCATTER else source.dof
    return source._replace(u=source.u * math.sqrt(count / (count + 1)), dof=dof)


def what_would_settle(outcome: Outcome, *, kept: bool = False) -> str:
    """Name what would most reduce the uncertainty; empty when the verdict is proven.

    Args:
        outcome: what was found.
        kept: it is on record, so that no step leads back to its readings.
    """
    if outcome.verdict != "near":
        return ""
    estimate, limits = outcome.estimate, outcome.tolerance
    budget = estimate.budget
    if limits is not None and is_about_nought(
        estimate.spread, budget.expanded, limits, outcome.level
    ):
        return f"Not proven either way. {aim_for_the_middle(limits)}."
    best, _ = best_remedy(budget)
    if best == NOTHING:
        main = max(budget.sources, key=lambda source: source.u, default=None)
        open_part = f" No reading here settles it: {main.name}." if main else ""
        return f"Not proven either way.{open_part}"
    remedy = best if outcome.kind == "angle" else best.removesuffix(_FARTHER)
    sets = outcome.readings.get("sets")
    if best == READ_AGAIN and isinstance(sets, list):
        chance = chance_to_settle(outcome, len(sets))
        if chance < WORTH_READING:
            hardly = f"reading again hardly settles it: {chance_words(chance)}"
            return f"Not proven either way. It lies so near the limit that {hardly}."
        remedy = f"{remedy} ({chance_words(chance)}{'' if kept else '; go back for it'})"
    return f"Not proven either way. What would settle it: {remedy}."


def chance_words(chance: float) -> str:
    """Say how likely one more set settles it: ``once more settles it with a chance of 45 %``."""
    if chance < 0.01:
        return "once more alone will not settle it"
    return f"once more settles it with a chance of {percent(chance)}"
