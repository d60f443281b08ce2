"""Tolerance, probability of conformity, verdict.

The verdict is the probability that the true error lies within the tolerance,
given what is known of it (JCGM 106:2012, section 7). For a normal error this
is the guard band of 1.65 u of ISO 14253-1:2017.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from shopboard.metrology.quantity import LONGEST, QuantityError, Unit, parse_angle
from shopboard.metrology.spread import Spread

Verdict = Literal["true", "near", "out"]

PROOF_LEVEL = 0.95
"""Probability at which a point counts as proven, either way, when the shop sets none."""


@dataclass(frozen=True)
class Tolerance:
    """The errors that a point may have, rad; one-sided when one end is 0."""

    low: float
    """Lowest error allowed, rad; 0 or below."""
    high: float
    """Highest error allowed, rad; 0 or above."""
    typed: str = ""
    """As the shop file says it."""

    @property
    def half_width(self) -> float:
        """Half of the band, rad."""
        return (self.high - self.low) / 2

    @property
    def middle(self) -> float:
        """The error to aim for, rad."""
        return (self.high + self.low) / 2

    def used(self, error: float) -> float:
        """Share of the tolerance that an error uses, from its middle; 1 is either limit."""
        return abs(error - self.middle) / self.half_width


WIDEST = math.radians(5)
"""No machine is set to a tolerance wider than this, rad."""

_RANGE = re.compile(r"(.+?)\s+to\s+(.+)")
_BARE_NUMBER = re.compile(
    r"[+\-−–]?(?:(?:\d+(?:\s*-\s*|\s+))?\d+\s*/\s*\d+|\d+(?:[.,]\d*)?|[.,]\d+)"
)


def parse_tolerance(text: str, default: Unit | None = None) -> Tolerance:
    """Read a tolerance: ``0.1 deg`` (either way), ``0 to 3 thou/ft``, ``-1 to 3 thou/ft``.

    Args:
        text: what was typed; a leading plus-minus sign is allowed.
        default: the unit of bare lengths inside a slope.

    Raises:
        QuantityError: with the reason.
    """
    if len(text) > 2 * LONGEST:
        raise QuantityError("too long for one tolerance")
    words = text.strip().removeprefix("±").removeprefix("+/-").removeprefix("+-").strip()
    between = _RANGE.fullmatch(words)
    if between:
        low, high = _range_ends(between[1], between[2], default)
    else:
        high = parse_angle(words, default).rad
        low = -high
    if not between and high <= 0:
        raise QuantityError("a tolerance must be more than 0")
    if low >= high:
        raise QuantityError("the first number of the range must be below the second")
    if low > 0 or high < 0:
        raise QuantityError("the range must hold 0, dead square, as 0 to 3 thou/ft")
    if max(high, -low) > WIDEST:
        raise QuantityError("more than 5 degrees either way is no tolerance")
    return Tolerance(low, high, text.strip())


def _range_ends(low: str, high: str, default: Unit | None) -> tuple[float, float]:
    """Read both ends; a bare number at one end takes the unit of the other."""
    if _BARE_NUMBER.fullmatch(low):
        low = f"{low} {_unit_of(high)}"
    elif _BARE_NUMBER.fullmatch(high):
        high = f"{high} {_unit_of(low)}"
    return parse_angle(low, default).rad, parse_angle(high, default).rad


def _unit_of(text: str) -> str:
    number = _BARE_NUMBER.match(text)
    return text[number.end() :].strip() if number else ""


def probability_within(spread: Spread, tolerance: Tolerance) -> float:
    """Probability that the true error lies within the tolerance."""
    return min(1.0, max(0.0, spread.cdf(tolerance.high) - spread.cdf(tolerance.low)))


def verdict(probability: float, level: float = PROOF_LEVEL) -> Verdict:
    """Decide: true at `level` or more, out at 1 - `level` or less, else near (not proven)."""
    if probability >= level:
        return "true"
    return "out" if probability <= 1 - level else "near"
