"""An outcome as JSON and as plain lines: the form that scripts rely on."""

from __future__ import annotations

import math

from shopboard.base.state_words import state_word
from shopboard.checks.additions import addition_lines
from shopboard.checks.in_numbers import end_in, limits_in
from shopboard.checks.outcome import Outcome
from shopboard.metrology.angle import dms, in_all_units
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import (
    KINDS,
    YES_NO_WORDS,
    Kind,
    as_written,
    in_units,
    main_unit,
    measure,
    numbers,
    own_units,
)
from shopboard.metrology.quantity import Unit
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.units import UNITS
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
    main = main_unit(kind, "inch")
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


def _rows(found: Estimate, kind: Kind, unit: Unit | None) -> tuple[str, str]:
    """Write a value and its uncertainty in the shop's units, or in all."""
    names = own_units(kind, unit) if unit else KINDS[kind].units
    written = [
        [f"{one} {UNITS[name].sign}" for one in numbers(*known, kind, name, size=found.size)]
        for name in names
        for known in ((found.error, found.budget.expanded),)
    ]
    return "   ".join(one for one, _ in written), "   ".join(known for _, known in written)


def _limits(tolerance: Tolerance, kind: Kind, unit: Unit | None, *, size: bool) -> str:
    """Write both ends in the shop's unit, or in all; of one-sided ones the highest alone."""
    names = own_units(kind, unit)[-1:] if unit else KINDS[kind].units
    if tolerance.is_one_sided(size=size):
        return "   ".join(limits_in(tolerance, name, size=size) for name in names)
    low, high = tolerance.low, tolerance.high
    plus = "+" if KINDS[kind].departs and low < 0 < high else ""  # a sign on both ends, or none
    return "   ".join(
        f"{end_in(low, tolerance, n)} to {plus}{end_in(high, tolerance, n)} {UNITS[n].sign}"
        for n in names
    )


def outcome_lines(outcome: Outcome, unit: Unit | None = None) -> list[str]:
    """Write an outcome as a few plain lines.

    Args:
        outcome: what was found.
        unit: of the shop, which is then alone; None: every unit, where there is no shop.
    """
    estimate, kind = outcome.estimate, outcome.kind
    if kind in YES_NO_WORDS:
        return _said_lines(outcome)
    most = estimate.budget.expanded
    found, known = _rows(estimate, kind, unit)
    minutes = f"   {dms(estimate.error)}" if kind == "angle" and unit is None else ""
    called = outcome.called.lower() or ("error" if KINDS[kind].departs else kind)
    known += f"   (95 %, k = {estimate.budget.k:.2f})"
    lines = [
        f"{called:<12} {found}{minutes}",
        f"uncertainty  {known if estimate.budget.sources else 'none: what was given is exact'}",
    ]
    if outcome.tolerance is not None and outcome.probability is not None:
        lines.append(f"tolerance    {_limits(outcome.tolerance, kind, unit, size=estimate.size)}")
        sure = percent(outcome.probability)
        lines.append(
            f"verdict      {state_word(outcome.verdict or '')}   (within tolerance: {sure})"
        )
    lines += addition_lines(outcome.adds, unit, as_written(most, kind))
    if outcome.note:
        lines.append(f"note         {outcome.note}")
    return lines


def _said_lines(outcome: Outcome) -> list[str]:
    """Write what was said: there is no number to give."""
    rows = {
        "answer": measure(outcome.estimate.error, outcome.kind, "inch"),
        "verdict": state_word(outcome.verdict or ""),
        **{name: said for name, said in outcome.adds.items() if said},
        **({"note": outcome.note} if outcome.note else {}),
    }
    return addition_lines(rows)
