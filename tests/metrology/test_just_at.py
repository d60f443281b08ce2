"""Right at a number that decides: on which side it counts.

Numbers of the house are common practice, no source; those of a method stand with it.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from scipy import stats

from shopboard.metrology import wording
from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.drift import Change, Wander, learn
from shopboard.metrology.instruments import FeelerSet
from shopboard.metrology.joints import cup
from shopboard.metrology.kind import measure_both
from shopboard.metrology.outlier import (
    FARTHEST_SCORE,
    FEWEST,
    NORMAL_MAD,
    disagree,
    grubbs,
    modified_scores,
    repeatability_limit,
    stray,
)
from shopboard.metrology.own_hand import LEAF, LEAST_RATIO, Again, OwnHand, learnt, pairs_of
from shopboard.metrology.quantity import parse_angle
from shopboard.metrology.reach import _between, _holds, set_up, surest, true_errors
from shopboard.metrology.spread import Spread
from shopboard.metrology.square import estimate
from shopboard.metrology.student import wider_than_normal
from shopboard.metrology.trend import median, theil_sen
from shopboard.metrology.uncertainty import Estimate
from tests.builders import FEELERS, SQUARE_6

# ---------------------------------------------------------------- readings that do not belong


def test_two_readings_differ_by_2_8_standard_deviations_at_the_most() -> None:
    """1.96 times root 2, as ISO 5725-6 rounds it (from memory)."""
    assert repeatability_limit(0.5) == pytest.approx(1.4)
    assert not disagree(2.8, 0.0, 1.0)
    assert not disagree(-1.4, 1.4, 1.0)
    assert disagree(2.81, 0.0, 1.0)
    assert disagree(5.0, 8.0, 1.0)


def test_readings_that_are_all_the_same_hold_no_stray_one() -> None:
    assert grubbs([2.0] * FEWEST)[1] == 0.0
    assert modified_scores([2.0] * 3) == (0.0, 0.0, 0.0)
    assert stray([2.0] * 3, 0.0) is None


def test_of_three_readings_one_can_be_named_of_two_none() -> None:
    """At 1 % Grubbs' test of three hardly ever names one: the robust score does."""
    assert stray([1.0, 1.01, 9.0], 0.02) == 2
    assert stray([1.0, 9.0], 0.02) is None
    with pytest.raises(ValueError, match="three values"):
        grubbs([1.0, 9.0])


def test_what_the_score_leaves_grubbs_test_may_name() -> None:
    """Three times what readings repeat to is no score of 3.5; at 1 % six that agree name it.

    By hand: G = (3 - 3/7) / 1.134 = 2.268, over 2.139 (ISO 5725-2, table 5, from memory).
    """
    assert stray([0.0] * 6 + [3.0], 1.0) == 6
    assert stray([0.0, 0.8, -0.7, 0.4, -0.9, 0.9, 3.0], 1.0) is None


def test_a_score_is_in_robust_standard_deviations() -> None:
    """Iglewicz and Hoaglin: 0.6745 (value - median) / MAD; here MAD is 0.1, the median 5."""
    values = [4.9, 4.95, 5.0, 5.1, 5.2]
    found = modified_scores(values)
    assert found == pytest.approx([0.6745 * (one - 5.0) / 0.1 for one in values])
    assert pytest.approx(stats.norm.ppf(0.75), abs=5e-5) == NORMAL_MAD
    assert modified_scores([1.0, 1.0, 1.0, 3.0]) == (0.0, 0.0, 0.0, math.inf)
    assert modified_scores([1.0, 1.0, 1.0, 3.0], 0.5) == pytest.approx([0, 0, 0, 4.0])
    assert FARTHEST_SCORE == 3.5


# ---------------------------------------------------------------- a hand


def test_readings_parted_by_more_than_a_hand_parts_them_are_left_out() -> None:
    """Twenty times what is usual, beyond their brackets."""
    at, beyond = Again((20.0, 0.0), (0.0, 0.0)), Again((20.1, 0.0), (0.0, 0.0))
    wide = Again((21.0, 0.0), (0.5, 0.5))
    assert (at.apart, wide.apart) == (20.0, 20.0)
    assert Again((-3.0, 4.0, 1.0), (0.5, 1.0, 9.0)).apart == pytest.approx(5.5)
    assert learnt("dial", [at]) is not None
    assert learnt("dial", [wide]) is not None
    assert learnt("dial", [beyond]) is None


def test_one_pair_of_readings_tells_with_one_degree_of_freedom() -> None:
    found = learnt("dial", pairs_of([0.0, 1.5], [0.0, 0.0], 1.0))
    assert found is not None
    assert found.pairs == 1
    assert found.dof == pytest.approx(1.0, abs=0.02)
    assert found.ratio == pytest.approx(1.5 / math.sqrt(2), rel=0.01)
    assert pairs_of([1.0], [0.0], 1.0) == []
    assert pairs_of([1.0, 3.0], [0.2, 0.4], 2.0) == [Again((0.5, 1.5), (0.1, 0.2))]


def test_a_hundred_and_twenty_pairs_are_gone_by_the_newest_first() -> None:
    new, old = Again((0.0, 1.0), (0.0, 0.0)), Again((0.0, 3.0), (0.0, 0.0))
    for count, pairs in ((119, 119), (120, 120), (121, 120)):
        found = learnt("dial", [new] * count)
        assert found is not None
        assert found.pairs == pairs
    assert learnt("dial", [*[new] * 120, *[old] * 50]) == learnt("dial", [new] * 120)


def test_no_hand_counts_as_finer_than_three_tenths_of_what_is_usual() -> None:
    found = learnt("dial", [Again((0.0, 0.1), (0.0, 0.0))] * 40)
    assert found is not None
    assert found.ratio == LEAST_RATIO == 0.3
    rough = learnt("dial", [Again((0.0, 0.9), (0.0, 0.0))] * 40)
    assert rough is not None
    assert rough.ratio == pytest.approx(0.9 / math.sqrt(2), rel=0.01)


@pytest.mark.parametrize(("dof", "worse", "counts"), [
    (8.0, False, False), (8.01, False, True), (5.0, True, True), (5.0, False, False),
])  # fmt: skip
def test_a_hand_counts_once_it_is_known_better_than_what_is_usual(
    dof: float, worse: bool, counts: bool
) -> None:
    """What is usual is known to 25 %, that is with 8 degrees of freedom (GUM G.4.2)."""
    assert OwnHand(LEAF, 1.5, dof, 30, worse).counts is counts


@pytest.mark.parametrize(("apart", "count", "sure"), [
    (2.0, 10, False), (2.0, 16, True), (1.7, 40, False), (1.7, 60, True), (1.0, 40, False),
    (4.5, 3, False),  # three degrees of freedom are too few, however rough it is
])  # fmt: skip
def test_a_hand_is_surely_worse_by_wilks(apart: float, count: int, sure: bool) -> None:
    """By hand: n (r^2 - 1) / 2 - n ln r is over 1.92, r the ratio (chi squared, 5 %)."""
    found = learnt("dial", [Again((0.0, apart), (0.0, 0.0))] * count)
    assert found is not None
    r = apart / math.sqrt(2)
    gain = count * (r**2 - 1) / 2 - count * math.log(r)
    assert found.worse is sure
    assert sure == (gain > 1.92 and r > 1 and count > 3)


# ---------------------------------------------------------------- what a square tells


def test_errors_of_a_true_point_are_spread_over_two_thirds_of_its_tolerance() -> None:
    assert true_errors(Tolerance(-0.3, 0.3)) == pytest.approx((-0.2, -0.1, 0.0, 0.1, 0.2))
    assert true_errors(Tolerance(0.1, 0.7)) == pytest.approx((0.2, 0.3, 0.4, 0.5, 0.6))
    assert true_errors(Tolerance(0.0, 0.6)) == pytest.approx((0.0, 0.2, 0.3, 0.4, 0.5))


@pytest.mark.parametrize(("low", "high"), [(-21, 21), (0, 30), (-12, 3), (8, 14), (-40, -25)])
@pytest.mark.parametrize("thin", [0.0381, 0.127])
def test_the_surest_bracket_is_the_best_of_all(low: float, high: float, thin: float) -> None:
    """Every bracket that the set can hold, worked out to its end (thou/ft, over 6 in)."""
    feelers = FeelerSet("some", "Some", tuple(one for one in FEELERS.leaves if one >= thin))
    limits = Tolerance(math.atan(low / 12_000), math.atan(high / 12_000))
    lever = 152.4

    def held(one: float, other: float, leaves: int) -> Estimate:
        return estimate(set_up(SQUARE_6, feelers, lever, leaves), _between(one, other))

    shown = [held(-thin, thin, 1)]
    best = max(
        probability_within(one.spread, limits)
        for one in (*shown, *(held(*bracket) for bracket in _holds(feelers)[:400]))
    )
    assert surest(limits, shown, feelers, held, lever) >= best - 2e-3


# ---------------------------------------------------------------- spreads and trends


def test_an_even_spread_ends_where_it_ends() -> None:
    even = Spread(1.0, (0.5,))
    assert [even.cdf(x) for x in (0.5, 0.75, 1.0, 1.5)] == pytest.approx([0.0, 0.25, 0.5, 1.0])
    exact = Spread(1.0)
    assert [exact.cdf(x) for x in (0.999, 1.0, 1.001)] == [0.0, 1.0, 1.0]
    size = Spread(0.0, (0.5,), size=True)
    assert [size.cdf(x) for x in (-0.1, 0.0, 0.25, 0.5)] == pytest.approx([0.0, 0.0, 0.5, 1.0])


def test_students_distribution_against_the_normal_one() -> None:
    assert wider_than_normal(math.inf) == 1.0
    for dof in (1.0, 4.0, 30.0):
        by_scipy = stats.t.ppf(0.95, dof) / stats.norm.ppf(0.95)
        assert wider_than_normal(dof) == pytest.approx(by_scipy, rel=1e-6)


def test_the_middle_of_few_values() -> None:
    assert median([3.0, 1.0, 2.0]) == 2.0
    assert median([4.0, 1.0, 2.0, 10.0]) == 3.0
    assert median([5.0, 7.0]) == 6.0
    assert median([5.0]) == 5.0


def test_a_slope_of_few_values_has_no_ends() -> None:
    found = theil_sen([1.0, 2.0, 3.0], [1.0, 2.0, 3.5])
    assert (found.low, found.high) == (-math.inf, math.inf)
    assert found.slope == pytest.approx(1.25)


def wander(**changes: Any) -> Wander:
    change = Change(90.0, None, 0.01, 0.002)
    found = learn([change] * 3, Tolerance(-0.1, 0.1, kind="length"), 90)
    assert found is not None
    return found._replace(**changes)


def test_a_point_wanders_steadily_where_its_rate_is_surely_not_nothing() -> None:
    """An interval that only reaches 0 does not leave it out."""
    ends = ((0.0, 1.0), (-1.0, 0.0), (1e-9, 1.0), (-1.0, -1e-9), (-1.0, 1.0))
    assert [wander(low=low, high=high).steady for low, high in ends] == [
        False, False, True, True, False,
    ]  # fmt: skip
    assert [wander(changes=count).few for count in (4, 5)] == [True, False]


def test_what_was_left_of_a_change_is_what_its_rate_does_not_explain() -> None:
    """Eight changes of 0.01 in 90 days and one of 0.51: by the interval's own rate."""
    changes = [Change(days, None, 0.01 * days / 90, 0.002) for days in (90.0, 60.0, 120.0) * 3]
    changes[4] = changes[4]._replace(change=0.51)
    found = learn(changes, Tolerance(-0.1, 0.1, kind="length"), 90)
    assert found is not None
    (step,) = found.steps
    assert step.number == 4
    assert step.excess == pytest.approx(0.51 - found.rate * 60.0)
    assert step.excess == pytest.approx(0.503, abs=0.003)


def test_a_panel_of_one_board_has_no_cup() -> None:
    assert cup(100.0, 1, 0.01) == 0.0
    assert cup(100.0, 2, 0.01) == pytest.approx(100 * math.sin(0.01))
    with pytest.raises(ValueError, match="at least 1"):
        cup(100.0, 0, 0.01)


def test_a_degree_has_sixty_minutes_of_sixty_seconds() -> None:
    for text in ("1 deg", "60 arcmin", "3600 arcsec"):
        assert parse_angle(text).rad == pytest.approx(math.radians(1))


# ---------------------------------------------------------------- words


def test_ten_times_and_more_is_told_as_one() -> None:
    assert [wording.share(part) for part in (9.99, 10.0, 10.5)] == ["999 %", *["over 999 %"] * 2]


def test_an_angle_alone_is_told_in_degrees_beside() -> None:
    assert measure_both(1e-3, "angle", "mm") == "1.00 mm/m (0.057°)"
    assert measure_both(1e-3, "angle", "inch", 2e-5) == "12.00 thou/ft (0.057°)"
    assert measure_both(0.254, "length", "mm") == "0.254 mm"
    assert measure_both(3.0, "time", "mm") == "3.0 s"
