"""An outcome as JSON and as plain lines: the form that scripts rely on."""

from __future__ import annotations

import math

from shopboard.checks.outcome import Outcome
from shopboard.metrology.angle import in_all_units, mm_per_m, thou_per_ft
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.wording import percent

Json = dict[str, object]


def _three_units(rad: float) -> Json:
    return {
        "deg": math.degrees(rad),
        "thou_per_ft": thou_per_ft(rad),
        "mm_per_m": mm_per_m(rad),
    }


def angle_json(rad: float) -> Json:
    """Give an angle, rad, in every unit."""
    units = in_all_units(rad)
    return {
        "deg": units.deg,
        "dms": units.dms,
        "thou_per_ft": units.thou_per_ft,
        "mm_per_m": units.mm_per_m,
    }


def _tolerance_json(tolerance: Tolerance) -> Json:
    """Half-width in every unit (the limit itself where it is the same both ways), and both ends."""
    return {
        **angle_json(tolerance.half_width),
        "low": angle_json(tolerance.low),
        "high": angle_json(tolerance.high),
    }


def outcome_json(outcome: Outcome) -> Json:
    """Give an outcome as data ready for JSON: finite numbers only, infinite freedom as null."""
    budget = outcome.estimate.budget
    return {
        "method": outcome.method,
        "error": angle_json(outcome.estimate.error),
        "uncertainty": {
            "standard": _three_units(budget.u),
            "expanded": _three_units(budget.expanded),
            "k": budget.k,
            "dof": budget.dof if math.isfinite(budget.dof) else None,
            "budget": [
                {
                    "source": source.name,
                    "standard_thou_per_ft": thou_per_ft(source.u),
                    "share": budget.share(source),
                }
                for source in budget.sources
            ],
        },
        "tolerance": None if outcome.tolerance is None else _tolerance_json(outcome.tolerance),
        "probability": outcome.probability,
        "verdict": outcome.verdict,
        "note": outcome.note,
    }


def angle_lines(rad: float) -> list[str]:
    """Write an angle, rad, one unit a line."""
    units = in_all_units(rad)
    return [
        f"{units.deg:.6g} deg",
        units.dms,
        f"{units.thou_per_ft:.6g} thou/ft",
        f"{units.mm_per_m:.6g} mm/m",
    ]


def _row(rad: float, sign: str = "") -> str:
    slopes = f"{thou_per_ft(rad):{sign}.2f} thou/ft   {mm_per_m(rad):{sign}.3f} mm/m"
    return f"{slopes}   {math.degrees(rad):{sign}.4f} deg"


def outcome_lines(outcome: Outcome) -> list[str]:
    """Write an outcome as a few plain lines."""
    estimate = outcome.estimate
    error, expanded = in_all_units(estimate.error), estimate.budget.expanded
    lines = [
        f"error        {_row(estimate.error, '+')}   {error.dms}",
        f"uncertainty  {_row(expanded)}   (95 %, k = {estimate.budget.k:.2f})",
    ]
    if outcome.tolerance is not None and outcome.probability is not None:
        low, high = thou_per_ft(outcome.tolerance.low), thou_per_ft(outcome.tolerance.high)
        lines.append(f"tolerance    {low:+.2f} to {high:+.2f} thou/ft")
        lines.append(
            f"verdict      {outcome.verdict}   (within tolerance: {percent(outcome.probability)})"
        )
    if outcome.note:
        lines.append(f"note         {outcome.note}")
    return lines
