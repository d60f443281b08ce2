"""A frame laid in coordinates, mitre on mitre, as an independent check of the formulas."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence


def last_corner(width: float, errors: Sequence[float]) -> float:
    """Build a frame in coordinates, every corner tight but the last; give its gap.

    Each side has two mitres whose points are off by two of `errors`. Side after side is laid with
    its face on the face before; then the last face is slid to touch the first. Positive: the faces
    touch at the heels and are open at the toes.
    """
    sides = len(errors) // 2
    point = math.pi / 2 - math.pi / sides
    way = 1 + 0j  # from its first toe along the outer edge of each side
    first = way * cmath.rect(1, point + errors[0])  # from toe to heel of the very first face
    for side in range(sides):
        face = -way * cmath.rect(1, -(point + errors[2 * side + 1]))  # the face at its far end
        if side < sides - 1:  # the next side's face lies on it
            way = face / cmath.rect(1, point + errors[2 * side + 2])
    length = width / math.sin(point)
    start, end = first * length, face / abs(face) * length
    # Seen from the toe, the last side comes before the first: turned past it, they would overlap.
    overlaps = (end.conjugate() * start).imag > 0
    gap = abs(start - end)
    return gap if overlaps else -gap
