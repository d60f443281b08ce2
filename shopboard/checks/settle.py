"""What would settle a verdict that is not proven either way."""

from __future__ import annotations

import math

from shopboard.checks.mean_of_sets import APART, ENOUGH_FOR_SCATTER, MOST_SETS
from shopboard.checks.outcome import Outcome
from shopboard.metrology.conformity import Tolerance, probability_within, verdict
from shopboard.metrology.spread import Spread
from shopboard.metrology.square import FEEL_OF_LEAF
from shopboard.metrology.student import normal_density
from shopboard.metrology.uncertainty import Budget, Source
from shopboard.metrology.wording import percent

_FARTHER = ", or readings farther apart"
"""Over a longer distance an angle is known better; a length is not."""

_LONGER = ", or a longer lever in the shop file"
"""The same of a square."""

TURN_OVER = "turning the square over"
"""What cancels the square's own error, where it can be done."""

READ_AGAIN = "reading it all once more"
"""What makes smaller how far the readings scatter."""

NOTHING = ""
"""Deliberately none: nothing that is done at the machine makes it smaller."""

_WHOLE_NAMES = {
    "bracket between the leaves": f"leaves between those that you used{_LONGER}",
    "leaf thickness": f"single leaves in place of stacks{_LONGER}",
    FEEL_OF_LEAF: READ_AGAIN,
    "lever": "a longer lever in the shop file",
    "square, its own error": "a finer square",
    "square, as certified or proven": "proving the square closer",
    "square (cancelled by turning it over)": NOTHING,
    "board edge, not straight": "a board with a straighter edge",
    "edges of the board out of parallel": "a board whose edges are closer to parallel",
    "marked faces out of one plane": "the other way of this check: a straightedge across the faces",
    "angle of the lever": "setting the indicator's lever along the surface",
    "two axes make one tilt": f"a finer indicator{_FARTHER}",
    APART: "reading it all once more: the two do not agree",
    "heights of the points": "heights that are known closer",
    "modulus of the steel": NOTHING,
}

_STARTS = {"straightedge": "a straighter straightedge, or proving the one at hand"}

_ENDS = {
    "the indicator": f"a finer indicator{_FARTHER}",
    "the calliper": f"a finer calliper{_FARTHER}",
    "reading it": f"reading it between the divisions{_FARTHER}",
    "between the leaves": f"leaves between those that you used{_FARTHER}",
    "the leaves": f"leaves between those that you used{_FARTHER}",
    "leaf thickness": f"single leaves in place of stacks{_FARTHER}",
    # Of several gaps in one formula each keeps its feel however often they are read; what is read
    # once more lessens how well the whole repeats.
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


def best_remedy(budget: Budget, *, can_turn: bool = False) -> tuple[str, float]:
    """Give what would most reduce an uncertainty, and what share of the budget it works on.

    Args:
        budget: the budget.
        can_turn: the square was not turned over, and can be.
    """
    shares: dict[str, float] = {}
    for source in budget.sources:
        remedy = remedy_for(source.name) or NOTHING
        if can_turn and _of_the_square(source):
            remedy = TURN_OVER
        shares[remedy] = shares.get(remedy, 0.0) + budget.share(source)
    best = max(shares, key=lambda remedy: shares[remedy], default=NOTHING)
    return best, shares.get(best, 0.0)


WORTH_READING = 0.1
"""How likely another reading must settle a verdict to be proposed: one in ten."""

_STEPS = tuple(0.2 * step for step in range(-20, 21))
"""Where the next mean may lie, in its standard deviations."""


def chance_to_settle(outcome: Outcome, count: int, wanted: Tolerance | None = None) -> float:
    """Give how likely one more set of readings proves what is near, either way.

    Args:
        outcome: what the sets so far gave.
        count: how many those are.
        wanted: the values that are wanted, where the work asks for fewer; None: the tolerance.
    """
    sources = outcome.estimate.budget.sources
    after = Budget(tuple(_of_one_more(source, count) for source in sources))
    return _chance(outcome, after, wanted)


def chance_by_turning(outcome: Outcome, wanted: Tolerance | None = None) -> float:
    """Give how likely turning the square over proves what is near, either way.

    Its own error drops out, and the feel is that of two readings.
    """
    sources = outcome.estimate.budget.sources
    after = Budget(
        tuple(
            source._replace(u=0.0) if _of_the_square(source) else _of_one_more(source, 1)
            for source in sources
        )
    )
    return _chance(outcome, after, wanted)


def _of_the_square(source: Source) -> bool:
    return source.lasting and source.name.startswith("square")


def _chance(outcome: Outcome, after: Budget, wanted: Tolerance | None) -> float:
    """Give how likely what is near is proven once it is known as well as a budget says.

    What is found then lies about what is found now, with what the budget loses: what is known then
    is taken from what is known now (JCGM 106, 6: the distribution before and after a measurement).
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
    by_scatter = source.name != FEEL_OF_LEAF and count + 1 >= ENOUGH_FOR_SCATTER
    dof = float(count) if by_scatter else source.dof
    return source._replace(u=source.u * math.sqrt(count / (count + 1)), dof=dof)


def what_would_settle(outcome: Outcome, *, kept: bool = False) -> str:
    """Name what would most reduce the uncertainty; empty when the verdict is proven.

    What can be done here and now was offered on the way: a step leads back to it.

    Args:
        outcome: what was found.
        kept: it is on record, so that no step leads back to its readings.
    """
    if outcome.verdict != "near":
        return ""
    budget = outcome.estimate.budget
    best, _ = best_remedy(budget, can_turn=outcome.can_turn)
    back = "" if kept else "; go back for it"
    again = _chance_of_reading(outcome)
    if best == NOTHING:
        main = max(budget.sources, key=lambda source: source.u, default=None)
        open_part = f" No reading here settles it: {main.name}." if main else ""
        return f"Not proven either way.{open_part}"
    if best == READ_AGAIN and again is not None:
        if again < WORTH_READING:
            hardly = f"reading again hardly settles it: {chance_words(again)}"
            return f"Not proven either way. It lies so near the limit that {hardly}."
        best, again = f"{best} ({chance_words(again)}{back})", None
    elif best == TURN_OVER:
        chance = chance_by_turning(outcome)
        best = f"{best} ({chance_words(chance, 'that')}{back if chance >= WORTH_READING else ''})"
    elif best in _BY_GOING_BACK and back:
        best = f"{best} ({back.removeprefix('; ')})"
    remedy = best if outcome.kind == "angle" else _of_a_length(best)
    said = f"Not proven either way. What would settle it: {remedy}."
    if again is None or again < WORTH_READING or best.startswith(READ_AGAIN):
        return said
    return f"{said} Or {READ_AGAIN}: {chance_words(again)}{back}."


_BY_GOING_BACK = frozenset(
    {
        _WHOLE_NAMES["angle of the lever"],
        _WHOLE_NAMES["marked faces out of one plane"],
        _ENDS["as typed"],
    }
)
"""Remedies that the check takes when its steps are answered anew."""


def _of_a_length(remedy: str) -> str:
    """Leave out what helps an angle alone."""
    return remedy.replace(_FARTHER, "").replace(_LONGER, "")


def _chance_of_reading(outcome: Outcome) -> float | None:
    """Give how likely one more set settles it; None where it is not told how many were read."""
    repeats = outcome.readings.get("repeats")
    errors = repeats.get("errors") if isinstance(repeats, dict) else None
    if not isinstance(errors, list) or not errors:
        return None
    return chance_to_settle(outcome, len(errors)) if len(errors) < MOST_SETS else 0.0


def chance_words(chance: float, what: str = "once more") -> str:
    """Say how likely something settles it: ``once more settles it with a chance of 45 %``."""
    if chance < 0.01:
        return f"{what} alone will not settle it"
    return f"{what} settles it with a chance of {percent(chance)}"
