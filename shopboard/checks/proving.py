"""What the checks share that prove a tool of the drawer rather than a machine."""

from __future__ import annotations

from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.job import Job
from shopboard.checks.outcome import Outcome
from shopboard.metrology.kind import Kind, measure

USUAL_LENGTH_MM = 150.0
"""Length of a square's blade where the shop file tells none: common practice, no source."""

LIGHT_AT_TOP = "its blade leans toward its stock: light at the top against a true face"
LIGHT_AT_BOTTOM = "its blade leans away from its stock: light at the bottom against a true face"


def blade_length(job: Job) -> float:
    """Give the length, mm, over which a square is proven: of the point's sizes, or its blade."""
    blades = [square.length for square in job.drawer.squares if square.id == job.proves]
    return job.sizes.get("length", blades[0] if blades else USUAL_LENGTH_MM)


def tool_name(job: Job) -> str:
    """Name the tool that the point proves; the point itself where it names none."""
    names = {tool.id: tool.name for tool in job.drawer.squares}
    names |= {tool.id: tool.name for tool in job.drawer.others}
    return names.get(job.proves, job.point)


def proven(
    job: Job, outcome: Outcome, kind: Kind, plus: str, minus: str, more: str = ""
) -> Outcome:
    """Put the tool and the direction of its error into an outcome, and what follows from it."""
    estimate = outcome.estimate
    notes = [more] if more else []
    if job.proves:
        expanded = measure(estimate.budget.expanded, kind, job.unit)
        error = measure(estimate.error, kind, job.unit, signed=True)
        notes.append(f"Once recorded, the drawer takes {tool_name(job)} as {error} ± {expanded}.")
    return replace(
        outcome,
        lean=which_way(estimate, kind, job.unit, plus, minus),
        note=" ".join(notes),
        readings={**outcome.readings, "proves": job.proves},
    )
