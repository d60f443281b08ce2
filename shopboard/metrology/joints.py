"""What a crooked cut does to the joint that it ends up in: gap, cup, lean, taper.

Exact plane geometry for rigid boards. Every error is a size without a sign: where the sign decides,
the worse one is taken. Each result grows with the error and is 0 without one. Derived, but where a
source is named.
"""

from __future__ import annotations

import math

from shopboard.metrology import mitre

MOST_ANGLE = math.pi / 4
"""A cut further off than this, rad, is another cut and not an error of this one."""


def _check(error: float, most: float = math.inf, **sizes: float) -> None:
    """Refuse an error below 0 or above the most, and sizes that are not above 0.

    Raises:
        ValueError: naming the number and what is allowed.
    """
    for name, size in sizes.items():
        if not 0 < size < math.inf:
            raise ValueError(f"{name} is {size:g}; it must be above 0")
    if not 0 <= error <= most:
        raise ValueError(f"an error of {error:g} is outside 0 to {most:g}")


def out_over(reach: float, error: float) -> float:
    """How far a line that is off by an angle (rad) runs out over a reach.

    A crosscut over the width of its piece, a shoulder over the width of its rail, a leaf over the
    height it was resawn at, a stop's face over its width.

    Raises:
        ValueError: when the reach is not above 0, or the angle not in 0 to `MOST_ANGLE`.
    """
    _check(error, MOST_ANGLE, reach=reach)
    return reach * math.tan(error)


def angle_of(out: float, reach: float) -> float:
    """Angle (rad) of a line that runs out so far over a reach: `out_over` the other way round."""
    _check(out, reach=reach)
    return min(math.atan2(out, reach), MOST_ANGLE)


def both_open(thickness: float, error: float) -> float:
    """Gap at one face where two cuts, each off square through the thickness, touch at the other.

    The boards lie flat. Each cut runs out by thickness x tan(error). The usual rule, thickness x
    tan(2 error) (from memory), is the same to the first order.

    Raises:
        ValueError: as `out_over`.
    """
    return 2 * out_over(thickness, error)


def kinked_edge(length: float, error: float) -> float:
    """How hollow (or full) an edge is at most, planed over two tables that meet at an angle (rad).

    The edge follows the first table, then the second: its direction changes by the angle between
    them and by no more. The apex sees the edge's chord under 180 degrees less that angle and lies
    on a circle through its ends, so that no such edge is hollower than the one with its kink in the
    middle (inscribed angle).

    Raises:
        ValueError: as `out_over`.
    """
    _check(error, MOST_ANGLE)
    return out_over(length / 2, error / 2)


def most_cup_angle(boards: int) -> float:
    """Largest error of the edges, rad, that `cup` is given for: the panel is a half circle."""
    return min(MOST_ANGLE, math.pi / (2 * max(boards - 1, 1)))


def cup(width: float, boards: int, error: float) -> float:
    """Height of the hollow across a panel of boards glued up with closed joints.

    Both edges of each board are off square by the error (rad) the same way, so that the panel turns
    by twice the error in each joint; the boards' faces are the sides of a polygon with equal sides
    and turns. To the first order width x error x boards^2 / 4, with boards^2 - 1 for an odd number.

    Args:
        width: of each board, on its wider face.
        boards: at least 1.
        error: rad, up to `most_cup_angle`.

    Raises:
        ValueError: outside these.
    """
    if boards < 1:
        raise ValueError(f"a panel of {boards} boards; it takes at least 1")
    _check(error, most_cup_angle(boards), width=width)
    turns = range(boards - 1, 0, -2)
    return width * sum(math.sin(turn * error) for turn in turns)


def most_ring_angle(sides: int) -> float:
    """Largest error of each mitre, rad, that `last_corner` is given for: that opens it to 90."""
    return math.pi / (4 * sides)


def last_corner(width: float, sides: int, error: float) -> float:
    """Gap in the last corner of a frame or ring, of which all others are closed.

    Two mitres to a corner: 2 x sides errors end up between the last two faces, which are drawn
    together until they touch at one end. The angle is exact for any lengths of the sides. A face
    cut too steep is longer than the true one, width / cos(180 deg / sides + error): the worse sign.

    Left to itself the last corner stands further apart, by all errors times its distance from the
    middle of the frame; drawn together all round, each corner takes two errors, and no corner of a
    regular ring more than half of them all while every corner touches.

    Args:
        width: of the stock in the plane of the ring: of a frame's member or a ring's segment, the
            thickness of a stave.
        sides: at least 3.
        error: rad, of each mitre or bevel, up to `most_ring_angle`.

    Raises:
        ValueError: outside these.
    """
    if sides < 3:
        raise ValueError(f"a ring of {sides} sides; it takes at least 3")
    _check(error, most_ring_angle(sides), width=width)
    steep = width / math.cos(math.pi / sides + error)
    return 2 * steep * math.sin(mitre.closing(error, sides) / 2)


def all_round(width: float, sides: int, error: float) -> float:
    """Gap in every corner of a frame or ring that is drawn together all round, by a strap.

    Each corner takes its own two errors and no more: over the face of a mitre, of the worse sign as
    in `last_corner`, they open it by twice the error.

    Args:
        width: as in `last_corner`.
        sides: at least 3.
        error: rad, of each mitre or bevel, up to `most_ring_angle`.

    Raises:
        ValueError: outside these.
    """
    if sides < 3:
        raise ValueError(f"a ring of {sides} sides; it takes at least 3")
    _check(error, most_ring_angle(sides), width=width)
    return 2 * width / math.cos(math.pi / sides + error) * math.sin(error)


def opened_by_lengths(sides: int, difference: float) -> float:
    """Gap in the last corner of a frame with true mitres whose members differ in length.

    Members no more unequal than the difference; at worst those on the side of the last corner are
    the long ones. Each moves the last two faces apart by its own excess times the cosine of the
    angle between it and the faces' normal. For four sides: the difference times root 2.

    Raises:
        ValueError: when sides are fewer than 3 or the difference is below 0.
    """
    if sides < 3:
        raise ValueError(f"a ring of {sides} sides; it takes at least 3")
    _check(difference)
    shares = (math.cos((2 * side + 1) * math.pi / sides) for side in range(sides))
    return difference * sum(max(0.0, share) for share in shares)


def lean(one: float, other: float, error: float) -> float:
    """Difference of the diagonals of a box whose sides all lean by an angle (rad).

    A parallelogram: d1^2 = a^2 + b^2 + 2 a b sin(error), d2^2 the same with minus; the other way
    round of `panel.Panel.skew`.

    Raises:
        ValueError: when a side is not above 0, or the angle not in 0 to `MOST_ANGLE`.
    """
    _check(error, MOST_ANGLE, side=one, other_side=other)
    skew = 2 * one * other * math.sin(error)
    squares = one**2 + other**2
    # d1 - d2 = (d1^2 - d2^2) / (d1 + d2): exact for a small skew, too.
    return 2 * skew / (math.sqrt(squares + skew) + math.sqrt(squares - skew))
