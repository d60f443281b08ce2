"""What the checks share that prove a tool of the drawer rather than a machine."""

from __future__ import annotations

from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.metrology.kind import Kind, measure, with_expanded
from shopboard.metrology.uncertainty import Estimate

USUAL_LENGTH_MM = 150.0
"""Length of a square's blade where the shop file tells none: common practice, no source."""

LIGHT_AT_TOP = "its blade leans toward its stock: light at the top against a true face"
LIGHT_AT_BOTTOM = "its blade leans away from its stock: light at the bottom against a true face"


def blade_length(job: CheckContext) -> float:
    """Give the length, mm, over which a square is proven: of the point's sizes, or its blade."""
    blades = [square.length for square in job.drawer.squares if square.id == job.proves]
    return job.sizes.get("length", blades[0] if blades else USUAL_LENGTH_MM)


def tool_name(job: CheckContext) -> str:
    """Name the tool that the point proves; the point itself where it names none."""
    names = {tool.id: tool.name for tool in job.drawer.squares}
    names |= {tool.id: tool.name for tool in job.drawer.others}
    return names.get(job.proves, job.point)


def _as(job: CheckContext, estimate: Estimate, kind: Kind) -> str:
    """Say what the drawer takes: a square's own error is corrected for, a bow either way is not."""
    expanded = estimate.budget.expanded
    if kind == "length":
        return f"straight within {measure(abs(estimate.error) + expanded, kind, job.unit)}"
    return with_expanded(estimate.error, expanded, kind, job.unit)


def _finer(job: CheckContext, estimate: Estimate, kind: Kind) -> str:
    """Warn of a proof that agrees with what the drawer has, and is coarser than that."""
    expanded, error = estimate.budget.expanded, estimate.error
    known = [
        (one.known_error, one.limit + 2 * one.known_u)
        for one in job.drawer.squares
        if one.id == job.proves
    ]
    known += [(0.0, one.limit) for one in job.drawer.others if one.id == job.proves]
    coarser = abs(error) + expanded if kind == "length" else expanded
    for middle, within in known:
        if abs(error - middle) <= expanded + within and within < coarser:
            return f"; what it takes now, ± {measure(within, kind, job.unit)}, is finer"
    return ""


def proven(
    job: CheckContext, outcome: Outcome, kind: Kind, plus: str, minus: str, more: str = ""
) -> Outcome:
    """Put the tool and the direction of its error into an outcome, and what follows from it."""
    estimate = outcome.estimate
    notes = [more] if more else []
    if job.proves:
        takes = f"Once saved, the checks take {tool_name(job)} as {_as(job, estimate, kind)}"
        notes.append(f"{takes}{_finer(job, estimate, kind)}.")
    return replace(
        outcome,
        lean=which_way(estimate, kind, job.unit, plus, minus),
        note=" ".join(notes),
        readings={**outcome.readings, "proves": job.proves},
    )
