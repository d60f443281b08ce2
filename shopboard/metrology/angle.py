"""One angle in every unit that the shop uses.

A slope is one-sided: thousandths per foot and mm/m are the tangent of the
angle of one face. (Handbook tapers per foot are on the diameter and twice that.)
"""

from __future__ import annotations

import math

from shopboard.base.light_tuple import NamedTuple

THOU_PER_FOOT = 12_000.0
"""Thousandths of an inch in a foot: slope 1 in these units."""


class AngleUnits(NamedTuple):
    """The same angle four ways."""

    deg: float
    """Degrees."""
    dms: str
    """Degrees, minutes and seconds to the nearest second, as ``0°35′49″``."""
    thou_per_ft: float
    """One-sided slope, thousandths of an inch per foot."""
    mm_per_m: float
    """One-sided slope, millimetres per metre."""


def dms(rad: float) -> str:
    """Write radians as degrees, minutes and seconds, rounded to the second with carry."""
    seconds = round(abs(math.degrees(rad)) * 3600)
    sign = "-" if rad < 0 and seconds else ""
    return f"{sign}{seconds // 3600}°{seconds // 60 % 60:02d}′{seconds % 60:02d}″"


def thou_per_ft(rad: float) -> float:
    """Slope of an angle (radians) in thousandths of an inch per foot."""
    return math.tan(rad) * THOU_PER_FOOT


def mm_per_m(rad: float) -> float:
    """Slope of an angle (radians) in millimetres per metre."""
    return math.tan(rad) * 1000.0


def in_all_units(rad: float) -> AngleUnits:
    """Give an angle (radians) in every unit."""
    return AngleUnits(math.degrees(rad), dms(rad), thou_per_ft(rad), mm_per_m(rad))
