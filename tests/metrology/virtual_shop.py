"""Boards cut on a crooked machine and put together, by coordinates only.

A board is its eight corners. The saw is one plane that stands where the errors put it; a board is
turned over or end for end by proper rotations, laid against the fence and the table, cut at its
right end, and turned back. Nothing here knows a formula of the program.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

TURNS = {
    "as it lies": np.diag([1.0, 1.0, 1.0]),
    "end for end, same face down": np.diag([-1.0, -1.0, 1.0]),
    "end for end, same edge to the fence": np.diag([-1.0, 1.0, -1.0]),
    "same end, other face down": np.diag([1.0, -1.0, -1.0]),
}
"""Ways to turn a board: all have determinant 1, so that none of them mirrors it."""


@dataclass(frozen=True)
class Blade:
    """The plane of the cut: x = at + y tan(swing) + z tan(tilt) / cos(swing)."""

    swing: float = 0.0
    """From square to the fence, seen from above, rad."""
    tilt: float = 0.0
    """From plumb, square to the line of the cut, rad."""

    def x(self, at: float, y: float, z: float) -> float:
        return at + y * math.tan(self.swing) + z * math.tan(self.tilt) / math.cos(self.swing)


class Board:
    """Corners [end, edge, face, xyz]: left and right end, fence and far edge, lower and upper."""

    def __init__(self, length: float, width: float, thickness: float) -> None:
        self.size = np.array([length, width, thickness])
        grid = np.meshgrid([0, length], [0, width], [0, thickness], indexing="ij")
        self.corners: Array = np.stack(grid, axis=-1).astype(float)

    def cut(
        self, blade: Blade, at: float, turn: str = "as it lies", *, beyond: bool = False
    ) -> None:
        """Cut the end that lies to the right once the board is turned; `at` is from its left.

        Beyond: the board lies on the right of the blade, which cuts its left end.
        """
        matrix = TURNS[turn]
        assert np.linalg.det(matrix) == 1.0
        back = np.where(np.diag(matrix) < 0, self.size, 0.0)
        laid = self.corners @ matrix + back
        end = 1 if (matrix[0, 0] > 0) != beyond else 0
        for edge in (0, 1):
            for face in (0, 1):
                _x, y, z = laid[end, edge, face]
                laid[end, edge, face, 0] = blade.x(at, y, z)
        self.corners = (laid - back) @ matrix

    @property
    def left(self) -> Array:
        left: Array = self.corners[0]
        return left

    @property
    def right(self) -> Array:
        right: Array = self.corners[1]
        return right


def in_section(corners: Array) -> Array:
    """Look at boards from their ends: [end, face, edge, xzy], faces and edges changed over."""
    return corners.swapaxes(1, 2)[..., [0, 2, 1]]


def turned(points: Array, angle: float) -> Array:
    """Turn points in the plane of their first two coordinates about the origin."""
    cos, sin = math.cos(angle), math.sin(angle)
    matrix = np.eye(points.shape[-1])
    matrix[:2, :2] = [[cos, -sin], [sin, cos]]
    return points @ matrix.T


def heading(start: Array, end: Array) -> float:
    """Direction from one point to another in the plane of their first two coordinates."""
    return math.atan2(end[1] - start[1], end[0] - start[0])


def closed_in_turn(pieces: list[Array], level: int = 0) -> list[Array]:
    """Lay pieces [end, side, level, xyz] together, each closed onto the one before.

    They lie flat; the lines of their ends on one level (0 below, 1 above) are brought together.
    The first is not moved.
    """
    placed = [pieces[0]]
    for piece in pieces[1:]:
        start, end = placed[-1][1, :, level]
        moved = turned(piece, heading(start, end) - heading(*piece[0, :, level]))
        placed.append(moved + (start - moved[0, 0, level]) * [1, 1, 0])
    return placed


def angle_between(one: Array, other: Array) -> float:
    """Angle between two lines [side, xyz], rad, in -pi to pi."""
    apart = heading(*other) - heading(*one)
    return (apart + math.pi) % (2 * math.pi) - math.pi


def gap_when_touching(one: Array, other: Array) -> float:
    """Widest gap between two ends [..., xyz], slid without turning until one corner touches."""
    apart = (one - other).reshape(-1, one.shape[-1])
    return float(max(np.linalg.norm(a - b) for a in apart for b in apart))


def gap_across(one: Array, other: Array) -> float:
    """As `gap_when_touching`, but across two ends [side, level, xyz] only, not along them.

    Along the middle of their two normals. Faces that lean alike slide on each other where the
    boards do not run in one line; that is a step at the corner's outside and no gap.
    """
    along = sum(
        (end[1, 0] - end[0, 0]) / np.linalg.norm(end[1, 0] - end[0, 0]) for end in (one, other)
    )
    normal = np.array([along[1], -along[0], 0.0]) / np.linalg.norm(along)
    return float(np.ptp((one - other) @ normal))


def hollow(points: Array) -> float:
    """Largest distance of a chain of points [n, xy] from the line through its ends."""
    chord = points[-1] - points[0]
    rest = points - points[0]
    across = chord[0] * rest[:, 1] - chord[1] * rest[:, 0]
    return float(np.abs(across).max() / np.linalg.norm(chord))
