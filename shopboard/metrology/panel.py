"""Squareness of a four-sided panel from its diagonals and sides.

With m and n the lines that join the middles of opposite sides, the diagonals
are m + n and m - n, so that d1^2 - d2^2 = 4 m n cos(angle between): exact for
any four-sided figure, and for one with opposite sides equal
sin(skew) = (d1^2 - d2^2) / (4 a b) (derived). d2 starts in the corner that is
asked about, d1 misses it; plus: that corner is more than 90 degrees. Where
opposite sides differ, the corners differ from the skew and from one another:
equal diagonals do not prove square.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Panel:
    """Measured lengths, all in one unit."""

    d1: float
    """Diagonal that misses the corner."""
    d2: float
    """Diagonal from the corner."""
    width: float
    """Side at the corner."""
    length: float
    """The other side at the corner."""
    other_width: float
    """Side opposite `width`."""
    other_length: float
    """Side opposite `length`."""

    @property
    def skew(self) -> float:
        """How much the sides on the whole lean from square, rad."""
        sine = (self.d1**2 - self.d2**2) / (4 * self.middle_width * self.middle_length)
        return math.asin(max(-1.0, min(1.0, sine)))

    @property
    def middle_width(self) -> float:
        """Mean of the two widths."""
        return (self.width + self.other_width) / 2

    @property
    def middle_length(self) -> float:
        """Mean of the two lengths."""
        return (self.length + self.other_length) / 2

    @property
    def tapers(self) -> tuple[float, float]:
        """How much unequal widths, and unequal lengths, add to the corner, rad.

        Half of what the sides run apart: to the first order, exact enough below a few degrees.
        """
        return (
            (self.other_width - self.width) / (2 * self.middle_length),
            (self.other_length - self.length) / (2 * self.middle_width),
        )

    @property
    def corner(self) -> float:
        """Error of the corner, rad."""
        return self.skew + sum(self.tapers)

    @property
    def worst(self) -> float:
        """Size of the largest error among the four corners, rad."""
        return abs(self.skew) + sum(abs(one) for one in self.tapers)

    @property
    def misfit(self) -> float:
        """How far the diagonals are from what the sides ask for, as a share.

        d1^2 + d2^2 = 2 (m^2 + n^2) for any four-sided figure (parallelogram law).
        """
        from_diagonals = math.sqrt((self.d1**2 + self.d2**2) / 2)
        return from_diagonals / math.hypot(self.middle_width, self.middle_length) - 1
