"""Values as plain numbers: in the shop's unit, which a plot and a table need, and in SI units."""

from __future__ import annotations

from collections.abc import Callable

from shopboard.metrology import angle
from shopboard.metrology.kind import PSI_PER_MPA, YES_NO_WORDS, Kind, in_units, measure
from shopboard.metrology.quantity import MM_PER_INCH, Unit

_UNITS: dict[Kind, dict[Unit, tuple[str, Callable[[float], float]]]] = {
    "angle": {"inch": ("thou/ft", angle.thou_per_ft), "mm": ("mm/m", angle.mm_per_m)},
    "length": {
        "inch": ("thou", lambda mm: mm / MM_PER_INCH * 1000),
        "mm": ("mm", lambda mm: mm),
    },
    "stress": {"inch": ("psi", lambda mpa: mpa * PSI_PER_MPA), "mm": ("MPa", lambda mpa: mpa)},
    "time": {"inch": ("s", lambda s: s), "mm": ("s", lambda s: s)},
    "speed": {
        "inch": ("ft/min", lambda speed: in_units(speed, "speed")["ft_per_min"]),
        "mm": ("m/s", lambda speed: speed / 1000),
    },
}
"""The unit's symbol, and its number from ours; a plot asks for thousands."""

_SI: dict[Kind, tuple[str, float]] = {
    "angle": ("rad", 1.0),
    "length": ("m", 1e-3),
    "stress": ("Pa", 1e6),
    "time": ("s", 1.0),
    "speed": ("m/s", 1e-3),
}
"""The SI unit, and how many of it one of ours (rad, mm, MPa, s, mm/s) is."""

MEASURED: tuple[Kind, ...] = tuple(_UNITS)
"""The kinds that have a unit; the others were said."""


def shop_unit(kind: Kind, unit: Unit) -> str:
    """Give the symbol of the unit in which the shop reads a kind; empty for what was said."""
    return "" if kind in YES_NO_WORDS else _UNITS[kind][unit][0]


def in_shop_unit(value: float, kind: Kind, unit: Unit) -> float:
    """Give a value (rad, mm, MPa, s, mm/s) in the shop's unit; what was said stays 0 or 1."""
    return value if kind in YES_NO_WORDS else _UNITS[kind][unit][1](value)


def bare(value: float, kind: Kind, unit: Unit, *, signed: bool = False) -> str:
    """Write a value as everywhere else, but without its unit, which stands beside or above it."""
    words = measure(value, kind, unit, signed=signed)
    return words if kind in YES_NO_WORDS else words.rpartition(" ")[0]


def si_unit(kind: Kind) -> str:
    """Give the symbol of a kind's SI unit; empty for what was said."""
    return "" if kind in YES_NO_WORDS else _SI[kind][0]


def in_si(value: float, kind: Kind) -> float:
    """Give a value (rad, mm, MPa, s, mm/s) in SI units: rad, m, Pa, s, m/s."""
    return value if kind in YES_NO_WORDS else value * _SI[kind][1]
