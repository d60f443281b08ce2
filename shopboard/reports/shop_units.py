"""Values as plain numbers: in the shop's unit, which a plot and a table need, and in SI units."""

from __future__ import annotations

from shopboard.metrology.kind import KINDS, YES_NO_WORDS, Kind, main_unit, measure
from shopboard.metrology.units import UNITS, Unit

MEASURED: tuple[Kind, ...] = tuple(kind for kind, row in KINDS.items() if row.units)
"""The kinds that have a unit; the others were said."""


def shop_unit(kind: Kind, unit: Unit) -> str:
    """Give the symbol of the unit in which the shop reads a kind; empty for what was said."""
    return "" if kind in YES_NO_WORDS else UNITS[main_unit(kind, unit)].sign


def in_shop_unit(value: float, kind: Kind, unit: Unit) -> float:
    """Give a value (rad, mm, MPa, s, mm/s) in the shop's unit; what was said stays 0 or 1."""
    return value if kind in YES_NO_WORDS else UNITS[main_unit(kind, unit)].of(value)


def bare(value: float, kind: Kind, unit: Unit, *, signed: bool = False) -> str:
    """Write a value as everywhere else, but without its unit, which stands beside or above it."""
    words = measure(value, kind, unit, signed=signed)
    return words if kind in YES_NO_WORDS else words.rpartition(" ")[0]


def si_unit(kind: Kind) -> str:
    """Give the symbol of a kind's SI unit; empty for what was said."""
    return KINDS[kind].si[0]


def in_si(value: float, kind: Kind) -> float:
    """Give a value (rad, mm, MPa, s, mm/s) in SI units: rad, m, Pa, s, m/s."""
    return value * KINDS[kind].si[1]
