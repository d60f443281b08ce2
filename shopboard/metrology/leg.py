"""A leg that leans two ways: rake seen from the side, splay seen from the front.

Seen straight from the side or the front a leg's slope is how far its foot stands out over how far
it stands down; from above, the foot stands out both ways at once. Derived: plane trigonometry.
"""

from __future__ import annotations

import math

from shopboard.base.light_tuple import NamedTuple


class Leg(NamedTuple):
    """How a leg leans, in the one plane in which it is drilled."""

    lean: float
    """Off the line square to the seat, rad: what the table or the bevel gauge is set to."""
    sight_line: float
    """On the seat, from the line front to back (the rake's) toward the side, rad: along it one sees
    the leg upright from the one side, and leaning by all of it from the other."""

    def length(self, height: float) -> float:
        """Give how long the leg is over a height that is measured square to the seat."""
        return height / math.cos(self.lean)


STEEPEST = math.radians(45)
"""rad; no leg rakes or splays more."""


def leg(rake: float, splay: float) -> Leg:
    """Put rake and splay (rad) together.

    tan(lean)^2 = tan(rake)^2 + tan(splay)^2; tan(sight line) = tan(splay) / tan(rake).
    """
    back, side = math.tan(rake), math.tan(splay)
    return Leg(math.atan(math.hypot(back, side)), math.atan2(side, back))
