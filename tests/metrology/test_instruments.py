"""What the tools of the drawer may be off by, against the standard's table."""

from __future__ import annotations

import math

import pytest

from shopboard.metrology.angle import thou_per_ft
from shopboard.metrology.instruments import FeelerSet, Square, SquareGrade, grade_limit

INCH = 25.4

# Squareness limit in whole micrometres over a blade of L mm, grades 00, 0, 1, 2.
GRADES = [
    (75, 3, 7, 14, 28),
    (100, 3, 7, 15, 30),
    (150, 4, 8, 18, 35),
    (200, 4, 9, 20, 40),
    (300, 5, 11, 25, 50),
    (500, 7, 15, 35, 70),
    (1000, 12, 25, 60, 120),
]


def half_up(micrometres: float) -> int:
    return math.floor(round(micrometres, 9) + 0.5)


@pytest.mark.parametrize(("length", "finest", "fine", "normal", "coarse"), GRADES)
def test_a_square_is_as_good_as_its_grade_says(
    length: float, finest: int, fine: int, normal: int, coarse: int
) -> None:
    """DIN 875-1, table as quoted by a metrology lexicon, rounded half up; formula from memory."""
    grades: tuple[SquareGrade, ...] = ("00", "0", "1", "2")
    limits = [half_up(grade_limit(grade, length) * 1000) for grade in grades]
    assert limits == [finest, fine, normal, coarse]


def test_a_slip_in_a_printed_table_is_not_copied() -> None:
    """DIN 875-1, L = 750 mm: one print gives 43 and 85 for grades 1 and 2, the row of 650 mm."""
    assert grade_limit("00", 750) * 1000 == pytest.approx(9.5)
    assert grade_limit("0", 750) * 1000 == pytest.approx(20)
    assert grade_limit("1", 750) * 1000 == pytest.approx(47.5)
    assert grade_limit("2", 750) * 1000 == pytest.approx(95)
    assert half_up(grade_limit("1", 650) * 1000) == 43
    assert half_up(grade_limit("2", 650) * 1000) == 85


@pytest.mark.parametrize(
    ("length", "normal", "coarse"),
    [(75, 0.54, 1.08), (150, 0.69, 1.38), (300, 0.98, 1.97), (500, 1.38, 2.76), (1000, 2.36, 4.72)],
)
def test_the_grades_in_thousandths_of_an_inch(length: float, normal: float, coarse: float) -> None:
    """DIN 875-1 grades 1 and 2, derived: over the whole blade."""
    assert grade_limit("1", length) / INCH * 1000 == pytest.approx(normal, abs=0.0051)
    assert grade_limit("2", length) / INCH * 1000 == pytest.approx(coarse, abs=0.0051)


def test_a_grade_2_square_of_150_mm_as_an_uncertainty() -> None:
    """DIN 875-1 and GUM 4.3.7, derived: 35 um evenly over 150 mm is 1.617 thou/ft, 0.00772 deg."""
    limit = math.atan(grade_limit("2", 150) / 150)
    square = Square("s", "try square", 150, limit)
    assert square.u * 1000 == pytest.approx(0.1347, abs=5e-5)  # mm/m
    assert thou_per_ft(square.u) == pytest.approx(1.617, abs=5e-4)
    assert math.degrees(square.u) == pytest.approx(0.00772, abs=5e-6)


def test_a_certificate_replaces_the_even_spread_of_the_grade() -> None:
    """GUM 4.3.3: a certificate's standard uncertainty is used as it stands."""
    assert Square("s", "s", 150, 0.0, known_error=1e-4, known_u=2e-5).u == 2e-5
    graded = Square("s", "s", 150, 1e-4)
    assert (graded.known_error, graded.known_u) == (0, 0)  # a limit says nothing of the side


def test_a_leaf_is_off_by_three_micrometres_unless_the_shop_file_says_otherwise() -> None:
    """Common practice, no source; the tolerances of DIN 2275 were not seen."""
    assert FeelerSet("f", "f", (0.05,)).leaf_tolerance == 0.003
