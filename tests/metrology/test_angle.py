"""One angle in every unit, against identities, pint and published taper tables."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.metrology.angle import dms, in_all_units, mm_per_m, thou_per_ft
from shopboard.metrology.quantity import parse_angle
from tests.metrology.pint_units import registry


@pytest.mark.parametrize(
    ("thou", "arc_seconds", "metric"),
    [
        (1, 17.1887, 0.0833333),
        (2, 34.377, 0.16667),
        (3, 51.566, 0.25),
        (4, 68.755, 0.33333),
        (5, 85.944, 0.41667),
        (6, 103.132, 0.5),
        (10, 171.887, 0.83333),
    ],
)
def test_thousandths_per_foot_are_a_one_sided_slope(
    thou: int, arc_seconds: float, metric: float
) -> None:
    """Derived: atan(rise / run) of one face, in arc-seconds and in mm/m."""
    rad = parse_angle(f"{thou} thou/ft").rad
    assert math.degrees(rad) * 3600 == pytest.approx(arc_seconds, abs=1e-3)
    assert mm_per_m(rad) == pytest.approx(metric, rel=2e-5)
    assert thou_per_ft(rad) == pytest.approx(thou, rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "thou", "metric"),
    [
        ("1 deg", 209.4608, 17.455065),
        ("0.1 deg", 20.9440, 1.745331),
        ("0°01′", 3.4907, 0.290888),
        ("0°00′01″", 0.0581776, 0.0048481),
    ],
)
def test_a_degree_a_minute_and_a_second_as_slopes(typed: str, thou: float, metric: float) -> None:
    """Derived: the tangent, so a degree is 1 in 57.29, not the shop rule 1 in 60."""
    rad = parse_angle(typed).rad
    assert thou_per_ft(rad) == pytest.approx(thou, rel=2e-5)
    assert mm_per_m(rad) == pytest.approx(metric, rel=1e-5)


@pytest.mark.parametrize(
    ("metric", "arc_seconds", "thou"), [(0.05, 10.313, 0.6), (0.1, 20.626, 1.2), (0.2, 41.253, 2.4)]
)
def test_millimetres_per_metre_as_seconds_and_thousandths(
    metric: float, arc_seconds: float, thou: float
) -> None:
    """Derived."""
    units = in_all_units(parse_angle(f"{metric} mm/m").rad)
    assert units.deg * 3600 == pytest.approx(arc_seconds, abs=1e-3)
    assert units.thou_per_ft == pytest.approx(thou, rel=1e-12)


@given(st.floats(-1.5, 1.5))
@settings(deadline=None)
def test_every_unit_of_one_angle_agrees_with_an_independent_unit_library(rad: float) -> None:
    """Pint converts the same angle and the same dimensionless slope."""
    units = in_all_units(rad)
    slope = math.tan(rad) * registry().dimensionless
    degrees = registry().Quantity(rad, "rad").to("deg").magnitude
    assert units.deg == pytest.approx(degrees, rel=1e-12, abs=1e-15)
    assert units.thou_per_ft == pytest.approx(slope.to("thou/ft").magnitude, rel=1e-12, abs=1e-12)
    assert units.mm_per_m == pytest.approx(slope.to("mm/m").magnitude, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("degrees", "written"),
    [
        (37.2575, "37°15′27″"),
        (90.0125, "90°00′45″"),
        (2.386016, "2°23′10″"),
        (359.99999, "360°00′00″"),
        (0.99999, "1°00′00″"),
        (-0.5969444, "-0°35′49″"),
        (-0.00001, "0°00′00″"),
        (0.0, "0°00′00″"),
    ],
)
def test_degrees_minutes_seconds_round_with_carry_and_never_write_60(
    degrees: float, written: str
) -> None:
    """Derived: 359.99999° is 360°00′00″, never 359°59′60″; minus nothing is nothing."""
    assert dms(math.radians(degrees)) == written


@given(st.floats(-360, 360))
@settings(deadline=None)
def test_what_is_written_in_degrees_minutes_seconds_reads_back_to_half_a_second(
    degrees: float,
) -> None:
    written = dms(math.radians(degrees))
    match = re.fullmatch(r"-?\d+°([0-5]\d)′([0-5]\d)″", written)
    assert match, written
    back = math.degrees(parse_angle(written).rad)
    assert abs(back - degrees) * 3600 <= 0.5 + 1e-6


# Taper per foot T: included angle, angle with the centre line, decimal included angle, and the
# one-sided angle of a face that rises T in a foot.
TAPERS = [
    ("1/64", "0°04′29″", "0°02′14″", 0.074604, 0.074604),
    ("1/32", "0°08′57″", "0°04′29″", 0.149208, 0.149207),
    ("1/16", "0°17′54″", "0°08′57″", 0.298415, 0.298413),
    ("1/8", "0°35′49″", "0°17′54″", 0.596826, 0.596809),
    ("1/4", "1°11′37″", "0°35′49″", 1.193619, 1.193489),
    ("3/8", "1°47′25″", "0°53′43″", 1.790347, 1.789911),
    ("1/2", "2°23′13″", "1°11′37″", 2.386979, 2.385944),
    ("3/4", "3°34′47″", "1°47′24″", 3.579821, 3.576334),
    ("1", "4°46′19″", "2°23′09″", 4.771888, 4.763642),
    ("1-1/2", "7°09′10″", "3°34′35″", 7.152669, 7.125016),
    ("2", "9°31′38″", "4°45′49″", 9.527283, 9.462322),
    ("6", "28°04′21″", "14°02′10″", 28.072487, 26.565051),
]


@pytest.mark.parametrize(("taper", "included", "centre", "decimal", "one_sided"), TAPERS)
def test_handbook_tapers_are_on_the_diameter_and_ours_on_one_face(
    taper: str, included: str, centre: str, decimal: float, one_sided: float
) -> None:
    """Machinery's Handbook, "Tapers per Foot and Corresponding Angles" (digits from memory).

    On the diameter, so one face rises T over 24 in; a face that rises T in a foot is steeper.
    """
    face = parse_angle(f"{taper} in over 24 in").rad
    assert dms(face) == centre
    assert dms(2 * face) == included
    assert math.degrees(2 * face) == pytest.approx(decimal, abs=6e-7)
    assert math.degrees(parse_angle(f"{taper} in/ft").rad) == pytest.approx(one_sided, abs=6e-7)


def test_six_inches_per_foot_tells_the_three_formulas_apart() -> None:
    """Derived: asin(T/12) is 30.000°, 2 atan(T/24) 28.072°; one face is atan(T/12), 26.565°."""
    assert math.degrees(parse_angle("6 in/ft").rad) == pytest.approx(26.565051, abs=6e-7)


def test_a_quarter_inch_per_foot_on_one_side() -> None:
    """A machinists' page prints 1.1935°, 1°11′36″; derived 1°11′36.6″, the nearest is 37″."""
    angle = parse_angle('1/4"/ft').rad
    assert math.degrees(angle) == pytest.approx(1.1935, abs=5e-5)
    assert dms(angle) == "1°11′37″"


def test_disks_of_1_and_1_and_a_half_inches_set_5_inches_apart() -> None:
    """Machinery's Handbook 31st ed., p. 701: taper on the diameter 1.2015 in/ft."""
    assert 2 * thou_per_ft(math.asin(0.25 / 5)) == pytest.approx(1201.5028, abs=1e-4)


def test_disks_set_for_three_quarters_of_an_inch_per_foot() -> None:
    """Machinery's Handbook 31st ed., p. 701: disks 1.25 and 1.5 in are 4.002 in apart."""
    face = parse_angle("3/4 in over 24 in").rad
    assert 0.125 / math.sin(face) == pytest.approx(4.0019526, abs=1e-7)


def test_taper_at_right_angles_to_one_side() -> None:
    """Machinery's Handbook 31st ed., p. 701: disks 2 and 3 in, 5 in apart, 2.4367 in/ft."""
    assert thou_per_ft(2 * math.asin(0.5 / 5)) == pytest.approx(2436.7039, abs=1e-4)


@pytest.mark.parametrize(
    ("degrees", "printed", "right"),
    [
        (10, 0.17498, 0.17498),
        (30, 0.53590, 0.53590),
        (35, 0.63060, 0.63060),
        (40, 0.72794, 0.72794),
        (50, 0.93262, 0.93262),
        (1, 0.01746, 0.01745),
        (4, 0.07984, 0.06984),
        (15, 0.28330, 0.26330),
        (20, 0.35266, 0.35265),
    ],
)
def test_a_table_of_1902_is_computed_and_its_slips_are_not_copied(
    degrees: int, printed: float, right: float
) -> None:
    """Colvin, Turning and Boring Tapers, Derry-Collard 1902: 2 tan(a/2); four rows are wrong."""
    computed = round(2 * mm_per_m(parse_angle(f"{degrees / 2} deg").rad) / 1000, 5)
    assert computed == right
    assert (computed == printed) is (printed == right)


@pytest.mark.parametrize(
    ("typed", "five", "ten"),
    [
        ("0°01′", 0.00145, 0.00291),
        ("0°30′", 0.04363, 0.08727),
        ("1°", 0.08726, 0.17452),
        ("5°", 0.43578, 0.87156),
        ("10°", 0.86824, 1.73648),
        ("15°", 1.29410, 2.58819),
        ("22°30′", 1.91342, 3.82683),
        ("30°", 2.50000, 5.00000),
        ("45°", 3.53553, 7.07107),
        ("60°", 4.33013, 8.66025),
    ],
)
def test_sine_bar_constants_from_the_angle_as_typed(typed: str, five: float, ten: float) -> None:
    """Machinery's Handbook, "Constants for setting a 5-inch sine bar" (30° quoted, rest memory)."""
    sine = math.sin(parse_angle(typed).rad)
    assert round(5 * sine, 5) == five
    assert round(10 * sine, 5) == ten
