"""What holds where it is left out: nothing is moved, nothing is known, nothing is added."""

from __future__ import annotations

import math

import pytest

from shopboard.metrology.adjuster import Correction, Screw, Slot, advance_per_turn, correct
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import KINDS, value_words
from shopboard.metrology.own_hand import OwnHand
from shopboard.metrology.spread import IN_WORK, Spread, in_work
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.metrology.units import UNITS, in_unit


def test_a_correction_moves_nothing_that_is_not_told() -> None:
    none = Correction()
    assert (none.leave, none.optional, none.move, none.turns, none.overrun) == ("", False, 0, 0, 0)
    assert (none.top_goes, none.clockwise, none.shims, none.seat) == ("toward", True, (), "")


def test_a_screw_is_overrun_by_a_quarter_of_a_turn() -> None:
    """Common practice, no source; with its sense told, and nothing else."""
    screw = Screw(1.0, 100.0, "toward")
    assert (screw.backlash_turns, screw.name, screw.toward, screw.away) == (
        0.25,
        "the screw",
        "",
        "",
    )
    assert (screw.side, Slot(100.0).side, Slot(100.0).name) == ("", "", "the far end")
    off = Estimate(-0.01, Budget((Source("a", "a", 1e-4),)))
    found = correct(screw, off, Tolerance(-0.001, 0.001, "x"), "out")
    assert (found.clockwise, found.overrun) == (False, 0.25)
    assert found.turns == pytest.approx(100 * math.tan(0.01))


def test_a_screw_turns_the_face_unless_it_bears_on_the_length_itself() -> None:
    """1 mrad over 100 mm is 0.1 mm."""
    screw = Screw(1.0, 100.0, "away")
    assert advance_per_turn(screw, 0.0, 0.001, 1.0) == pytest.approx(0.1)
    assert advance_per_turn(screw, 0.0, 0.001, 1.0, direct=True) == pytest.approx(0.001)
    off = Estimate(0.01, Budget((Source("a", "a", 1e-4),)))
    limits = Tolerance(-0.001, 0.001, "x")
    assert correct(screw, off, limits, "out").move == pytest.approx(100 * math.tan(0.01))
    assert correct(screw, off, limits, "out", direct=True).move == pytest.approx(0.01)


def test_what_is_known_of_a_value_is_exact_where_nothing_is_told() -> None:
    plain = Spread(0.5)
    assert (plain.even, plain.sigma, plain.size, plain.u) == ((), 0.0, False, 0.0)
    source = Source("a", "a", 0.1)
    assert math.isinf(source.dof)
    assert (source.even, source.lasting, source.hand, source.own) == (False, False, "", None)
    assert not Estimate(0.1, Budget(())).size
    assert not OwnHand("leaf", 1.0, 5.0, 10).worse


def test_what_shows_in_the_work_is_as_well_known_as_what_is_judged() -> None:
    """50,000 nm are 0.05 mm; where it was not measured, the one that is judged."""
    judged = Spread(0.2, (0.01,), 0.005)
    assert in_work(judged, {IN_WORK: 50_000}) == judged._replace(centre=0.05)
    assert in_work(judged, {IN_WORK: None}) == in_work(judged, {}) == judged


@pytest.mark.parametrize("name", UNITS)
def test_a_size_is_written_with_its_unit_and_no_sign_of_its_own(name: str) -> None:
    words = in_unit(0.0, name)
    assert words.endswith(f" {UNITS[name].sign}")
    assert float(words.split()[0]) == 0.0
    assert in_unit(0.0, name, "+").startswith("+")


def test_half_a_no_is_a_no() -> None:
    assert [value_words(one, "yes or no", "mm", 0.0) for one in (0.49, 0.5)] == ["yes", "no"]
    assert KINDS["yes or no"].said == ("yes", "no")
