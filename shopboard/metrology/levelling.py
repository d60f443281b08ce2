"""Two tables against each other, and the moves of the mounts that bring one parallel to the other.

A table is a plane z = a + b x + c y; z upward. x runs along the machine from
the infeed to the outfeed side, y across it. Lengths mm, slopes mm per mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopboard.metrology.form import FittedForm, Points, least_squares, spread_out

_SAME = 1e-12
"""Two sums of squares closer than this part are the same."""


@dataclass(frozen=True)
class Coplanarity:
    """The infeed table against the outfeed table."""

    outfeed: FittedForm
    infeed: FittedForm

    @property
    def along(self) -> float:
        """Pitch: how much more the infeed table rises along x than the outfeed table does."""
        return self.infeed.slopes[0] - self.outfeed.slopes[0]

    @property
    def across(self) -> float:
        """Twist: how much more the infeed table rises along y than the outfeed table does."""
        return self.infeed.slopes[1] - self.outfeed.slopes[1]

    @property
    def step(self) -> float:
        """How far the infeed table lies above the outfeed table at x = y = 0, mm."""
        return self.infeed.at_origin - self.outfeed.at_origin

    @property
    def worse(self) -> float:
        """Pitch or twist, whichever is larger, with its sign."""
        return self.along if abs(self.along) >= abs(self.across) else self.across


def coplanarity(outfeed: Points, infeed: Points) -> Coplanarity:
    """Lay a least-squares plane through the stations of each table.

    Raises:
        FormError: when the stations of a table lie too badly.
    """
    return Coplanarity(least_squares(outfeed), least_squares(infeed))


def moves_to_zero(plane: FittedForm, mounts: Points) -> tuple[float, ...]:
    """Give the moves, mm, upward positive, that bring a plane to z = 0 everywhere."""
    return tuple(-plane.height(mount) for mount in mounts)


def least_moves(plane: FittedForm, mounts: Points) -> tuple[float, ...]:
    """Give the moves, mm, upward positive, that level a plane and leave one mount untouched.

    Of the mounts that can be left, the one that makes the sum of squared moves least; of equal
    ones, the one that leaves the height nearest to 0. A plane that stays a plane wrings no mount,
    so that four mounts are as free of strain as three.

    Raises:
        FormError: for fewer than three mounts, or mounts on one line.
    """
    spread_out([(*mount, 0.0) for mount in mounts])
    to_zero = moves_to_zero(plane, mounts)
    choices = [tuple(move - left for move in to_zero) for left in to_zero]
    sums = [sum(move**2 for move in moves) for moves in choices]
    least = min(sums)
    equal = [at for at, total in enumerate(sums) if total <= least * (1 + _SAME)]
    return choices[min(equal, key=lambda at: abs(to_zero[at]))]


def residual(plane: FittedForm, mounts: Points, moves: Sequence[float]) -> float:
    """Give what is left out of level over the mounts once they are moved, mm."""
    after = [plane.height(mount) + move for mount, move in zip(mounts, moves, strict=True)]
    return max(after) - min(after)
