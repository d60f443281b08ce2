"""The tools of the drawer as numbers: what each may be off by.

Squares by DIN 875-1 grade, stated limit or certificate; feeler leaves with
their thickness tolerance. Lengths in mm, angles in radians.
"""

import math
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit

SquareGrade = Literal["00", "0", "1", "2"]

LEAF_TOLERANCE_MM = 0.003
"""Half-width by which a feeler leaf may be off, mm: common practice, no source."""


def grade_limit(grade: SquareGrade, length_mm: float) -> float:
    """Largest departure from square (mm) at the end of a blade, by DIN 875-1.

    t in micrometres over a blade of L mm: 00: 2 + L/100; 0: 5 + L/50; 1: 10 + L/20; 2: 20 + L/10.

    Args:
        grade: DIN 875-1 grade.
        length_mm: blade length L, mm.
    """
    constant, divisor = {"00": (2, 100), "0": (5, 50), "1": (10, 20), "2": (20, 10)}[grade]
    return (constant + length_mm / divisor) / 1000


PROVEN = "proven on"
"""Start of the `source` of a square whose own error one of the shop's checks has found."""


class Square(NamedTuple):
    """A square of the drawer."""

    id: str
    name: str
    length: float
    """Blade length, mm: the longest lever it offers."""
    limit: float
    """Half-width of its own squareness error, rad, spread evenly (0 when a certificate is used)."""
    known_error: float = 0.0
    """Certified error, rad, positive when it shows light at the top against a face that is true."""
    known_u: float = 0.0
    """Standard uncertainty of the certified error, rad."""
    source: str = ""
    """Where limit or error come from, in the words of the shop file."""
    was: tuple[str, ...] = ()
    """Ids that it had before."""

    @property
    def u(self) -> float:
        """Standard uncertainty of its own error, rad (GUM 4.3.7 for the even spread)."""
        return math.hypot(self.limit / math.sqrt(3), self.known_u)


class FeelerSet(NamedTuple):
    """A set of feeler leaves."""

    id: str
    name: str
    leaves: tuple[float, ...]
    """Thicknesses, mm, ascending, without repeats."""
    leaf_tolerance: float = LEAF_TOLERANCE_MM
    """Half-width by which one leaf may be off, mm."""
    most_leaves: int = 2
    """Leaves put together in one stack at the most."""
    unit: Unit = "inch"
    """The unit that its leaves are marked in."""
    was: tuple[str, ...] = ()
    """Ids that it had before."""


class ShimSet(NamedTuple):
    """Shim stock of the drawer."""

    id: str
    name: str
    thicknesses: tuple[float, ...]
    """mm, ascending."""


RULE_WITHIN_MM = 0.5
"""Half-width within which a length is read from a rule or tape: common practice, no source."""


class OtherTool(NamedTuple):
    """A tool of the drawer that no method of this version reads, shown with its accuracy."""

    id: str
    name: str
    kind: Literal["straightedge", "indicator", "calliper", "tape"]
    reach: float
    """Length or travel, mm."""
    limit: float
    """Half-width of its error, mm."""
    was: tuple[str, ...] = ()
    """Ids that it had before."""


class Drawer(NamedTuple):
    """Every tool of the shop, in the order of the shop file."""

    squares: tuple[Square, ...] = ()
    feelers: tuple[FeelerSet, ...] = ()
    shims: tuple[ShimSet, ...] = ()
    others: tuple[OtherTool, ...] = ()
