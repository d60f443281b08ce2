"""Tolerances that cannot be, and what is said of each."""

from __future__ import annotations

import pytest

from shopboard.metrology.limits import parse_tolerance
from shopboard.metrology.quantity import QuantityError


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0 to 0 thou/ft", "must be below the second"),
        ("3 to 0 thou/ft", "must be below the second"),
        ("1 to 3 thou/ft", "must hold 0"),
        ("-3 to -1 thou/ft", "must hold 0"),
        ("0 deg", "more than 0"),
        ("5.01 deg", "more than 5 degrees"),
        ("-5.01 to 1 deg", "more than 5 degrees"),
    ],
)
def test_what_is_no_tolerance_is_refused(text: str, says: str) -> None:
    """A band without a width, or without dead square in it, proves nothing (derived)."""
    with pytest.raises(QuantityError, match=says):
        parse_tolerance(text)


def test_a_range_may_end_at_dead_square() -> None:
    for text, ends in (("0 to 12 thou/ft", (0, 1e-3)), ("-12 to 0 thou/ft", (-1e-3, 0))):
        found = parse_tolerance(text)
        assert (found.low, found.high) == pytest.approx(ends, rel=1e-6)
    assert parse_tolerance("5 deg").high == pytest.approx(0.0872664626)
