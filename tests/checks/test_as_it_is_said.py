"""What the work asks, what is read once more, what stands beside a result: as it is said.

What a person must be told is common practice, no source; each number is worked beside it.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any

import pytest

from shopboard.checks import registry
from shopboard.checks.additions import addition_lines
from shopboard.checks.advice import is_open, need_lines
from shopboard.checks.asked import Reading, Taken
from shopboard.checks.inputs import input_of
from shopboard.checks.lasting import set_or_not
from shopboard.checks.learning import what_the_screw_did
from shopboard.checks.mean_of_sets import MOST_SETS
from shopboard.checks.need import Need, need_kept, need_read, set_to
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import with_own_hand
from shopboard.checks.repeats import SetsRead
from shopboard.checks.report import outcome_lines
from shopboard.checks.steps import Choice
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.own_hand import LEAF, OwnHand
from shopboard.metrology.sources import REPEATS
from shopboard.metrology.spread import Spread
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import make_job, step_at
from tests.checks.machines import measured, walked
from tests.checks.readings import Case, job_of, right
from tests.checks.test_lasting import job as wandering
from tests.checks.test_lasting import wanders

# ---------------------------------------------------------------- what the work asks


def test_what_the_work_asks_is_open_until_it_is_surely_passed() -> None:
    """0.5 is wanted: 0.65 give or take 0.2 may do yet, 0.75 does not."""
    for error, opened in ((0.65, True), (0.75, False), (-0.65, True), (-0.75, False)):
        found = Estimate(error, Budget((Source("a", "a", 0.1),)))
        outcome = Outcome("x", found, Tolerance(-1, 1, "1", "length"), kind="length")
        job = make_job(tolerance=outcome.tolerance, need=Need(0.5, 0.95, "Staves"))
        assert is_open(job, outcome) is opened, error
        assert not is_open(job._replace(need=None), outcome)


def test_what_the_work_asks_is_met_as_far_as_it_is_known() -> None:
    """Known exactly it is told by its size alone; at the size itself it still does."""
    need = Need(0.5, 0.95, "Staves")
    assert need.is_met(Spread(0.5, (), 0.0))
    assert not need.is_met(Spread(0.51, (), 0.0))
    assert need.is_met(Spread(0.3, (), 0.1))  # 97.7 % of a normal distribution
    assert not need.is_met(Spread(0.4, (), 0.1))  # 84.1 %
    assert not need.is_met(Spread(-0.4, (), 0.1))


def test_the_band_is_narrowed_about_what_is_set_to() -> None:
    band = Tolerance(-1.0, 0.8, "x")
    for aim, low, high in ((0.2, -0.4, 0.8), (-0.5, -1.0, 0.0), (0.9, -1.0, 0.8)):
        found = set_to(Need(0.5, 0.95, "Staves", aim=aim), band)
        assert (found.low, found.high) == pytest.approx((low, high))
    assert set_to(None, band) is band


def test_what_work_and_shop_file_both_allow() -> None:
    """Each end by the narrower of the two; where they share nothing, what the work asks."""
    need = Need(0.5, 0.95, "Staves")
    for low, high, found in (
        (-0.3, 1.0, (-0.3, 0.5)),
        (-1.0, 0.3, (-0.5, 0.3)),
        (-1.0, 1.0, (-0.5, 0.5)),
        (-0.2, 0.2, (-0.2, 0.2)),
        (0.6, 1.0, (-0.5, 0.5)),
        (0.5, 1.0, (-0.5, 0.5)),
    ):
        band = need.band(Tolerance(low, high, "x", "length"), "mm")
        assert (band.low, band.high) == found
        assert band.typed == ("x" if (low, high) == found else "0.50 mm, for Staves")


def test_a_need_is_read_within_what_it_can_be() -> None:
    by_others = Need(0.001, 0.95, "Staves", by_others=True)
    assert need_read(need_kept(by_others, "angle"), "angle") == by_others
    assert by_others.words("angle", "mm").endswith(" mm/m, as the others stand")
    kept = need_kept(Need(0.001, 0.95, "Staves", "lamp.staves", "twice", 0.0002), "angle")
    assert need_read(kept, "angle") == Need(0.001, 0.95, "Staves", "lamp.staves", "twice", 0.0002)
    for name, fits, wrong in (("size", 1, 0), ("level_ppm", 1, 0), ("level_ppm", 999_999, 10**6)):
        assert need_read({**kept, name: fits}, "angle") is not None
        assert need_read({**kept, name: wrong}, "angle") is None
        assert need_read({**kept, name: "1"}, "angle") is None
    assert need_read(kept, "length") is None
    assert need_read([], "angle") is None
    without = need_read({name: one for name, one in kept.items() if name != "aim"}, "angle")
    assert without is not None
    assert without.aim == 0.0


# ---------------------------------------------------------------- read once more


def test_a_hand_that_is_known_takes_the_place_of_what_is_usual() -> None:
    """Twice as rough: twice u; a hand of which too little is known changes nothing."""
    feel, other = Source("feel", "feel", 0.1, 8.0, even=True, hand=LEAF), Source("a", "a", 0.3)
    known = OwnHand(LEAF, 2.0, 20.0, 30)
    one, same = with_own_hand(Budget((feel, other)), [known]).sources
    assert (one.u, one.dof, one.even, one.own) == (0.2, 20.0, False, known)
    assert same == other
    again = with_own_hand(Budget((one,)), [known._replace(ratio=3.0)]).sources[0]
    assert again == one
    few = with_own_hand(Budget((feel,)), [known._replace(dof=5.0)]).sources[0]
    assert few == feel


def more_of(*sources: Source, error: float = 0.9) -> Choice:
    """What is asked after one set of readings of a time that came to such a budget."""
    job = make_job(tolerance=Tolerance(-1.0, 1.0, "1 s", "time"))
    read: SetsRead[Taken] = SetsRead(registry.method("timed"), job, {}, "")  # type: ignore[arg-type]
    read.sets = [Taken({}, {})]
    limits = Estimate(error, Budget(sources))
    return read.ask_more("repeat1", Outcome("timed", limits, job.tolerance, kind="time"))


def test_how_much_of_what_is_not_known_reading_again_would_tell() -> None:
    """Half of the variance is most of it; less may still be more than anything else."""
    scatter = Source(REPEATS, "how well", 0.25)
    most = more_of(scatter)
    assert most.lines[0] == "Read through so far: once."
    assert most.lines[1].startswith("It would help: how well it repeats is most of the")
    assert most.default == "yes"
    lasting = [Source("modulus", str(at), 0.15, lasting=True) for at in range(2)]
    some = more_of(scatter, *lasting, error=0.6)  # 0.0625 of 0.1075
    assert "is most of the uncertainty" in some.lines[1]
    two = Source("lever", "a", 0.2), Source("calliper", "b", 0.2)
    assert "is the largest part of it" in more_of(scatter, *two, error=0.6).lines[1]
    vain = more_of(scatter, *two)
    assert vain.lines[1].startswith("It would help little: once more alone")
    assert vain.default == "no"
    larger = more_of(scatter, Source("lever", "a", 0.3), error=0.5)
    assert larger.lines[1].startswith("It would help: once more has a")
    proven = more_of(scatter._replace(u=0.01), error=0.0)
    assert proven.lines[1] == "It is not needed."
    assert proven.default == "no"


def test_what_was_worked_out_lately_is_that_of_the_same_readings() -> None:
    method, job = measured("runout"), job_of(Case("runout", {}, ""))
    asked = {one.key: one for one in method.asked(job) if isinstance(one, Reading)}

    def taken(high: float) -> Taken:
        read = {"low": 0.0, "high": high}
        return Taken({key: input_of(job, asked[key], mm, {}) for key, mm in read.items()}, {})

    for high in (0.02, 0.03, 0.02):
        found = method.outcome_of(job, [taken(high)])
        assert found.estimate.error == pytest.approx(high)
        assert found is method.outcome_of(job, [taken(high)])
    mean = method.outcome_of(job, [taken(0.02), taken(0.03)])
    assert mean.estimate.error == pytest.approx(0.025)
    assert mean.adds["offset_of_axis"]["mm"] == pytest.approx(0.0125)  # type: ignore[index]
    assert MOST_SETS == 9  # a figure for each, on a number pad


# ---------------------------------------------------------------- what stands beside it


def test_numbers_are_written_without_an_exponent() -> None:
    for value, text in (
        (0.0, "0"), (1e-4, "0.0001"), (0.00005, "0.00005"), (1e6, "1000000"), (1.5, "1.5"),
        (999999.4, "999999"), (12345678.9, "12345679"), (-2e6, "-2000000"),
    ):  # fmt: skip
        assert addition_lines({"turns": value})[0].split()[1] == text


def test_names_of_a_method_are_said_in_words_and_what_was_typed_as_it_was() -> None:
    assert addition_lines({"open_at": "toe_end"})[0].split(None, 2)[2] == "toe end"
    assert addition_lines({"text": "belt_worn"})[0].split(None, 1)[1] == "belt_worn"
    assert addition_lines({"said": "belt_worn, a bit"})[0].split(None, 1)[1] == "belt_worn, a bit"
    (line,) = addition_lines({"gap": {"mm": 1.2345}}, None, {"mm": 0.1})
    assert line.endswith(" 1.23 mm")


def test_a_point_that_wanders_toward_the_middle_had_better_stand() -> None:
    """Six thou a foot in ninety days: from plus it goes back by itself only where it goes down."""
    for each, error, toward in ((0.6, -5, True), (0.6, 5, False), (-0.6, 5, True)):
        known = wanders(each, 90)
        estimate = Estimate(math.atan(error / 12_000), Budget((Source("a", "a", 1e-6),)))
        outcome = Outcome("square", estimate, wandering(known).tolerance)
        said = set_or_not(wandering(known), outcome)
        assert ("toward the middle by itself" in said) == (toward and known.wander.steady), said


FEW = {"two": 4, "three": 6, "four": 8}


@pytest.mark.parametrize("knives", FEW)
def test_as_many_knives_are_asked_for_as_carry(knives: str) -> None:
    case = Case("carry", {}, "", more={"knives": knives})
    done = walked("carry", job_of(case), right(case))
    told = [step.key for step, _ in done.answered if step.key.startswith("knife")]
    ends = itertools.product(range(1, 5), ("front", "back"))
    assert told == [f"knife{number}_{end}" for number, end in ends][: FEW[knives]]


def test_where_no_setting_would_prove_it_that_is_said() -> None:
    """0.5 is wanted: with U of 0.2 a point in the middle is proven, with U of 0.8 none is."""
    for u, vain in ((0.1, False), (0.4, True)):
        found = Estimate(0.8, Budget((Source("a", "a", u),)))
        outcome = Outcome("x", found, Tolerance(-9, 9, "9", "length"), kind="length")
        job = make_job(tolerance=outcome.tolerance, need=Need(0.5, 0.95, "Staves"), unit="mm")
        said = need_lines(job, outcome)
        assert ("no setting would prove that" in " ".join(said[1:])) is vain
        assert said[0].startswith("True, but not")
    good = replace(outcome, estimate=Estimate(0.0, Budget((Source("a", "a", 0.1),))))
    assert need_lines(job, good) == ("Good for Staves: 0.50 mm.",)
    assert need_lines(job._replace(need=None), outcome) == ()


@pytest.mark.parametrize("clockwise", ["toward", "away"])
@pytest.mark.parametrize("error", [1.0, -1.0])
def test_what_a_turn_did_is_told_by_its_sense(clockwise: Any, error: float) -> None:
    """Half a turn the right way takes 0.6 mm off: 1.2 mm a turn, of a thread of 1.27 mm."""
    screw = Screw(1.27, 100.0, clockwise)
    job = make_job(tolerance=Tolerance(-0.1, 0.1, "0.1 mm", "length"), adjuster=screw)
    u = Budget((Source("repeats", "how well", 0.01),))
    before, after, worse = (
        Outcome("x", Estimate(one, u), job.tolerance, kind="length", aims=("Less.", "More."))
        for one in (error, error * 0.4, error * 1.6)
    )
    did = what_the_screw_did(job, before, after, "1/2")
    assert abs(did["turns"]) == 0.5  # type: ignore[arg-type]
    assert did["nm_per_turn"] == 1_200_000
    assert what_the_screw_did(job, before, worse, "1/2")["wrong_way"] is True
    assert set(what_the_screw_did(job, before, after, "0")) == {"turns"}
    assert set(what_the_screw_did(job, before, before, "1/2")) == {"turns"}
    assert what_the_screw_did(job._replace(adjuster=None), before, after, "1") == {}
    far = what_the_screw_did(job, before, after, "1/16")  # nearly 10 mm a turn is no thread
    assert set(far) == {"turns"}


def test_an_angle_is_written_in_minutes_only_where_no_shop_has_a_unit() -> None:
    found = Estimate(math.radians(0.5), Budget((Source("a", "a", 1e-4),)))
    limits = Tolerance(-0.01, 0.01, "10 mm/m")
    angle = Outcome("square", found, limits)
    assert "0°30′" in outcome_lines(angle)[0].replace(" ", "")
    assert "30′" not in outcome_lines(angle, "mm")[0].replace(" ", "")
    assert outcome_lines(angle, "mm")[2].count(" to ") == 1
    assert outcome_lines(angle)[2].count(" to ") > 1
    length = replace(angle, kind="length", tolerance=Tolerance(-1, 1, "1", "length"))
    assert "′" not in outcome_lines(length)[0]
    exact = replace(length, estimate=Estimate(0.5, Budget(())))
    assert outcome_lines(exact)[1].endswith("none: what was given is exact")
    assert "exact" not in outcome_lines(length)[1]


def test_a_leaf_is_told_with_what_is_known_so_far() -> None:
    tools = {"tools": "square-6 with leaves", "place": "done", "light": "top"}
    first = step_at(make_job(), tools)
    assert (first.known, first.count.partition(",")[0]) == ("", "leaf 1")
    first_leaf = first.big.partition(" at ")[0]
    went = step_at(make_job(), {**tools, "leaf1": "goes"})
    assert went.known == f"So far: {first_leaf} goes"
    not_so = step_at(make_job(), {**tools, "leaf1": "refused"})
    assert not_so.known == f"So far: {first_leaf} won't go"
    both = step_at(make_job(), {**tools, "leaf1": "goes", "leaf2": "refused"})
    second_leaf = went.big.partition(" at ")[0]
    assert both.known == f"So far: {first_leaf} goes, {second_leaf} won't go"
    assert both.count.partition(",")[0] == "leaf 3"


def test_two_readings_of_a_gap_are_their_mean() -> None:
    job = job_of(Case("leaf-gap", {}, ""))._replace(tolerance=Tolerance(0.05, 0.2, "x", "length"))
    given = {"goes": "0.10 mm", "refused": "0.12 mm"}
    given |= {"again2.goes": "0.12 mm", "again2.refused": "0.14 mm"}
    outcome = walked("leaf-gap", job._replace(unit="mm"), given).findings[0].outcome
    assert outcome.estimate.error == pytest.approx(0.12)
    assert outcome.readings["repeats"]["errors"] == [110_000, 130_000]  # type: ignore[index]
    assert outcome.working[-1].startswith("mean of 2: ")
    assert outcome.readings["gap_nm"] == [110_000, 130_000]


def test_what_runs_out_too_far_is_looked_at_before_bearings_are_blamed() -> None:
    """Of 0.2 mm one reading can be off by half."""
    job = job_of(Case("runout", {}, ""))._replace(unit="mm")
    for high, out in (("0.2 mm", True), ("0.01 mm", False)):
        given = {"care": "understood", "low": "0", "high": high}
        note = walked("runout", job, given).findings[0].outcome.note
        assert ("only then suspect the bearings" in note) is out
    assert "off by 0.005 mm through it" in note
    level = walked("runout", job, {**given, "high": "0"}).findings[0].outcome
    assert level.note == ""
