"""What a result says in words, the same on the screen and in plain lines."""

from __future__ import annotations

from shopboard.checks.advice import correction_lines, correction_of, to_do
from shopboard.checks.correction_steps import how_far
from shopboard.checks.in_numbers import Found, end_in, in_numbers, share_of
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.scale import DrawnScale, scale
from shopboard.checks.settable import can_be_set
from shopboard.checks.settle import what_would_settle
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.kind import KINDS, YES_NO_WORDS, Kind, own_units
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import short_turn

_NAMED: dict[Kind, str] = {"stress": "Stress", "time": "Time", "speed": "Speed"}
"""What is no error, but the value itself."""


def found_of(outcome: Outcome) -> Found:
    """Give the numbers of a result."""
    estimate, called = outcome.estimate, outcome.called or _NAMED.get(outcome.kind, "Error")
    numbers = (estimate.error, estimate.budget.expanded)
    return Found(*numbers, outcome.kind, outcome.tolerance, outcome.used, estimate.size, called)


def share_words(outcome: Outcome, unit: Unit) -> str:
    """Say how much of its tolerance a result takes; empty: no tolerance is set."""
    return share_of(found_of(outcome), unit)


def number_words(outcome: Outcome, unit: Unit) -> tuple[str, ...]:
    """Write error, uncertainty and tolerance, one unit a line, the shop's first."""
    return in_numbers(found_of(outcome), unit)


def scale_of(outcome: Outcome, unit: Unit, width: int) -> DrawnScale | None:
    """Draw a result against its tolerance, in the shop's unit; None where nothing is measured."""
    limits, kind = outcome.tolerance, outcome.kind
    if limits is None or kind in YES_NO_WORDS:
        return None
    name, estimate = own_units(kind, unit)[-1], outcome.estimate
    low = 0.0 if limits.is_one_sided(size=estimate.size) else limits.low
    plus = "+" if KINDS[kind].departs and low < 0 else ""
    labels = {limits.high: f"{plus}{end_in(limits.high, limits, name)}"}
    labels[low] = end_in(low, limits, name)
    if low < 0 < limits.high:
        labels[0.0] = "0"
    ends = (low, limits.high)
    return scale(estimate.error, estimate.budget.expanded, ends, labels, width)


def moves_of(outcome: Outcome, job: CheckContext) -> tuple[str, ...]:
    """Say what to turn, tap or pack of what is out, a sentence each; empty: nothing."""
    if outcome.verdict != "out" or not can_be_set(job, outcome):
        return ()
    correction = correction_of(job, outcome)
    return () if correction.leave else to_do(job, outcome, correction)


def large_moves(outcome: Outcome, job: CheckContext) -> tuple[str, ...]:
    """Say the same for two metres: which way and how far a screw goes, past it and back."""
    moves = moves_of(outcome, job)
    if not moves or outcome.moves or not isinstance(job.adjuster, Screw):
        return moves[:1]
    correction = correction_of(job, outcome)
    slack = short_turn(correction.overrun)
    past = (f"overshoot {slack}, then back clockwise {slack}",) if correction.overrun else ()
    return (f"turn {how_far(job, correction)}", *past)


def sentences(outcome: Outcome, job: CheckContext) -> tuple[tuple[str, str], ...]:
    """Give what else is said of a result, each with its style.

    That is its note, what would settle it, and what to do beside the moves.
    """
    moves = moves_of(outcome, job)
    todo = [one for one in correction_lines(job, outcome) if one not in moves]
    said = [(outcome.note, "near"), (what_would_settle(outcome), "near")]
    return tuple(one for one in (*said, *((words, "due") for words in todo)) if one[0])
