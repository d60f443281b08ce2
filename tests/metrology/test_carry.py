"""Knife height from carry: the sagitta of the cutting circle."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.carry import CarryError, carry_of, height_of

TABLE = {
    # Derived: height in thou by circle (in), for carries of 1/16, 3/32, 1/8, 3/16 and 1/4 in.
    2.0: (0.4884, 1.0992, 1.9550, 4.4042, 7.8433),
    2.5: (0.3907, 0.8792, 1.5635, 3.5206, 6.2657),
    3.0: (0.3256, 0.7326, 1.3026, 2.9326, 5.2174),
    4.0: (0.2442, 0.5494, 0.9768, 2.1985, 3.9101),
}
CARRIES = (1 / 16, 3 / 32, 1 / 8, 3 / 16, 1 / 4)


@pytest.mark.parametrize("circle", TABLE)
def test_the_derived_table(circle: float) -> None:
    """Height = R - sqrt(R² - s²/4), to four digits."""
    found = [height_of(carry, circle) * 1000 for carry in CARRIES]
    assert found == pytest.approx(TABLE[circle], abs=6e-5)


def test_an_eighth_is_not_a_thousandth_on_a_three_inch_circle() -> None:
    """The trap: 1.3 thou; the often-heard 1 thou holds near 4 in, and on 2 in it is 2 thou."""
    assert height_of(0.125, 3.0) == pytest.approx(0.0013026, abs=1e-7)
    assert height_of(0.125, 4.0) == pytest.approx(0.001, abs=3e-5)
    assert height_of(0.125, 2.0) == pytest.approx(0.002, abs=5e-5)


def test_the_way_back() -> None:
    """Derived: 1 thou on 3 in carries .10953 in, 2 thou .15487; 70 mm and 3 mm: 0.0321576 mm."""
    assert carry_of(0.001, 3.0) == pytest.approx(0.10953, abs=5e-6)
    assert carry_of(0.002, 3.0) == pytest.approx(0.15487, abs=5e-6)
    assert height_of(3.0, 70.0) == pytest.approx(0.0321576, abs=5e-8)


@given(st.floats(20, 200), st.floats(0, 0.5))
def test_a_chord_seen_from_the_table(circle: float, share: float) -> None:
    """The tip crosses the table's plane where the circle does: Pythagoras, the other way round."""
    height = share * circle / 2
    across = 2 * math.sqrt(max(0.0, (circle / 2) ** 2 - (circle / 2 - height) ** 2))
    assert carry_of(height, circle) == pytest.approx(across, rel=1e-6, abs=1e-6)
    assert height_of(across, circle) == pytest.approx(height, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: height_of(3.1, 3.0), "carry"),
        (lambda: height_of(0.1, 0.0), "circle"),
        (lambda: carry_of(1.6, 3.0), "height"),
        (lambda: carry_of(0.1, -1.0), "circle"),
    ],
)
def test_what_the_circle_does_not_allow_is_named(call: object, what: str) -> None:
    """The wrong value comes first in the sentence."""
    with pytest.raises(CarryError, match=f"^{what}"):
        call()  # type: ignore[operator]
