"""What holds where it is left out: nothing is moved, nothing is known, nothing is added."""

from __future__ import annotations

import math
from dataclasses import MISSING, fields
from typing import Any

import pytest

from shopboard.metrology.adjuster import Correction, Screw, Slot, advance_per_turn, correct
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.drift import Change, DriftStep, Wander
from shopboard.metrology.instruments import FeelerSet, Square
from shopboard.metrology.kind import KINDS, value_words
from shopboard.metrology.kind_rows import KindRow
from shopboard.metrology.own_hand import OwnHand
from shopboard.metrology.sources import Remedy
from shopboard.metrology.spread import IN_WORK, Spread, in_work
from shopboard.metrology.square import SetUp
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.metrology.units import UNITS, UnitRow, in_unit
from shopboard.metrology.wander import TimeSpan


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
    assert in_unit(1e5, name, "+").startswith("+")
    assert not in_unit(0.0, name, "+").startswith("+")


def test_half_a_no_is_a_no() -> None:
    assert [value_words(one, "yes or no", "mm", 0.0) for one in (0.49, 0.5)] == ["yes", "no"]
    assert KINDS["yes or no"].said == ("yes", "no")


LEFT_OUT: dict[Any, dict[str, object]] = {
    Square: {"known_error": 0.0, "known_u": 0.0, "source": "", "was": ()},
    FeelerSet: {"leaf_tolerance": 0.003, "most_leaves": 2, "unit": "inch"},
    SetUp: {"square_limit": 0.0, "square_known": 0.0, "square_u": 0.0, "leaves": 1},
    Change: {"sudden": "", "shared": 0.0, "beside": ""},
    DriftStep: {"beside": ""},
    Wander: {"one_way": False},
    TimeSpan: {"shared": 0.0},
    Remedy: {"words": "", "before": None, "longer": "", "by_going_back": False},
    KindRow: {"si": ("", 1.0), "departs": False, "signed": False, "from_nought": False},
    UnitRow: {"digits": 0, "large": math.inf, "limit": 0, "exact": 1, "beside": 0, "span": 1.0},
    Tolerance: {"typed": "", "kind": "angle"},
}
"""A leaf is as thick as it says within 3 um (common practice, no source)."""


@pytest.mark.parametrize("made", LEFT_OUT, ids=lambda one: one.__name__)
def test_what_is_not_said_is_as_it_usually_is(made: Any) -> None:
    found = getattr(made, "_field_defaults", None) or {
        one.name: one.default for one in fields(made) if one.default is not MISSING
    }
    assert {name: found[name] for name in LEFT_OUT[made]} == LEFT_OUT[made]
