"""A mitred frame: its faces, and what the errors of its mitres leave in the last corner."""

from __future__ import annotations

import cmath
import math

import pytest

from shopboard.metrology import mitre
from tests.metrology.mitres import last_corner


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 12])
def test_a_face_runs_from_the_outer_corner_to_the_inner(sides: int) -> None:
    """Coordinates: two regular polygons whose edges are as far apart as the stock is wide."""
    width, inside = 63.5, 200.0
    tips = [
        cmath.rect(edge / math.cos(math.pi / sides), math.pi / sides)
        for edge in (inside, inside + width)
    ]
    assert mitre.face(width, sides) == pytest.approx(abs(tips[1] - tips[0]))


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8])
@pytest.mark.parametrize("error", [0.002, -0.003])
def test_the_last_corner_holds_two_errors_of_each_side(sides: int, error: float) -> None:
    """Coordinates: every side laid on the one before; and back from the gap to the error."""
    opened = abs(last_corner(63.5, [error] * 2 * sides))
    face = mitre.face(63.5, sides)
    assert abs(mitre.closing(error, sides)) == pytest.approx(2 * math.asin(opened / 2 / face))
    assert mitre.closing(error, sides) * error > 0
    assert mitre.gap(63.5, error, sides) == pytest.approx(opened, rel=0.02)
    assert mitre.error_of(63.5, opened, sides) == pytest.approx(abs(error), rel=0.02)
