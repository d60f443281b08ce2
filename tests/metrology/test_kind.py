"""Values of every kind in words: their sign, their unit, their digits."""

from __future__ import annotations

import pytest

from shopboard.metrology.kind import Kind, value_words
from shopboard.metrology.quantity import Unit


@pytest.mark.parametrize(
    ("value", "kind", "unit", "u", "words"),
    [
        (1e-3, "angle", "mm", 0.0, "+1.00 mm/m (+0.057°)"),
        (-1e-3, "angle", "inch", 0.0, "-12.0 thou/ft (-0.057°)"),
        (-1e-3, "angle", "mm", 2.5e-5, "-1.000 mm/m (-0.057°)"),
        (0.254, "length", "inch", 0.0, "+10.0 thou"),
        (-0.254, "length", "mm", 0.0, "-0.254 mm"),
        (-0.254, "length", "mm", 0.0061, "-0.2540 mm"),
        (12.0, "time", "mm", 0.0, "+12.0 s"),
        (1.0, "stress", "inch", 0.0, "145 psi"),
        (1.0, "yes or no", "mm", 0.5, "no"),
    ],
)
def test_a_value_is_told_with_its_sign(
    value: float, kind: Kind, unit: Unit, u: float, words: str
) -> None:
    """A mm in a metre is 12 thou in a foot, and 0.0573 degrees; two digits of u (GUM 7.2.6)."""
    assert value_words(value, kind, unit, u) == words
