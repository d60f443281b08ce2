"""An outcome as JSON and as plain lines: the form that scripts rely on."""

from __future__ import annotations

import math

from shopboard.checks.additions import addition_lines
from shopboard.checks.outcome import Outcome
from shopboard.metrology.angle import dms, in_all_units
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import MAIN_UNIT, SAID, Kind, in_units, measure
from shopboard.metrology.wording import percent

Json = dict[str, object]


def angle_json(rad: float) -> Json:
    """Give an angle, rad, in every unit."""
    units = in_all_units(rad)
    return {
        "deg": units.deg,
        "dms": units.dms,
        "thou_per_ft": units.thou_per_ft,
        "mm_per_m": units.mm_per_m,
    }


def value_json(value: float, kind: Kind) -> Json:
    """Give a value of any kind in every unit."""
    return angle_json(value) if kind == "angle" else {**in_units(value, kind)}


def _tolerance_json(tolerance: Tolerance, kind: Kind) -> Json:
    """Half-width in every unit (the limit itself where it is the same both ways), and both ends."""
    return {
        **value_json(tolerance.half_width, kind),
        "low": value_json(tolerance.low, kind),
        "high": value_json(tolerance.high, kind),
    }


def outcome_json(outcome: Outcome) -> Json:
    """Give an outcome as data ready for JSON: finite numbers only, infinite freedom as null."""
    budget, kind, tolerance = outcome.estimate.budget, outcome.kind, outcome.tolerance
    main = MAIN_UNIT[kind]
    return {
        "method": outcome.method,
        "error": value_json(outcome.estimate.error, kind),
        "uncertainty": {
            "standard": in_units(budget.u, kind),
            "expanded": in_units(budget.expanded, kind),
            "k": budget.k,
            "dof": budget.dof if math.isfinite(budget.dof) else None,
            "budget": [
                {
                    "source": source.label,
                    f"standard_{main}": in_units(source.u, kind)[main],
                    "share": budget.share(source),
                }
                for source in budget.sources
            ],
        },
        "tolerance": None if tolerance is None else _tolerance_json(tolerance, kind),
        "probability": outcome.probability,
        "verdict": outcome.verdict,
        "note": outcome.note,
        **outcome.adds,
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


def _row(value: float, kind: Kind, sign: str = "") -> str:
    digits = {"deg": 4, "thou_per_ft": 2, "mm_per_m": 3, "in": 5, "thou": 2, "mm": 4, "psi": 0}
    names = {unit: unit.replace("_per_", "/") for unit in in_units(value, kind)}
    return "   ".join(
        f"{amount:{sign}.{digits.get(unit, 1)}f} {names.get(unit, unit)}"
        for unit, amount in in_units(value, kind).items()
    )


def outcome_lines(outcome: Outcome) -> list[str]:
    """Write an outcome as a few plain lines."""
    estimate, kind = outcome.estimate, outcome.kind
    if kind in SAID:
        return _said_lines(outcome)
    minutes = f"   {dms(estimate.error)}" if kind == "angle" else ""
    expanded = _row(estimate.budget.expanded, kind)
    called = outcome.called.lower() or ("error" if kind in ("angle", "length") else kind)
    known = f"{expanded}   (95 %, k = {estimate.budget.k:.2f})"
    lines = [
        f"{called:<12} {_row(estimate.error, kind, '+')}{minutes}",
        f"uncertainty  {known if estimate.budget.sources else 'none: what was given is exact'}",
    ]
    if outcome.tolerance is not None and outcome.probability is not None:
        main = MAIN_UNIT[kind]
        low, high = (
            in_units(x, kind)[main] for x in (outcome.tolerance.low, outcome.tolerance.high)
        )
        lines.append(f"tolerance    {low:+.2f} to {high:+.2f} {main.replace('_per_', '/')}")
        sure = percent(outcome.probability)
        lines.append(f"verdict      {outcome.verdict}   (within tolerance: {sure})")
    lines += addition_lines(outcome.adds)
    if outcome.note:
        lines.append(f"note         {outcome.note}")
    return lines


def _said_lines(outcome: Outcome) -> list[str]:
    """Write what was said: there is no number to give."""
    rows = {
        "answer": measure(outcome.estimate.error, outcome.kind, "inch"),
        "verdict": outcome.verdict or "",
        **{name: said for name, said in outcome.adds.items() if said},
        **({"note": outcome.note} if outcome.note else {}),
    }
    return addition_lines(rows)
