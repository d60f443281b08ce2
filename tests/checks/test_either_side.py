"""Either side of each choice: what is said and done where it is so, and where it is not.

What a person must be told, and all limits, are common practice, no source; numbers are worked
beside them.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from shopboard.checks import registry
from shopboard.checks.advice import correction_of
from shopboard.checks.asked import Reading, Taken
from shopboard.checks.asking import ask_readings
from shopboard.checks.correction_steps import adjust
from shopboard.checks.explained import explained
from shopboard.checks.further import _test_board
from shopboard.checks.inputs import open_at
from shopboard.checks.job import NotPossibleError
from shopboard.checks.knives import moves
from shopboard.checks.methods.straightness import profile
from shopboard.checks.outcome import Outcome
from shopboard.checks.possible import need_the_tools
from shopboard.checks.ranking import rank
from shopboard.checks.reading import Read
from shopboard.checks.remedies import TURN_OVER, best_remedy
from shopboard.checks.square_finding import as_set
from shopboard.checks.steps import Number, Step
from shopboard.checks.tools import Tools
from shopboard.checks.turning import ask_turned
from shopboard.checks.walk import walk
from shopboard.checks.working import budget_working
from shopboard.metrology.adjuster import Correction, Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.propagate import Input
from shopboard.metrology.sources import SQUARE
from shopboard.metrology.square import SquareReading
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import FEELERS, LEAVES, SCREW, SQUARE_6, make_job
from tests.checks.cuts import cut_job
from tests.checks.machines import fed, measured, walked
from tests.checks.readings import STATIONS, TOOLS, Case, job_of, right

# ---------------------------------------------------------------- what is taken for granted


@pytest.mark.parametrize(("given", "note"), [
    ({}, "the square is taken as exact"),
    ({"square_error": "0.01 deg"}, ""),
    ({"turned_goes": "3 thou", "turned_refused": "4 thou"}, ""),
])  # fmt: skip
def test_a_square_of_which_nothing_is_known_is_taken_as_exact(
    given: dict[str, str], note: str
) -> None:
    """Turned over, its own error drops out: then nothing is taken for granted."""
    read = {"goes": "3 thou", "refused": "4 thou", "lever": "6 in", "light": "top"}
    assert registry.method("square").reckon({**read, **given}).note == note


def test_mitres_told_as_an_angle_are_taken_as_exact() -> None:
    """The stock may be as narrow as a lath then: no gap is read across it."""
    frame = measured("frame")
    assert frame.refuse({"width": 3.0, "angle_error": 0.001}, {}) is None
    told = frame.reckon({"width": "60 mm", "angle_error": "0.1 deg"})
    assert told.note == "the error of the mitres is taken as exact"
    assert told.estimate.budget.u == 0.0
    assert frame.reckon({"width": "60 mm", "gap": "0.5 mm"}).note == ""


@pytest.mark.parametrize(
    "given", [(), ("other_width",), ("other_length",), ("other_width", "other_length")]
)
def test_sides_that_are_not_told_are_taken_as_equal(given: tuple[str, ...]) -> None:
    panel = {"d1": "1081.67 mm", "d2": "1081.67 mm", "width": "600 mm", "length": "900 mm"}
    sides = {"other_width": "600 mm", "other_length": "900 mm"}
    found = measured("diagonals").reckon({**panel, **{name: sides[name] for name in given}})
    assert found.note.startswith("opposite sides are taken as equal") == (len(given) < 2)


def test_angles_that_are_known_within_nothing_add_no_line_to_the_budget() -> None:
    three = measured("three-squares")
    assert three.more({"ab": 0.001, "ac": 0.0, "bc": 0.0}, {}) == ()
    assert len(three.more({"ab": 0.001, "ac": 0.0, "bc": 0.0, "within": 0.001}, {})) == 3


def test_a_look_that_is_worked_out_alone_says_what_is_wrong_only_where_something_is() -> None:
    look = registry.method("go-no-go")
    assert look.reckon({"answer": "yes"}).lean == ""
    assert look.reckon({"answer": "no"}).lean == "it is not as it should be"


# ---------------------------------------------------------------- what was asked before


@pytest.mark.parametrize("name", registry.names())
def test_the_plug_is_named_once(name: str) -> None:
    """By a question of its own where a cutter is near; else by the cautions, if they name it."""
    tolerance = Tolerance(-0.5, 0.5, "x", registry.method(name).kind)
    for near in (True, False):
        job = make_job(drawer=TOOLS, tolerance=tolerance, cutter_near=near)
        step = walk(registry.method(name), job, {}).step
        assert step is not None
        if step.key == "unplugged":
            assert near
            step = walk(registry.method(name), job, {"unplugged": "plug out"}).step
            assert step is not None
            if name == "seating":
                assert not step.lines[0].startswith("Unplugged")
        elif name == "seating":
            assert step.lines[0].startswith("Unplugged. ")


# ---------------------------------------------------------------- what can be set


OFF = Outcome(
    "x", Estimate(2.0, Budget((Source("a", "a", 0.1),))), Tolerance(-1, 1, "1", "length"),
    kind="length", aims=("Less.", "More."),
)  # fmt: skip


@pytest.mark.parametrize("lacks", ["nothing", "screw", "tolerance", "what a screw moves"])
def test_each_alone_leaves_nothing_to_adjust(lacks: str) -> None:
    """No screw, no tolerance, or a time, that no screw sets."""
    job = make_job(adjuster=None if lacks == "screw" else SCREW, tolerance=OFF.tolerance)
    outcome = replace(OFF, tolerance=None) if lacks == "tolerance" else OFF
    if lacks == "what a screw moves":
        outcome = replace(OFF, kind="time", tolerance=parse_limits("0 to 1 s"))
    if lacks == "nothing":
        assert correction_of(job, outcome).turns != 0
        return
    with pytest.raises(NotPossibleError, match="this point has nothing to adjust"):
        correction_of(job, outcome)


def test_a_knife_end_that_is_just_worth_it_is_moved() -> None:
    """Half of the half width of 1/8 mm, in binary fractions."""
    job = make_job(tolerance=Tolerance(-0.125, 0.125, "1/8 mm", "length"), unit="mm")
    assert len(moves(job, {"knife1_front": 0.0625})) == 1
    assert moves(job, {"knife1_front": 0.0624}) == ()


# ---------------------------------------------------------------- right at a limit


def test_what_the_tools_just_prove_they_prove() -> None:
    """The level that is asked for is just what the square can show."""
    limits = Tolerance(-math.radians(0.02), math.radians(0.02), "0.02 deg")
    (told,) = rank(make_job(tolerance=limits), ("square",))
    assert 0.5 < told.probability < 1
    (same,) = rank(make_job(tolerance=limits, level=told.probability), ("square",))
    assert same.probability == told.probability
    assert same.proves
    assert not same.help
    (more,) = rank(make_job(tolerance=limits, level=(1 + told.probability) / 2), ("square",))
    assert not more.proves
    assert more.help


def test_a_gap_as_wide_as_the_thinnest_leaf_is_open() -> None:
    job = make_job()
    told = {mm: open_at(job, mm, "toe", "heel") for mm in (LEAVES[0], LEAVES[0] - 1e-9, 0.0)}
    assert list(told.values()) == ["toe", "none", "none"]
    assert open_at(job, -LEAVES[0], "toe", "heel") == "heel"


def test_snipe_of_just_a_quarter_of_an_inch_tells_how_far_to_raise_the_table() -> None:
    """0.1 mm over 6 mm is 1.67 mm over 100 mm; of what is shorter no table is told."""
    job = job_of(Case("snipe", {}, ""))._replace(unit="mm")
    values = {"middle": 19.0, "lead": 18.9, "tail": 19.0, "lead_length": 6.0, "tail_length": 0.0}
    assert fed(measured("snipe"), job, values).moves[0] == (
        "Raise the outer end of the infeed table by about 1.67 mm for every 100 mm of that table's"
        " length."
    )
    short = fed(measured("snipe"), job, {**values, "lead_length": 5.9})
    assert short.moves[0] == "Raise the outer end of the infeed table a little."
    level = fed(measured("snipe"), job, {**values, "lead": 19.0})
    assert level.moves[0] == "Lower the outer end of the infeed table a little."


def test_no_turn_is_kept_as_it_was_said() -> None:
    turned = Number(key="x", title="", unit="mm", is_turns=True, may_equal=True)
    assert turned.with_unit("0") == "0"
    assert turned.with_unit("1/2") == "1/2 turn (180°)"


def test_a_quarter_of_a_turn_more_or_less_is_as_advised() -> None:
    """Three times a tenth of a turn is a fifth of a turn more: nobody turns finer by eye."""
    advised, job = Correction(turns=0.1, clockwise=True), make_job(adjuster=SCREW)
    assert ask_turned(job, advised, {"turned_by": "0.3"}, "") is None
    assert ask_turned(job, advised, {"turned_by": "0.4"}, "") is not None


def test_ten_thousand_degrees_of_freedom_are_without_end() -> None:
    """The factor for 95 % differs from that of a normal distribution in no digit shown then."""
    for dof, told in ((9_999.0, "9999"), (12_000.0, "unlimited"), (math.inf, "unlimited")):
        lines = budget_working(Budget((Source("a", "a", 0.1, dof),)), "length", "mm")
        assert f"degrees of freedom {told}, so k = 1.96 for 95 %" in lines


def test_a_square_is_told_to_be_turned_over_only_where_it_can_be() -> None:
    budget = Budget((Source(SQUARE, "square, its own error", 0.1),))
    assert best_remedy(budget)[0] != TURN_OVER
    assert best_remedy(budget, can_turn=True)[0] == TURN_OVER


def test_a_board_is_offered_wider_as_far_as_one_can_be_read() -> None:
    """A line is read up to 10 m: one of 5 m can be had twice as long, one of 5.3 m cannot."""
    asked = measured("drift-angle").asked(cut_job())
    (most,) = (one.at_most for one in asked if isinstance(one, Reading) and one.key == "length")
    for length, offered in ((most / 2, True), (most / 1.9, False)):
        job = job_of(Case("drift-angle", {}, "", sizes={"length": length}))
        assert ("length" in _test_board(job, "drift-angle")) == offered


# ---------------------------------------------------------------- which way, and by which words


def test_what_plus_and_minus_mean_is_told_of_each_use_where_uses_differ() -> None:
    """An edge pair means the same in either use; a flip test says it of each."""
    flip, edges = explained("flip").signs, explained("edge-pair").signs
    uses = measured("flip").uses  # type: ignore[attr-defined]
    for use, plus, minus in zip(uses, flip[::2], flip[1::2], strict=True):
        assert plus == f"plus ({use.name}): {use.plus}"
        assert minus == f"minus ({use.name}): {use.minus}"
    assert [one.partition(": ")[0] for one in edges] == ["plus", "minus"]


def test_how_the_other_straightedges_are_bowed_is_told_with_its_side() -> None:
    """A and B, B and C 0.064 mm hollow, A and C closed: all of it is in B."""
    case = Case("three-straightedges", {}, "", more={"bc_light": "middle"})
    outcome = walked(case.method, job_of(case)._replace(unit="mm"), right(case)).findings[0].outcome
    assert outcome.note == "B +0.064 mm, C 0.000 mm (plus: hollow)."


def test_a_straightedge_sags_or_rises_most_in_its_middle() -> None:
    """A parabola through its ends: three quarters of it half way to either end."""
    face = profile({"bow": 0.4, **dict.fromkeys(STATIONS, 0.0)})
    assert [at for at, _ in face] == [0, 1, 2, 3, 4]
    assert [height for _, height in face] == pytest.approx([0.0, 0.3, 0.4, 0.3, 0.0])


def test_a_time_is_told_from_the_limit_that_it_is_near() -> None:
    """Of 4 to 10 s the middle is 7; nothing takes less than no time, so 0 is no limit."""
    told = {}
    for limits, time in (("4 to 10 s", 5.0), ("4 to 10 s", 7.0), ("4 to 10 s", 3.0),
                         ("4 to 10 s", 10.0), ("0 to 10 s", 2.0)):  # fmt: skip
        job = job_of(Case("timed", {}, ""))._replace(tolerance=parse_limits(limits))
        told[limits, time] = fed(measured("timed"), job, {"time": time}).lean
    assert list(told.values()) == [
        "1.0 s over 4 s", "3.0 s under 10 s", "1.0 s under 4 s", "0.0 s over 10 s",
        "8.0 s under 10 s",
    ]  # fmt: skip


def test_what_a_square_read_is_kept_by_name() -> None:
    """A set of readings as any other's: its gaps are read, and nothing was picked."""
    read = Read(SquareReading("top", 0.1, 0.12), 2, 1)
    other = Read(SquareReading("bottom", 0.1, 0.12), 2, 1)
    tools = Tools(SQUARE_6, FEELERS, 150.0)
    one, both = as_set(tools, read), as_set(tools, read, other)
    assert one.values == pytest.approx({"gap": 0.11})
    assert both.values == pytest.approx({"gap": 0.11, "turned_gap": -0.11})
    assert one.words == both.words == {}


def test_a_face_without_light_is_not_told_as_a_band() -> None:
    straight = measured("straightness")
    assert straight.formula_words({"light": "none"}).startswith("error = 0, give or take")
    assert straight.formula_words({"light": "some"}).startswith("error = minimum zone")


@pytest.mark.parametrize(("heights", "rival"), [
    ((0.1, 0.0, 0.06, 0.05), 0.05),  # too high by 0.05, too low by as much
    ((0.12, 0.03, 0.05, 0.05), 0.02),
    ((0.0, 0.08, 0.05, 0.05), 0.03),
    ((0.1, 0.06, 0.05, 0.05), 0.0),
])  # fmt: skip
def test_the_worst_knife_on_the_other_side(heights: tuple[float, ...], rival: float) -> None:
    """0 to 0.1 mm is wanted: 0.05. Carries of a circle of 80 mm, by the chord."""
    job = job_of(Case("carry", {}, ""))._replace(tolerance=parse_limits("0 to 0.1 mm"))
    ends = [f"knife{number}_{end}" for number in (1, 2) for end in ("front", "back")]
    carries = [2 * math.sqrt(40**2 - (40 - height) ** 2) for height in heights]
    inputs = {key: Input(mm) for key, mm in zip(("circle", *ends), (80.0, *carries), strict=True)}
    taken = Taken(inputs, {"knives": "two", "wanted": "0.05"})
    assert measured("carry").rival(job, taken) == pytest.approx(rival, abs=1e-9)


def test_where_the_thinnest_leaf_is_refused_a_gap_with_light_lies_below_it() -> None:
    """Between nothing and 1 1/2 thou: no less; at a station of a face it touches, give or take."""
    for name, key, middle in (("flip", "gap", 0.01905), ("straightness", "near", 0.0)):
        job = job_of(Case(name, {}, ""))
        (asked,) = (one for one in measured(name).asked(job) if one.key == key)
        assert isinstance(asked, Reading)
        asked = replace(asked, only_if=("", ()), closed_if=("", ""))
        taken = ask_readings(job, [asked], {f"{key}.goes": "0", f"{key}.refused": "1.5 thou"}, "")
        assert isinstance(taken, Taken)
        assert taken.values[key] == pytest.approx(middle)


@pytest.mark.parametrize(("name", "pick", "before", "now", "asked"), [
    ("straightness", "light", "none", "some", "near.goes"),
    ("straightness", "light", "some", "some", "near.goes"),
    ("carry", "knives", "low", "two", "knife1_front"),
    ("flip", "open", "none", "fence", "gap.goes"),
])  # fmt: skip
def test_what_hangs_on_a_pick_is_read_again_with_it(
    name: str, pick: str, before: str, now: str, asked: str
) -> None:
    """Asked for before or not: once the pick is told anew, so is what it is about."""
    job = job_of(Case(name, {}, ""))
    steps = [one for one in measured(name).asked(job) if one.key not in ("circle", "width")]
    read = {one.key: Input(0.0) for one in steps if name != "carry" and isinstance(one, Reading)}
    known = Taken(read, {pick: before})
    step = ask_readings(job, steps, {f"reread1.{pick}": now}, "reread1.", known, [pick])
    assert isinstance(step, Step)
    assert step.key == f"reread1.{asked}"


@pytest.mark.parametrize("name", registry.names())
def test_no_tool_is_needed_that_is_not_read_with(name: str) -> None:
    """With every tool at hand nothing is missing, whatever is read there at a true point or not."""
    kind = registry.method(name).kind
    job = make_job(drawer=TOOLS, tolerance=Tolerance(-0.5, 0.5, "x", kind), proves=SQUARE_6.id)
    need_the_tools(registry.method(name), job)


@pytest.mark.parametrize(("out", "screw", "told"), [
    (True, False, True), (False, True, True), (True, True, True), (False, False, False),
])  # fmt: skip
def test_a_taper_by_hand_is_the_hands(out: bool, screw: bool, told: bool) -> None:
    """No screw sets a hand: that is said where it is out, and where a screw would be turned."""
    job = job_of(Case("taper", {}, ""))._replace(adjuster=SCREW if screw else None)
    values = {"head": 38.0 if not out else 45.0, "tail": 38.0, "length": 300.0}
    moves = fed(measured("taper"), job, values, {"carried": "hand"}).moves
    assert bool(moves) == told
    assert not told or moves[0].startswith("By hand: lighter last cuts")


def test_how_far_it_is_moved_is_read_from_two_metres() -> None:
    """An eighth of a turn or degrees, and which way; a length where nothing is turned."""
    screw, slot = make_job(adjuster=SCREW), make_job(adjuster=Slot(100.0), unit="mm")
    told = [
        adjust(job, OFF, correction, "adjust").big
        for job, correction in (
            (screw, Correction(turns=0.375)), (screw, Correction(turns=0.2)),
            (slot, Correction(move=0.25)),
        )
    ]  # fmt: skip
    assert told == ["3/8 turn clockwise", "72 deg clockwise", "0.250 mm"]
    said = replace(OFF, moves=("Turn it.",))
    assert adjust(screw, said, Correction(), "adjust").big == ""
    assert adjust(screw, said, Correction(), "adjust").lines == ("Turn it.",)


def test_what_locks_it_is_slackened_first_where_something_is_moved() -> None:
    time = replace(OFF, kind="time", moves=("Do.",))
    said = replace(OFF, moves=("Do.",))
    titles = [
        adjust(make_job(lock=lock), outcome, Correction(), "x")
        for outcome, lock in ((said, "both bolts"), (said, ""), (time, "both bolts"))
    ]
    assert [one.title for one in titles] == [
        "Slacken both bolts, then move it.", "Slacken whatever locks it, then move it.",
        "Do it now.",
    ]  # fmt: skip
    assert all(one.moves for one in titles)


def test_what_stands_in_the_middle_of_its_limits_is_left() -> None:
    """0 to 2 mm: the middle is 1, not 0."""
    limits = Tolerance(0.0, 2.0, "0 to 2 mm", "length")
    job = make_job(tolerance=limits, unit="mm")
    for error, left in ((1.0, True), (0.5, False), (-1.0, False)):
        found = OFF.estimate._replace(error=error)
        outcome = replace(OFF, tolerance=limits, estimate=found, moves=("Turn it.",))
        assert bool(correction_of(job, outcome).leave) == left


def test_a_knife_that_carries_nothing_slips_by_nothing() -> None:
    assert measured("carry").repeats_to({"circle": 80.0, "below": 0.1}) == 0.0
