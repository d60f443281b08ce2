"""What the tools of the drawer tell of a point, worked by hand beside the program."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.checks.remedies import would_take
from shopboard.metrology.conformity import Tolerance, probability_within, verdict
from shopboard.metrology.feeler import stacks
from shopboard.metrology.instruments import Drawer, FeelerSet, Square, grade_limit
from shopboard.metrology.reach import (
    Reach,
    _between,
    _holds,
    best_reading,
    felt,
    reaches,
    set_up,
    surest,
    true_errors,
)
from shopboard.metrology.square import FEEL_U_MM, LEVER_WITHIN_MM, SquareReading, estimate
from shopboard.metrology.uncertainty import Estimate
from tests.in_turn import part

INCH = 25.4
FINE = FeelerSet("fine", "From 1.5 thou", (0.0381, 0.0508, 0.0762, 0.127))
COARSE = FeelerSet("coarse", "From 5 thou", (0.127, 0.254, 0.381))


def square(inches: float, grade: str = "0") -> Square:
    length = inches * INCH
    return Square(f"s{inches:g}", "a square", length, grade_limit(grade, length) / length)  # type: ignore[arg-type]


def tolerance(thou_per_ft: float) -> Tolerance:
    limit = math.atan(thou_per_ft / 12_000)
    return Tolerance(-limit, limit)


def best_of(drawer: Drawer, lever: float = 6 * INCH, *, turn: bool = False) -> Reach:
    return reaches(lever, tolerance(21), drawer, can_turn=turn)[0]


def test_the_best_reading_of_a_true_face_is_that_the_thinnest_leaf_is_refused() -> None:
    """Nothing narrower than plus or minus the thinnest leaf can be known of it."""
    assert best_reading(0.0, FINE) == SquareReading("none", 0.0, 0.0381)


def test_the_usual_u_is_that_of_the_sources_by_hand() -> None:
    """Derived: bracket, leaf, feel, lever, square over 6 in, in quadrature (GUM 5.1.2).

    Of 2.5 thou/ft two thirds are 0.021 mm over 6 in: light, and the one leaf won't go.
    """
    one_leaf = FeelerSet("one", "1.5 thou", (0.0381,), most_leaves=1)
    drawer, lever = Drawer((square(6),), (one_leaf,)), 6 * INCH
    (one,) = reaches(lever, tolerance(2.5), drawer, can_turn=False)
    limit = (5 + lever / 50) / 1000 / lever  # DIN 875-1 grade 0: 5 + L/50 um
    by_hand = math.sqrt(
        (0.0381 / 2 / math.sqrt(3) / lever) ** 2
        + (0.003 / math.sqrt(3) / lever) ** 2
        + (FEEL_U_MM / lever) ** 2
        + (limit / math.sqrt(3)) ** 2
        + (LEVER_WITHIN_MM / math.sqrt(3) * 0.0381 / 2 / lever**2) ** 2
    )
    assert one.best.error == 0
    assert one.best.budget.u == pytest.approx(by_hand, rel=1e-6)


def test_finer_leaves_and_longer_squares_come_first() -> None:
    """The order offered is by what each can know."""
    drawer = Drawer((square(3), square(6)), (COARSE, FINE))
    found = reaches(6 * INCH, tolerance(21), drawer, can_turn=False)
    assert (found[0].square.id, found[0].feelers.id) == ("s6", "fine")
    assert (found[-1].square.id, found[-1].feelers.id) == ("s3", "coarse")
    assert [one.best.budget.u for one in found] == sorted(one.best.budget.u for one in found)


def test_the_lever_is_cut_to_the_squares_blade() -> None:
    """A 3 in square offers no lever of 6 in."""
    assert best_of(Drawer((square(3),), (FINE,))).lever == 3 * INCH


def test_turning_over_is_offered_only_where_the_point_allows_it() -> None:
    """And cancels what the square itself may be off by."""
    drawer = Drawer((square(6, "2"),), (FINE,))
    assert not any(one.turned for one in reaches(152.4, tolerance(21), drawer, can_turn=False))
    turned, plain = reaches(152.4, tolerance(3), drawer, can_turn=True)
    assert turned.turned
    assert not plain.turned
    assert turned.best.budget.u < plain.best.budget.u
    assert turned.probability > plain.probability


def test_an_empty_drawer_reaches_nothing() -> None:
    """No square or no leaves: an empty answer, to be put into words by the check."""
    assert reaches(100, tolerance(21), Drawer((), (FINE,)), can_turn=True) == ()
    assert reaches(100, tolerance(21), Drawer((square(6),), ()), can_turn=True) == ()


@pytest.mark.parametrize(("half", "can"), [(21.0, True), (0.2, False)])
def test_what_can_be_proven_depends_on_the_tolerance(half: float, can: bool) -> None:
    """A tenth of a degree can be proven with these tools, a hundredth of that cannot."""
    one = reaches(6 * INCH, tolerance(half), Drawer((square(6),), (FINE,)), can_turn=False)[0]
    assert (verdict(one.probability) == "true") is can


def test_a_one_sided_tolerance_is_judged_at_its_middle() -> None:
    """The bracket that holds the gap at the middle of the band, by the leaves that are there."""
    assert best_reading(0.06, FINE) == SquareReading("top", 0.0508, 0.0762)
    assert best_reading(-0.06, FINE) == SquareReading("bottom", 0.0508, 0.0762)
    assert best_reading(0.02, FINE) == SquareReading("top", 0.0, 0.0381)
    assert best_reading(0.0508, FINE) == SquareReading(
        "top", 0.0508, 0.0762
    )  # as thick as it is wide


@given(st.floats(-0.2, 0.2))
@settings(max_examples=part(60))
def test_the_best_reading_holds_the_gap(gap: float) -> None:
    """Whatever gap is meant, its reading brackets it."""
    low, high = best_reading(gap, FINE).ends
    assert low - 1e-6 <= gap <= high + 1e-6


@pytest.mark.parametrize(
    ("drawer", "lever", "words"),
    [
        (Drawer((Square("s", "crooked", 152.4, 0.01),), (FINE,)), 152.4, "finer square"),
        (Drawer((square(6),), (COARSE,)), 152.4, "thinner leaf"),
        (Drawer((square(6, "00"),), (FeelerSet("f", "foil", (0.002,)),)), 20.0, "longer distance"),
    ],
)
def test_what_would_help_names_the_widest_source(drawer: Drawer, lever: float, words: str) -> None:
    """A crooked square, a thick thinnest leaf, or a lever too short for the feel of a hand."""
    assert words in would_take(best_of(drawer, lever).best.budget, "angle")


def test_a_set_up_takes_square_and_leaves_as_they_are() -> None:
    """A certificate and a leaf's tolerance go into the reading's set-up unchanged."""
    certified = Square("c", "certified", 150, 0.0, known_error=1e-4, known_u=2e-5)
    setup = set_up(certified, FINE, 150, leaves=2)
    assert (setup.square_known, setup.square_u, setup.square_limit) == (1e-4, 2e-5, 0.0)
    assert (setup.leaf_tolerance, setup.leaves, setup.lever) == (0.003, 2, 150)


@pytest.mark.parametrize(
    ("low", "high", "errors"),
    [
        (-3.0, 3.0, (-2.0, -1.0, 0.0, 1.0, 2.0)),
        (0.0, 6.0, (0.0, 2.0, 3.0, 4.0, 5.0)),
        (-6.0, 0.0, (-5.0, -4.0, -3.0, -2.0, 0.0)),
        (1.0, 7.0, (2.0, 3.0, 4.0, 5.0, 6.0)),
    ],
)
def test_true_points_are_spread_evenly_over_the_tolerance(
    low: float, high: float, errors: tuple[float, ...]
) -> None:
    """By hand: five of them, in steps of a third of its half-width; one at 0 where that may be."""
    assert true_errors(Tolerance(low, high)) == pytest.approx(errors)


@given(st.floats(-0.4, 0.4), st.floats(0.0, 0.3), st.sampled_from([0.0, 0.01, 0.03, 0.1]))
@settings(max_examples=part(80))
def test_leaf_by_leaf_the_bracket_closes_until_it_is_fine_enough(
    gap: float, first: float, fine: float
) -> None:
    """Tried in another way: it holds the gap; where it is wider, no stack is left between.

    The leaves told are those of its thicker end.
    """
    reading, leaves = felt(gap, FINE, first, fine)
    made = stacks(FINE)
    thicknesses = [0.0, *(one.thickness for one in made)]
    if abs(gap) < 0.003:  # no light is seen through so little: common practice, no source
        assert (reading, leaves) == (SquareReading("none", 0.0, 0.0381), 1)
        return
    assert reading.light == ("top" if gap > 0 else "bottom")
    assert reading.goes <= abs(gap) < reading.refused + 1e-9 or abs(gap) >= thicknesses[-1]
    between = [one for one in thicknesses if reading.goes < one < reading.refused]
    assert not between or reading.half_width <= fine + 1e-9
    ends = [len(one.leaves) for one in made if one.thickness in (reading.goes, reading.refused)]
    assert leaves == max(ends, default=1)
    if abs(gap) >= thicknesses[-1]:
        assert (reading.goes, reading.refused) == (thicknesses[-1], abs(gap) + fine)


def test_of_tools_that_are_as_good_the_shorter_square_comes_first() -> None:
    """A tenth more is as good (common practice, no source); as it stands before turned over."""
    long, short = square(6, "00"), square(5.9, "00")
    found = reaches(5 * INCH, tolerance(21), Drawer((long, short), (FINE,)), can_turn=True)
    us = [one.best.budget.u for one in found]
    assert max(us) < 1.1 * min(us)
    assert [(one.turned, one.square.id) for one in found] == [
        (False, "s5.9"),
        (False, "s6"),
        (True, "s5.9"),
        (True, "s6"),
    ]


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.0381), (0.0508, 0.0762), (0.1, 0.2)])
def test_light_below_is_read_as_light_above_turned_over(low: float, high: float) -> None:
    """The leaf that goes is the thinner one, on whichever side the light shows."""
    assert _between(low, high) == SquareReading("top", low, high)
    assert _between(-high, -low) == SquareReading("bottom", low, high)
    assert _between(-high, high) == SquareReading("none", 0.0, high)


def test_the_gaps_that_a_set_can_hold_and_how_many_leaves_each_takes() -> None:
    """By hand: of one leaf no light, or less than it on either side; of two, one or both of them.

    A gap between two stacks takes as many leaves as the larger of them.
    """
    one = FeelerSet("one", "1", (0.05,), most_leaves=1)
    assert {*_holds(one)} == {(-0.05, 0.05, 1), (0.0, 0.05, 1), (-0.05, 0.0, 1)}
    two = FeelerSet("two", "2", (0.05, 0.1), most_leaves=2)
    above = {
        *((0.0, 0.05, 1), (0.0, 0.1, 1), (0.0, 0.15, 2)),
        *((0.05, 0.1, 1), (0.05, 0.15, 2), (0.1, 0.15, 2)),
    }
    below = {(-high, -low, leaves) for low, high, leaves in above}
    rounded = {(round(low, 9), round(high, 9), leaves) for low, high, leaves in _holds(two)}
    assert rounded == above | below | {(-0.05, 0.05, 1)}


@pytest.mark.parametrize(
    ("low", "high"), [(-1.2, 1.2), (0.6, 1.4), (-1.4, -0.6), (0.0, 1.0), (0.9, 1.1), (-0.4, 1.6)]
)
@pytest.mark.parametrize("lever", [60.0, 100.0])
def test_the_surest_is_the_best_of_all_brackets(low: float, high: float, lever: float) -> None:
    """Every gap that the leaves can hold, each worked out to the end: none is surer."""
    leaves = FeelerSet("f", "Four leaves", (0.05, 0.07, 0.09, 0.11), most_leaves=1)
    tolerance = Tolerance(low * 1e-3, high * 1e-3)

    def held(low: float, high: float, leaves_in: int) -> Estimate:
        setup = set_up(square(6, "00"), leaves, lever, leaves_in)
        return estimate(setup, _between(low, high), None)

    poor = held(0.0, 0.11, 1)._replace(error=10.0)  # far out: it promises nothing
    best = max(probability_within(held(*one).spread, tolerance) for one in _holds(leaves))
    assert surest(tolerance, [poor], leaves, held, lever) == pytest.approx(best)


@pytest.mark.parametrize("gap", [0.02, 0.06, 0.1, -0.06])
def test_leaves_are_tried_until_the_bracket_is_fine_enough_and_no_longer(gap: float) -> None:
    """From the leaf at the limit on: where any bracket will do, the first that holds it is kept."""
    finest, _ = felt(gap, FINE, 0.0762, 0.0)
    tightest = best_reading(gap, FINE)
    assert (finest.goes, finest.refused, finest.light) == (
        tightest.goes, tightest.refused, tightest.light,
    )  # fmt: skip
    first, _ = felt(gap, FINE, 0.0762, 1.0)
    assert first.goes <= abs(gap) < first.refused
    assert first.refused - first.goes >= finest.refused - finest.goes
    if abs(gap) < 0.0762:
        assert (first.goes, first.refused) == (0.0, 0.0762)


def test_the_first_leaf_is_that_of_the_limit_on_its_own_side() -> None:
    """Of -40 to 10 thou/ft over 6 in: 20 thou one way, and 5 the other."""
    lever, set_of = 152.4, FeelerSet("set", "Set", (0.0381, 0.127, 0.254, 0.381, 0.508, 0.762))
    limits = Tolerance(-math.atan(40 / 12_000), math.atan(10 / 12_000))
    own = square(6)._replace(limit=0.0)
    (found,) = reaches(lever, limits, Drawer((own,), (set_of,)), can_turn=False, fine=9.0)
    by_hand = []
    for error in true_errors(limits):
        gap = math.tan(error) * lever
        first = 0.127 if gap > 0 else 0.508
        reading, leaves = felt(gap, set_of, first, 9.0 * limits.half_width * lever)
        by_hand.append(estimate(set_up(own, set_of, lever, leaves), reading, None))
    assert [one.budget.u for one in found.shown] == pytest.approx([one.budget.u for one in by_hand])
    assert [one.error for one in found.shown] == pytest.approx([one.error for one in by_hand])
