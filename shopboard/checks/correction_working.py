"""How a correction follows from error, lever and screw, as the person would work it by hand."""

from __future__ import annotations

from shopboard.checks.advice import advance_shown, correction_of
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.settable import can_be_set
from shopboard.metrology.adjuster import Correction, Screw, Shim
from shopboard.metrology.kind import measure
from shopboard.metrology.wording import leaf, length, turns


def correction_working(job: CheckContext, outcome: Outcome) -> tuple[str, ...]:
    """Write how far something is moved, line by line; empty where nothing is, or it has no sum."""
    if job.adjuster is None or outcome.verdict is None or outcome.moves:
        return ()
    if not can_be_set(job, outcome):
        return ()
    found = correction_of(job, outcome, insist=True)
    if found.leave:
        return ()
    error, kind, unit = outcome.estimate.error, outcome.kind, job.unit
    middle = job.set_to.as_it_counts(size=outcome.estimate.size).middle
    away = measure(error - middle, kind, unit, signed=True)
    lines = []
    if middle:
        was, wanted = (measure(one, kind, unit, signed=True) for one in (error, middle))
        lines.append(f"away from the middle = {was} less {wanted} = {away}")
    moved = leaf(found.move, unit)
    span = job.adjuster.span if isinstance(job.adjuster, Shim) else job.adjuster.arm
    if kind != "angle":
        lines.append(f"move = {moved}: the error itself, with no arm in between")
    else:
        what = "between the seats" if isinstance(job.adjuster, Shim) else "from pivot to screw"
        what = what if isinstance(job.adjuster, Screw | Shim) else "from the snug bolt to that end"
        lines.append(f"move = tan({away}) x {length(span, unit)} ({what}) = {moved}")
    if isinstance(job.adjuster, Screw):
        lines += _turn(job, job.adjuster, outcome, found)
    if found.shims:
        stack = sum(found.shims)
        lines.append(f"closest shims that you have: {leaf(stack, unit)}")
    return ("to set it right:", *lines)


def _turn(job: CheckContext, screw: Screw, outcome: Outcome, found: Correction) -> list[str]:
    """Write how the turn follows from the move."""
    shown = advance_shown(job, outcome)
    thread = leaf(screw.pitch, job.unit)
    each = f"one turn moves it {thread}, by its thread"
    if shown is not None:
        each = f"one turn moved it {leaf(shown, job.unit)} before; by its thread it would {thread}"
    per_turn = leaf(shown if shown is not None else screw.pitch, job.unit)
    way = "clockwise" if found.clockwise else "anticlockwise"
    lines = [
        each,
        f"turn = {leaf(found.move, job.unit)} / {per_turn} = {found.turns:.3f}"
        f" = {turns(found.turns)}, {way}",
    ]
    if found.overrun:
        lines.append("it ends clockwise, so that the thread bears on the same side as before")
    return lines
