"""Leaf gap: is a gap within its limits, read leaf by leaf?

For guides beside a band and the bearing behind it, wheels in one plane against
a straightedge, an insert below a table, a riving knife behind a blade. The gap
is a bracket: the thickest leaf that goes, the thinnest that won't. Each next
leaf halves what is still open; it ends when the limits are decided.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from statistics import fmean

from shopboard.checks.asked import Taken
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines, drawn
from shopboard.checks.drawn.plans import gap
from shopboard.checks.inputs import leaf_input
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.leaf_by_leaf import LeafBracket, LeafByLeaf, LeafPlace, ask_leaves
from shopboard.checks.mean_of_sets import budget_of_leaves
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import as_read, by_own_hand
from shopboard.checks.reckoning import Field, ReckoningError, read_fields, tolerance_of
from shopboard.checks.repeats import as_kept
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do, Step, StepT
from shopboard.checks.walk import Answers
from shopboard.metrology.adjuster import Toward
from shopboard.metrology.conformity import probability_within, verdict
from shopboard.metrology.feeler import Bracket, Stack, Try, bracket_of, next_stack, stacks
from shopboard.metrology.instruments import LEAF_TOLERANCE_MM, FeelerSet
from shopboard.metrology.kind import RECORD_UNITS, Kind
from shopboard.metrology.own_hand import LEAF
from shopboard.metrology.propagate import Input, propagate
from shopboard.metrology.quantity import Unit
from shopboard.metrology.reach import best_reading, surest, true_errors
from shopboard.metrology.square import feel_of_all
from shopboard.metrology.uncertainty import Budget, Estimate
from shopboard.metrology.wording import leaf

_TOO_WIDE = "that is more than leaves read"
WIDEST_MM = 20.0
"""Wider gaps are no work for leaves."""

FINE_ENOUGH = 0.25
"""A gap that is out and must be set is read until its bracket's half-width is below this share of
the tolerance's half-width; one that is proven true needs no further leaf."""


@dataclass(frozen=True, kw_only=True)
class _Read(Taken):
    """A finished reading."""

    bracket: LeafBracket


def _read(found: LeafBracket) -> _Read:
    gap = {"goes": Input(found.goes), "refused": Input(found.refused)}
    return _Read(gap, {}, bracket=found)


class LeafGap(LeafByLeaf[_Read]):
    """The guided check."""

    name = "leaf-gap"
    title = "Gap by feeler leaves"
    finds = "a gap lies within its limits, such as that of a guide, leaf by leaf"
    signs = "it is how wide the gap is, never below 0"
    by_hand = "the gap itself is held against the tolerance"
    tools = "leaves"
    minutes = 5.0
    kind: Kind = "length"
    is_size = True
    begins = ("goes", "refused")
    fields = (
        Field("goes", "length", "thickest leaf that goes; 0 when the thinnest was refused"),
        Field("refused", "length", "thinnest leaf that won't go"),
        Field("tolerance", "tolerance", "its limits: 0.002 to 0.005 in", needed=False),
    )

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        """Say what to take and where the gap is."""
        feelers = _leaves(job)
        if "place" in answers:
            return None
        where = job.geometry.face or job.point
        datum = (f"From: {job.geometry.datum}.",) if job.geometry.datum else ()
        place = Do(
            key="place",
            title="Take the feeler leaves; wipe leaves and gap clean.",
            lines=(f"The gap: {where}.", *datum, f"With: {feelers.name}."),
        )
        return self._drawn(place, job, AtStep("place"))

    def take(self, job: CheckContext, answers: Answers, prefix: str, number: int) -> Step | _Read:
        """Ask leaf by leaf for one reading, or give it."""
        found = ask_leaves(_place(job), answers, prefix)
        if isinstance(found, LeafBracket):
            return _read(found)
        anew = () if number == 1 else (f"Reading {number}: start fresh.",)
        return self._drawn(replace(found, lines=(*anew, *found.lines)), job, AtStep("leaf"))

    def as_found(
        self,
        step: StepT,
        job: CheckContext,
        answers: Answers,
        outcome: Outcome,
        goes: Toward | None = None,
    ) -> StepT:
        """Draw the gap as it was found, to its limits."""
        width, limits = outcome.estimate.error, job.tolerance
        way = (width > limits.high) - (width < limits.low)
        return self._drawn(step, job, AtStep(FOUND, way))

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the gap, to its limits once it is found."""
        return gap((job.geometry.datum, job.geometry.face or job.point), seen, size)

    def _drawn(self, step: StepT, job: CheckContext, seen: AtStep) -> StepT:
        return drawn(step, partial(self.sketch, job, seen))

    def estimate_of(self, job: CheckContext, sets: Sequence[_Read]) -> Estimate:
        """Give the gap, or the mean of several readings."""
        goes, refused = _mean_ends(sets)
        found = _estimate(goes, refused, _leaves(job).leaf_tolerance, len(sets))
        return by_own_hand(found, job.hands)

    def evaluate(self, job: CheckContext, sets: Sequence[_Read]) -> Outcome:
        """Turn readings into an outcome."""
        feelers, tolerance = _leaves(job), job.tolerance
        single, found = self.estimate_of(job, sets[:1]), self.estimate_of(job, sets)
        results = [self.estimate_of(job, [one]).error for one in sets]
        found = found._replace(budget=budget_of_leaves(found.budget, single.budget, results))
        goes, refused = _mean_ends(sets)
        lean = "within its limits"
        if found.error > tolerance.high:
            lean = job.geometry.light_at_top or "wider than its upper limit"
        elif found.error < tolerance.low:
            lean = job.geometry.light_at_bottom or "tighter than its lower limit"
        return Outcome(
            method=self.name,
            estimate=found,
            tolerance=tolerance,
            kind=self.kind,
            level=job.level,
            called="Gap",
            lean=lean,
            aims=("The gap must close.", "The gap must open."),
            working=_workings(sets, results, job.unit),
            adds=_adds(goes, refused),
            readings={
                "gap_nm": [round(goes * 1e6), round(refused * 1e6)],
                "feelers": feelers.name,
                "repeats": as_read(single.budget, results, RECORD_UNITS["length"][1]),
                "tries": sum(one.bracket.tries for one in sets),
                **({"sets": [as_kept(one) for one in sets]} if len(sets) > 1 else {}),
            },
        )

    def best(self, job: CheckContext) -> Estimate:
        """Give the tightest reading of a gap in the middle of its limits."""
        feelers = _leaves(job)
        reading = best_reading(max(job.tolerance.middle, 0.0), feelers)
        found = _estimate(reading.goes, reading.refused, feelers.leaf_tolerance)
        return by_own_hand(found, job.hands)

    def of_true_points(self, job: CheckContext) -> Sequence[Estimate]:
        """Give what gaps within the limits are measured as, leaf by leaf."""
        gaps = {max(gap, 0.0) for gap in true_errors(job.tolerance)}
        return [self._felt(job, gap) for gap in sorted(gaps)]

    def surest(self, job: CheckContext, shown: Sequence[Estimate]) -> float:
        """Give the highest probability of conformity that a gap between two leaves can have."""
        leaves = _leaves(job)

        def held(goes: float, refused: float, count: int) -> Estimate:
            del count
            return by_own_hand(_estimate(max(goes, 0.0), refused, leaves.leaf_tolerance), job.hands)

        return surest(job.tolerance, shown, leaves, held)

    def _felt(self, job: CheckContext, gap: float) -> Estimate:
        feelers, tries = _leaves(job), list[Try]()
        while (stack := _next(job, feelers, bracket_of(tries), len(tries))) is not None:
            tries.append(Try(stack.thickness, stack.thickness <= gap))
        known = bracket_of(tries)
        refused = known.refused or best_reading(gap, feelers).refused
        return by_own_hand(_estimate(known.goes, refused, feelers.leaf_tolerance), job.hands)

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        goes, refused = given.number("goes"), given.number("refused")
        if refused <= goes + 1e-6:
            raise ReckoningError(["the leaf that goes must be thinner than the leaf that won't go"])
        if refused > WIDEST_MM:
            raise ReckoningError([f"refused={values['refused'][:60]}: {_TOO_WIDE}"])
        return Outcome(
            method=self.name,
            estimate=_estimate(goes, refused, LEAF_TOLERANCE_MM),
            tolerance=tolerance_of(given, self.kind),
            kind=self.kind,
            working=_working(goes, refused, "inch"),
            adds=_adds(goes, refused),
        )


def _leaves(job: CheckContext) -> FeelerSet:
    if not job.drawer.feelers:
        raise NotPossibleError("this check needs a set of feeler leaves among your tools")
    return job.drawer.feelers[0]


def _estimate(goes: float, refused: float, leaf_tolerance: float, count: int = 1) -> Estimate:
    """Give a gap between two leaves, or of several readings the mean: see `square.estimate`."""
    gap = leaf_input("gap", goes, refused, leaf_tolerance)
    found = propagate(lambda read: read["gap"], {"gap": gap})
    sources = [
        feel_of_all(one.u / math.sqrt(count)) if one.hand == LEAF else one
        for one in found.budget.sources
    ]
    return Estimate(found.error, Budget(tuple(sources)), size=True)


def _mean_ends(sets: Sequence[_Read]) -> tuple[float, float]:
    return fmean(one.bracket.goes for one in sets), fmean(one.bracket.refused for one in sets)


def _place(job: CheckContext) -> LeafPlace:
    feelers = _leaves(job)
    return LeafPlace(
        feelers,
        "in the gap",
        lambda known, tried: _next(job, feelers, known, tried),
        (job, feelers),
        widest=WIDEST_MM,
        too_wide=_TOO_WIDE,
        how="Slide it in without force; if you have to push it, it won't go.",
        below_none="0 is the least",
        too_thick="did not go already",
    )


def _next(job: CheckContext, feelers: FeelerSet, known: Bracket, tried: int) -> Stack | None:
    """Choose the next leaf; None when another one would decide nothing."""
    tolerance, candidates = job.tolerance, stacks(feelers)
    if known.refused is not None:
        read = _estimate(known.goes, known.refused, feelers.leaf_tolerance)
        spread = by_own_hand(read, job.hands).spread
        found = verdict(probability_within(spread, tolerance), job.level)
        fine = known.width / 2 <= FINE_ENOUGH * tolerance.half_width
        if found == "true" or (found == "out" and fine):
            return None
    upper = max(tolerance.high, 0.0)
    if known.refused is None and known.goes:
        at_upper = [one for one in candidates if known.goes < one.thickness <= upper + 1e-4]
        if at_upper:  # the lower limit went: the upper one decides
            return min(reversed(at_upper), key=lambda one: (len(one.leaves), -one.thickness))
    # Begin at the lower limit, which must go; where there is none, at the upper one.
    return next_stack(candidates, known, tried, first=max(tolerance.low, 0.0) or upper)


def _workings(sets: Sequence[_Read], results: Sequence[float], unit: Unit) -> tuple[str, ...]:
    lines = [line for one in sets for line in _working(one.bracket.goes, one.bracket.refused, unit)]
    mean = (f"mean of {len(results)}: {leaf(fmean(results), unit)}",) if len(results) > 1 else ()
    return (*lines, *mean)


def _working(goes: float, refused: float, unit: Unit) -> tuple[str, ...]:
    middle = leaf((goes + refused) / 2, unit)
    return (
        f"gap between {leaf(goes, unit)} (goes) and {leaf(refused, unit)} (won't): middle {middle}",
    )


def _adds(goes: float, refused: float) -> dict[str, object]:
    return {"from": value_json(goes, "length"), "to": value_json(refused, "length")}


METHOD = LeafGap()
