"""Square and feeler, from readings to a finding: error, verdict, correction, what a screw did."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shopboard.checks.advice import correction_of
from shopboard.checks.job import Job
from shopboard.checks.outcome import Outcome
from shopboard.checks.reading import Read
from shopboard.checks.tools import Tools
from shopboard.checks.working import square_working
from shopboard.metrology.adjuster import Screw, advance_per_turn
from shopboard.metrology.quantity import parse_turns
from shopboard.metrology.reach import set_up
from shopboard.metrology.square import estimate, square_error
from shopboard.metrology.wording import both

TELLING_CHANGE = 4.0
"""A change must be this many times its uncertainty before a screw's advance is learnt from it:
known to a quarter, or not at all."""


@dataclass(frozen=True)
class Run:
    """One finished measurement within a check."""

    prefix: str
    """Put before the keys of its answers."""
    outcome: Outcome
    tools: Tools


def evaluate(
    job: Job, tools: Tools, read: Read, turned: Read | None, screw: Mapping[str, object]
) -> Outcome:
    """Turn one or two finished readings into an outcome.

    Args:
        job: the point.
        tools: what was used.
        read: the reading.
        turned: the reading with the square turned over, light named as the first would name it.
        screw: what the screw did since the run before, from `what_the_screw_did`.
    """
    leaves = max(read.leaves, turned.leaves if turned else 1)
    setup = set_up(tools.square, tools.feelers, tools.lever, leaves)
    second = turned.reading if turned else None
    found = estimate(setup, read.reading, second)
    notes = []
    if second is not None:
        own = square_error(setup, read.reading, second)
        notes.append(f"The square itself reads off by {both(own, job.unit)}.")
        allowed = tools.square.limit + abs(tools.square.known_error) + 2 * tools.square.known_u
        if abs(own) > allowed + found.budget.expanded:
            notes.append("That is more than it may be off: read both again, or prove the square.")
    if screw.get("wrong_way"):
        notes.append("It moved the other way than the shop file says: see 'clockwise' there.")
    readings: dict[str, object] = {
        "light": read.reading.light,
        "gap_nm": [nanometres(end) for end in read.reading.ends],
        "turned_gap_nm": [nanometres(end) for end in second.ends] if second else None,
        "lever_nm": nanometres(tools.lever),
        "square": tools.square.name,
        "feelers": tools.feelers.name,
        "tries": read.tries + (turned.tries if turned else 0),
        "screw": dict(screw) or None,
    }
    return Outcome(
        method="square",
        estimate=found,
        tolerance=job.tolerance,
        level=job.level,
        working=square_working(setup, read.reading, second, job.unit),
        note=" ".join(notes),
        readings=readings,
    )


def nanometres(mm: float) -> int:
    """Give a length as the whole nanometres that a record keeps."""
    return round(mm * 1e6)


def what_the_screw_did(job: Job, before: Run, after: Outcome, turned_by: str) -> dict[str, object]:
    """Learn a screw's real advance from the run before and the run after it was turned.

    Args:
        job: the point; its adjuster is a screw.
        before: the run that the correction came from.
        after: the run after locking.
        turned_by: the person's answer, in the sense that was advised.
    """
    if not isinstance(job.adjuster, Screw):
        return {}
    advised = correction_of(job, before.outcome, insist=True)
    turned = parse_turns(turned_by) * (1 if advised.clockwise else -1)
    did: dict[str, object] = {"turns": turned}
    error, error_before = after.estimate.error, before.outcome.estimate.error
    u = math.hypot(after.estimate.budget.u_of_change, before.outcome.estimate.budget.u_of_change)
    if turned == 0 or abs(error - error_before) < TELLING_CHANGE * u:
        return did
    advance = advance_per_turn(job.adjuster, error_before, error, turned)
    if advance < 0:
        return {**did, "wrong_way": True}
    return {**did, "nm_per_turn": nanometres(advance)}
