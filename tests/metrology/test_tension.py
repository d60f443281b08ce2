"""A band's modulus as it is typed, its stress and the force in a strand."""

from __future__ import annotations

import pytest

from shopboard.metrology.number import NoNumberError, QuantityError
from shopboard.metrology.tension import (
    STEEL_MPA,
    STEEL_WITHIN,
    parse_modulus,
    strand_force,
    stress,
)
from tests.metrology.pint_units import registry


def test_the_steel_of_a_band() -> None:
    """29 million psi (common practice) by pint, 199.948 GPa; handbooks give 28 to 30 of them."""
    assert (
        pytest.approx(registry().Quantity(29e6, "psi").to("MPa").magnitude, rel=1e-8) == STEEL_MPA
    )
    assert STEEL_WITHIN == 0.03


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("29e6 psi", 29e6, "psi"),
        (" 29000000PSI ", 29e6, "psi"),
        ("29000 ksi", 29e3, "ksi"),
        ("29 Mpsi", 29.0, "megapsi"),
        ("200 GPa", 200.0, "GPa"),
        ("50 GPa", 50.0, "GPa"),
        ("400000 mpa", 4e5, "MPa"),
        ("0" * 33 + "200 GPa", 200.0, "GPa"),
    ],
)
def test_a_modulus_in_every_unit(text: str, number: float, unit: str) -> None:
    """By pint; the softest and the stiffest that are allowed, and the longest text, are read."""
    by_library = registry().Quantity(number, unit).to("MPa").magnitude
    assert parse_modulus(text) == pytest.approx(by_library, rel=1e-8)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("200", "not a modulus"),
        ("steel", "not a modulus"),
        ("0" * 34 + "200 GPa", "not a modulus"),
        ("2.0.0 GPa", "does not start with a number"),
        ("49.9 GPa", "no band"),
        ("401 GPa", "no band"),
    ],
)
def test_what_is_no_modulus_of_a_band(text: str, reason: str) -> None:
    with pytest.raises(QuantityError, match=reason) as caught:
        parse_modulus(text)
    assert isinstance(caught.value, NoNumberError) is ("number" in reason)


def test_stress_and_force() -> None:
    """Hooke: 0.1 mm in 200 at 200 GPa is 100 MPa; over 12 x 0.6 mm that is 720 N (by hand)."""
    assert stress(0.1, 200.0, 200e3) == pytest.approx(100.0)
    assert stress(0.1, 200.0) == pytest.approx(STEEL_MPA / 2000)
    assert strand_force(100.0, 12.0, 0.6) == pytest.approx(720.0)
