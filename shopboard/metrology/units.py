"""Every unit that a person reads, one row each, and what differs between a shop by inches and mm.

Inside, angles are radians, lengths mm, stresses MPa, times s, speeds mm/s, forces N.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Literal, TypeVar

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.angle import mm_per_m, thou_per_ft

Unit = Literal["inch", "mm"]
"""What a shop works in."""

T = TypeVar("T")

MM_PER_INCH = 25.4
"""Exact since 1959 (international inch)."""
MM_PER_FOOT = round(12 * MM_PER_INCH, 1)  # exact: the product falls short in its last bit
MM_PER_MILE = 5280 * MM_PER_FOOT

PSI_PER_MPA = 145.0377377
"""1 psi = 6894.757293 Pa (NIST SP 811, from memory)."""

NEWTON_PER_LBF = 4.4482216152605
"""Exact."""


LENGTH_UNITS = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "um": 0.001,
    "µm": 0.001,  # micro sign
    "μm": 0.001,  # Greek mu
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "''": MM_PER_INCH,
    "″": MM_PER_INCH,
    "ft": MM_PER_FOOT,
    "foot": MM_PER_FOOT,
    "feet": MM_PER_FOOT,
    "thou": MM_PER_INCH / 1000,
}
"""Millimetres in each unit of length, as it is typed."""
ANGLE_UNITS = {
    **dict.fromkeys(("°", "d", "deg", "degree", "degrees"), math.radians(1)),
    "arcmin": math.radians(1 / 60),
    "arcsec": math.radians(1 / 3600),
    "rad": 1.0,
    "mrad": 0.001,
}
"""Radians in each unit of angle, as it is typed."""

_OTHER_KINDS = {
    **dict.fromkeys(("s", "sec", "seconds", "min", "h"), "a time"),
    **dict.fromkeys(("psi", "mpa"), "a stress"),
}


def kind_of_unit(word: str) -> str:
    """Say of what a unit is that was typed: ``an angle``; empty where it is none that we know."""
    small = word.lower()
    if small in LENGTH_UNITS:
        return "a length"
    slope = re.fullmatch(r"(\S+?)\s*(?:/|\sover\s)[\s\d./-]*(\S+)", small)
    over = slope is not None and {*slope.groups()} <= {*LENGTH_UNITS}
    if small in ANGLE_UNITS or over or re.match(r"(?:°|deg|d)\s*\d", small):
        return "an angle"
    return _OTHER_KINDS.get(small, "")


def by_unit(unit: Unit, inch: T, mm: T) -> T:
    """Give which of two holds in a shop: nothing else asks whether it works in inches or mm."""
    return inch if unit == "inch" else mm


class UnitRow(NamedTuple):
    """A unit: how it is written, its number from ours, and where it is read."""

    sign: str
    """As it is written: ``thou/ft``. Data names it by its key in UNITS."""
    of: Callable[[float], float]
    """Its number, from ours."""
    shops: tuple[Unit, ...]
    """The shops in whose lines it stands."""
    digits: int = 0
    """Decimals of a value."""
    large: float = math.inf
    """From here on a decimal less."""
    limit: int = 0
    """Decimals of a limit, at the least."""
    exact: int = 1
    """Decimals of what is exact, or of which no uncertainty is known."""
    beside: int = 0
    """Decimals of what a method tells beside its result."""
    span: float = 1.0
    """Narrowest span that a plot draws: less is below what anybody reads."""


_INCH: tuple[Unit, ...] = ("inch",)
_MM: tuple[Unit, ...] = ("mm",)
_BOTH: tuple[Unit, ...] = ("inch", "mm")

UNITS: dict[str, UnitRow] = {
    "deg": UnitRow("deg", math.degrees, _BOTH, 3, limit=3, exact=4, beside=3),
    "thou_per_ft": UnitRow(
        "thou/ft", thou_per_ft, _INCH, 1, limit=1, exact=2, beside=1, span=0.5
    ),
    "mm_per_m": UnitRow("mm/m", mm_per_m, _MM, 2, limit=2, exact=3, beside=2, span=0.05),
    "in": UnitRow("in", lambda mm: mm / MM_PER_INCH, (), exact=5, beside=4),
    "thou": UnitRow(
        *("thou", lambda mm: mm / MM_PER_INCH * 1000, _INCH, 1, 20.0),
        limit=1, exact=2, beside=1, span=0.5,
    ),
    "mm": UnitRow("mm", float, _MM, 3, 0.5, limit=2, exact=4, beside=3, span=0.02),
    "psi": UnitRow("psi", lambda mpa: mpa * PSI_PER_MPA, _INCH, exact=0, span=100.0),
    "MPa": UnitRow("MPa", float, _MM),
    "s": UnitRow("s", float, _BOTH, 1, limit=1, span=0.5),
    "ft_per_min": UnitRow("ft/min", lambda v: v / MM_PER_FOOT * 60, _INCH, span=50.0),
    "m_per_s": UnitRow("m/s", lambda v: v / 1000, _MM, 1, span=0.5),
    "m_per_min": UnitRow("m/min", lambda v: v * 0.06, _MM),
    "mph": UnitRow("mph", lambda v: v / MM_PER_MILE * 3600, _INCH),
    "lbf": UnitRow("lbf", lambda newton: newton / NEWTON_PER_LBF, _INCH),
    "N": UnitRow("N", float, _MM),
}  # fmt: skip
"""By their short names in data."""


_BY_A_HAIR = 1 + 1e-12
"""What lies half way but for the last bits of a double counts as half way."""


def rounded(value: float, decimals: int, sign: str = "") -> str:
    """Write a number to so many decimals (below 0: noughts before the point): the one rounding.

    Half way goes away from 0, as it is done by hand: 0.725 is 0.73, -0.75 is -0.8. What reads as 0
    has no sign.

    Args:
        value: in the unit in which it is written.
        decimals: how many.
        sign: ``+``, where one is put before what is above 0.
    """
    value *= _BY_A_HAIR
    if decimals < 0:
        value = round(value, decimals)
    text = f"{value:{sign}.{max(decimals, 0)}f}"
    return text if any(digit in text for digit in "123456789") else text.lstrip("+-")


def in_unit(value: float, name: str, sign: str = "") -> str:
    """Write the size of a value (ours) in a unit, a sign before it: ``27.0 thou/ft``."""
    row = UNITS[name]
    size = abs(row.of(value))
    shown = rounded(size, row.digits - (size >= row.large))
    return f"{sign if float(shown) else ''}{shown} {row.sign}"
