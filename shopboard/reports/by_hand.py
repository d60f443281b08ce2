"""What is needed to work out a check with pencil and paper: formula, limits, what to turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from statistics import NormalDist

from shopboard.checks.advice import correction_of, to_do
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.explained import explained
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.outcome import Outcome
from shopboard.checks.settable import can_be_set
from shopboard.checks.walk import Method
from shopboard.metrology.kind import YES_NO_WORDS, measure
from shopboard.metrology.reach import usual_of
from shopboard.metrology.square import ReadingError
from shopboard.metrology.uncertainty import Budget, Estimate
from shopboard.metrology.units import by_unit
from shopboard.metrology.wording import own_words

_FACTORS = (1.0, 2.0, 5.0)
"""How many times the tolerance an error is, of those for which it is told what to turn."""


def sum_lines(method: Method, job: CheckContext, *, leaves: bool) -> Iterator[str]:
    """Say how the error is worked out of the readings, and what its sign means.

    Args:
        method: the check.
        job: the point.
        leaves: whether a gap is read by the leaf that goes and the one that won't.
    """
    if method.kind in YES_NO_WORDS:
        return
    formula = method.formula_words({}) if isinstance(method, DeclaredCheck) else ""
    told = method.by_hand if isinstance(method, GuidedCheck) else ""
    for words in filter(None, (formula, told)):
        said = own_words(words, job.unit)
        yield f"{said[0].upper()}{said[1:]}."
    if leaves:
        yield "A gap is half way between the leaf that goes and the one that won't."
    if method.kind == "angle" and any(one in formula + told for one in ("atan", "asin", "/ (4")):
        factor = by_unit(job.unit, "12 000 it is thou/ft", "1000 it is mm/m")
        yield (
            "Errors are so small that atan(a / b) and asin(a / b) are a / b, both in one unit:"
            f" times {factor}, times 57.3 it is degrees."
        )
    here = job.geometry
    signs = explained(method.name).signs
    own = (("plus", here.light_at_top), ("minus", here.light_at_bottom))
    shown = [f"{sign}: {words}" for sign, words in own if words] or list(signs)
    yield from (f"{one[0].upper()}{one[1:]}." for one in shown)


def limit_lines(method: Method, job: CheckContext) -> Iterator[str]:
    """Say between which errors the point is surely true, with what the tools usually leave open."""
    if method.kind in YES_NO_WORDS:
        return
    try:
        best = usual_of(method.of_true_points(job))
    except (NotPossibleError, ReadingError):
        return
    counts = job.tolerance.as_it_counts(size=best.size)
    # guard band of one side: JCGM 106:2012, 8.3.3, for a normal error
    guard = NormalDist().inv_cdf(job.level) * best.budget.expanded / best.budget.k
    low = counts.low if best.size else counts.low + guard
    high = counts.high - guard
    usual = measure(best.budget.expanded, method.kind, job.unit)
    if high <= low:
        yield f"These tools usually leave ± {usual} open: by hand it cannot be called true."
        return
    is_size = best.size and low <= 0
    ends = [measure(one, method.kind, job.unit, signed=not best.size) for one in (low, high)]
    between = f"up to {ends[1]}" if is_size else f"from {ends[0]} to {ends[1]}"
    yield f"These tools usually leave ± {usual} open. Call it true only {between}."


def turning_lines(method: Method, job: CheckContext, found: Outcome) -> Iterator[str]:
    """Say what to turn, which way and how far, for errors of some sizes.

    Args:
        method: the check.
        job: the point.
        found: what the check makes of a point; its error does not matter.
    """
    if found.moves:
        yield "How far at which place follows from all readings: the board works it out."
        return
    if not can_be_set(job, found):
        return
    counts = job.tolerance.as_it_counts(size=found.estimate.size)
    half = max((counts.high - counts.low) / 2, 0.0)
    for sign in (1.0,) if found.estimate.size else (1.0, -1.0):
        always: tuple[str, ...] = ()
        for factor in _FACTORS:
            error = counts.middle + sign * factor * half
            off = replace(found, estimate=Estimate(error, Budget(())))
            correction = correction_of(job, off, insist=True)
            if correction.leave:
                continue
            first, *more = to_do(job, off, correction)
            always = tuple(more)
            yield f"{measure(error, method.kind, job.unit, signed=True)}: {first}"
        if always:
            yield f"Each time: {' '.join(always)}"
