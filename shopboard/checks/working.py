"""The formula of a method with this check's own numbers, as the person would work it by hand."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from statistics import fmean

from shopboard.metrology.kind import KINDS, YES_NO_WORDS, Kind, measure, measure_both, measure_to
from shopboard.metrology.quantity import Unit
from shopboard.metrology.square import SetUp, SquareReading, estimate
from shopboard.metrology.uncertainty import Budget
from shopboard.metrology.wording import degrees, leaf, length, share, slope


def square_working(
    setup: SetUp,
    reading: SquareReading,
    turned: SquareReading | None,
    unit: Unit,
    more: Sequence[SquareReading] = (),
) -> tuple[str, ...]:
    """Write out error = atan(gap / reach) for one reading, or two with the square turned over.

    Args:
        setup: lever and tools.
        reading: with the square as first placed.
        turned: with the square turned over.
        unit: the person's unit.
        more: readings that were taken again, in the order in which they were.
    """
    names = ("gap", *(() if turned is None else (_TURNED,)))
    read = (reading, *(() if turned is None else (turned,)), *more)
    lines = [f"{names[at % len(names)]} = {_gap(one, unit)}" for at, one in enumerate(read)]
    gap = fmean(one.middle for one in read)
    drops = "the square's own error drops out"
    if more:
        why = "" if turned is None else f" ({drops})"
        lines.append(f"mean of {len(read)}{why} = {_signed(gap, unit)}")
    elif turned is not None:
        lines.append(f"half the sum ({drops}) = {_signed(gap, unit)}")
    found = estimate(setup, reading, turned, more)
    raw = found.error + (setup.square_known if turned is None else 0.0)
    lines.append(
        f"error = atan(gap / reach) = atan({_signed(gap, unit)} / {length(setup.lever, unit)})"
        f" = {slope(raw, unit, signed=True)} = {degrees(raw, signed=True)}"
    )
    if turned is None and setup.square_known:
        lines.append(
            f"less the square's own {slope(setup.square_known, unit, signed=True)}"
            f" = {slope(found.error, unit, signed=True)}"
        )
    return tuple(lines)


_TURNED = "turned over, as the first side would see it"


def _signed(mm: float, unit: Unit) -> str:
    return f"{'-' if mm < 0 else ''}{leaf(abs(mm), unit)}"


def _gap(reading: SquareReading, unit: Unit) -> str:
    if reading.light == "none":
        return f"none: {leaf(reading.refused, unit)} goes at neither end"
    return (
        f"between {leaf(reading.goes, unit)} (goes) and {leaf(reading.refused, unit)}"
        f" (won't), light at the {reading.light}: middle {_signed(reading.middle, unit)}"
    )


def inputs_working(
    formula: str,
    sets: Sequence[Mapping[str, float]],
    results: Sequence[float],
    kind: Kind,
    unit: Unit,
    *,
    size: bool = False,
) -> tuple[str, ...]:
    """Write a formula, every set of readings that went into it (mm) and its result.

    A size has no sign, nor has a time or a stress.
    """
    has_way = KINDS[kind].departs and not size
    lines = [formula]
    for values, result in zip(sets, results, strict=True):
        read = ", ".join(
            f"{name.replace('_', ' ')} {f'{value:g} s' if kind == 'time' else leaf(value, unit)}"
            for name, value in values.items()
        )
        lines.append(f"{read}: {measure(result, kind, unit, signed=has_way)}")
    if len(results) > 1:
        mean = sum(results) / len(results)
        lines.append(f"mean of {len(results)}: {measure(mean, kind, unit, signed=has_way)}")
    return tuple(lines)


TELLING_SHARE = 0.005
"""Sources with a smaller share of the variance are shown together: each would read 0 %."""


def budget_rows(
    sources: Sequence[tuple[str, float]], total: float, kind: Kind, unit: Unit
) -> tuple[str, ...]:
    """Write the sources of a budget: name, u in words, share of the variance.

    Args:
        sources: names and standard uncertainties.
        total: the combined standard uncertainty, in the same unit.
        kind: what sort of value they are of.
        unit: the person's unit.
    """
    shares = [(name, u, (u / total) ** 2 if total else 0.0) for name, u in sources]
    small = [(u, part) for _, u, part in shares if part < TELLING_SHARE]
    if len(small) > 1:
        shares = [one for one in shares if one[2] >= TELLING_SHARE]
        together = math.hypot(*(u for u, _ in small)), sum(part for _, part in small)
        shares.append((f"{len(small)} smaller ones, together", *together))
    return tuple(
        f"{name.replace('_', ' '):<50.50} u = {measure_to(u, total, kind, unit):>14}"
        f" {share(part):>5}"
        for name, u, part in shares
    )


def budget_working(budget: Budget, kind: Kind, unit: Unit) -> tuple[str, ...]:
    """Write out an uncertainty budget: each source with its u and share, then u, k and U.

    What was said has none.
    """
    if kind in YES_NO_WORDS:
        return ()
    sources = [(source.label, source.u) for source in budget.sources]
    freedom = "unlimited" if budget.dof > 1e4 else f"{budget.dof:.0f}"
    return (
        *budget_rows(sources, budget.u, kind, unit),
        f"together u = {measure_to(budget.u, budget.u, kind, unit)} (root of the sum of squares)",
        f"degrees of freedom {freedom}, so k = {budget.k:.2f} for 95 %",
        f"U = k u = {measure_both(budget.expanded, kind, unit, budget.expanded)}",
    )
