"""A rate is told so that the date beside it follows from it (common practice, no source)."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.journal.kinds.cutters import UNITS, UseUnit
from shopboard.upkeep.cutter_words import MOST_MONTHS, SHOWN_WITHIN, rate_words

OF: dict[str, float] = {"h": 60.0, "ft": 304.8, "m": 1000.0}
"""An inch is 25.4 mm by definition (ISO 80000-3), a foot twelve of them."""


@pytest.mark.parametrize(
    ("a_month", "unit", "says"),
    [
        (2 / 3, "projects", "2 projects in 3 months"),
        (1.0, "projects", "1 project a month"),
        (1.5, "projects", "3 projects in 2 months"),
        (0.1, "projects", "1 project in 10 months"),
        (0.0, "projects", "0 projects a month"),
        (14 * 60.0, "minutes", "14 h a month"),
        (1.2, "minutes", "0.1 h in 5 months"),
        (30.0, "cuts", "30 cuts a month"),
    ],
)
def test_a_rate_is_told_by_the_fewest_months_that_tell_it(
    a_month: float, unit: UseUnit, says: str
) -> None:
    assert rate_words(a_month, unit, feet=True) == says


@given(st.sampled_from(UNITS), st.floats(0.05, 5000.0), st.booleans())
def test_what_is_told_comes_back_to_the_rate(unit: UseUnit, number: float, feet: bool) -> None:
    """By hand: the number over its months is within a twentieth of the rate."""
    of = {"minutes": 60.0, "mm": 304.8 if feet else 1000.0}.get(unit, 1.0)
    said = rate_words(number * of, unit, feet=feet)
    found = re.fullmatch(r"([\d,.]+) (\w+) (?:a month|in (\d+) months)", said)
    assert found is not None, said
    months = int(found[3] or 1)
    assert months <= MOST_MONTHS
    told = float(found[1].replace(",", "")) * OF.get(found[2], 1.0) / months
    assert abs(told / (number * of) - 1) <= SHOWN_WITHIN + 1e-9
