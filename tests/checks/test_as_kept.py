"""One value and one rounding: a result reads as found what it reads once it is on record.

Ties are where it shows: 0.45 thou/ft as found may lie a hair below the middle between two tenths,
and a hair above it in whole nanoradians.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks.outcome import Outcome
from shopboard.checks.report import outcome_lines
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import (
    RECORD_UNITS,
    Kind,
    measure,
    measure_to,
    value_words,
    with_expanded,
)
from shopboard.metrology.quantity import Unit
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.metrology.units import MM_PER_INCH
from shopboard.metrology.wording import share
from tests.builders import check_body

UNITS: tuple[Unit, ...] = ("inch", "mm")


def value_at(number: float, kind: Kind, unit: Unit) -> float:
    """A value that reads so many thou/ft or mm/m, thou or mm: the tangent, and 25.4 mm an inch."""
    if kind == "angle":
        return math.atan(number / (12000 if unit == "inch" else 1000))
    return number * MM_PER_INCH / 1000 if unit == "inch" else number


def recorded(value: float, kind: Kind) -> float:
    per_unit = RECORD_UNITS[kind][1]
    return round(value * per_unit) / per_unit


@given(
    st.integers(-4000, 4000),
    st.integers(1, 400),
    st.sampled_from(["angle", "length"]),
    st.sampled_from(UNITS),
    st.sampled_from([20, 200, 2000]),
)
def test_what_is_found_reads_as_what_is_kept(
    twentieths: int, of_u: int, kind: Kind, unit: Unit, parts: int
) -> None:
    live, u = value_at(twentieths / parts, kind, unit), value_at(of_u / parts, kind, unit)
    kept, kept_u = recorded(live, kind), recorded(u, kind)
    assert measure(live, kind, unit, signed=True) == measure(kept, kind, unit, signed=True)
    assert value_words(live, kind, unit, u) == value_words(kept, kind, unit, kept_u)
    assert measure_to(live, u, kind, unit) == measure_to(kept, kept_u, kind, unit)
    assert with_expanded(live, u, kind, unit) == with_expanded(kept, kept_u, kind, unit)
    tolerance = Tolerance(value_at(-50, kind, unit), value_at(50, kind, unit), "50", kind)
    outcome = Outcome(
        "square", Estimate(live, Budget((Source("rule", "the rule", u),))), tolerance, kind
    )
    again = Outcome(
        "square", Estimate(kept, Budget((Source("rule", "the rule", kept_u),))), tolerance, kind
    )
    assert outcome_lines(outcome, unit)[0] == outcome_lines(again, unit)[0]
    assert share(outcome.used or 0) == share(again.used or 0)
    assert outcome.probability == again.probability
    assert check_body(outcome, "as-found")["error"] == check_body(again, "as-found")["error"]


@pytest.mark.parametrize("tenths", [0.45, 0.75, 2.25, -0.45, -0.75, 10.05])
def test_ties_of_a_slope(tenths: float) -> None:
    live = math.atan(tenths / 12000)
    kept = round(live * 1e9) / 1e9
    assert measure(live, "angle", "inch", signed=True) == measure(
        kept, "angle", "inch", signed=True
    )
