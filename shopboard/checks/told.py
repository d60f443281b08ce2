"""What a result says in words, the same on the screen and in plain lines."""

from __future__ import annotations

from shopboard.checks.advice import can_be_set, correction_lines, correction_of, to_do
from shopboard.checks.correction_steps import how_far
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.scale import DrawnScale, scale
from shopboard.checks.settle import what_would_settle
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import (
    KINDS,
    YES_NO_WORDS,
    Kind,
    as_kept,
    as_written,
    in_units,
    limit_in,
    measure,
    own_units,
)
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import UNITS
from shopboard.metrology.wording import exact, places, share, short_turn, to_places

_NAMED: dict[Kind, str] = {"stress": "Stress", "time": "Time", "speed": "Speed"}
"""What is no error, but the value itself."""


def used_words(used: float | None) -> str:
    """Say how much of the tolerance an error takes: ``43 % of the tolerance``, ``5 times it``."""
    if used is None:
        return ""
    if used < 1:
        return f"{share(used)} of the tolerance"
    return f"{used:.{1 if used < 9.95 else 0}f}".removesuffix(".0") + " times the tolerance"


def share_words(outcome: Outcome, unit: Unit) -> str:
    """Say how much of its tolerance a result takes, or of a range how far it is from its limit.

    Empty: nothing is measured, or no tolerance is set.
    """
    if outcome.kind in YES_NO_WORDS or outcome.tolerance is None:
        return ""
    counts = outcome.tolerance.as_it_counts(size=outcome.estimate.size)
    if counts.low == -counts.high or (KINDS[counts.kind].from_nought and counts.low <= 0):
        return used_words(outcome.used)
    error = as_kept(outcome.estimate.error, outcome.kind)
    inside = min(error - counts.low, counts.high - error)
    where = "inside" if inside >= 0 else "beyond"
    return f"{measure(inside, outcome.kind, unit)} {where} the limit"


def number_words(outcome: Outcome, unit: Unit) -> tuple[str, ...]:
    """Write error, uncertainty and tolerance, one unit a line, the shop's first."""
    if outcome.kind in YES_NO_WORDS:
        return (f"{measure(outcome.estimate.error, outcome.kind, unit).capitalize()}.",)
    called = outcome.called or _NAMED.get(outcome.kind, "Error")
    names = [*reversed(own_units(outcome.kind, unit))]
    rows = [_in_one_unit(outcome, name) for name in names]
    wide = max(len(found) for found, _ in rows)
    return tuple(
        f"{called if at == 0 else '':<{len(called)}} {found:<{wide}}   {limits}".rstrip()
        for at, (found, limits) in enumerate(rows)
    )


def _in_one_unit(outcome: Outcome, name: str) -> tuple[str, str]:
    """Write a result in a unit: the error with its uncertainty; its tolerance."""
    value, sign = number_in(outcome, name)
    expanded = as_written(outcome.estimate.budget.expanded, outcome.kind)[name]
    known = f" ± {to_places(expanded, places(expanded))}" if expanded > 0 else ""
    limits = outcome.tolerance
    return (
        f"{value}{known} {sign}",
        f"tolerance {_limits_in(limits, outcome, name)} {sign}" if limits is not None else "",
    )


def number_in(outcome: Outcome, name: str) -> tuple[str, str]:
    """Write the error in a unit, to two digits of its uncertainty; and the unit."""
    expanded = as_written(outcome.estimate.budget.expanded, outcome.kind)[name]
    decimals = places(expanded) if expanded > 0 else UNITS[name].exact
    plus = "+" if KINDS[outcome.kind].departs and not outcome.estimate.size else ""
    error = as_written(outcome.estimate.error, outcome.kind)[name]
    return to_places(error, decimals, plus), UNITS[name].sign


def _limits_in(limits: Tolerance, outcome: Outcome, name: str) -> str:
    """Write a tolerance in a unit, without it: ``± 20.9``, ``at most 3``, ``2 to 5``."""
    high = _end(limits.high, limits, name)
    if limits.low == -limits.high:
        return f"at most {high}" if outcome.estimate.size else f"± {high}"
    return f"{_end(limits.low, limits, name)} to {high}"


def _end(value: float, limits: Tolerance, name: str) -> str:
    """Write one end of a tolerance."""
    if limits.low != -limits.high:
        return exact(in_units(value, limits.kind)[name])
    size = limit_in(abs(value), limits.kind, name) if value else "0"
    whole = size.rstrip("0").removesuffix(".") if "." in size else size
    return f"-{whole}" if value < 0 else whole


def scale_of(outcome: Outcome, unit: Unit, width: int) -> DrawnScale | None:
    """Draw a result against its tolerance, in the shop's unit; None where nothing is measured."""
    limits, kind = outcome.tolerance, outcome.kind
    if limits is None or kind in YES_NO_WORDS:
        return None
    name, estimate = own_units(kind, unit)[-1], outcome.estimate
    low = 0.0 if estimate.size and limits.low < 0 else limits.low
    plus = "+" if KINDS[kind].departs and low < 0 else ""
    labels = {limits.high: f"{plus}{_end(limits.high, limits, name)}"}
    labels[low] = _end(low, limits, name)
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
