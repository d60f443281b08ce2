"""What would settle a verdict that is not proven either way, or let a check prove a point.

One list of words for both: each works on a source that the budget counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean

from shopboard.checks.mean_of_sets import APART, ENOUGH_FOR_SCATTER, MOST_SETS
from shopboard.checks.outcome import Outcome
from shopboard.metrology.conformity import (
    Tolerance,
    aim_for_the_middle,
    is_about_nought,
    probability_within,
    verdict,
)
from shopboard.metrology.kind import RECORD_UNITS, Kind
from shopboard.metrology.own_hand import BRACKET
from shopboard.metrology.spread import Spread
from shopboard.metrology.square import FEEL_OF_LEAF
from shopboard.metrology.student import normal_cdf, normal_density
from shopboard.metrology.uncertainty import Budget, Source
from shopboard.metrology.wording import percent

_FARTHER = ", or readings farther apart"
"""Over a longer distance an angle is known better; a length is not."""

_FARTHER_ALONE = _FARTHER.removeprefix(", or ")

_LARGER = {
    "blade-tension": "clamps farther apart",
    "diagonals": "a larger panel",
    "drift-angle": "a longer mark",
    "five-cut": "a larger board",
    "flip": "a wider board",
    "frame": "wider stock",
    "thickness": "a wider board",
}
"""What that takes, by method."""

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

_STARTS = {"straightedge": "a straighter straightedge, or one that is proven closer"}

_ENDS = {
    "the indicator": f"a finer indicator{_FARTHER}",
    "the calliper": f"a finer calliper{_FARTHER}",
    # How finely a scale is read is taken as usual: reading it finer would tell nothing more.
    "reading it": _FARTHER_ALONE,
    "between the leaves": f"leaves between those that you used{_FARTHER}",
    "the leaves": f"leaves between those that you used{_FARTHER}",
    "leaf thickness": f"single leaves in place of stacks{_FARTHER}",
    # Of several gaps in one formula each keeps its feel, however finely and often they are read;
    # what is read once more lessens how well the whole repeats.
    "feel of the leaf": _FARTHER_ALONE,
    "the rule": _FARTHER_ALONE,
    "the watch": NOTHING,
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


NO_TOOL = "a wider tolerance, or a method that tells more"
"""Where no tool and no reading makes the largest part smaller."""


def would_take(budget: Budget, kind: Kind) -> str:
    """Say what a check takes that is not begun yet, so that it can prove more.

    Args:
        budget: of what it usually gives.
        kind: of the error.
    """
    remedy, _ = best_remedy(budget)
    here = _BEFORE_IT.get(remedy, remedy)
    for ending in (_FARTHER, _LONGER, _FARTHER_ALONE):
        here = here.removesuffix(ending)
    over = remedy not in (NOTHING, here) and kind in _OVER_A_LENGTH
    named = [_BEFORE_IT.get(here, here), "a longer distance to measure over" if over else ""]
    return ", or ".join(one for one in named if one) or NO_TOOL


_OVER_A_LENGTH: tuple[Kind, ...] = ("angle", "stress")
"""What is taken over a length, and known better over a longer one."""

_BEFORE_IT = {
    "leaves between those that you used": "a thinner leaf",
    "a finer square": "a finer square, or turning it over where the point allows it",
    READ_AGAIN: f"reading it more often{_FARTHER}",
    _WHOLE_NAMES["lever"]: _FARTHER_ALONE,
}
"""How a remedy is called before anything is read."""


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
    budget = outcome.estimate.budget
    after = Budget(tuple(_of_one_more(source, count) for source in budget.sources))
    if any(source.name == FEEL_OF_LEAF for source in budget.sources):
        errors = _errors(outcome) or [outcome.estimate.error] * count
        return _chance(outcome, after, _leaf_by_leaf(budget, errors), wanted)
    moves = math.sqrt(max(0.0, budget.u**2 - after.u**2))
    return _chance(outcome, after, _evenly_stepped(moves), wanted)


def chance_by_turning(outcome: Outcome, wanted: Tolerance | None = None) -> float:
    """Give how likely turning the square over proves what is near, either way.

    Its own error drops out, and the feel is that of two readings.
    """
    budget = outcome.estimate.budget
    after = Budget(
        tuple(
            source._replace(u=0.0) if _of_the_square(source) else _of_one_more(source, 1)
            for source in budget.sources
        )
    )
    moves = math.sqrt(max(0.0, budget.u**2 - after.u**2))
    return _chance(outcome, after, _evenly_stepped(moves), wanted)


def _of_the_square(source: Source) -> bool:
    return source.lasting and source.name.startswith("square")


MovePair = tuple[float, float]
"""By how much the mean may move, in the unit of the error, and how likely that is."""


def _evenly_stepped(moves: float) -> list[MovePair]:
    """Give where the mean may go, normal about today's.

    What is known then is taken from what is known now, so that it moves by what the budget loses
    (JCGM 106, 6: the distribution before and after a measurement).
    """
    return [(step * moves, normal_density(step)) for step in _STEPS] if moves else []


def _leaf_by_leaf(budget: Budget, errors: Sequence[float]) -> list[MovePair]:
    """Give where the mean of gaps that are read leaf by leaf may go.

    Each was felt between two leaves, so that the gap lies where all of them are likely (Bayes'
    rule, all gaps as likely before); from there the next one is felt. Seldom does it get past the
    next leaf: most often the mean stays where it is.

    Args:
        budget: of the mean.
        errors: what each reading gave, in the unit of the budget.
    """
    count, mean = len(errors), fmean(errors)
    half = math.sqrt(3 * sum(one.u**2 for one in budget.sources if one.hand == BRACKET))
    feel = math.sqrt(count * sum(one.u**2 for one in budget.sources if one.name == FEEL_OF_LEAF))
    if half == 0 or feel == 0:
        return []

    def felt_at(middle: float, gap: float, half: float) -> float:
        return normal_cdf((middle + half - gap) / feel) - normal_cdf((middle - half - gap) / feel)

    reach = max(abs(one - mean) for one in errors) + half + 4 * feel
    gaps = [mean + reach * at / _PLACES for at in range(-_PLACES, _PLACES + 1)]
    likely = [math.prod(felt_at(one, gap, half) for one in errors) for gap in gaps]
    wide = max(half, feel / 4)  # of finer steps several are taken together
    most = math.ceil(reach / wide)
    middles = [errors[0] + 2 * wide * at for at in range(-most, most + 1)]
    return [
        (
            (middle - mean) / (count + 1),
            math.fsum(
                weight * felt_at(middle, gap, wide)
                for gap, weight in zip(gaps, likely, strict=True)
            ),
        )
        for middle in middles
    ]


_PLACES = 30
"""Either way, at which a gap is looked for."""


def _chance(
    outcome: Outcome, after: Budget, moves: Sequence[MovePair], wanted: Tolerance | None
) -> float:
    """Give how likely what is near is proven once the mean has moved and a budget has shrunk."""
    limits = wanted or outcome.tolerance

    def is_near(spread: Spread) -> bool:
        return (
            limits is not None
            and verdict(probability_within(spread, limits), outcome.level) == "near"
        )

    if not is_near(outcome.estimate.spread):
        return 0.0
    chance = total = 0.0
    for by, likely in moves:
        then = outcome.estimate._replace(error=outcome.estimate.error + by, budget=after)
        total += likely
        chance += 0.0 if is_near(then.spread) else likely
    return chance / total if total else 0.0


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
    estimate, limits = outcome.estimate, outcome.tolerance
    budget = estimate.budget
    if limits is not None and is_about_nought(
        estimate.spread, budget.expanded, limits, outcome.level
    ):
        return f"Not proven either way. {aim_for_the_middle(limits)}."
    best, _ = best_remedy(budget, can_turn=outcome.can_turn)
    back = "" if kept else "; go back for it"
    again = _chance_of_reading(outcome)
    if not _over(outcome, best) and again is not None and again >= WORTH_READING:
        best = READ_AGAIN
    if not _over(outcome, best):
        alike = [one for one in budget.sources if (remedy_for(one.name) or NOTHING) == best]
        main = max(alike, key=lambda source: source.u, default=None)
        open_part = f" No reading here settles it: {_in_words(main)}." if main else ""
        return f"Not proven either way.{open_part}"
    if best == READ_AGAIN and again is not None:
        if again < WORTH_READING:
            hardly = f"reading again hardly settles it: {chance_words(again)}"
            if limits is not None and not _could_be_proven(outcome, limits):
                return f"Not proven either way. This way nothing proves it true; {hardly}."
            return f"Not proven either way. It lies so near the limit that {hardly}."
        best, again = f"{best} ({chance_words(again)}{back})", None
    elif best == TURN_OVER:
        chance = chance_by_turning(outcome)
        best = f"{best} ({chance_words(chance, 'that')}{back if chance >= WORTH_READING else ''})"
    elif best in _BY_GOING_BACK and back:
        best = f"{best} ({back.removeprefix('; ')})"
    said = f"Not proven either way. What would settle it: {_over(outcome, best)}."
    if again is None or again < WORTH_READING or best.startswith(READ_AGAIN):
        return said
    return f"{said} Or {READ_AGAIN}: {chance_words(again)}{back}."


def _could_be_proven(outcome: Outcome, limits: Tolerance) -> bool:
    """Tell whether it would be proven true, read as it was, if it lay in the middle."""
    middle = limits.as_it_counts(size=outcome.estimate.size).middle
    spread = outcome.estimate._replace(error=middle).spread
    return verdict(probability_within(spread, limits), outcome.level) == "true"


def _in_words(source: Source) -> str:
    """Say what leaves it open."""
    scale = next((one for end, one in _SCALES.items() if source.name.endswith(end)), "")
    return f"how finely {scale} is read" if scale else source.name


_SCALES = {"reading it": "a scale", "the rule": "a rule", "the watch": "a watch"}

_BY_GOING_BACK = frozenset(
    {
        _WHOLE_NAMES["angle of the lever"],
        _WHOLE_NAMES["marked faces out of one plane"],
        _ENDS["as typed"],
    }
)
"""Remedies that the check takes when its steps are answered anew."""


def _over(outcome: Outcome, remedy: str) -> str:
    """Leave out what helps only where something is taken over a length, such as an angle."""
    if _no_leaf_went(outcome):
        remedy = remedy.replace("leaves between those that you used", "a thinner leaf")
    if outcome.kind in _OVER_A_LENGTH:
        return remedy.replace(_FARTHER_ALONE, _LARGER.get(outcome.method, _FARTHER_ALONE))
    for farther in (_FARTHER, _LONGER, _FARTHER_ALONE):
        remedy = remedy.replace(farther, "")
    return remedy


def _no_leaf_went(outcome: Outcome) -> bool:
    """Tell whether the thinnest leaf was refused, so that there is none below it."""
    gap = outcome.readings.get("gap_nm")
    return isinstance(gap, list) and len(gap) == 2 and gap[0] <= 0 <= gap[1]


def _errors(outcome: Outcome) -> list[float]:
    """Give what each reading gave, in the unit of the error; none where that is not told."""
    repeats = outcome.readings.get("repeats")
    errors = repeats.get("errors") if isinstance(repeats, dict) else None
    per_unit = RECORD_UNITS[outcome.kind][1]
    return [one / per_unit for one in errors] if isinstance(errors, list) else []


def _chance_of_reading(outcome: Outcome) -> float | None:
    """Give how likely one more set settles it; None where it is not told how many were read."""
    count = len(_errors(outcome))
    if not count:
        return None
    return chance_to_settle(outcome, count) if count < MOST_SETS else 0.0


def chance_words(chance: float, what: str = "once more") -> str:
    """Say how likely something settles it: ``once more settles it with a chance of 45 %``."""
    if chance < 0.01:
        return f"{what} alone will not settle it"
    return f"{what} settles it with a chance of {percent(chance)}"
