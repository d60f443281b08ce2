"""Values as plain numbers: in the shop's unit, which a plot and a table need, and in SI units."""

from __future__ import annotations

from shopboard.metrology.kind import KINDS, YES_NO_WORDS, Kind, main_unit, measure, numbers
from shopboard.metrology.units import UNITS, Unit
from shopboard.results.record import CheckRecord

MEASURED: tuple[Kind, ...] = tuple(kind for kind, row in KINDS.items() if row.units)
"""The kinds that have a unit; the others were said."""


def shop_unit(kind: Kind, unit: Unit) -> str:
    """Give the symbol of the unit in which the shop reads a kind; empty for what was said."""
    return "" if kind in YES_NO_WORDS else UNITS[main_unit(kind, unit)].sign


def in_shop_unit(value: float, kind: Kind, unit: Unit) -> float:
    """Give a value (rad, mm, MPa, s, mm/s) in the shop's unit; what was said stays 0 or 1."""
    return value if kind in YES_NO_WORDS else UNITS[main_unit(kind, unit)].of(value)


def bare(record: CheckRecord, unit: Unit) -> tuple[str, str]:
    """Write a result and its expanded uncertainty without their unit, which stands beside them.

    Both are written to two digits of the latter, which is empty of what was said or is exact.
    """
    if record.kind in YES_NO_WORDS:
        return measure(record.error, record.kind, unit), ""
    name = main_unit(record.kind, unit)
    return numbers(record.error, record.expanded, record.kind, name, size=record.spread.size)


def si_unit(kind: Kind) -> str:
    """Give the symbol of a kind's SI unit; empty for what was said."""
    return KINDS[kind].si[0]


def in_si(value: float, kind: Kind) -> float:
    """Give a value (rad, mm, MPa, s, mm/s) in SI units: rad, m, Pa, s, m/s."""
    return value * KINDS[kind].si[1]
