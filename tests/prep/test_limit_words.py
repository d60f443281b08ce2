"""What a project needs of a point is never rounded up, and reads less than what it is less than."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shopboard.metrology.angle import mm_per_m, thou_per_ft
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind, limit_in_degrees, limit_words
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import MM_PER_INCH
from shopboard.prep.known import KnownPoint
from shopboard.prep.needs_words import needed_words
from shopboard.prep.project_needs import PointNeeds
from tests.builders import make_point


def needs(needed: float, allowed: float) -> PointNeeds:
    """A point whose shop file allows so many mm/m, of which a project needs so many."""
    rad, most = (math.atan(one / 1000) for one in (needed, allowed))
    point = make_point(tolerance=Tolerance(-most, most, f"{allowed:g} mm/m"))
    known = KnownPoint(point, "Saw", "true", None, None)
    return PointNeeds(known, most, rad, "chest.top", None, "", cancels=False)


@pytest.mark.parametrize(
    ("needed", "allowed", "words"),
    [
        (0.1992, 0.2, "needs 0.199 mm/m (0.0114°): shop file 0.2 mm/m is too loose"),
        (0.1997, 0.2, "needs 0.199 mm/m (0.0114°): shop file 0.2 mm/m is too loose"),
        (0.1503, 0.2, "needs 0.15 mm/m (0.0086°): shop file 0.2 mm/m is too loose"),
        (0.0047, 0.2, "needs 0.0047 mm/m (0.000269°): shop file 0.2 mm/m is too loose"),
        (0.2, 0.2, "needs 0.20 mm/m (0.0114°); shop file 0.2 mm/m"),
        (0.19999, 0.2, "needs 0.199 mm/m (0.0114°); shop file 0.2 mm/m"),
    ],
)
def test_the_need_is_told_below_what_is_too_loose(
    needed: float, allowed: float, words: str
) -> None:
    """Seen: "needs 0.20 mm/m: shop file 0.2 mm/m is too loose"."""
    assert needed_words(needs(needed, allowed), "mm") == words


@given(
    st.floats(1e-6, 0.05),
    st.sampled_from(["angle", "length"]),
    st.sampled_from(["inch", "mm"]),
    st.floats(1.001, 3.0),
)
def test_a_limit_is_never_rounded_up(size: float, kind: Kind, unit: Unit, more: float) -> None:
    """It is told within a hundredth, to two digits at the least, and below what it is below of."""
    words = limit_words(size, kind, unit, size * more)
    told = float(re.match(r"[0-9.]+", words)[0])  # type: ignore[index]
    if kind == "angle":
        exact, other = (mm_per_m if unit == "mm" else thou_per_ft)(size), size * more
        below = (mm_per_m if unit == "mm" else thou_per_ft)(other)
    else:
        scale = 1.0 if unit == "mm" else 1000 / MM_PER_INCH
        exact, below = size * scale, size * more * scale
    assume(exact > 1e-3)
    assert 0.98 * exact <= told <= exact * (1 + 1e-6) + 1e-9
    assert told < below


def test_degrees_are_rounded_down_too() -> None:
    """A tenth of a degree less a hair is not a tenth."""
    assert limit_in_degrees(math.radians(0.09995)) == "0.099°"
