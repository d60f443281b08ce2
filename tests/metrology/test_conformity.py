"""Tolerance, probability of conformity and verdict, against the published rules and examples."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.metrology.conformity import (
    Tolerance,
    aim_for_the_middle,
    is_about_nought,
    probability_within,
    verdict,
)
from shopboard.metrology.limits import parse_limits, parse_tolerance
from shopboard.metrology.quantity import QuantityError, Unit
from shopboard.metrology.spread import Spread
from shopboard.metrology.student import normal_cdf

FAR = -1e9  # so low a limit that only the upper one counts


@pytest.mark.parametrize(
    ("probability", "z"),
    [(0.80, 0.8416), (0.90, 1.2816), (0.95, 1.6449), (0.99, 2.3263), (0.999, 3.0902)],
)
def test_how_far_inside_one_limit_proves_how_much(probability: float, z: float) -> None:
    """JCGM 106:2012 section 7.3, Table 1 (0.84 1.28 1.64 2.33 3.09 from memory)."""
    spread = Spread(-z * 0.7, (), 0.7)
    assert probability_within(spread, Tolerance(FAR, 0)) == pytest.approx(probability, abs=2e-5)


def test_the_zener_diode() -> None:
    """JCGM 106:2012, from memory: limit -5.40 V, measured -5.47 V, u 0.05 V: 0.92."""
    p = probability_within(Spread(-5.47, (), 0.05), Tolerance(FAR, -5.40))
    assert p == pytest.approx(0.919243, abs=5e-7)


def test_the_resistors_of_a_known_process() -> None:
    """JCGM 106:2012 section 9 (inputs from a copy, outputs from memory): 0.90, 0.01, 0.07."""
    tolerance = Tolerance(1499.80, 1500.20)
    accepted = Tolerance(1499.82, 1500.18)
    made_right = probability_within(Spread(1500, (), 0.12), tolerance)
    assert made_right == pytest.approx(0.904419, abs=5e-7)

    def risk(values: np.ndarray[tuple[int], np.dtype[np.float64]], inside: bool) -> float:
        density = np.exp(-0.5 * ((values - 1500) / 0.12) ** 2) / (0.12 * math.sqrt(2 * math.pi))
        chance = np.array([probability_within(Spread(v, (), 0.04), accepted) for v in values])
        return float(np.trapezoid(density * (1 - chance if inside else chance), values))

    consumer = 2 * risk(np.linspace(1500.20, 1501.2, 4001), inside=False)
    producer = risk(np.linspace(1499.80, 1500.20, 4001), inside=True)
    assert consumer == pytest.approx(0.009878, abs=2e-6)
    assert producer == pytest.approx(0.069027, abs=2e-6)


@pytest.mark.parametrize(
    ("guard_in_expanded", "risk"), [(1.5, 0.0016), (1.0, 0.025), (0.83, 0.05), (0.0, 0.50001)]
)
def test_the_worst_risk_behind_a_guard_band(guard_in_expanded: float, risk: float) -> None:
    """ILAC-G8:09/2019 Table 1 as quoted: guard band r U with k = 2, the risk stays below."""
    y = -guard_in_expanded * 2
    wrong = 1 - probability_within(Spread(y, (), 1.0), Tolerance(FAR, 0))
    assert risk * 0.8 < wrong < risk


@pytest.mark.parametrize("side", [-1, 1])
def test_for_a_normal_error_the_verdict_is_the_guard_band_of_1_65_u(side: int) -> None:
    """ISO 14253-1:2017 default rule as quoted: 95 % is 1.65 u, not U = 2 u (exactly 1.6449)."""
    tolerance, u = Tolerance(-30, 30), 1.0

    def decide(y: float) -> Literal["true", "near", "out"]:
        return verdict(probability_within(Spread(side * y, (), u), tolerance))

    assert decide(30 - 1.65 * u) == "true"
    assert decide(30 - 1.64 * u) == "near"
    assert decide(30 + 1.64 * u) == "near"
    assert decide(30 + 1.65 * u) == "out"


@pytest.mark.parametrize(
    ("low", "high", "y", "u", "p", "says"),
    [
        (-3, 3, 1.9, 0.6, 0.966623, "true"),
        (-3, 3, 2.2, 0.6, 0.908789, "near"),
        (-3, 3, 3.2, 0.5, 0.344578, "near"),
        (-3, 3, 4.2, 0.6, 0.022750, "out"),
        (FAR, 0.005, 0.0037, 0.0006, 0.984870, "true"),
        (-3, 3, 0.5, 2.0, 0.854291, "near"),
    ],
)
def test_decisions(low: float, high: float, y: float, u: float, p: float, says: str) -> None:
    """Derived: normal distribution, JCGM 106:2012 section 7, level 95 %."""
    found = probability_within(Spread(y, (), u), Tolerance(low, high))
    assert found == pytest.approx(p, abs=1e-6)
    assert verdict(found) == says


def test_where_u_is_two_thirds_of_the_half_width_nothing_can_ever_be_proven() -> None:
    """Derived: dead square with u = 2 in +-3 is within at 86.6 % only: no reading passes."""
    best = probability_within(Spread(0, (), 2.0), Tolerance(-3, 3))
    assert best == pytest.approx(0.866386, abs=5e-7)
    assert verdict(best) == "near"


def test_an_even_spread_decides_by_the_part_of_it_that_is_inside() -> None:
    """Derived: 2 to 4 in a tolerance of 3.8 is 90 % inside; a normal of the same u says 91.7."""
    p = probability_within(Spread(3.0, (1.0,)), Tolerance(-3.8, 3.8))
    assert p == pytest.approx(0.9, abs=1e-12)
    assert normal_cdf(0.8 * math.sqrt(3)) == pytest.approx(0.917, abs=5e-4)


@pytest.mark.parametrize(
    ("probability", "level", "says"),
    [
        (0.95, 0.95, "true"),
        (0.9499, 0.95, "near"),
        (0.05, 0.95, "out"),
        (0.0501, 0.95, "near"),
        (0.95, 0.99, "near"),
        (0.01, 0.99, "out"),
        (0.80, 0.80, "true"),
        (1.0, 0.95, "true"),
        (0.0, 0.95, "out"),
    ],
)
def test_the_level_itself_is_proof_either_way(probability: float, level: float, says: str) -> None:
    assert verdict(probability, level) == says


@given(
    st.floats(-5, 5),
    st.lists(st.floats(0, 3), max_size=3),
    st.floats(0.01, 3),
    st.floats(0, 3),
    st.floats(0.001, 3),
)
@settings(deadline=None)
def test_a_wider_tolerance_is_never_less_probable(
    centre: float, even: list[float], sigma: float, half_width: float, more: float
) -> None:
    spread = Spread(centre, tuple(even), sigma)
    narrow = probability_within(spread, Tolerance(-half_width, half_width))
    wide = probability_within(spread, Tolerance(-half_width, half_width + more))
    assert 0 <= narrow <= wide + 1e-6 <= 1 + 1e-6


@pytest.mark.parametrize(
    ("low", "high", "error", "used"),
    [
        (-3, 3, 1.5, 0.5),
        (-3, 3, -3.0, 1.0),
        (-1, 3, -1.0, 1.0),
        (-1, 3, -3.0, 2.0),
        (-1, 3, 1.0, 0.0),
        (0, 3, 1.5, 0.0),
        (0, 3, 0.0, 1.0),
        (0, 3, -1.5, 2.0),
        (-3, 0, 0.0, 1.0),
        (-3, 0, -1.5, 0.0),
        (-3, 0, -0.75, 0.5),
    ],
)
def test_an_error_uses_up_the_tolerance_from_its_middle(
    low: float, high: float, error: float, used: float
) -> None:
    """Either limit is all of it: a fence that may only open is used up where it stands square."""
    assert Tolerance(low, high).used(error) == used


def test_the_middle_and_the_half_of_a_one_sided_tolerance() -> None:
    assert (Tolerance(0, 3).middle, Tolerance(0, 3).half_width) == (1.5, 1.5)


@pytest.mark.parametrize(
    ("typed", "low", "high"),
    [
        ("3 thou/ft", -3, 3),
        ("±3 thou/ft", -3, 3),
        ("+/-3 thou/ft", -3, 3),
        ("0 to 3 thou/ft", 0, 3),
        ("-1 to 3 thou/ft", -1, 3),
        ("−1 to 3 thou/ft", -1, 3),
        ("-1.5 to 3 thou/ft", -1.5, 3),
        ("0 to 1/64 in/ft", 0, 15.625),
        ("-1/64 to 1/32 in/ft", -15.625, 31.25),
        ("-1 to 3 1/4 thou/ft", -1, 3.25),
        ("-0,1 to 0,25 mm/m", -1.2, 3),
        ("-3 to 0 thou/ft", -3, 0),
        ("-1 thou/ft to 3 thou/ft", -1, 3),
        ("0.5 mm/m", -6, 6),
        ("3 thou over 12 in", -3, 3),
    ],
)
def test_a_tolerance_is_either_way_or_a_range(typed: str, low: float, high: float) -> None:
    tolerance = parse_tolerance(typed)
    assert math.tan(tolerance.low) * 12_000 == pytest.approx(low, abs=1e-9)
    assert math.tan(tolerance.high) * 12_000 == pytest.approx(high, abs=1e-9)
    assert tolerance.typed == typed


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("0 thou/ft", "more than 0"),
        ("-3 thou/ft", "more than 0"),
        ("3 to 1 thou/ft", "below the second"),
        ("1 to 3 thou/ft", "must hold 0"),
        ("-3 to -1 thou/ft", "must hold 0"),
        ("6 deg", "more than 5 degrees"),
        ("3", "no unit"),
        ("0 to 3", "no unit"),
        ("", "nothing typed"),
    ],
)
def test_what_is_no_tolerance_is_refused_with_the_reason(typed: str, reason: str) -> None:
    with pytest.raises(QuantityError, match=reason):
        parse_tolerance(typed)


@pytest.mark.parametrize(
    ("typed", "unit", "words"),
    [
        ("0.1 mm over 250 mm", "mm", "0.40 mm/m (0.1 mm over 250 mm)"),
        ("0.2 mm/m", "mm", "0.2 mm/m"),
        ("0.1 deg", "inch", "20.9 thou/ft (0.1 deg)"),
        ("0 to 3 thou/ft", "mm", "0 to 0.25 mm/m (0 to 3 thou/ft)"),
        ("0.003 in", "inch", "3.0 thou (0.003 in)"),
        ("0 to 0.06 mm", "mm", "0 to 0.06 mm"),
        ("15000 to 20000 psi", "inch", "15000 to 20000 psi"),
    ],
)
def test_a_tolerance_is_said_in_the_unit_of_the_number_beside_it(
    typed: str, unit: Unit, words: str
) -> None:
    """0.1 over 250 is 0.4 in 1000; 12 in x tan(0.1 deg) = 0.020944 in (scientific calculator)."""
    assert parse_limits(typed, unit).words(unit) == words


@pytest.mark.parametrize(
    ("low", "high", "value", "expanded", "is_so"),
    [
        (0.0, 4.0, 0.0, 1.0, True),
        (-4.0, 0.0, 0.0, 1.0, True),
        (0.0, 4.0, 1.0, 1.0, True),
        (0.0, 4.0, -1.0, 1.0, True),
        (0.0, 4.0, 1.01, 1.0, False),
        (-4.0, 4.0, 0.0, 1.0, False),
        (-1.0, 4.0, 0.0, 1.0, False),
        (0.0, 1.0, 0.0, 1.0, False),
        (0.0, 2.0, 0.0, 1.0, True),
        (0.0, 1.9, 0.0, 1.0, False),
    ],
)
def test_a_limit_at_0_is_not_to_be_aimed_for(
    low: float, high: float, value: float, expanded: float, is_so: bool
) -> None:
    """Half of a value at its limit lies beyond it (JCGM 106:2012, 7), where the middle would do.

    At the middle of 0 to 2, U 1 holds 95.4 % (two sigma of a normal value): just enough.
    """
    spread = Spread(value, (), expanded / 2)
    assert is_about_nought(spread, expanded, Tolerance(low, high)) is is_so
    assert not is_about_nought(spread, expanded, Tolerance(low, high, kind="time"))
    sized = spread._replace(size=True)  # which has its middle at 0 where its lowest is 0
    assert not is_about_nought(sized, expanded, Tolerance(low, high))


def test_what_is_said_of_it_names_the_tolerance() -> None:
    told = aim_for_the_middle(Tolerance(0, 1, "0 to 1 thou"))
    assert told.endswith("aim for the middle of 0 to 1 thou")


@pytest.mark.parametrize(
    ("low", "high", "value", "p"),
    [(0.0, 3.0, 0.0, 1.0), (0.0, 3.0, 3.0, 1.0), (0.0, 3.0, 3.01, 0.0), (0.0, 3.0, -0.01, 0.0)],
)
def test_what_is_known_without_doubt_is_in_or_out(
    low: float, high: float, value: float, p: float
) -> None:
    """The limits themselves are within (JCGM 106:2012, 3.3.5: a limit is a value permitted)."""
    assert probability_within(Spread(value, (), 0.0), Tolerance(low, high)) == p


def test_a_lowest_time_of_0_cuts_nothing_off() -> None:
    """Of 0 +- 1 in 0 to 1 a time has 84.1 % within, a length 34.1 % (table of the normal)."""
    spread = Spread(0.0, (), 1.0)
    for kind, low, p in (
        ("time", 0.0, 0.841345),
        ("length", 0.0, 0.341345),
        ("time", 0.5, 0.149882),
    ):
        tolerance = Tolerance(low, 1.0, kind=kind)  # type: ignore[arg-type]
        assert probability_within(spread, tolerance) == pytest.approx(p, abs=2e-6), kind


def test_a_lowest_size_of_0_limits_nothing() -> None:
    for low, high, size, then in (
        (0.0, 3.0, True, -3.0),
        (-1.0, 3.0, True, -3.0),
        (1.0, 3.0, True, 1.0),
        (0.0, 3.0, False, 0.0),
        (-3.0, 0.0, True, -3.0),
    ):
        assert Tolerance(low, high).as_it_counts(size=size) == Tolerance(then, high)
