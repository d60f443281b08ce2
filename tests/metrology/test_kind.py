"""Values of every kind in words: their sign, their unit, their digits."""

from __future__ import annotations

import math

import pytest

from shopboard.metrology.kind import (
    Kind,
    as_kept,
    in_units,
    limit_in_degrees,
    limit_words,
    own_units,
    promised,
    spread_as_kept,
    value_words,
    with_expanded,
)
from shopboard.metrology.quantity import Unit
from shopboard.metrology.spread import Spread


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
        (0.0, "length", "mm", 0.0, "0.000 mm"),
        (0.0, "time", "inch", 0.0, "0.0 s"),
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
        (0.0812, "length", "mm", "0.081 mm"),
        (0.101, "length", "mm", "0.10 mm"),
        (0.0001259, "angle", "mm", "0.125 mm/m"),
        (0.0001, "angle", "mm", "0.10 mm/m"),
        (1 / 12000, "angle", "inch", "1.0 thou/ft"),
        (0.0762, "length", "inch", "3.0 thou"),
        (10.0, "time", "mm", "10.0 s"),
        (140.0, "stress", "mm", "140 MPa"),
    ],
)
def test_a_limit_has_no_more_digits_than_it_takes(
    size: float, kind: Kind, unit: Unit, words: str
) -> None:
    """By hand: the fewest that lose no more than a hundredth."""
    assert limit_words(size, kind, unit) == words


@pytest.mark.parametrize(
    ("size", "kind", "unit", "words"),
    [
        (1.0, "yes or no", "mm", "no"),
        (0.0, "note", "inch", "noted"),
        (1500.0, "speed", "mm", "1.5 m/s"),
        (508.0, "speed", "inch", "100 ft/min"),
        (6.89475729, "stress", "inch", "1000 psi"),
        (0.0259, "length", "inch", "1.01 thou"),
    ],
)
def test_a_limit_of_any_kind(size: float, kind: Kind, unit: Unit, words: str) -> None:
    """A foot is 304.8 mm, 1 psi 6894.757293 Pa (NIST SP 811, from memory); 25.9 um, 1.0196 thou."""
    assert limit_words(size, kind, unit) == words


def test_a_limit_in_degrees() -> None:
    assert limit_in_degrees(math.radians(0.1)) == "0.100°"
    assert limit_in_degrees(math.radians(0.0119)) == "0.0119°"


def test_what_is_known_is_kept_in_whole_units() -> None:
    """Nanometres of a length, nanoradians of an angle, whatever the part (derived)."""
    told = Spread(0.0012345678, (0.0000004, 0.0000016), 0.0000024)
    assert spread_as_kept(told, "length") == Spread(0.001235, (0.0, 2e-6), 2e-6)
    assert as_kept(1.23456e-6, "angle") == pytest.approx(1.235e-6)


def test_a_limit_that_it_is_below_of_reads_so() -> None:
    """By hand: half a step of its last digit below at the least, with as many as that takes."""
    assert limit_words(0.1999, "length", "mm", below=0.2) == "0.199 mm"
    assert limit_words(0.19, "length", "mm", below=0.2) == "0.19 mm"
    assert limit_words(0.19, "length", "mm", below=0.194) == "0.190 mm"
    assert limit_words(100.0, "stress", "mm", below=100.5) == "100 MPa"
    assert limit_words(100.0, "stress", "mm", below=100.25) == "100.0 MPa"


@pytest.mark.parametrize(
    ("value", "expanded", "kind", "unit", "words"),
    [
        (0.0003, 0.000123, "angle", "mm", "+0.30 mm/m ± 0.12 mm/m"),
        (-0.0003, 0.000123, "angle", "inch", "-3.6 thou/ft ± 1.5 thou/ft"),
        (0.254, 0.0127, "length", "inch", "+10.00 thou ± 0.50 thou"),
        (0.25, 0.0, "length", "mm", "+0.250 mm ± 0.000 mm"),
        (1500.0, 20.0, "speed", "mm", "1.5 m/s ± 0.0 m/s"),
        (1.0, 0.4, "yes or no", "mm", "no   "),
        (0.0, 0.4, "note", "mm", "   "),
    ],
)
def test_a_result_stands_with_its_u_to_two_digits(
    value: float, expanded: float, kind: Kind, unit: Unit, words: str
) -> None:
    """JCGM 100:2008, 7.2.6. A foot is 304.8 mm; 0.3 mm/m are 3.6 thou/ft."""
    assert with_expanded(value, expanded, kind, unit) == words


def test_a_result_fills_its_columns() -> None:
    """So that a table stands straight: 12 and 11 wide, and what is between."""
    for value, u, kind in ((0.0003, 0.0001, "angle"), (1.0, 0.0, "yes or no"), (0.0, 0.0, "note")):
        words = with_expanded(value, u, kind, "mm", (12, 11))  # type: ignore[arg-type]
        assert len(words) == 12 + 3 + 11, kind
    assert with_expanded(0.0003, 0.0001, "angle", "mm", (12, 11)) == "  +0.30 mm/m ± 0.10 mm/m  "


@pytest.mark.parametrize(
    ("value", "kind", "units"),
    [
        (0.001, "angle", {"deg": 0.0572958, "thou_per_ft": 12.0, "mm_per_m": 1.0}),
        (2.54, "length", {"in": 0.1, "thou": 100.0, "mm": 2.54}),
        (1.0, "stress", {"psi": 145.0377, "MPa": 1.0}),
        (
            508.0,
            "speed",
            {"ft_per_min": 100.0, "m_per_min": 30.48, "m_per_s": 0.508, "mph": 1.13636},
        ),
        (4.0, "time", {"s": 4.0}),
        (1.0, "yes or no", {"share": 1.0}),
    ],
)
def test_a_value_in_every_unit(value: float, kind: Kind, units: dict[str, float]) -> None:
    """NIST SP 811 (from memory): inch 25.4 mm, psi 6894.757293 Pa, mile 5280 ft."""
    assert in_units(value, kind) == pytest.approx(units, rel=1e-5)


@pytest.mark.parametrize(
    ("kind", "metric", "inch"),
    [
        ("angle", ("deg", "mm_per_m"), ("deg", "thou_per_ft")),
        ("length", ("mm",), ("thou",)),
        ("stress", ("MPa",), ("psi",)),
        ("time", ("s",), ("s",)),
        ("note", ("share",), ("share",)),
    ],
)
def test_the_units_that_a_shop_speaks_in(
    kind: Kind, metric: tuple[str, ...], inch: tuple[str, ...]
) -> None:
    """Common practice, no source."""
    assert (own_units(kind, "mm"), own_units(kind, "inch")) == (metric, inch)


@pytest.mark.parametrize(
    ("usual", "most", "words"),
    [
        (1.0, 1.0, "typically ± 1.0 s"),
        (1.0, 1.25, "typically ± 1.0 s"),
        (1.0, 1.3, "typically ± 1.0, up to ± 1.3 s"),
        (2.0, 4.0, "typically ± 2.0, up to ± 4.0 s"),
    ],
)
def test_the_most_is_told_where_it_is_far_more(usual: float, most: float, words: str) -> None:
    """A quarter more is told as one (a choice, no source)."""
    assert promised(usual, most, "time", "mm") == words
