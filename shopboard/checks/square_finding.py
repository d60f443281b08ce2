"""Square and feeler, from readings to an outcome: error, budget, what else must be said."""

from __future__ import annotations

from shopboard.checks.advice import which_way
from shopboard.checks.job import Geometry, Job
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import as_read, by_own_hand
from shopboard.checks.reading import Read
from shopboard.checks.tools import Tools
from shopboard.checks.working import square_working
from shopboard.metrology.kind import RECORD_UNITS
from shopboard.metrology.quantity import Unit
from shopboard.metrology.reach import set_up
from shopboard.metrology.square import estimate, square_error
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.metrology.wording import both


def evaluate(job: Job, tools: Tools, read: Read, turned: Read | None) -> Outcome:
    """Turn one or two finished readings into an outcome.

    Args:
        job: the point.
        tools: what was used.
        read: the reading.
        turned: the reading with the square turned over, light named as the first would name it.
    """
    leaves = max(read.leaves, turned.leaves if turned else 1)
    setup = set_up(tools.square, tools.feelers, tools.lever, leaves)
    second = turned.reading if turned else None
    found = by_own_hand(estimate(setup, read.reading, second), job.hands)
    notes = []
    if second is not None:
        own = square_error(setup, read.reading, second)
        notes.append(f"The square itself reads off by {both(own, job.unit)}.")
        allowed = tools.square.limit + abs(tools.square.known_error) + 2 * tools.square.known_u
        excess = abs(own) - allowed
        if excess > found.budget.expanded:
            notes.append("That is more than it may be off: read both again, or prove the square.")
            disagree = Source.within("the two readings disagree", excess)
            found = Estimate(found.error, Budget((*found.budget.sources, disagree)))
    readings: dict[str, object] = {
        "light": read.reading.light,
        "gap_nm": [nanometres(end) for end in read.reading.ends],
        "turned_gap_nm": [nanometres(end) for end in second.ends] if second else None,
        "lever_nm": nanometres(tools.lever),
        "square": tools.square.name,
        "feelers": tools.feelers.name,
        "tool_ids": [tools.square.id, tools.feelers.id],
        "repeats": as_read(found.budget, [found.error], RECORD_UNITS["angle"][1]),
        "tries": read.tries + (turned.tries if turned else 0),
    }
    return Outcome(
        method="square",
        estimate=found,
        tolerance=job.tolerance,
        level=job.level,
        lean=_lean(job.geometry, found, job.unit),
        aims=_aims(job.geometry),
        working=square_working(setup, read.reading, second, job.unit),
        note=" ".join(notes),
        readings=readings,
    )


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
    return f"The {top} must go toward the square.", f"The {top} must go away from the square."


def nanometres(mm: float) -> int:
    """Give a length as the whole nanometres that a record keeps."""
    return round(mm * 1e6)
