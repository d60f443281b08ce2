"""How far to move what sets a point right: worked by hand beside each case."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shopboard.metrology.adjuster import (
    SMALLEST_TURN,
    Adjuster,
    Correction,
    Screw,
    Shim,
    Slot,
    advance_per_turn,
    correct,
    nearest_stack,
)
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.thread import parse_pitch
from shopboard.metrology.uncertainty import Budget, Estimate, Source

INCH = 25.4
THOU = 0.0254
HALF_THOU_PER_FT = Tolerance(-math.atan(0.5 / 12_000), math.atan(0.5 / 12_000), "0.5 thou/ft")


def measured(thou_per_ft: float, u: float = 0.01) -> Estimate:
    """An error with a standard uncertainty, both thou/ft."""
    angle = math.atan(thou_per_ft / 12_000)
    return Estimate(angle, Budget((Source("all of it", "all of it", math.atan(u / 12_000)),)))


def move(adjuster: Adjuster, thou_per_ft: float, **more: object) -> Correction:
    return correct(
        adjuster,
        measured(thou_per_ft),
        HALF_THOU_PER_FT,
        "out",
        **more,  # type: ignore[arg-type]
    )


def test_a_fence_two_thou_per_foot_out_over_an_arm_of_18_inches() -> None:
    """Derived: 2 thou/ft over 18 in is 3.0 thou; by 20 threads an inch .0600 turn, 21.6 degrees."""
    found = move(Screw(INCH / 20, 18 * INCH, "toward"), 2.0)
    assert found.move == pytest.approx(3.0 * THOU)
    assert found.turns == pytest.approx(0.0600)
    assert found.turns * 360 == pytest.approx(21.6)


def test_a_bed_six_thou_out_over_a_foot_with_bolts_ten_inches_apart() -> None:
    """Derived: .006 in over 12 in is .005 in over 10; by 5/16-24 .120 turn, 43.2 degrees."""
    found = move(Screw(parse_pitch("5/16-24").mm, 10 * INCH, "away"), 6.0)
    assert found.move == pytest.approx(0.005 * INCH)
    assert found.turns == pytest.approx(0.120)
    assert found.turns * 360 == pytest.approx(43.2)


@pytest.mark.parametrize(
    ("thread", "degrees_per_thou"),
    [
        ("#8-32", 11.520),
        ("#10-24", 8.640),
        ("#10-32", 11.520),
        ("1/4-20", 7.200),
        ("1/4-28", 10.080),
        ("5/16-18", 6.480),
        ("5/16-24", 8.640),
        ("3/8-16", 5.760),
        ("3/8-24", 8.640),
        ("7/16-14", 5.040),
        ("1/2-13", 4.680),
        ("5/8-11", 3.960),
        ("3/4-10", 3.600),
        ("M5", 11.430),
        ("M6", 9.144),
        ("M8", 7.315),
    ],
)
def test_degrees_of_turn_for_a_thou_by_the_thread(thread: str, degrees_per_thou: float) -> None:
    """Pitches by the Mechanical Engineer's Data Handbook, 8.2.7, and ISO 261; the rest divides."""
    screw = Screw(parse_pitch(thread).mm, 12 * INCH, "toward")
    found = move(screw, 100.0)  # 100 thou at the screw
    assert found.turns * 360 / 100 == pytest.approx(degrees_per_thou, abs=5e-4)


@pytest.mark.parametrize("clockwise", ["toward", "away"])
@pytest.mark.parametrize("error", [2.0, -2.0])
def test_the_sense_of_turn_follows_from_side_and_screw(clockwise: str, error: float) -> None:
    """Light at the top: the top must come toward the square; the slack is taken up clockwise."""
    screw = Screw(INCH / 20, 18 * INCH, clockwise, backlash_turns=0.25)  # type: ignore[arg-type]
    found = move(screw, error)
    assert found.top_goes == ("toward" if error > 0 else "away")
    assert found.clockwise == (found.top_goes == clockwise)
    assert found.overrun == (0.0 if found.clockwise else 0.25)


def test_what_is_true_may_be_set_nearer_to_the_middle() -> None:
    """2 thou/ft over 100 mm are 0.0167 mm, by 1 mm a turn 6 degrees: true, so it need not be."""
    screw = Screw(1.0, 100, "toward")
    may = correct(screw, measured(2.0), HALF_THOU_PER_FT, "true")
    assert (may.leave, may.optional) == ("", True)
    assert may.turns == pytest.approx(2 / 12_000 * 100)
    assert not correct(screw, measured(2.0), HALF_THOU_PER_FT, "out").optional


@pytest.mark.parametrize(
    ("adjuster", "thou_per_ft", "u", "because"),
    [
        (Screw(1.0, 100, "toward"), 2.0, 1.1, "as can be measured"),
        (Screw(1.0, 90, "toward"), 2.0, 0.1, "1/60"),
        (Slot(2 * INCH), 2.9, 0.1, "less than you can tap"),
        (Shim(10 * INCH, "rear", "front"), 1.0, 0.1, "overdo"),
    ],
)
def test_what_is_true_is_left_where_nothing_is_gained(
    adjuster: Adjuster, thou_per_ft: float, u: float, because: str
) -> None:
    """Not told from the middle, or finer than a hand, a tap or the thinnest shim (2 thou) sets."""
    left = correct(adjuster, measured(thou_per_ft, u), HALF_THOU_PER_FT, "true", shims=(2 * THOU,))
    assert because in left.leave
    assert not left.optional
    assert left.overrun == 0  # there is no slack to take up


def test_an_error_within_its_uncertainty_is_left_alone() -> None:
    """One cannot set finer than one can see; insisting gives the move all the same."""
    screw = Screw(INCH / 20, 18 * INCH, "toward")
    unsure = measured(2.0, u=1.5)
    left = correct(screw, unsure, HALF_THOU_PER_FT, "near")
    assert "measure it finer" in left.leave
    insisted = correct(screw, unsure, HALF_THOU_PER_FT, "near", insist=True)
    assert insisted.turns == pytest.approx(0.06)


def test_no_hand_sets_a_screw_finer_than_a_sixtieth_turn() -> None:
    """Common practice, no source; even insisting does not help."""
    screw = Screw(INCH / 20, 18 * INCH, "toward")
    below, above = 2.0 * (SMALLEST_TURN - 1e-6) / 0.06, 2.0 * (SMALLEST_TURN + 1e-6) / 0.06
    assert "1/60" in move(screw, below, insist=True).leave
    assert move(screw, above).turns == pytest.approx(SMALLEST_TURN, abs=2e-6)


def test_a_one_sided_tolerance_is_aimed_at_its_middle() -> None:
    """0 to 4 thou/ft: an error of -1 is brought to +2, by 3 thou over a foot."""
    band = Tolerance(0.0, math.atan(4 / 12_000), "0 to 4 thou/ft")
    found = correct(Slot(12 * INCH), measured(-1.0), band, "out")
    assert found.move == pytest.approx(3 * THOU, rel=1e-6)
    assert found.top_goes == "away"


def test_a_slot_is_tapped_by_the_slope_over_its_arm() -> None:
    """6 thou/ft over 24 in is 12 thou at the far end."""
    found = move(Slot(24 * INCH), 6.0)
    assert found.move == pytest.approx(12 * THOU)
    assert found.top_goes == "toward"


@pytest.mark.parametrize(("error", "seat"), [(6.0, "rear"), (-6.0, "front")])
def test_a_shim_goes_under_the_seat_that_tips_it_back(error: float, seat: str) -> None:
    """6 thou/ft over 10 in between the seats is 5 thou of shim."""
    found = move(Shim(10 * INCH, "rear", "front"), error, shims=(1 * THOU, 2 * THOU, 5 * THOU))
    assert found.seat == seat
    assert found.shims == (5 * THOU,)
    assert found.move == pytest.approx(5 * THOU)


def test_without_shim_stock_the_thickness_is_given_alone() -> None:
    """The person may have paper."""
    found = move(Shim(10 * INCH, "rear", "front"), 6.0)
    assert found.shims == ()
    assert found.leave == ""


def test_a_shim_that_would_overdo_it_is_not_put_in() -> None:
    """With only 15 thou at hand, 5 thou wanted: nothing is nearer than 15."""
    found = move(Shim(10 * INCH, "rear", "front"), 6.0, shims=(15 * THOU,))
    assert "overdo" in found.leave


@given(
    st.floats(0.001, 0.8),
    st.lists(st.sampled_from([THOU * n for n in (1, 2, 3, 5, 10, 15)]), unique=True),
)
def test_the_nearest_stack_of_shims_is_never_worse_than_none(
    wanted: float, at_hand: list[float]
) -> None:
    """At most three, each once, and nearer than nothing at all, or none is given."""
    stack = nearest_stack(wanted, at_hand)
    assert len(stack) <= 3
    assert len(set(stack)) == len(stack)
    assert set(stack) <= set(at_hand)
    assert abs(sum(stack) - wanted) <= wanted + 1e-12
    assert all(abs(one - wanted) >= abs(sum(stack) - wanted) - 1e-9 for one in at_hand)


def test_fewest_shims_on_a_tie() -> None:
    """5 thou rather than 3 + 2."""
    assert nearest_stack(5 * THOU, [2 * THOU, 3 * THOU, 5 * THOU]) == (5 * THOU,)


@given(
    st.floats(-0.01, 0.01),
    st.floats(0.1, 4).flatmap(lambda turns: st.sampled_from([turns, -turns])),
    st.sampled_from(["toward", "away"]),
    st.floats(0.3, 3),
)
def test_what_a_screw_did_is_read_back_from_the_errors(
    before: float, turned: float, clockwise: str, real: float
) -> None:
    """A screw that truly advances `real` mm a turn: the errors round it tell just that."""
    screw = Screw(1.0, 300, clockwise)  # type: ignore[arg-type]
    away = turned * real * (1 if clockwise == "away" else -1)
    after = math.atan(math.tan(before) + away / 300)
    assert advance_per_turn(screw, before, after, turned) == pytest.approx(real, rel=1e-6)
    assert advance_per_turn(screw, before, after, -turned) == pytest.approx(-real, rel=1e-6)


@given(
    st.floats(-2, 2),
    st.floats(0.1, 4).flatmap(lambda turns: st.sampled_from([turns, -turns])),
    st.sampled_from(["toward", "away"]),
    st.floats(0.3, 3),
)
def test_a_screw_that_bears_on_a_length_has_no_lever(
    before: float, turned: float, clockwise: str, real: float
) -> None:
    """The same, where the error is a length at the screw: the arm is left out and drops out."""
    after = before + turned * real * (1 if clockwise == "away" else -1)
    for arm in (0.0, 300.0):
        screw = Screw(1.0, arm, clockwise)  # type: ignore[arg-type]
        told = advance_per_turn(screw, before, after, turned, direct=True)
        assert told == pytest.approx(real, rel=1e-6)


@given(st.floats(-40, 40), st.sampled_from(["toward", "away"]), st.floats(0.5, 2.0))
def test_turning_as_advised_brings_the_error_to_the_middle(
    error: float, clockwise: str, per_turn: float
) -> None:
    """Derived: move the screw by what was advised, and what is left is nothing."""
    screw = Screw(1.0, 250, clockwise)  # type: ignore[arg-type]
    found = move(screw, error, mm_per_turn=per_turn, insist=True)
    assume(not found.leave)
    turned = found.turns if found.clockwise else -found.turns
    top_away = turned * per_turn * (1 if clockwise == "away" else -1)
    assert error / 12_000 + top_away / 250 == pytest.approx(0.0, abs=1e-9)
