"""Tolerances that cannot be, and what is said of each."""

from __future__ import annotations

import pytest

from shopboard.metrology.kind import Kind
from shopboard.metrology.limits import parse_limits, parse_tolerance
from shopboard.metrology.quantity import LONGEST, QuantityError


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


def test_a_tolerance_may_be_as_long_as_two_quantities() -> None:
    """And no longer."""
    text = "0 to 3 thou"
    assert parse_limits(text.ljust(2 * LONGEST)).high == pytest.approx(0.0762)
    with pytest.raises(QuantityError, match="too long"):
        parse_limits(text.ljust(2 * LONGEST + 1))


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("0 to 3 thou", "length", 0.0, 0.0762),
        ("-1 thou to 3 thou", "length", -0.0254, 0.0762),
        ("3 thou", "length", -0.0762, 0.0762),
        ("+/- 3 thou", "length", -0.0762, 0.0762),
        ("10000 to 20000 psi", "stress", 68.94757, 137.89515),
        ("140 MPa", "stress", -140.0, 140.0),
        ("0 to 10 s", "time", 0.0, 10.0),
        ("1 mm/m", "angle", -0.001, 0.001),
    ],
)
def test_the_unit_tells_what_kind_of_tolerance_it_is(
    text: str, kind: Kind, low: float, high: float
) -> None:
    """NIST SP 811 (from memory): a thou is 0.0254 mm, a psi 6894.757293 Pa."""
    found = parse_limits(text)
    assert found.kind == kind
    assert (found.low, found.high) == pytest.approx((low, high), rel=1e-6)


@pytest.mark.parametrize("text", ["3 to 3 thou", "3 to 1 s", "0 psi", "20000", "3 s/m", "psi"])
def test_a_band_without_a_width_or_a_unit_is_no_tolerance(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_limits(text)
