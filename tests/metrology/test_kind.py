"""Values of every kind in words: their sign, their unit, their digits."""

from __future__ import annotations

import pytest

from shopboard.metrology.kind import Kind, limit_words, value_words
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


@pytest.mark.parametrize(
    ("size", "kind", "unit", "name", "of_one"),
    [
        (0.000199, "angle", "mm", "mm/m", 1000),
        (0.00127, "angle", "inch", "thou/ft", 12_000),
        (0.0299, "length", "mm", "mm", 1),
        (9.99, "time", "inch", "s", 1),
    ],
)
def test_a_limit_is_told_in_its_unit_and_never_rounded_up(
    size: float, kind: Kind, unit: Unit, name: str, of_one: float
) -> None:
    """A radian is 1000 mm in a metre, 12,000 thou in a foot; at most a hundredth is lost."""
    number, _, told = limit_words(size, kind, unit).partition(" ")
    assert told == name
    assert 0.99 * size * of_one <= float(number) <= size * of_one


@pytest.mark.parametrize(
    ("size", "kind", "unit", "words"),
    [
        (0.1259, "length", "mm", "0.125 mm"),
        (0.0299, "length", "mm", "0.0299 mm"),
        (0.12, "length", "mm", "0.12 mm"),
        (0.0001259, "angle", "mm", "0.125 mm/m"),
    ],
)
def test_a_limit_has_no_more_digits_than_it_takes(
    size: float, kind: Kind, unit: Unit, words: str
) -> None:
    """By hand: the fewest that lose no more than a hundredth."""
    assert limit_words(size, kind, unit) == words
