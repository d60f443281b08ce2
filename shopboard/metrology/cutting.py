"""What a turning cutter does: rim speed, knife marks, and the speeds that people type.

Lengths mm, speeds mm/s, turns per minute.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from shopboard.metrology.quantity import QuantityError, parse_length, parse_number
from shopboard.metrology.units import MM_PER_INCH

_SECONDS = {"s": 1.0, "sec": 1.0, "second": 1.0, "min": 60.0, "minute": 60.0, "h": 3600.0}
_SPEED = re.compile(r"(.+?)\s*(?:/|\bper\b)\s*(s|sec|second|min|minute|h)", re.IGNORECASE)
_FEET_A_MINUTE = re.compile(r"(.+?)\s*(?:fpm|ft\s*/\s*min)", re.IGNORECASE)
_TURNS = re.compile(r"(.+?)\s*(?:rpm|/\s*min|1\s*/\s*min)", re.IGNORECASE)
_FASTEST_RPM = 60_000.0


def parse_speed(text: str) -> float:
    """Read a speed as mm/s: ``20 ft/min``, ``20 fpm``, ``6 m/min``, ``0.1 m/s``.

    Raises:
        QuantityError: with the reason.
    """
    words = text.strip()[:60]
    feet, match = _FEET_A_MINUTE.fullmatch(words), _SPEED.fullmatch(words)
    if feet:
        speed = parse_length(f"{feet[1]} ft").mm / 60
    elif match:
        speed = parse_length(match[1]).mm / _SECONDS[match[2].lower()]
    else:
        raise QuantityError("not a speed: write 20 ft/min, 6 m/min or 0.1 m/s")
    if speed <= 0:
        raise QuantityError("it must be more than 0")
    return speed


def parse_turns_per_minute(text: str) -> float:
    """Read turns per minute: ``4000``, ``4000 rpm``.

    Raises:
        QuantityError: with the reason.
    """
    words = text.strip()[:60]
    match = _TURNS.fullmatch(words)
    value = parse_number(match[1] if match else words)
    if not 0 < value <= _FASTEST_RPM:
        raise QuantityError(f"from above 0 to {_FASTEST_RPM:.0f} turns a minute")
    return value


def rim_speed(diameter: float, turns_per_minute: float) -> float:
    """Give the speed of the rim, mm/s: pi x diameter x turns."""
    return math.pi * diameter * turns_per_minute / 60


@dataclass(frozen=True)
class KnifeMarks:
    """The waves that knives leave on a planed board."""

    per_inch: float
    pitch: float
    """mm."""

    def height(self, circle: float) -> float:
        """Give how high the marks stand, mm: the sagitta of the pitch in the cutting circle.

        h = R - root(R² - pitch²/4), written so that nothing cancels.

        Args:
            circle: diameter of the cutting circle, mm.

        Raises:
            QuantityError: when the pitch is wider than the circle.
        """
        radius, half = circle / 2, self.pitch / 2
        if half >= radius:
            raise QuantityError("the marks are farther apart than the cutting circle is wide")
        return half**2 / (radius + math.sqrt(radius**2 - half**2))


def knife_marks(turns_per_minute: float, knives: int, feed: float) -> KnifeMarks:
    """Give the marks of so many knives at a feed (mm/s)."""
    pitch = feed * 60 / (turns_per_minute * knives)
    return KnifeMarks(MM_PER_INCH / pitch, pitch)
