"""The least and the most that is taken: at it, and just beyond.

What is taken is common practice, no source, where nothing else is named.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from shopboard.metrology.carry import CarryError, carry_of, height_of
from shopboard.metrology.conformity import (
    PROOF_LEVEL,
    Tolerance,
    is_about_nought,
    probability_within,
    verdict,
)
from shopboard.metrology.cutting import (
    KnifeMarks,
    knife_marks,
    parse_speed,
    parse_turns_per_minute,
    rim_speed,
)
from shopboard.metrology.duration import LONGEST_RUN, parse_minutes
from shopboard.metrology.limits import in_own_unit, parse_limits, parse_tolerance
from shopboard.metrology.number import QuantityError
from shopboard.metrology.propagate import Input, even, propagate, repeated, steepest
from shopboard.metrology.quantity import LONGEST
from shopboard.metrology.spread import Spread
from shopboard.metrology.thread import parse_pitch, parse_turns
from shopboard.metrology.uncertainty import Budget, Estimate, Source

TAKEN: list[tuple[Callable[..., Any], str, str, str]] = [
    (parse_tolerance, "5 deg", "5.001 deg", "more than 5 degrees"),
    (parse_tolerance, "-5 to 5 deg", "-5.001 to 5 deg", "more than 5 degrees"),
    (parse_tolerance, "0 to 3 thou/ft", "0.1 to 3 thou/ft", "the range must hold 0"),
    (parse_tolerance, "-3 to 0 thou/ft", "-3 to -0.1 thou/ft", "the range must hold 0"),
    (parse_tolerance, "0.001 deg", "0 deg", "a tolerance must be more than 0"),
    (parse_tolerance, "-1 to 1 deg", "1 to 1 deg", "must be below the second"),
    (parse_limits, "4 to 5 s", "5 to 5 s", "must be more than 0"),
    (parse_pitch, "0.05 mm", "0.0499 mm", "between 0.05 mm and 1/2 in"),
    (parse_pitch, "1/2 in", "12.8 mm", "between 0.05 mm and 1/2 in"),
    (parse_pitch, "2 tpi", "0 tpi", "more than 0 turns per inch"),
    (parse_pitch, "M6", "M7", "no coarse pitch known for M7"),
    (parse_turns_per_minute, "60000", "60001", "to 60000 turns a minute"),
    (parse_turns_per_minute, "0.1 rpm", "0 rpm", "from above 0"),
    (parse_speed, "0.1 m/s", "0 m/s", "more than 0"),
    (parse_minutes, "1:59", "1:60", "from 0 to 59"),
    (parse_minutes, "10000 h", "10000:01", "at most 10,000 hours"),
    (parse_minutes, "1 min", "0 min", "more than 0"),
]


@pytest.mark.parametrize(("parse", "fits", "wrong", "says"), TAKEN)
def test_what_is_just_taken_and_what_is_not(
    parse: Callable[..., Any], fits: str, wrong: str, says: str
) -> None:
    parse(fits)
    with pytest.raises(QuantityError, match=says):
        parse(wrong)


@pytest.mark.parametrize("parse", [parse_tolerance, parse_limits])
def test_a_tolerance_is_two_values_long_at_the_most(parse: Callable[..., Any]) -> None:
    fits = "1 deg".ljust(2 * LONGEST)
    assert parse(fits).high == pytest.approx(math.radians(1))
    with pytest.raises(QuantityError, match="too long for one tolerance"):
        parse(f"{fits} ")


def test_a_time_is_as_long_as_it_may_be_typed() -> None:
    fits = f"{'2.'.ljust(LONGEST - 1, '0')}h"
    assert parse_minutes(fits) == 120
    with pytest.raises(QuantityError, match="too long for one time"):
        parse_minutes(f"0{fits}")


@pytest.mark.parametrize(("size", "pitch"), [
    (3, 0.5), (4, 0.7), (5, 0.8), (6, 1.0), (8, 1.25), (10, 1.5), (12, 1.75), (14, 2.0), (16, 2.0),
    (20, 2.5),
])  # fmt: skip
def test_the_coarse_pitch_of_a_metric_thread(size: int, pitch: float) -> None:
    """ISO 261 (from memory)."""
    assert parse_pitch(f"M{size}").mm == pitch
    assert parse_pitch(f"m{size} x 0.75").mm == 0.75


def test_threads_by_the_inch_and_turns() -> None:
    for text, per_inch in (("1/4-20", 20), ("#10-24", 24), ("3/8 - 16", 16), ("13 tpi", 13)):
        assert parse_pitch(text).mm == pytest.approx(25.4 / per_inch)
    told = {"3/8": 0.375, "1 1/4": 1.25, "0.5 turn": 0.5, "2 turns": 2.0, "135 deg": 0.375}
    assert {text: parse_turns(text) for text in told} == pytest.approx(told)


def test_times_and_speeds_in_each_unit() -> None:
    told = {"2.5": 150, "2h30": 150, "2:30": 150, "90 min": 90, "1 hr": 60, "3 hours": 180}
    assert {text: parse_minutes(text) for text in told} == pytest.approx(told)
    assert parse_minutes("90", "min") == 90
    assert LONGEST_RUN == 600_000
    speeds = {
        "20 ft/min": 101.6, "20 fpm": 101.6, "6 m/min": 100, "0.1 m/s": 100, "360 m/h": 100,
        "0.1 m per sec": 100, "6 m per minute": 100,
    }  # fmt: skip
    assert {text: parse_speed(text) for text in speeds} == pytest.approx(speeds)
    assert rim_speed(100.0, 60.0) == pytest.approx(math.pi * 100)


def test_marks_may_be_nearly_as_far_apart_as_the_circle_is_wide() -> None:
    """By the chord: at a pitch of 6 in a circle of 10 the mark is 5 - 4 high."""
    assert KnifeMarks(1.0, 6.0).height(10.0) == pytest.approx(1.0)
    with pytest.raises(QuantityError, match="farther apart than the cutting circle"):
        KnifeMarks(1.0, 10.0).height(10.0)
    found = knife_marks(3000.0, 2, 100.0)
    assert (found.pitch, found.per_inch) == pytest.approx((1.0, 25.4))


def test_a_carry_is_a_chord_of_the_circle() -> None:
    """3, 4 and 5: a chord of 6 in a circle of 10 stands 1 off its edge; its diameter half of it."""
    assert height_of(6.0, 10.0) == pytest.approx(1.0)
    assert carry_of(1.0, 10.0) == pytest.approx(6.0)
    assert height_of(10.0, 10.0) == pytest.approx(5.0)
    assert carry_of(5.0, 10.0) == pytest.approx(10.0)
    for wrong, value, circle in (
        (height_of, 10.1, 10.0), (height_of, 1.0, 0.0), (carry_of, 5.1, 10.0), (carry_of, 0.0, 0.0),
    ):  # fmt: skip
        with pytest.raises(CarryError):
            wrong(value, circle)


# ---------------------------------------------------------------- verdicts


def test_at_its_level_a_verdict_is_proven_either_way() -> None:
    """JCGM 106:2012, 7: at 95 % or more true, at 5 % or less out."""
    told = [verdict(one) for one in (0.95, 0.9499, 0.0501, 1 - PROOF_LEVEL, 0.0)]
    assert told == ["true", "near", "near", "out", "out"]
    assert [verdict(one, 0.75) for one in (0.75, 0.25, 0.26)] == ["true", "out", "near"]


def test_what_is_known_exactly_is_within_at_either_limit() -> None:
    limits = Tolerance(-1.0, 2.0, kind="length")
    told = [probability_within(Spread(one), limits) for one in (-1.0, 2.0, -1.01, 2.01)]
    assert told == [1.0, 1.0, 0.0, 0.0]
    assert [limits.used(one) for one in (2.0, 0.5, -1.0, 1.25)] == [1.0, 0.0, 1.0, 0.5]
    assert (limits.middle, limits.half_width) == (0.5, 1.5)


def test_a_size_from_nought_is_limited_at_its_upper_end_alone() -> None:
    plain, from_0, above = Tolerance(-1.0, 2.0), Tolerance(0.0, 2.0), Tolerance(0.5, 2.0)
    assert [one.as_it_counts(size=True).low for one in (plain, from_0, above)] == [-2.0, -2.0, 0.5]
    assert from_0.as_it_counts(size=False) == from_0
    assert Tolerance(-1.0, 0.0).as_it_counts(size=True).low == -1.0


def test_a_value_not_told_from_nought_where_that_is_the_limit() -> None:
    limits = Tolerance(0.0, 1.0, kind="length")
    spread = Spread(0.1, (), 0.1)
    assert is_about_nought(spread, 0.1, limits)
    assert not is_about_nought(spread, 0.0999, limits)
    assert not is_about_nought(spread._replace(size=True), 0.2, limits)
    assert not is_about_nought(spread, 0.2, Tolerance(-1.0, 1.0, kind="length"))
    assert not is_about_nought(spread, 0.2, Tolerance(0.0, 1.0, kind="time"))
    assert not is_about_nought(spread._replace(sigma=0.5), 0.5, limits)
    assert is_about_nought(spread, 0.2, Tolerance(-1.0, 0.0, kind="length"))


def test_a_tolerance_in_the_shops_own_unit() -> None:
    """0.1 over 250 mm is 0.4 mm/m; one that no longer reads stands as it was typed."""
    assert in_own_unit("0.1 mm over 250 mm", "mm") == "0.40 mm/m (0.1 mm over 250 mm)"
    assert in_own_unit("0 to 0.1 mm", "inch") == "0 to 3.9 thou (0 to 0.1 mm)"
    assert in_own_unit("whatever", "mm") == "whatever"


# ---------------------------------------------------------------- uncertainties


def test_a_formula_that_bends_adds_its_bend() -> None:
    """GUM 5.1.2, note: of x^2 at 0 the slope says nothing, the bend u^2 times root 2."""
    found = propagate(lambda read: read["x"] ** 2, {"x": even(0.0, "a", "a", 0.3)})
    u = 0.3 / math.sqrt(3)
    assert found.budget.u == pytest.approx(math.sqrt(2) * u**2)
    assert found.budget.sources[0].even
    straight = propagate(lambda read: 3 * read["x"], {"x": Input(2.0, (Source("a", "a", 0.1),))})
    assert (straight.error, straight.budget.u) == pytest.approx((6.0, 0.3))
    none = propagate(lambda read: read["x"], {"x": Input(2.0, (Source("a", "a", 0.0),))})
    assert none.budget.sources == ()


def test_a_corner_is_as_steep_as_its_steeper_side() -> None:
    """Of the larger of x and 3 x at 0: three, either way; a unit off, over two of them."""
    formula = steepest(lambda read: max(read["x"], 3 * read["x"]), {"x": 0.0})
    assert formula({"x": 0.1}) == pytest.approx(0.3)
    assert formula({"x": -0.1}) == pytest.approx(-0.3)
    off = steepest(lambda read: abs(read["x"]), {"x": 1.0})
    assert [off({"x": 1 + by}) for by in (0.1, -0.1, 2.0)] == pytest.approx([0.1, -0.1, 2.0])


def test_what_two_results_tell_and_what_none_does() -> None:
    """GUM 4.2.3: of 1 and 3 the mean is 2, s root 2, u 1, with one degree of freedom."""
    mean, source = repeated([1.0, 3.0])
    assert (mean, source.u, source.dof) == pytest.approx((2.0, 1.0, 1.0))
    with pytest.raises(ValueError, match="two results"):
        repeated([1.0])
    none = Budget(())
    assert (none.u, none.expanded, none.dof) == (0.0, 0.0, math.inf)
    assert none.share(Source("a", "a", 0.0)) == 0.0


def test_a_budget_worked_by_hand() -> None:
    """GUM G.4.1: u of 3 and 4 is 5; 625 / (81 / 9 + 256 / 16) is 25 degrees of freedom."""
    budget = Budget((Source("a", "a", 3.0, 9.0, lasting=True), Source("b", "b", 4.0, 16.0)))
    assert (budget.u, budget.dof, budget.u_repeat) == pytest.approx((5.0, 25.0, 4.0))
    assert [budget.share(one) for one in budget.sources] == pytest.approx([0.36, 0.64])
    assert budget.k == pytest.approx(2.0595, abs=1e-4)  # t for 25 (tables)
    spread = Estimate(1.0, budget).spread
    assert (spread.centre, spread.even) == (1.0, ())
    assert spread.sigma == pytest.approx(5 * 1.7081 / 1.6449, rel=1e-4)  # t of 25 at 95 % one way
    mixed = Budget((Source.within("a", "a", 3.0), Source("b", "b", 4.0)))
    assert mixed.spread_around(0.0) == Spread(0.0, (pytest.approx(3.0),), 4.0)  # type: ignore[arg-type]
