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
from statistics import fmean

from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.inputs import leaf_input
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.mean_of_sets import budget_of_leaves
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import as_read, by_own_hand
from shopboard.checks.reading import WIDER_LEAST, WIDER_MOST
from shopboard.checks.reckoning import Field, ReckoningError, read_fields, tolerance_of
from shopboard.checks.repeats import SetsRead, as_kept
from shopboard.checks.report import value_json
from shopboard.checks.steps import Choice, Do, Number, Option, Step
from shopboard.checks.walk import Answers
from shopboard.metrology.conformity import probability_within, verdict
from shopboard.metrology.feeler import Bracket, Stack, Try, bracket_of, fills, next_stack, stacks
from shopboard.metrology.instruments import LEAF_TOLERANCE_MM, FeelerSet
from shopboard.metrology.kind import RECORD_UNITS, Kind
from shopboard.metrology.own_hand import LEAF
from shopboard.metrology.propagate import Input, propagate
from shopboard.metrology.quantity import Unit, parse_length
from shopboard.metrology.reach import best_reading, surest, true_errors
from shopboard.metrology.square import feel_of_all
from shopboard.metrology.uncertainty import Budget, Estimate
from shopboard.metrology.wording import as_typed, leaf

_TOO_WIDE = "that is more than leaves read"
WIDEST_MM = 20.0
"""Wider gaps are no work for leaves."""

FINE_ENOUGH = 0.25
"""A gap that is out and must be set is read until its bracket's half-width is below this share of
the tolerance's half-width; one that is proven true needs no further leaf."""


@dataclass(frozen=True, kw_only=True)
class _Read(Taken):
    """A finished reading, mm."""

    goes: float
    refused: float
    tries: int


def _read(goes: float, refused: float, tries: int) -> _Read:
    gap = {"goes": Input(goes), "refused": Input(refused)}
    return _Read(gap, {}, goes=goes, refused=refused, tries=tries)


class LeafGap(GuidedCheck):
    """The guided check."""

    name = "leaf-gap"
    title = "Gap by feeler leaves"
    kind: Kind = "length"
    reads_again = True
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
        return Do(
            key="place",
            title="Take the feeler leaves; wipe leaves and gap clean.",
            lines=(f"The gap: {where}.", *datum, f"With: {feelers.name}."),
        )

    def measure(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask leaf by leaf, again where that may settle it, or give the outcome."""
        repeats = SetsRead[_Read](self, job, answers, prefix)
        return repeats.lead(lambda sets: _evaluate(job, sets), ask_in_vain=False)

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Name what a file of answers gives to read it again."""
        del job
        return (Pick("goes", "", ()), Pick("refused", "", ()))

    def take(self, job: CheckContext, answers: Answers, prefix: str, number: int) -> Step | _Read:
        """Ask leaf by leaf for one reading, or give it."""
        read = _ask_leaves(job, answers, prefix)
        if isinstance(read, _Read) or number == 1:
            return read
        anew = f"Reading {number}: as if for the first time."
        return replace(read, lines=(anew, *read.lines))

    def found_in(self, job: CheckContext, taken: _Read) -> float:
        """Give the gap from one reading."""
        del job
        return (taken.goes + taken.refused) / 2

    def error_of(self, job: CheckContext, taken: _Read) -> float:
        """Give it as it is held against those of others."""
        return self.found_in(job, taken)

    def repeats_within(self, job: CheckContext, taken: _Read) -> float:
        """Give the standard deviation by which one repeats, mm."""
        return _estimate_of(job, [taken]).budget.u_repeat

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
        feelers, candidates = _leaves(job), stacks(_leaves(job))
        tries: list[Try] = []
        while (stack := _next(job, feelers, bracket_of(tries), candidates, len(tries))) is not None:
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
        raise NotPossibleError("this check needs a set of feeler leaves in the drawer")
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


def _estimate_of(job: CheckContext, sets: Sequence[_Read]) -> Estimate:
    goes, refused = (fmean(ends) for ends in zip(*_ends(sets), strict=True))
    found = _estimate(goes, refused, _leaves(job).leaf_tolerance, len(sets))
    return by_own_hand(found, job.hands)


def _ends(sets: Sequence[_Read]) -> list[tuple[float, float]]:
    return [(one.goes, one.refused) for one in sets]


def _ask_leaves(job: CheckContext, answers: Answers, prefix: str) -> Step | _Read:
    feelers = _leaves(job)
    candidates = stacks(feelers)
    tries: list[Try] = []
    while True:
        known = bracket_of(tries)
        stack = _next(job, feelers, known, candidates, len(tries))
        if stack is None and known.refused is not None:
            return _read(known.goes, known.refused, len(tries))
        key = f"{prefix}leaf{len(tries) + 1}"
        if stack is None or answers.get(key) == "typed":
            return _ask_typed(feelers, answers, prefix, known, len(tries))
        if key not in answers:
            return _ask_leaf(feelers, prefix, key, stack, known)
        tries.append(Try(stack.thickness, answers[key] == "goes"))


def _next(
    job: CheckContext, feelers: FeelerSet, known: Bracket, candidates: tuple[Stack, ...], tried: int
) -> Stack | None:
    """Choose the next leaf; None when another one would decide nothing."""
    tolerance = job.tolerance
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


def _ask_leaf(feelers: FeelerSet, prefix: str, key: str, stack: Stack, known: Bracket) -> Choice:
    unit = feelers.unit
    said = [f"{leaf(known.goes, unit)} goes"] if known.goes else []
    if known.refused is not None:
        said.append(f"{leaf(known.refused, unit)} won't go")
    held = " + ".join(leaf(one, unit) for one in stack.leaves)
    together = f"Hold together {held}. " if len(stack.leaves) > 1 else ""
    return Choice(
        key=key,
        title=f"Try {leaf(stack.thickness, unit)} at the gap.",
        lines=(
            f"{together}Slide it in without force; what must be pushed won't go.",
            *((f"So far: {', '.join(said)}",) if said else ()),
        ),
        big=leaf(stack.thickness, unit),
        options=(
            Option("goes", "goes in"),
            Option("refused", "won't go"),
            Option("typed", "type the two leaves instead"),
        ),
        implied_by=((f"{prefix}goes", "typed"), (f"{prefix}refused", "typed")),
    )


def _ask_typed(
    feelers: FeelerSet, answers: Answers, prefix: str, known: Bracket, tries: int
) -> Step | _Read:
    """Ask for the two leaves; they must agree with what the leaves tried so far have shown."""
    goes_key, refused_key, unit = f"{prefix}goes", f"{prefix}refused", feelers.unit
    did_not = "" if known.refused is None else f"{leaf(known.refused, unit)} did not go already"
    if goes_key not in answers:
        return Number(
            key=goes_key,
            title="Which is the thickest that goes?",
            lines=(
                *(("Type 0 when the thinnest leaf won't go.",) if not known.goes else ()),
                *(() if known.refused else (WIDER_LEAST,)),
            ),
            unit=unit,
            above=known.goes,
            may_equal=True,
            at_most=WIDEST_MM if known.refused is None else known.refused - 1e-4,
            too_small=f"{leaf(known.goes, unit)} went already" if known.goes else "0 is the least",
            too_large=did_not or _TOO_WIDE,
        )
    goes = parse_length(answers[goes_key], unit).mm
    if refused_key not in answers:
        typed = as_typed(answers[goes_key], goes, unit)
        return Number(
            key=refused_key,
            title="Which is the thinnest that won't go?",
            lines=(
                *((f"{typed} goes.",) if goes else ()),
                *(() if fills(feelers, goes) else (WIDER_MOST,)),
            ),
            unit=unit,
            above=goes,
            at_most=WIDEST_MM if known.refused is None else known.refused,
            too_small=f"{typed} goes, so what won't go must be thicker",
            too_large=did_not or _TOO_WIDE,
        )
    return _read(goes, parse_length(answers[refused_key], unit).mm, tries + 2)


def _evaluate(job: CheckContext, sets: Sequence[_Read]) -> Outcome:
    feelers, tolerance = _leaves(job), job.tolerance
    single, found = _estimate_of(job, sets[:1]), _estimate_of(job, sets)
    results = [_estimate_of(job, [one]).error for one in sets]
    found = found._replace(budget=budget_of_leaves(found.budget, single.budget, results))
    goes, refused = (fmean(ends) for ends in zip(*_ends(sets), strict=True))
    lean = "within its limits"
    if found.error > tolerance.high:
        lean = job.geometry.light_at_top or "wider than its upper limit"
    elif found.error < tolerance.low:
        lean = job.geometry.light_at_bottom or "tighter than its lower limit"
    return Outcome(
        method="leaf-gap",
        estimate=found,
        tolerance=tolerance,
        kind="length",
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
            "tries": sum(one.tries for one in sets),
            **({"sets": [as_kept(one) for one in sets]} if len(sets) > 1 else {}),
        },
    )


def _workings(sets: Sequence[_Read], results: Sequence[float], unit: Unit) -> tuple[str, ...]:
    lines = [line for one in sets for line in _working(one.goes, one.refused, unit)]
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
