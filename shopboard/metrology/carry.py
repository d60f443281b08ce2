"""How far a turning knife carries a rule: the chord that the cutting circle makes above the table.

A rule lies on the outfeed table over the cutterhead. A knife that stands above the
table lifts it and carries it along while the tip runs above the table's plane: the carry s
is the chord of the cutting circle of radius R there, and the knife's height is the
sagitta h = R - sqrt(R² - s²/4) (plane geometry). About s²/8R: it depends on the
circle, so 1/8 in is 1.3 thou on a 3 in circle, 1 thou only near 4 in. Lengths mm.
"""

from __future__ import annotations

import math


class CarryError(ValueError):
    """A carry that the cutting circle does not allow; the message says why."""


def height_of(carry: float, circle: float) -> float:
    """Give a knife's height above the table from its carry.

    Args:
        carry: how far the rule is carried, mm.
        circle: diameter of the cutting circle, mm.

    Raises:
        CarryError: when no such chord is in the circle.
    """
    radius = circle / 2
    if not circle > 0:
        raise CarryError("circle: the cutting circle must be more than 0")
    if abs(carry) > circle:
        raise CarryError("carry: it is longer than the cutting circle allows, its diameter")
    # The plain difference would lose digits: both roots are nearly R.
    half = carry / 2
    return half**2 / (radius + math.sqrt(radius**2 - half**2))


def carry_of(height: float, circle: float) -> float:
    """Give the carry of a knife from its height above the table.

    Args:
        height: mm.
        circle: diameter of the cutting circle, mm.

    Raises:
        CarryError: when the circle does not reach that high.
    """
    if not circle > 0:
        raise CarryError("circle: the cutting circle must be more than 0")
    if height > circle / 2:
        raise CarryError("height: it is more than half of the cutting circle")
    return 2 * math.sqrt(height * (circle - height))
