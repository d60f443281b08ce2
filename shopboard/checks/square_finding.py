"""Square and feeler, from readings to an outcome: error, budget, what else must be said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Taken
from shopboard.checks.inputs import off_at_most
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.mean_of_sets import apart_by, budget_of_leaves
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import as_read, by_own_hand
from shopboard.checks.reading import Read
from shopboard.checks.repeats import as_kept
from shopboard.checks.tools import Tools
from shopboard.checks.working import square_working
from shopboard.metrology.kind import RECORD_UNITS
from shopboard.metrology.propagate import Input
from shopboard.metrology.quantity import Unit
from shopboard.metrology.reach import set_up
from shopboard.metrology.square import SetUp, SquareReading, estimate, square_error
from shopboard.metrology.uncertainty import Budget, Estimate
from shopboard.metrology.wording import both


@dataclass(frozen=True, kw_only=True)
class SquareSet(Taken):
    """One finished measurement: a reading, and one with the square turned over, or none."""

    tools: Tools
    read: Read
    turned: Read | None = None
    """Light is named as the first reading would name it."""

    @property
    def readings(self) -> tuple[SquareReading, ...]:
        """Its readings as numbers."""
        return tuple(one.reading for one in (self.read, self.turned) if one is not None)


def as_set(tools: Tools, read: Read, turned: Read | None = None) -> SquareSet:
    """Put a measurement together."""
    gaps = {"gap": read, "turned_gap": turned}
    inputs = {name: Input(one.reading.middle) for name, one in gaps.items() if one}
    return SquareSet(inputs, {}, tools=tools, read=read, turned=turned)


def estimate_of(job: CheckContext, sets: Sequence[SquareSet]) -> Estimate:
    """Give the error, or the mean of several measurements with the same tools, and its budget."""
    more = [reading for one in sets[1:] for reading in one.readings]
    return by_own_hand(estimate(_set_up(sets), *_first(sets[0]), more), job.hands)


def beyond_its_grade(job: CheckContext, sets: Sequence[SquareSet]) -> float:
    """Give by how much more the square reads off than it may be, rad; 0 where it does not."""
    own, square = _own_error(sets), sets[0].tools.square
    if own is None:
        return 0.0
    excess = abs(own) - off_at_most(square)
    return excess if excess > estimate_of(job, sets).budget.expanded else 0.0


def evaluate(job: CheckContext, sets: Sequence[SquareSet]) -> Outcome:
    """Turn finished measurements with the same tools into an outcome.

    Args:
        job: the point.
        sets: each turned over, or none of them.
    """
    first, tools, setup = sets[0], sets[0].tools, _set_up(sets)
    reading, second = _first(first)
    more = [one for later in sets[1:] for one in later.readings]
    single = estimate_of(job, sets[:1])
    errors = [estimate_of(job, [one]).error for one in sets]
    found = estimate_of(job, sets)
    found = found._replace(budget=budget_of_leaves(found.budget, single.budget, errors))
    notes = []
    own = _own_error(sets)
    if own is not None:
        notes.append(f"The square itself reads off by {both(own, job.unit)}.")
        excess = beyond_its_grade(job, sets)
        if excess:
            notes.append("That is more than it may be off: prove the square.")
            found = found._replace(budget=Budget((*found.budget.sources, apart_by(excess))))
    readings: dict[str, object] = {
        "light": reading.light,
        "gap_nm": _mean_ends([one.read.reading for one in sets]),
        "turned_gap_nm": _mean_ends([one.turned.reading for one in sets if one.turned]) or None,
        "lever_nm": nanometres(tools.lever),
        "square": tools.square.name,
        "feelers": tools.feelers.name,
        "tool_ids": [tools.square.id, tools.feelers.id],
        "repeats": as_read(single.budget, errors, RECORD_UNITS["angle"][1]),
        "tries": sum(one.tries for later in sets for one in (later.read, later.turned) if one),
    }
    if len(sets) > 1:
        readings["sets"] = [as_kept(one) for one in sets]
    return Outcome(
        method="square",
        estimate=found,
        tolerance=job.tolerance,
        level=job.level,
        lean=_lean(job.geometry, found, job.unit),
        aims=_aims(job.geometry),
        working=square_working(setup, reading, second, job.unit, more),
        note=" ".join(notes),
        readings=readings,
        can_turn=second is None and job.geometry.turn != "no",
    )


def _set_up(sets: Sequence[SquareSet]) -> SetUp:
    tools = sets[0].tools
    leaves = max(one.leaves for later in sets for one in (later.read, later.turned) if one)
    return set_up(tools.square, tools.feelers, tools.lever, leaves)


def _first(one: SquareSet) -> tuple[SquareReading, SquareReading | None]:
    return one.read.reading, one.turned.reading if one.turned else None


def _own_error(sets: Sequence[SquareSet]) -> float | None:
    """Give the square's own error that turning it over shows, rad; None where it was not."""
    turned = [(one.read.reading, one.turned.reading) for one in sets if one.turned]
    setup = _set_up(sets)
    return fmean(square_error(setup, *pair) for pair in turned) if turned else None


def _mean_ends(readings: Sequence[SquareReading]) -> list[int]:
    """Give the lowest and the highest gap as a record keeps it, of several their mean."""
    ends = zip(*(one.ends for one in readings), strict=True)
    return [nanometres(fmean(end)) for end in ends]


def _lean(geometry: Geometry, found: Estimate, unit: Unit) -> str:
    """Say which way the face leans, in the shop's own words where it gives them."""
    top = geometry.ends[0]
    return which_way(
        found,
        "angle",
        unit,
        geometry.light_at_top or f"leans away from the square at the {top}",
        geometry.light_at_bottom or f"leans toward the square at the {top}",
    )


def _aims(geometry: Geometry) -> tuple[str, str]:
    top = geometry.ends[0]
    return f"The {top} must move toward the square.", f"The {top} must move away from the square."


def nanometres(mm: float) -> int:
    """Give a length as the whole nanometres that a record keeps."""
    return round(mm * 1e6)
