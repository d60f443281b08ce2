"""What would settle a verdict that is not proven either way, and how likely that is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean

from shopboard.base.text import with_a
from shopboard.checks import registry
from shopboard.checks.mean_of_sets import ENOUGH_FOR_SCATTER, MOST_SETS
from shopboard.checks.outcome import Outcome
from shopboard.checks.remedies import (
    NOT_AGREED,
    OVER_A_LENGTH,
    READ_AGAIN,
    THINNER,
    TURN_OVER,
    best_remedy,
    remedy_for,
)
from shopboard.metrology.conformity import (
    Tolerance,
    aim_for_the_middle,
    is_about_nought,
    probability_within,
    verdict,
)
from shopboard.metrology.kind import RECORD_UNITS
from shopboard.metrology.own_hand import BRACKET
from shopboard.metrology.sources import FEEL, NOTHING, OF_THE_SQUARE, RULE, SCALE, WATCH, Remedy
from shopboard.metrology.spread import Spread
from shopboard.metrology.student import normal_cdf, normal_density
from shopboard.metrology.uncertainty import Budget, Source
from shopboard.metrology.wording import percent

WORTH_READING = 0.1
"""How likely another reading must settle a verdict to be proposed: one in ten."""
_NO_CHANCE = 0.01
"""Chance below which reading again is said not to settle it."""

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
    if any(source.id == FEEL for source in budget.sources):
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
            source._replace(u=0.0) if source.id in OF_THE_SQUARE else _of_one_more(source, 1)
            for source in budget.sources
        )
    )
    moves = math.sqrt(max(0.0, budget.u**2 - after.u**2))
    return _chance(outcome, after, _evenly_stepped(moves), wanted)


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
    feel = math.sqrt(count * sum(one.u**2 for one in budget.sources if one.id == FEEL))
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
    if remedy_for(source) != READ_AGAIN:
        return source
    by_scatter = source.id != FEEL and count + 1 >= ENOUGH_FOR_SCATTER
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
        return f"Too close to call. {aim_for_the_middle(limits)}."
    best, _ = best_remedy(budget, can_turn=outcome.can_turn)
    again = _chance_of_reading(outcome)
    worth_reading = again is not None and again >= WORTH_READING
    if not _over(outcome, best) and worth_reading:
        best = READ_AGAIN
    if not _over(outcome, best):
        return f"Too close to call.{_left_open(budget, best)}"
    if best == READ_AGAIN and again is not None and not worth_reading:
        return f"Too close to call. {_hardly(outcome, again)}."
    back = "" if kept else "; go back for it"
    if (at_best := _chance_at_best(outcome, best)) is not None:
        said = f"Too close to call. It is so near the limit that even {_over(outcome, best)} may"
        said += f" leave it open: {chance_words(at_best, 'at best that')}."
    else:
        how = _how_likely(outcome, best, again, back)
        said = f"Too close to call. To settle it: {_over(outcome, best)}{how}."
    if again is None or not worth_reading or best in (READ_AGAIN, NOT_AGREED):
        return said
    return f"{said} Or {READ_AGAIN.words}: {chance_words(again)}{back}."


def reading_again_helps(outcome: Outcome) -> bool:
    """Tell whether another check as before may settle what is near: by reading, or turned over."""
    budget, limits = outcome.estimate.budget, outcome.tolerance
    if limits is not None and is_about_nought(
        outcome.estimate.spread, budget.expanded, limits, outcome.level
    ):
        return False
    again = _chance_of_reading(outcome)
    if again is not None and again >= WORTH_READING:
        return True
    best, _ = best_remedy(budget, can_turn=outcome.can_turn)
    if best == TURN_OVER:
        return chance_by_turning(outcome) >= WORTH_READING
    return best.by_going_back or best == NOT_AGREED or (best == READ_AGAIN and again is None)


def _left_open(budget: Budget, best: Remedy) -> str:
    """Say which source leaves it open where no reading here settles it."""
    alike = [one for one in budget.sources if (remedy_for(one) or NOTHING) == best]
    main = max(alike, key=lambda source: source.u, default=None)
    return f" Reading again is no help: it hangs on {_in_words(main)}." if main else ""


def _hardly(outcome: Outcome, again: float) -> str:
    """Say that reading again hardly settles it, and whether that is for the limit's sake."""
    hardly = chance_words(again, "reading again")
    if again >= _NO_CHANCE:
        hardly = f"reading again would hardly settle it: {chance_words(again)}"
    limits = outcome.tolerance
    if limits is not None and not _could_be_proven(outcome, limits):
        return f"Nothing can prove it true this way; {hardly}"
    return f"It is so near the limit that {hardly}"


def _how_likely(outcome: Outcome, best: Remedy, again: float | None, back: str) -> str:
    """Say how likely a remedy settles it, where that is known, and where to go back for it."""
    if best == READ_AGAIN and again is not None:
        return f" ({chance_words(again)}{back})"
    if best == TURN_OVER:
        chance = chance_by_turning(outcome)
        return f" ({chance_words(chance, 'that')}{back if chance >= WORTH_READING else ''})"
    return f" ({back.removeprefix('; ')})" if best.by_going_back and back else ""


def _chance_at_best(outcome: Outcome, remedy: Remedy) -> float | None:
    """Give how likely a remedy settles it that leaves nothing open of what it is for.

    None where it would as it reads now, and where its chance is said anyway or it helps with all.
    """
    longer = remedy.longer and outcome.kind in OVER_A_LENGTH
    if longer or outcome.tolerance is None or remedy in (READ_AGAIN, NOT_AGREED, TURN_OVER):
        return None
    budget = outcome.estimate.budget
    sources = (one._replace(u=0.0) if remedy_for(one) == remedy else one for one in budget.sources)
    after = Budget(tuple(sources))
    probability = probability_within(
        outcome.estimate._replace(budget=after).spread, outcome.tolerance
    )
    if verdict(probability, outcome.level) != "near":
        return None
    moves = math.sqrt(max(0.0, budget.u**2 - after.u**2))
    return _chance(outcome, after, _evenly_stepped(moves), None)


def _could_be_proven(outcome: Outcome, limits: Tolerance) -> bool:
    """Tell whether it would be proven true, read as it was, if it lay in the middle."""
    middle = limits.as_it_counts(size=outcome.estimate.size).middle
    spread = outcome.estimate._replace(error=middle).spread
    return verdict(probability_within(spread, limits), outcome.level) == "true"


def _in_words(source: Source) -> str:
    """Say what leaves it open."""
    scale = _SCALES.get(source.id)
    return f"how finely {scale} is read" if scale else source.name


_SCALES = {SCALE: "a scale", RULE: "a rule", WATCH: "a watch"}


def _over(outcome: Outcome, remedy: Remedy) -> str:
    """Say a remedy; what helps over a length alone is left out where nothing is taken over one."""
    words = THINNER if remedy.before == THINNER and _no_leaf_went(outcome) else remedy.words
    over = ""
    if outcome.kind in OVER_A_LENGTH and remedy.longer == "distance":
        method = registry.known(outcome.method)
        over = (method and method.farther) or "readings farther apart"
    elif outcome.kind in OVER_A_LENGTH and remedy.longer == "lever":
        over = "a longer reach (lever in the shop file)"
    return ", or ".join(one for one in (words, over) if one)


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
    if chance < _NO_CHANCE:
        return f"{what} alone will not settle it"
    return f"{what} has {with_a(percent(chance))} chance of settling it"
