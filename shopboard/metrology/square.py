"""Square and feeler: a gap over a lever is an angle.

The square's blade touches the face at one end; the gap at the other end over
the distance between them is the angle, atan(gap / lever). Positive: light at
the top (or tip), the face leans away from the square there. Lengths mm,
angles rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shopboard.metrology.instruments import LEAF_TOLERANCE_MM
from shopboard.metrology.own_hand import BRACKET, LEAF, USUAL_DOF
from shopboard.metrology.sources import (
    FEEL,
    LEVER,
    LEVER_BRACKET,
    LEVER_LEAF,
    SQUARE,
    SQUARE_PROVEN,
    SQUARE_TURNED,
)
from shopboard.metrology.uncertainty import Budget, Estimate, Source

Light = Literal["top", "bottom", "none"]

LEVER_WITHIN_MM = 1.0
"""Half-width within which the lever is known, measured with a rule: common practice, no source."""

FEEL_U_MM = 0.004
"""Standard uncertainty of telling "goes" from "won't go" by hand: common practice, no source."""

FEEL_DOF = USUAL_DOF
"""Degrees of freedom of FEEL_U_MM."""

_SAME = 1e-6
"""Two thicknesses closer than this (mm) are one leaf."""


class ReadingError(ValueError):
    """A reading that cannot be: the message says which and why."""


@dataclass(frozen=True)
class SquareReading:
    """One reading with the square in one position."""

    light: Light
    """Where light shows; none: the thinnest leaf was refused at both ends."""
    goes: float
    """Thickest stack that goes, mm; 0 when the thinnest leaf was refused."""
    refused: float
    """Thinnest stack that won't go, mm."""

    def __post_init__(self) -> None:
        # Rounding makes 12 thou a hair thinner than 0.012 in: that is no bracket.
        if not 0 <= self.goes < self.refused - _SAME:
            raise ReadingError("the leaf that goes must be thinner than the leaf that won't go")
        if self.light == "none" and self.goes > 0:
            raise ReadingError("a leaf that goes means a gap: say at which end the light is")

    @property
    def ends(self) -> tuple[float, float]:
        """Lowest and highest signed gap, mm."""
        if self.light == "none":
            return -self.refused, self.refused
        if self.light == "top":
            return self.goes, self.refused
        return -self.refused, -self.goes

    @property
    def middle(self) -> float:
        """Signed gap in the middle of the bracket, mm."""
        low, high = self.ends
        return (low + high) / 2

    @property
    def half_width(self) -> float:
        """Half of the bracket, mm."""
        low, high = self.ends
        return (high - low) / 2


@dataclass(frozen=True)
class SetUp:
    """What the readings were taken with."""

    lever: float
    """From where the blade touches to the leaf, mm."""
    square_limit: float = 0.0
    """Half-width of the square's own error, rad."""
    square_known: float = 0.0
    """Certified error of the square, rad: the light at the top that it shows on a true face."""
    square_u: float = 0.0
    """Standard uncertainty of the certified error, rad."""
    leaf_tolerance: float = LEAF_TOLERANCE_MM
    """Half-width by which one leaf may be off, mm."""
    leaves: int = 1
    """Leaves in the thickest stack used."""


def estimate(
    setup: SetUp,
    reading: SquareReading,
    turned: SquareReading | None = None,
    more: Sequence[SquareReading] = (),
) -> Estimate:
    """Turn one reading, or two with the square turned over, into an error and its budget.

    The mean of several has their feel divided by the root of their number (GUM 4.2.3): it scatters
    from try to try. Their brackets stay: they are of the same leaves.

    Turned over, the square's own error enters with the other sign: half the sum is the face,
    half the difference the square (reversal; Evans, Hocken and Estler 1996, from memory).

    Args:
        setup: lever and tools.
        reading: with the square as first placed.
        turned: with the square turned over; light is named as the first reading would name it.
        more: the same again, as often with the square turned over as not where it was turned.

    Raises:
        ReadingError: when the lever is not above zero or the gap is larger than the lever.
    """
    readings = (reading, *(() if turned is None else (turned,)), *more)
    if not setup.lever > 0:
        raise ReadingError("the reach must be longer than 0")
    if setup.lever <= LEVER_WITHIN_MM:
        raise ReadingError("the reach is shorter than a rule can be read")
    if any(one.refused > setup.lever for one in readings):
        raise ReadingError("the gap cannot be larger than the reach")
    gap = sum(one.middle for one in readings) / len(readings)
    angle = math.atan2(gap, setup.lever)
    per_mm = math.cos(angle) ** 2 / setup.lever
    known = setup.square_known if turned is None else 0.0
    sources = (
        _bracket(readings, per_mm),
        Source(LEVER_LEAF, "leaf thickness", _leaf_u(setup) * per_mm),
        feel_of_all(FEEL_U_MM / math.sqrt(len(readings)) * per_mm),
        Source.within(LEVER, "reach", LEVER_WITHIN_MM * abs(gap) / setup.lever * per_mm),
        *_square(setup, turned is not None),
    )
    return Estimate(angle - known, Budget(sources))


def feel_of_all(u: float) -> Source:
    """Give the feel of the leaf as the source of a result that reading it again makes smaller."""
    return Source(FEEL, "feel of the leaf", u, FEEL_DOF, hand=LEAF)


def own_error(limit: float) -> Source:
    """Give the square's own error, within plus or minus `limit` (rad), as a source."""
    return Source.within(SQUARE, "square, its own error", limit, lasting=True)


def square_error(setup: SetUp, reading: SquareReading, turned: SquareReading) -> float:
    """Give the square's own error found by turning it over, rad (half the difference)."""
    return math.atan2((reading.middle - turned.middle) / 2, setup.lever)


def _bracket(readings: Sequence[SquareReading], per_mm: float) -> Source:
    """Give the bracket as one source, its half-width the mean of the readings' half-widths.

    Turning a good square over brackets nearly the same gap with the same leaves again: the second
    bracket is no new knowledge, so the two add straight (GUM 5.2.2, fully correlated).
    """
    half_width = sum(one.half_width for one in readings) / len(readings)
    return Source.within(
        LEVER_BRACKET, "bracket between the leaves", half_width * per_mm, hand=BRACKET
    )


def _leaf_u(setup: SetUp) -> float:
    """Leaves of a stack add as independent; both ends of a bracket are taken to shift together."""
    return setup.leaf_tolerance / math.sqrt(3) * math.sqrt(max(1, setup.leaves))


def _square(setup: SetUp, turned: bool) -> list[Source]:
    if turned:
        return [Source(SQUARE_TURNED, "square (cancelled by turning it over)", 0.0, lasting=True)]
    sources = [own_error(setup.square_limit)]
    if setup.square_u > 0:
        proven = "square, as certified or proven"
        sources.append(Source(SQUARE_PROVEN, proven, setup.square_u, lasting=True))
    return sources
