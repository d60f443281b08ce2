"""A mitred frame of n sides: how the errors of its mitres add up in the last corner.

Each of the 2 n mitres is off by the same error; all of them end up between the
two faces of the last corner: closing angle = 2 n error (derived; eight errors
for four sides). The gap opens over the whole mitre face, which is longer than
the stock is wide: width / cos(180 deg / n), for four sides width times root 2.
"""

from __future__ import annotations

import math


def face(width: float, sides: int) -> float:
    """Length of a mitre's face across stock of a width."""
    return width / math.cos(math.pi / sides)


def closing(error: float, sides: int) -> float:
    """Angle that stays open in the last corner, rad."""
    return 2 * sides * error


def gap(width: float, error: float, sides: int) -> float:
    """Gap between the free ends of the last corner's faces, which touch at their other ends."""
    return 2 * face(width, sides) * math.sin(abs(closing(error, sides)) / 2)


def error_of(width: float, gap: float, sides: int) -> float:
    """Error of each mitre from the gap in the last corner, rad, without sign."""
    return 2 * math.asin(gap / (2 * face(width, sides))) / (2 * sides)
