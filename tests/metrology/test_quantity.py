"""What a person may type, what it means, and what is refused rather than guessed."""

from __future__ import annotations

import contextlib
import math
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.metrology import wording
from shopboard.metrology.quantity import (
    LONGEST,
    QuantityError,
    Unit,
    parse_angle,
    parse_length,
)
from shopboard.metrology.thread import parse_pitch, parse_turns
from tests.in_turn import part

INCH = 25.4  # mm, exact since 1959

quick = settings(deadline=None, max_examples=part(200))


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        (".0015", 0.0015 * INCH),
        ("0.0015", 0.0015 * INCH),
        ("1.", INCH),
        ("+.05", 0.05 * INCH),
        ("-.05", -0.05 * INCH),
        ("−.05", -0.05 * INCH),
        ("–.05", -0.05 * INCH),
        ("－.05", -0.05 * INCH),
        ("‑.05", -0.05 * INCH),
        ("０．０５", 0.05 * INCH),
        ("３　ｍｍ", 3.0),
        ("- .05", -0.05 * INCH),
        ("1/64", INCH / 64),
        ("1 / 64", INCH / 64),
        ("1⁄64", INCH / 64),
        ("3 1/4", 3.25 * INCH),
        ('3-1/4"', 3.25 * INCH),
        ("3-1/4-in", 3.25 * INCH),
        ("3 - 1/4 in", 3.25 * INCH),
        ("-1 1/4", -1.25 * INCH),
        ("3¼", 3.25 * INCH),
        ("3-¼", 3.25 * INCH),
        ("⅛", INCH / 8),
        ("-¼ in", -0.25 * INCH),
        ("1 1/64 in", (1 + 1 / 64) * INCH),
    ],
)
def test_bare_numbers_and_fractions_take_the_inch_of_the_shop(typed: str, mm: float) -> None:
    """The inch is 25.4 mm exactly (international inch, 1959)."""
    length = parse_length(typed, "inch")
    assert length.mm == pytest.approx(mm, rel=1e-14)
    assert length.typed == typed


@pytest.mark.parametrize("default", ["inch", "mm", None])
@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        (".0015 in", 0.0015 * INCH),
        ('.0015"', 0.0015 * INCH),
        (".0015''", 0.0015 * INCH),
        (".0015″", 0.0015 * INCH),
        ("2 inches", 2 * INCH),
        ("1 inch", INCH),
        ("1.5 thou", 0.0015 * INCH),
        ("1.5 Thou", 0.0015 * INCH),
        ("1 ft", 304.8),
        ("1 foot", 304.8),
        ("2 feet", 609.6),
        ("0.04 mm", 0.04),
        ("0.05mm", 0.05),
        ("0.05 MM", 0.05),
        ("2.5 cm", 25.0),
        ("1 m", 1000.0),
        ("40 um", 0.04),
        ("40 µm", 0.04),
        ("40 μm", 0.04),
        ("1/2 mm", 0.5),
        ("0,04 mm", 0.04),
        ("0,040 mm", 0.04),
        (",04mm", 0.04),
        ("-0,04 mm", -0.04),
        ("12,5 mm", 12.5),
        ("5\u00a0mm", 5.0),
        ("5\u202fmm", 5.0),
    ],
)
def test_a_unit_that_is_typed_wins_over_the_unit_of_the_shop(
    typed: str, mm: float, default: Unit | None
) -> None:
    assert parse_length(typed, default).mm == pytest.approx(mm, rel=1e-14)


def test_a_bare_number_takes_the_millimetre_of_a_metric_shop() -> None:
    assert parse_length("0.05", "mm").mm == 0.05


def test_a_quantity_keeps_the_text_as_typed_without_the_blanks_around() -> None:
    """The journal keeps what was typed beside what it means."""
    assert parse_length("  1 1/4 in ").typed == "1 1/4 in"
    assert parse_angle(" 0.1 degrees ").typed == "0.1 degrees"
    assert parse_pitch(" 1/4-20 ").typed == "1/4-20"


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("", "nothing typed"),
        ("   ", "nothing typed"),
        ("0,04", "type a point, 0.04"),
        ("0,04 in", "type a point, 0.04 in"),
        (",5", "type a point, .5"),
        ("1,5 thou", "type a point, 1.5 thou"),
        ("1,000 mm", "two ways: type 1.000 mm or 1000 mm"),
        ("12,345 mm", "two ways: type 12.345 mm or 12345 mm"),
        ("-1,234mm", "two ways: type -1.234 mm or -1234 mm"),
        ("1e-3 in", "exponents"),
        ("1E3 mm", "exponents"),
        (".5e-3 in", "exponents"),
        ("nan", "not a measurement"),
        ("NaN mm", "not a measurement"),
        ("-inf", "not a measurement"),
        ("infinity mm", "not a measurement"),
        ("1_000 mm", "unknown unit"),
        ("0x10 mm", "unknown unit"),
        ("٣ mm", "digits 0 to 9"),
        ("5² mm", "digits 0 to 9"),
        ("1\u200b mm", "U+200B"),
        ("\u202e1 mm", "U+202E"),
        ("1\x1b[2J mm", "U+001B"),
        ("1\tmm", "U+0009"),
        ("1 2 mm", "two numbers"),
        ("1 2.5 mm", "two numbers"),
        ("1-2", "two numbers"),
        ("5-", "the minus stands before its number"),
        ("0.5 mm -", "the minus stands before its number"),
        ("3/64-", "the minus stands before its number"),
        ("5+", "the plus stands before its number"),
        ("1.5 1/2", "two numbers"),
        (".05.", "two decimal marks: type one point"),
        ("0.2.1", "two decimal marks: type one point"),
        ("0.2.1 mm", "two decimal marks: type one point"),
        ("1. .5", "two numbers"),
        ("1/4-20", "two numbers"),
        ("5 mm 3", "unknown unit"),
        ("1 ft 3 in", "unknown unit"),
        ("--1", "start with a number"),
        ("+-1", "start with a number"),
        ("thou", "start with a number"),
        ("⅓ in", "start with a number"),
        ("1/0 in", "division by zero"),
        ("1 1/0", "division by zero"),
        ("4 mil", "mil"),
        ("4 mils", "mil"),
        ("4 furlongs", "'furlongs'"),
        ("5'", "unknown unit"),
        ("0.2 deg", "deg is an angle; a length is asked: in, thou or mm"),
        ("0.2°", "° is an angle; a length is asked: in, thou or mm"),
        ("0°30'", "°30' is an angle; a length is asked"),
        ("5 thou/ft", "thou/ft is an angle; a length is asked: in, thou or mm"),
        ("3 thou over 9 in", "thou over 9 in is an angle; a length is asked"),
        ("2 psi", "psi is a stress; a length is asked"),
        ("5 s", "s is a time; a length is asked"),
        ("5 furlongs/ft", "unknown unit"),
        ("9999999999 mm", "larger than anything"),
        ("9" * 40 + "/1 in", "larger than anything"),
        ("1" * (LONGEST + 1), "too long"),
    ],
)
def test_what_is_no_single_length_is_refused_with_the_reason(typed: str, reason: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(reason)):
        parse_length(typed, "inch")


def test_a_fraction_without_a_unit_is_refused_in_a_metric_shop() -> None:
    """1/64 of what? Nobody types fractions of a millimetre without saying so."""
    with pytest.raises(QuantityError, match="fraction without a unit"):
        parse_length("1/64", "mm")
    with pytest.raises(QuantityError, match="no unit: add in, thou or mm"):
        parse_length("5")


def is_finite_or_refused(text: str) -> bool:
    """Tell whether each reader gives a finite value or a QuantityError, nothing else."""
    with contextlib.suppress(QuantityError):
        return math.isfinite(parse_length(text, "inch").mm)
    with contextlib.suppress(QuantityError):
        return math.isfinite(parse_angle(text, "inch").rad)
    with contextlib.suppress(QuantityError):
        return math.isfinite(parse_pitch(text, "inch").mm)
    with contextlib.suppress(QuantityError):
        return math.isfinite(parse_turns(text))
    return True


@given(st.text(max_size=30))
@quick
def test_whatever_is_typed_gives_a_finite_quantity_or_a_reason(text: str) -> None:
    assert is_finite_or_refused(text)


@given(st.text("0123456789./,-+ °'\"dgethoumnifrxMpv½¼e", max_size=14))
@quick
def test_what_is_nearly_a_quantity_gives_a_finite_one_or_a_reason(text: str) -> None:
    """The same with the characters that quantities are made of, so that many are understood."""
    assert is_finite_or_refused(text)


@given(st.decimals("-100", "100", places=5))
@quick
def test_inch_decimals_as_printed_read_back(inches: float) -> None:
    for typed in (f"{inches:f}", f"{inches:f} in", f'{inches:f}"'):
        back = parse_length(typed, "inch").mm
        assert back == pytest.approx(float(inches) * INCH, rel=1e-14, abs=1e-15)


@given(st.integers(0, 100), st.integers(0, 63), st.sampled_from(["", "-"]), st.sampled_from(" -"))
@quick
def test_inch_fractions_as_printed_read_back(
    whole: int, parts: int, sign: str, between: str
) -> None:
    """Every 64th, reduced, with the whole inches before a blank or a hyphen."""
    rest = Fraction(parts, 64)
    fraction = f"{rest.numerator}/{rest.denominator}"
    typed = f"{sign}{whole}{between}{fraction}" if whole else f"{sign}{fraction}"
    exact = float((whole + rest) * Fraction(254, 10)) * (-1 if sign else 1)
    assert parse_length(typed, "inch").mm == pytest.approx(exact, rel=1e-14)


@given(st.decimals("-1000", "1000", places=3))
@quick
def test_thousandths_and_millimetres_as_printed_read_back(value: float) -> None:
    thou = parse_length(f"{value:f} thou").mm
    assert thou == pytest.approx(float(value) * 0.0254, rel=1e-14, abs=1e-15)
    assert parse_length(f"{value:f}mm").mm == float(value)


@given(st.floats(-1000, 1000))
@quick
def test_lengths_that_the_board_writes_read_back_to_the_digits_shown(mm: float) -> None:
    """An inch is written to half a thousandth at least (0.0005 in), a millimetre to 0.0005 mm."""
    assert parse_length(wording.length(mm, "mm")).mm == pytest.approx(mm, abs=0.00051)
    assert parse_length(wording.length(mm, "inch")).mm == pytest.approx(mm, abs=0.00051 * INCH)


@given(st.floats(0, 25.4))
@quick
def test_leaves_that_the_board_writes_read_back_to_a_quarter_micrometre(mm: float) -> None:
    assert parse_length(wording.leaf(mm, "mm")).mm == pytest.approx(mm, abs=0.000051)
    assert parse_length(wording.leaf(mm, "inch")).mm == pytest.approx(mm, abs=0.0000051 * INCH)


@given(st.decimals("-200", "200", places=4))
@quick
def test_degrees_and_slopes_as_printed_read_back(value: float) -> None:
    number = float(value)
    degrees = parse_angle(f"{value:f} deg").rad
    assert degrees == pytest.approx(math.radians(number), rel=1e-14)
    per_foot = math.tan(parse_angle(f"{value:f} thou/ft").rad) * 12_000
    assert per_foot == pytest.approx(number, rel=1e-12, abs=1e-12)
    per_metre = math.tan(parse_angle(f"{value:f} mm/m").rad) * 1000
    assert per_metre == pytest.approx(number, rel=1e-12, abs=1e-12)


@given(st.floats(-0.05, 0.05))
@quick
def test_slopes_and_degrees_that_the_board_writes_read_back_to_the_digits_shown(
    rad: float,
) -> None:
    inch = parse_angle(wording.slope(rad, "inch", signed=True)).rad
    assert math.tan(inch) == pytest.approx(math.tan(rad), abs=0.0501 / 12_000)
    metric = parse_angle(wording.slope(rad, "mm", signed=True)).rad
    assert math.tan(metric) == pytest.approx(math.tan(rad), abs=0.00501 / 1000)
    degrees = parse_angle(wording.degrees(rad, signed=True)).rad
    assert degrees == pytest.approx(rad, abs=math.radians(0.000501))


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("0°35′49″", 0.5969444),
        ("12°34′56″", 12.5822222),
        ("89°59′30″", 89.9916667),
        ("0d35m49s", 0.5969444),
        ("0 deg 35 min 49 sec", 0.5969444),
        ("0°35'49\"", 0.5969444),
        ("0° 35' 49''", 0.5969444),
        ("-0°35′49″", -0.5969444),
        ("0°49″", 49 / 3600),
        ("0°1.5′", 0.025),
        ("0°0′0.5″", 0.5 / 3600),
        ("0.02 deg", 0.02),
        ("0.02 Deg", 0.02),
        ("0.02°", 0.02),
        (".02d", 0.02),
        ("0.02 degrees", 0.02),
        ("1 degree", 1.0),
        ("0.00001 degrees", 0.00001),
        ("1/4 deg", 0.25),
        ("1/4 degrees", 0.25),
        ("-¼°", -0.25),
        ("360°", 360.0),
        ("0.5 rad", math.degrees(0.5)),
        ("2 mrad", math.degrees(0.002)),
    ],
)
def test_angles_are_read_in_every_form_people_type(typed: str, degrees: float) -> None:
    """Degrees-minutes-seconds rows derived: d + m/60 + s/3600."""
    angle = parse_angle(typed)
    assert math.degrees(angle.rad) == pytest.approx(degrees, abs=5e-8)
    assert angle.typed == typed


@pytest.mark.parametrize(
    ("typed", "rise_over_run"),
    [
        ("5 thou/ft", 5 / 12_000),
        ("5 thou / ft", 5 / 12_000),
        ("-5 thou/ft", -5 / 12_000),
        ("5 thou/foot", 5 / 12_000),
        ("5 THOU/FT", 5 / 12_000),
        (".005 in/ft", 5 / 12_000),
        ('.005"/ft', 5 / 12_000),
        ("1/64 in/ft", 1 / 768),
        ("¼ in/ft", 1 / 48),
        ("1/64 in / 1/2 ft", 1 / 384),
        ("0.1 mm/m", 1e-4),
        ("0,1 mm/m", 1e-4),
        ("5 µm/m", 5e-6),
        ("3 thou over 9 in", 1 / 3000),
        ("3 thou over 9", 1 / 3000),
        ("3 thou OVER 9 in", 1 / 3000),
        ("1/64 over 8 1/2", 1 / 544),
        ("0.05 mm over 100 mm", 5e-4),
        ("5 thou/12", 5 / 12_000),
        ("1 in/in", 1.0),
    ],
)
def test_a_slope_is_the_tangent_of_one_face(typed: str, rise_over_run: float) -> None:
    """Rise over run, one-sided; the last slash divides, an earlier one belongs to a fraction."""
    assert math.tan(parse_angle(typed, "inch").rad) == pytest.approx(rise_over_run, rel=1e-13)


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("0.1", "no unit: add deg, thou/ft or mm/m"),
        ("1/4", "no unit: add deg, thou/ft or mm/m"),
        ("5 thou", "say over what"),
        ("5 mil", "mil"),
        ("5 mil/ft", "mil"),
        ("5 furlong", "'furlong'"),
        ("0°60′", "below 60"),
        ("0°0′60″", "below 60"),
        ("1.5°30′", "degrees before minutes or seconds are whole"),
        ("0°1.5′30″", "minutes before seconds are whole"),
        ("361 deg", "full turn"),
        ("7 rad", "full turn"),
        ("361 degrees", "full turn"),
        ("722/2 deg", "full turn"),
        ("1,5 deg", "type a point, 1.5 deg"),
        ("1e-3 deg", "exponents"),
        ("5 thou/0 ft", "above zero"),
        ("5 thou over -1 in", "above zero"),
        ("thou/ft", "start with a number"),
        ("5 thou/ft/ft", "a slope is a length over a length: thou/ft is an angle"),
        ("2 psi", "psi is a stress; an angle is asked: deg, thou/ft or mm/m"),
        ("0.2.1 deg", "two decimal marks: type one point"),
        ("5 deg/ft", "a slope is a length over a length: deg is an angle; a length is asked"),
        ("5 furlongs/ft", "unknown unit 'furlongs'"),
        ("nan deg", "not a measurement"),
    ],
)
def test_what_is_no_single_angle_is_refused_with_the_reason(typed: str, reason: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(reason)):
        parse_angle(typed, "inch")


def test_bare_lengths_inside_a_slope_are_refused_where_no_unit_is_known() -> None:
    with pytest.raises(QuantityError, match="no unit"):
        parse_angle("5 thou/12")


@pytest.mark.parametrize(
    ("thread", "inches_per_turn"),
    [
        ("#8-32", 0.031250),
        ("#10-24", 0.041667),
        ("10-24", 0.041667),
        ("#10-32", 0.031250),
        ("1/4-20", 0.050000),
        ("1/4 - 20", 0.050000),
        ("1/4–20", 0.050000),
        (".25-20", 0.050000),
        ("¼-20", 0.050000),
        ("1/4-28", 0.035714),
        ("5/16-18", 0.055556),
        ("5/16-24", 0.041667),
        ("3/8-16", 0.062500),
        ("3/8-24", 0.041667),
        ("7/16-14", 0.071429),
        ("7/16-20", 0.050000),
        ("1/2-13", 0.076923),
        ("1/2-20", 0.050000),
        ("5/8-11", 0.090909),
        ("5/8-18", 0.055556),
        ("3/4-10", 0.100000),
        ("3/4-16", 0.062500),
        ("1-8", 0.125),
        ("1-12", 0.083333),
        ("20 tpi", 0.05),
        ("18TPI", 0.055556),
        ("0.05 in", 0.05),
        ("50 thou", 0.05),
    ],
)
def test_an_inch_thread_advances_one_over_its_turns_per_inch(
    thread: str, inches_per_turn: float
) -> None:
    """Mechanical Engineer's Data Handbook, section 8.2.7, p. 301 (UNC and UNF)."""
    assert parse_pitch(thread).mm / INCH == pytest.approx(inches_per_turn, abs=5e-7)


@pytest.mark.parametrize(
    ("thread", "pitch"),
    [
        ("M5", 0.8),
        ("M6", 1.0),
        ("M8", 1.25),
        ("M10", 1.5),
        ("M12", 1.75),
        ("M4", 0.7),  # this row and the two below from memory
        ("M14", 2.0),
        ("M16", 2.0),
        ("M8x1.25", 1.25),
        ("M8x1", 1.0),
        ("m8 X 1", 1.0),
        ("M8×1", 1.0),
        ("1.25 mm", 1.25),
        ("1,25 mm", 1.25),
    ],
)
def test_a_metric_thread_advances_its_pitch(thread: str, pitch: float) -> None:
    """ISO 261 coarse pitches, from charts of it."""
    assert parse_pitch(thread).mm == pytest.approx(pitch, rel=1e-14)


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("M7", "write M7x followed by it"),
        ("1/4-0", "more than 0 turns"),
        ("0 tpi", "more than 0 turns"),
        ("M8x0", "between 0.05 mm and 1/2 in"),
        ("1-1/4", "between 0.05 mm and 1/2 in"),
        ("-1 mm", "between 0.05 mm and 1/2 in"),
        ("1/4-1000", "between 0.05 mm and 1/2 in"),
        ("M8x1,25", "type a point"),
        ("a quarter", "start with a number"),
        ("", "nothing typed"),
    ],
)
def test_what_names_no_screw_is_refused_with_the_reason(typed: str, reason: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(reason)):
        parse_pitch(typed, "inch")


@pytest.mark.parametrize(
    ("typed", "turns"),
    [
        ("3/8", 0.375),
        ("1 1/4", 1.25),
        ("0.5", 0.5),
        ("-1/4", -0.25),
        ("3/8 turn", 0.375),
        ("2 turns", 2.0),
        ("135 deg", 0.375),
        ("540°", 1.5),
        ("0", 0.0),
    ],
)
def test_turns_of_a_screw_are_read_as_turns_or_degrees(typed: str, turns: float) -> None:
    assert parse_turns(typed) == pytest.approx(turns, rel=1e-14)


@pytest.mark.parametrize("typed", ["3 in", "", "half", "1e3", "1/0", "0,5"])
def test_what_is_no_number_of_turns_is_refused(typed: str) -> None:
    with pytest.raises(QuantityError):
        parse_turns(typed)


def test_the_finest_and_the_coarsest_screw() -> None:
    """0.05 mm and half an inch a turn are taken, beyond them nothing is."""
    for text, mm in (("0.05 mm", 0.05), ("12.7 mm", 12.7)):
        assert parse_pitch(text).mm == mm
    for text in ("0.0499 mm", "12.71 mm"):
        with pytest.raises(QuantityError, match="a screw advances between"):
            parse_pitch(text)
