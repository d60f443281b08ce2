"""Right at a number that decides: on which side it counts.

Numbers of the house are common practice, no source; those of a method stand with it.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from scipy import integrate, stats

from shopboard.metrology import wording
from shopboard.metrology.adjuster import nearest_stack
from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.cutting import parse_speed
from shopboard.metrology.drift import Change, Wander, learn
from shopboard.metrology.drift_words import days_words, running_words, wander_words
from shopboard.metrology.due import Due, _simple, holds
from shopboard.metrology.feeler import Stack, _middle, thickest
from shopboard.metrology.instruments import Drawer, FeelerSet
from shopboard.metrology.joints import all_round, cup, out_over
from shopboard.metrology.kind import (
    limit_in_degrees,
    measure_both,
    promised,
    value_words,
    with_expanded,
)
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
from shopboard.metrology.own_hand import (
    LEAF,
    LEAST_RATIO,
    Again,
    OwnHand,
    _likelihood,
    learnt,
    pairs_of,
)
from shopboard.metrology.propagate import Input, propagate
from shopboard.metrology.quantity import parse_angle
from shopboard.metrology.reach import (
    _between,
    _holds,
    _rank,
    best_reading,
    felt,
    reaches,
    set_up,
    surest,
    true_errors,
)
from shopboard.metrology.spread import Spread
from shopboard.metrology.square import ReadingError, SetUp, SquareReading, estimate
from shopboard.metrology.student import student_cdf, wider_than_normal
from shopboard.metrology.trend import mann_kendall, median, theil_sen
from shopboard.metrology.uncertainty import Estimate, Source
from shopboard.metrology.wander import Likely, Scale, TimeSpan, believe
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


def test_what_is_farthest_is_so_from_the_middle_and_not_from_nothing() -> None:
    assert stray([5.0, 5.01, 5.02, -2.0], 0.02) == 3
    assert grubbs([5.0, 5.01, 5.02, -2.0])[0] == 3


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
    (3.0, 5, True),
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


def test_nothing_is_left_infinitely_far_out() -> None:
    assert [student_cdf(t, 5.0) for t in (-1e200, 0.0, 1e200)] == [0.0, 0.5, 1.0]


def test_the_middle_of_few_values() -> None:
    assert median([3.0, 1.0, 2.0]) == 2.0
    assert median([4.0, 1.0, 2.0, 10.0]) == 3.0
    assert median([5.0, 7.0]) == 6.0
    assert median([5.0]) == 5.0


def test_values_that_neither_rise_nor_fall_are_so_by_chance() -> None:
    """Every order is at least as odd as one with S = 0; of equal values no pair rises."""
    level = mann_kendall([2.0, 4.0, 1.0, 3.0])
    assert (level.s, level.z, level.p) == (0, 0.0, 1.0)
    same = mann_kendall([1.0, 1.0, 1.0])
    assert (same.s, same.z, same.p) == (0, 0.0, 1.0)
    rising = mann_kendall([1.0, 2.0, 3.0, 4.0])
    assert rising.s == 6
    assert rising.p == pytest.approx(2 / 24)  # one order of 24, either way


def test_how_odd_another_change_is_by_scipy() -> None:
    """Every way in which it may wander by its weight: a normal value over its own spread."""
    spans = [TimeSpan(1.0, 0.4, 0.1), TimeSpan(0.5, 0.3, 0.1, 0.05), TimeSpan(2.0, 0.7, 0.1)]
    found = believe(spans, Scale(1.0, 1.0))
    for then in (TimeSpan(1.5, 1.4, 0.3), TimeSpan(0.7, -0.2, 0.6), TimeSpan(2.5, 0.9, 0.05)):
        above = sum(
            part.weight
            * stats.norm.cdf(
                (part.rate * then.time - then.change)
                / math.sqrt(part.variance * then.time**2 + part.growth * then.time + then.u**2)
            )
            for part in found.parts
        )
        assert found.surprise(then) == pytest.approx(2 * min(above, 1 - above))


def test_the_ways_and_the_rates_of_a_wander_are_the_same_rates() -> None:
    """Told apart or put together: as likely, with the same mean and variance, but for traces."""
    spans = [TimeSpan(1.0, 0.9, 0.1), TimeSpan(0.5, 0.1, 0.1), TimeSpan(2.0, 1.2, 0.2)]
    found = believe(spans, Scale(2.0, 30.0))
    for told in (found.parts, found.rates):
        assert sum(one.weight for one in told) == pytest.approx(1.0, abs=5e-3)
    mean = sum(one.weight * one.mean for one in found.rates)
    assert found.mean == pytest.approx(mean, rel=5e-3)
    variance = sum(one.weight * (one.variance + (one.mean - mean) ** 2) for one in found.rates)
    together = sum(one.weight * (one.variance + (one.rate - mean) ** 2) for one in found.parts)
    assert together == pytest.approx(variance, rel=2e-2)


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


# ---------------------------------------------------------------- what is left out, what is halved


@pytest.mark.parametrize("ratio", [0.6, 1.0, 1.8])
@pytest.mark.parametrize("shift", [0.0, 12.0])
def test_how_likely_three_brackets_are_is_scipys_integral(ratio: float, shift: float) -> None:
    """The same thing lies behind all three, wherever it lies: no place is any likelier."""
    values, halves = (0.3 + shift, -0.9 + shift, 0.3 + shift), (0.5, 0.4, 0.5)

    def at(place: float) -> float:
        return math.prod(
            (stats.norm.cdf((v + h - place) / ratio) - stats.norm.cdf((v - h - place) / ratio))
            / (2 * h)
            for v, h in zip(values, halves, strict=True)
        )

    area, _ = integrate.quad(at, shift - 12, shift + 12, limit=200)
    assert _likelihood(Again(values, halves), ratio) == pytest.approx(area, rel=1e-6)


def test_three_readings_that_nothing_brings_together_are_never_alike() -> None:
    far = Again((0.0, 50.0, 100.0), (0.1, 0.1, 0.1))
    assert _likelihood(far, 0.5) <= 1e-200
    assert _likelihood(far, 40.0) > 1e-10


def test_how_well_a_ratio_is_known_is_how_sharp_its_top_is() -> None:
    """Half of the bend of the log-likelihood over the logarithm (mathematics), by differences."""
    pairs = [Again((0.0, apart), (0.8, 0.8)) for apart in (0.0, 2.1, 3.3, 1.6, 4.0, 0.0, 2.4)]
    found = learnt("leaf", pairs)
    assert found is not None

    def log_likelihood(step: float) -> float:
        return sum(math.log(_likelihood(one, found.ratio * math.exp(step))) for one in pairs)

    bend = (2 * log_likelihood(0.0) - log_likelihood(0.15) - log_likelihood(-0.15)) / 0.15**2
    assert found.dof == pytest.approx(bend / 2, rel=1e-3)
    assert 1 < found.dof < found.pairs == 7


def test_of_two_stacks_in_the_middle_that_of_fewer_leaves_is_tried() -> None:
    """Of as many leaves the thicker one; each leaf adds its own tolerance."""
    one, two = Stack((0.1,)), Stack((0.1, 0.2))
    assert [_middle(found) for found in ([one] * 4, [one] * 5, [one, one, two, two])] == [2, 2, 1]
    assert [_middle(found) for found in ([two, two, one, one], [one], [one, one])] == [2, 0, 1]


def test_shims_are_put_together_up_to_three() -> None:
    """The fewest on a tie; none where none comes nearer than nothing."""
    for wanted, chosen in (
        (0.35, (0.1, 0.25)), (0.25, (0.25,)), (0.85, (0.1, 0.25, 0.5)), (0.04, ()),
        (2.0, (0.1, 0.25, 0.5)),
    ):  # fmt: skip
        assert nearest_stack(wanted, (0.1, 0.25, 0.5)) == chosen


def test_squares_within_a_tenth_are_as_good_as_one_another() -> None:
    drawer = Drawer((SQUARE_6,), (FEELERS,))
    (found,) = reaches(152.4, Tolerance(-1e-3, 1e-3), drawer, can_turn=False)
    u = found.best.budget.u
    assert _rank(found, u / 1.09) == (0.0, False, SQUARE_6.length)
    assert _rank(found, u / 1.2) == (u, False, SQUARE_6.length)
    assert set_up(SQUARE_6, FEELERS, 100.0).leaves == SetUp(100.0).leaves == 1


def test_a_gap_of_three_micrometres_shows_light() -> None:
    """Common practice, no source."""
    told = {gap: felt(gap, FEELERS, 0.1, 0.0)[0].light for gap in (0.003, -0.003, 0.0029)}
    assert list(told.values()) == ["top", "bottom", "none"]


def test_a_lever_is_longer_than_a_rule_is_read_to() -> None:
    reading = SquareReading("none", 0.0, 0.0381)
    for lever, says in ((0.0, "longer than 0"), (0.5, "than a rule"), (1.0, "than a rule")):
        with pytest.raises(ReadingError, match=says):
            estimate(SetUp(lever), reading)
    assert estimate(SetUp(1.1), reading).error == 0.0


def test_the_widest_even_part_keeps_its_shape_the_others_are_pooled() -> None:
    """GUM 4.3.7: half of an even spread over root 3."""
    found = _simple(Spread(1.0, (0.2, -0.6, 0.3), 0.1))
    assert (found.centre, found.even) == (1.0, (0.6,))
    assert found.sigma == pytest.approx(math.sqrt(0.1**2 + (0.2**2 + 0.3**2) / 3))
    assert _simple(Spread(1.0, (), 0.1)) == Spread(1.0, (), 0.1)


def test_the_rate_changes_from_the_middle_of_one_span_to_that_of_the_next() -> None:
    """Rates that grow by 1e-5 a day, of spans that are not alike: Sen's slope is just that."""
    spans, day, changes = [40.0, 90.0, 60.0, 120.0, 30.0, 100.0, 80.0, 50.0, 110.0], 0.0, []
    for span in spans:
        rate = 0.001 + 1e-5 * (day + span / 2)
        changes.append(Change(span, None, rate * span, 1e-5))
        day += span
    found = learn(changes, Tolerance(-1.0, 1.0, kind="length"), 90)
    assert found is not None
    assert found.quickening is not None
    assert found.quickening.slope == pytest.approx(1e-5)


def test_a_slope_with_ties_of_few_values_has_no_ends_either() -> None:
    """By the normal form 1.96 standard deviations of S are more than there are slopes."""
    found = theil_sen([1.0, 2.0, 3.0], [1.0, 1.0, 2.0])
    assert (found.low, found.high) == (-math.inf, math.inf)


def test_times_are_told_from_where_they_are_whole() -> None:
    told = {days: days_words(days) for days in (0.4, 13.9, 14, 91, 91.25, 729.9, 730)}
    assert list(told.values()) == [
        "1 day", "13 days", "2 weeks", "13 weeks", "3 months", "23 months", "2 years",
    ]  # fmt: skip
    assert [running_words(minutes) for minutes in (10, 119, 120)] == [
        "1 h of running", "1 h of running", "2 h of running",
    ]  # fmt: skip


def test_a_wander_too_small_for_two_digits_is_told_over_the_longest_time() -> None:
    """A rate of 0.001 mm a year, surely: over a month there is nothing to read."""
    rate = 0.001 / 365
    told = wander_words(
        wander(rate=rate, low=rate / 2, high=rate * 2, shows=True, changes=3), "length", "mm"
    )
    assert told == "It drifts about 0.001 mm a year over 3 changes between checks"


def test_more_digits_than_six_no_limit_has() -> None:
    assert limit_in_degrees(math.radians(1.29e-6)) == "0.000001°"
    assert limit_in_degrees(math.radians(1.29e-5)) == "0.000012°"


def test_uncertainties_within_a_quarter_are_promised_as_one() -> None:
    for usual, most, words in (
        (2.0, 2.5, "typically ± 2.0 s"),
        (0.5, 0.7, "typically ± 0.50, up to"),
    ):
        assert promised(usual, most, "time", "mm").startswith(words)
        assert ("up to" in promised(usual, most, "time", "mm")) == ("up " in words)


def test_what_is_read_comes_before_what_is_added() -> None:
    found = propagate(
        lambda read: read["x"], {"x": Input(1.0, (Source("a", "read", 0.1),))},
        [Source("b", "added", 0.1)],
    )  # fmt: skip
    assert [one.name for one in found.budget.sources] == ["read", "added"]


def test_sizes_without_end_are_no_sizes() -> None:
    for reach in (0.0, math.inf):
        with pytest.raises(ValueError, match="it must be above 0"):
            out_over(reach, 0.01)
    assert all_round(60.0, 4, 0.001) == pytest.approx(
        2 * 60 / math.cos(math.pi / 4 + 0.001) * math.sin(0.001)
    )
    assert parse_speed("0.0005 m/s") == pytest.approx(0.5)


# ---------------------------------------------------------------- leaves


def test_a_gap_wider_than_every_stack_is_measured_otherwise() -> None:
    widest = thickest(FEELERS)
    found, leaves = felt(5.0, FEELERS, 0.1, 0.05)
    assert leaves == 2
    assert (found.goes, found.refused) == pytest.approx((widest, 5.05))
    best = best_reading(5.0, FEELERS)
    assert (best.goes, best.refused) == pytest.approx((widest, 2 * widest))


def test_a_leaf_as_thick_as_the_gap_goes() -> None:
    for leaf in FEELERS.leaves[:4]:
        assert felt(leaf, FEELERS, 0.1, 0.0)[0].goes == leaf
        assert best_reading(leaf, FEELERS).goes == leaf
    none, leaves = felt(0.0, FEELERS, 0.1, 0.0)
    assert (none.light, none.goes, none.refused, leaves) == ("none", 0.0, FEELERS.leaves[0], 1)


def test_brackets_from_nothing_on_are_at_one_end() -> None:
    thin = FEELERS.leaves[0]
    held = _holds(FEELERS)
    assert held[:3] == ((-thin, thin, 1), (0.0, thin, 1), (-thin, 0.0, 1))
    told = [_between(low, high) for low, high, _ in held[:3]]
    assert [one.light for one in told] == ["none", "top", "bottom"]
    assert [(one.goes, one.refused) for one in told] == [(0.0, thin)] * 3


def test_a_gap_with_a_tolerance_of_its_own_has_no_lever() -> None:
    limits = Tolerance(0.05, 0.15, kind="length")

    def held(one: float, other: float, leaves: int) -> Estimate:
        return estimate(set_up(SQUARE_6, FEELERS, 2.0, leaves), _between(one, other))

    shown = [held(0.0762, 0.1016, 1)]
    assert surest(limits, shown, FEELERS, held) == surest(limits, shown, FEELERS, held, 1.0)


# ---------------------------------------------------------------- when a check is due


def drifts(rate: float, **changes: Any) -> Wander:
    """A point that goes so far each day or minute, for certain."""
    return wander(shows=True, parts=(Likely(1.0, rate, 0.0, 0.0),), **changes)


def test_no_check_is_due_sooner_than_a_day_or_an_hour() -> None:
    limits, today = Tolerance(-0.1, 0.1, kind="length"), Spread(0.0, (), 0.01)
    assert holds(drifts(1.0), today, limits, 90) == Due(1, None, by_wander=True)
    assert holds(drifts(1.0, clock="minutes"), today, limits, 90) == Due(90, 60, by_wander=True)


def test_running_is_looked_ahead_four_times_as_far_as_an_interval_holds_of_it() -> None:
    """Known exactly, it is out once it has gone 0.1: after 350 minutes, or after 450."""
    limits, today = Tolerance(-0.1, 0.1, kind="length"), Spread(0.0, (), 1e-6)
    scale = Scale(0.1, 100.0)
    for after, due in ((350.0, Due(90, 350, by_wander=True)), (450.0, Due(90, None, False))):
        found = holds(drifts(0.1 / after, clock="minutes", scale=scale), today, limits, 90)
        assert (found.days, found.by_wander) == (due.days, due.by_wander)
        if due.minutes is not None:
            assert found.minutes == pytest.approx(due.minutes, abs=3)


def test_a_value_of_which_no_uncertainty_is_told() -> None:
    assert value_words(1e-3, "angle", "mm") == "+1.00 mm/m (+0.057°)"
    assert with_expanded(0.0003, 0.0001, "angle", "mm") == "+0.30 mm/m ± 0.10 mm/m"
