"""A perfect 0 where 0 is the limit: near, however finely it is read, and the words say what to do.

A fence that may open toward the back and must not close in (common practice, no source): set dead
parallel nobody can tell on which side of parallel it is, so it is given a hair of lead.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from shopboard.checks.outcome import Outcome
from shopboard.checks.settle import what_would_settle
from shopboard.metrology.conformity import (
    Tolerance,
    is_about_nought,
    probability_within,
    verdict,
)
from shopboard.metrology.kind import Kind
from shopboard.metrology.spread import Spread
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.cli.program import Program
from tests.shop_head import head

AIM = "0 is the limit here, not what to aim for: aim for the middle of 0 to 0.5 mm/m"
SHOP = (
    head("The sail loft").replace('"inch"', '"mm"')
    + """
[[drawer.indicator]]
id = "dial"
name = "Dial"
within = "0.01 mm"
reach = "10 mm"
[[machine]]
id = "saw"
name = "Saw"
[[machine.point]]
id = "fence"
name = "Rip fence"
check = "sweep"
tolerance = "0 to 0.5 mm/m"
datum = "slot"
face = "fence"
"""
)


def outcome(low: float, high: float, error: float, u: float, kind: Kind = "angle") -> Outcome:
    limits = Tolerance(low, high, f"{low:g} to {high:g}", kind)
    return Outcome("x", Estimate(error, Budget((Source("lever", "lever", u),))), limits, kind)


@given(st.floats(1e-6, 0.2), st.booleans())
def test_read_as_finely_as_one_likes_a_perfect_nought_is_near_and_the_middle_is_true(
    u: float, below: bool
) -> None:
    """By the normal distribution of scipy: 50 % at 0."""
    low, high = (-1.0, 0.0) if below else (0.0, 1.0)
    limits = Tolerance(low, high, "one side")
    inside = norm.cdf(high, 0, u) - norm.cdf(low, 0, u)
    assert inside == pytest.approx(0.5, abs=1e-6)
    assert verdict(probability_within(Spread(0.0, (), u), limits)) == "near"
    assert is_about_nought(Spread(0.0, (), u), 2 * u, limits)
    middle = (low + high) / 2
    assert norm.cdf(high, middle, u) - norm.cdf(low, middle, u) > 0.95
    assert verdict(probability_within(Spread(middle, (), u), limits)) == "true"


def test_the_words_say_where_to_set_it_and_not_to_read_it_finer() -> None:
    said = what_would_settle(outcome(0.0, 1.0, 0.01, 0.05))
    assert said == (
        "Too close to call. 0 is the limit here, not what to aim for: aim for the middle of 0 to 1."
    )


@pytest.mark.parametrize(
    ("low", "high", "error", "u"),
    [
        (-1.0, 1.0, 1.0, 0.1),  # both sides
        (0.0, 1.0, 1.0, 0.1),  # at its other limit
        (0.0, 1.0, 0.0, 0.5),  # so coarse that the middle would not be proven either
        (0.2, 1.0, 0.2, 0.05),  # the limit is no 0
    ],
)
def test_else_what_would_settle_it_is_a_finer_reading(
    low: float, high: float, error: float, u: float
) -> None:
    assert "a longer reach" in what_would_settle(outcome(low, high, error, u))


@pytest.mark.parametrize("kind", ["time", "length"])
def test_a_time_or_a_size_has_no_limit_at_nought(kind: Kind) -> None:
    """No blade runs down in less than no time; no run-out is below nothing."""
    spread = Spread(0.0, (), 0.01, size=kind == "length")
    limits = Tolerance(0.0, 1.0, "0 to 1", kind)
    assert not is_about_nought(spread, 0.02, limits)
    assert verdict(probability_within(spread, limits.as_it_counts(size=spread.size))) == "true"


def test_status_and_json_say_it(program: Program) -> None:
    program.write("shop.toml", SHOP)
    answers = program.write(
        "a.toml", 'care = "understood"\nspan = "800"\nfront = "0"\nback = "0"\n'
    )
    ran = program("check", "saw.fence", "--answers", str(answers))
    assert "verdict      borderline" in ran.out

    assert AIM in program("status").out
    data = program("status", "--json").json
    (point,) = data["machines"][0]["points"]
    assert (point["state"], point["reason"]) == (
        "near",
        f"measured; too close to call: {AIM}",
    )
