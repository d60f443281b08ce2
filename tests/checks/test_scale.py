"""A result's scale has its marks where the numbers say, and one line speaks in one unit.

The columns are worked out here from the limits alone (a straight line through two points).
"""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks.in_numbers import used_words
from shopboard.checks.outcome import Outcome
from shopboard.checks.scale import scale
from shopboard.checks.told import number_words, scale_of, share_words
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.quantity import Unit
from shopboard.metrology.uncertainty import Budget, Estimate, Source

WIDTH = 70


def outcome(error: float, u: float, tolerance: Tolerance, *, size: bool = False) -> Outcome:
    found = Estimate(error, Budget((Source("a", "a", u),)), size=size)
    return Outcome("square", found, tolerance, kind=tolerance.kind)


@given(st.floats(-5, 5), st.floats(0.3, 3), st.floats(-3, 0), st.floats(0.5, 3))
def test_error_and_uncertainty_stand_where_the_limits_put_them(
    error: float, expanded: float, low: float, high: float
) -> None:
    """To the columns that the two limits are rounded to."""
    drawn = scale(error, expanded, (low, high), {}, WIDTH)
    left, right = drawn.tolerance.index("├"), drawn.tolerance.index("┤")
    each = (high - low) / (right - left)
    assert len(drawn.tolerance) == len(drawn.found) == WIDTH

    def stands_at(value: float, column: int) -> bool:
        off = 1 + abs(value - low) / (high - low)
        return abs(left + (value - low) / each - column) <= off

    assert stands_at(error, drawn.found.index("●"))
    assert stands_at(error - expanded, drawn.found.index("├"))
    assert stands_at(error + expanded, drawn.found.index("┤"))
    assert {*drawn.found[drawn.found.index("├") : drawn.found.index("┤")]} <= {*"├─●"}


def test_five_times_the_tolerance_lies_at_five_times_its_mark() -> None:
    drawn = scale(0.5, 0.02, (-0.1, 0.1), {-0.1: "-0.1", 0.0: "0", 0.1: "+0.1"}, 101)
    nought = drawn.tolerance.index("┼")
    limit = drawn.tolerance.index("┤")
    assert abs((drawn.found.index("●") - nought) - 5 * (limit - nought)) <= 5
    assert drawn.limits.index("+0.1") < limit < drawn.limits.index("+0.1") + 5


@pytest.mark.parametrize("unit", ["inch", "mm"])
@pytest.mark.parametrize("tolerance", [
    Tolerance(-math.radians(0.1), math.radians(0.1), "0.1 deg"),
    Tolerance(0.0, 0.0762, "0 to 3 thou", "length"),
    Tolerance(100.0, 140.0, "100 to 140 MPa", "stress"),
    Tolerance(0.0, 10.0, "0 to 10 s", "time"),
])  # fmt: skip
def test_error_uncertainty_and_tolerance_of_a_line_have_one_unit(
    tolerance: Tolerance, unit: Unit
) -> None:
    """However the shop file wrote the tolerance."""
    words = number_words(outcome(tolerance.high * 0.9, tolerance.high / 50, tolerance), unit)
    told = [re.findall(r"(?<=\d )(?:thou/ft|mm/m|deg|thou|mm|psi|MPa|s\b)", line) for line in words]
    assert all(len(one) == 2 and one[0] == one[1] for one in told), words
    assert len({one[0] for one in told}) == len(words) == (2 if tolerance.kind == "angle" else 1)


def test_the_numbers_are_those_of_a_pocket_calculator() -> None:
    """tan(0.25 deg) x 12 in = 52.4 thou; U of 2 u = 0.02 deg = 4.2 thou; 0.1 deg = 20.9 thou."""
    limits = Tolerance(-math.radians(0.1), math.radians(0.1), "0.1 deg")
    words = number_words(outcome(math.radians(0.25), math.radians(0.01), limits), "inch")
    assert words[0] == "Error +52.4 ± 4.1 thou/ft   tolerance ± 20.9 thou/ft"
    assert words[1].split() == ["+0.250", "±", "0.020", "deg", "tolerance", "±", "0.1", "deg"]


@pytest.mark.parametrize(
    ("used", "words"),
    [
        (0.426, "43 % of the tolerance"),
        (1.0, "100 % of the tolerance"),
        (1.26, "1.3 times the tolerance"),
        (4.97, "5 times the tolerance"),
        (12.4, "12 times the tolerance"),
    ],
)
def test_how_much_of_the_tolerance_is_said_in_words(used: float, words: str) -> None:
    assert used_words(used) == words


def test_of_a_range_it_is_said_how_far_its_limit_is() -> None:
    limits = Tolerance(100.0, 140.0, "100 to 140 MPa", "stress")
    assert share_words(outcome(150.0, 2.0, limits), "mm") == "10 MPa beyond the limit"
    assert share_words(outcome(112.0, 2.0, limits), "mm") == "12 MPa inside the limit"


def test_a_size_has_no_limit_below_nought() -> None:
    limits = Tolerance(-0.05, 0.05, "0.05 mm", "length")
    drawn = scale_of(outcome(0.02, 0.005, limits, size=True), "mm", WIDTH)
    assert drawn is not None
    assert drawn.limits.split() == ["0", "0.05"]
    assert "at most 0.05 mm" in number_words(outcome(0.02, 0.005, limits, size=True), "mm")[0]
