"""A value that is just what is asked for, neither more nor less: on which side it counts.

All limits are common practice, no source; the numbers are chosen so that binary fractions meet
them to the last bit.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from shopboard.checks import registry
from shopboard.checks.additions import addition_lines
from shopboard.checks.advice import to_do, which_way
from shopboard.checks.asked import Reading
from shopboard.checks.asking import ask_readings
from shopboard.checks.contradiction import Recheck
from shopboard.checks.indicator import STEEPEST_LEVER, lever_sources, refuse_indicator
from shopboard.checks.knives import moves
from shopboard.checks.learning import what_the_screw_did
from shopboard.checks.mean_of_sets import budget_of_mean
from shopboard.checks.methods.carry import _either_way
from shopboard.checks.methods.straightness import shape_words
from shopboard.checks.need import Need, set_to
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import assumed_of, by_own_hand, hand_words, sort_of
from shopboard.checks.points import MOST_POINTS, parse_points
from shopboard.checks.reckoning import ReckoningError
from shopboard.checks.settle import _chance_of_reading, _no_leaf_went, chance_words
from shopboard.checks.steps import AnswerError, Number
from shopboard.checks.study import FINE_STEPS, tells_from
from shopboard.checks.tools import reaches_of, take_tools
from shopboard.checks.turning import ask_turned, ask_turned_by
from shopboard.checks.two_tables import mount_moves
from shopboard.checks.working import budget_rows, inputs_working
from shopboard.metrology.adjuster import Correction, Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import OtherTool
from shopboard.metrology.levelling import coplanarity
from shopboard.metrology.own_hand import LEAF, OwnHand
from shopboard.metrology.quantity import QuantityError
from shopboard.metrology.sources import APART, REPEATS, SCATTER
from shopboard.metrology.spread import Spread
from shopboard.metrology.thread import parse_turns
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import METHOD, SCREW, make_job
from tests.checks.cuts import cut_job
from tests.checks.machines import DIALS, fed, measured, walked
from tests.checks.readings import STATIONS, Case, job_of

# ---------------------------------------------------------------- readings that are believed

PANEL = {"width": 600.0, "other_width": 600.0, "length": 900.0, "other_length": 900.0}
BOARD = {"middle": 20.0, "lead": 20.0, "tail": 20.0, "lead_length": 0.0, "tail_length": 0.0}
NO_STEP = {"lead_length": 60.0}

BELIEVED = [
    ("diagonals", {**PANEL, "other_width": 570.0, "d1": 1073.4, "d2": 1073.4}),  # a twentieth
    ("snipe", {**BOARD, "lead": 20.25}),  # an end 0.25 mm thicker
    ("snipe", {**BOARD, **NO_STEP, "lead": 15.0}),  # a quarter thinner
    ("square-flip", {"at": 100.0, "gap": 10.0}),  # a tenth
    ("three-squares", {"length": 100.0, "ab": 5.0, "ac": 0.0, "bc": 0.0}),  # a twentieth
    ("runout", {"low": 0.0, "high": 5.0}),
    ("centres", {"across": 15.0, "up": 20.0}),  # 25 mm, by 3, 4 and 5
    ("taper", {"head": 50.0, "tail": 10.0, "length": 320.0, "between": 320.0}),  # an eighth
    ("flip", {"width": 1.0, "gap": 0.0}),
    ("diagonals", {**dict.fromkeys(PANEL, 1.0), "d1": 1.414, "d2": 1.414}),
    ("frame", {"width": 60.0, "gap": 0.0, "sides": 3.0}),
    ("frame", {"width": 60.0, "gap": 0.0, "sides": 12.0}),
]


@pytest.mark.parametrize(("name", "values"), BELIEVED)
def test_what_is_just_within_is_believed(name: str, values: dict[str, float]) -> None:
    assert measured(name).refuse(values, {"open": "toe", "lies": "right"}) is None


def skewed(degrees: float) -> dict[str, float]:
    """A panel of 600 by 900 mm that leans: its diagonals by the law of cosines."""
    more = 2 * 600 * 900 * math.sin(math.radians(degrees))
    square = 600**2 + 900**2
    return {**PANEL, "d1": math.sqrt(square + more), "d2": math.sqrt(square - more)}


NOT_BELIEVED = [
    ("diagonals", {**PANEL, "d1": 1500.0, "d2": 900.0}, "as long as two sides together"),
    ("diagonals", {**PANEL, "d1": 0.0, "d2": 900.0}, "every length must be larger than 0"),
    ("diagonals", skewed(10.1), "they differ by more than any panel racks"),
    ("snipe", {**BOARD, "board": 60.0, "lead_length": 30.0}, "more than half of the board"),
    ("frame", {"width": 0.0, "gap": 0.0}, "width: it must be larger than 0"),
    ("thickness", {"left": 19.0, "right": 19.0, "width": 0.0}, "width: it must be larger"),
    ("flip", {"width": 0.0, "gap": 0.0}, "width"),
    ("centres", {"across": 15.0, "up": 20.1}, "not those of one point"),
    ("taper", {"head": 20.0, "tail": 20.0, "length": 0.0}, "length: it must be larger than 0"),
    (
        "taper",
        {"head": 20.0, "tail": 20.0, "length": 300.0, "between": 299.0},
        "between: the length",
    ),
    ("taper", {"head": 50.1, "tail": 10.0, "length": 320.0}, "over an eighth of the length"),
    ("runout", {"low": 0.0, "high": 0.0, "diameter": 0.0}, "diameter: it must be more than"),
]


@pytest.mark.parametrize(("name", "values", "says"), NOT_BELIEVED)
def test_what_is_just_beyond_is_told_by_its_own_reason(
    name: str, values: dict[str, float], says: str
) -> None:
    found = measured(name).refuse(values, {"open": "none", "lies": "right"})
    assert found is not None
    assert says in found.why


def test_a_panel_may_lean_by_ten_degrees() -> None:
    assert measured("diagonals").refuse(skewed(9.9), {}) is None


def test_a_lever_may_stand_at_sixty_degrees() -> None:
    assert math.degrees(STEEPEST_LEVER) == pytest.approx(60)
    assert refuse_indicator({"lever_angle": STEEPEST_LEVER}, {}) is None
    assert refuse_indicator({"lever_angle": STEEPEST_LEVER + 1e-9}, {}) is not None
    assert lever_sources(0.1, {}, {"lever": "square"}) == ()


# ---------------------------------------------------------------- what is said of it


def test_opposite_sides_are_told_apart_by_more_than_a_millimetre() -> None:
    job = job_of(Case("diagonals", {}, ""))._replace(unit="mm")
    across = math.hypot(600, 900)
    for other, told in ((601.0, False), (601.01, True)):
        values = {**PANEL, "d1": across, "d2": across, "other_width": other}
        assert ("Opposite sides differ by" in fed(measured("diagonals"), job, values).note) == told


def test_a_slot_is_tapped_as_far_as_leaves_reach() -> None:
    """A tenth of an inch; beyond that nobody taps."""
    job = make_job(adjuster=Slot(200.0, name="the fence"), unit="mm")
    outcome = Outcome("x", Estimate(0.0, Budget(())), None, kind="length", aims=("a", "b"))
    for move, begins in ((2.54, "Tap the fence by 2.54 mm"), (2.55, "Move the fence by 2.55 mm")):
        assert to_do(job, outcome, Correction(move=move))[0].startswith(begins)


def test_nothing_that_is_known_exactly_is_no_error() -> None:
    none = which_way(Estimate(0.0, Budget(())), "length", "mm", "high", "low")
    assert none.startswith("no error detectable")


def test_knives_just_at_the_wanted_height_are_on_no_side() -> None:
    """0 is wanted: what only reaches it is not too high. Where the work asks lower, all are."""
    job = make_job(tolerance=Tolerance(-0.1, 0.1, "x", "length"), unit="mm")
    one, other = "knife1_front", "knife1_back"
    assert _either_way(job, {one: 0.0, other: -0.05}) == "too little off to tell which way"
    assert _either_way(job, {one: 0.05, other: 0.0}) == "too little off to tell which way"
    assert "it cannot be told which is worse" in _either_way(job, {one: 0.05, other: -0.05})
    # The work asks for 0 to 0.5, or for -0.5 to 0: its middle is where the one end stands.
    for aim, high, low in ((0.25, 0.25, -0.5), (-0.25, 0.5, -0.25)):
        wide = make_job(tolerance=Tolerance(-1.0, 1.0, "x", "length"), unit="mm")
        asked = wide._replace(need=Need(0.5, 0.95, "Staves", aim=aim))
        assert asked.set_to.middle == aim
        assert _either_way(asked, {one: high, other: low}).startswith("highest: knife 1 at the f")


def test_a_table_that_tilts_as_much_both_ways_is_told_from_near_to_far() -> None:
    found = measured("tram").adds(
        {"radius": 100.0, "near": 0.1, "far": 0.0, "right": 0.1, "left": 0.0}, {}
    )
    assert found["worse"] == "near_far"


@pytest.mark.parametrize(("reach", "told"), [(30.0, False), (25.0, True)])
def test_an_indicator_that_travels_far_enough_is_not_called_short(reach: float, told: bool) -> None:
    short = OtherTool("dial", "Dial", "indicator", reach, 0.01)
    job = cut_job(drawer=DIALS._replace(others=(short,)), unit="mm")
    near = next(one for one in measured("tram").asked(job) if one.key == "near")
    step = ask_readings(job, [near], {}, "")
    assert isinstance(step, Number)
    assert ("the indicator travels" in (step.too_large or "")) == told


def test_a_face_in_waves_lies_back_by_more_than_half_as_much() -> None:
    """Out by 1/4 mm in the middle: 1/8 mm back at a quarter is not yet waves, a little more is."""
    for back, waves in ((0.125, False), (0.126, True)):
        for sign in (1, -1):
            at = (0.0, -back * sign, 0.25 * sign, 0.0, 0.0)
            gaps = {key: 0.5 - height for key, height in zip(STATIONS, at, strict=True)}
            assert shape_words(gaps).startswith("in waves") == waves, (back, sign)


def test_one_reading_is_no_mean_of_readings() -> None:
    one = inputs_working("f", [{"a": 1.0}], [1.0], "length", "mm")
    two = inputs_working("f", [{"a": 1.0}, {"a": 2.0}], [1.0, 2.0], "length", "mm")
    assert not any(line.startswith("mean of") for line in one)
    assert two[-1] == "mean of 2: +1.50 mm"
    job = job_of(Case("leaf-gap", {}, ""))._replace(tolerance=Tolerance(0, 0.2, "x", "length"))
    outcome = walked("leaf-gap", job, {"goes": "0.10 mm", "refused": "0.12 mm"}).findings[0].outcome
    assert not any(line.startswith("mean of") for line in outcome.working)
    assert "sets" not in outcome.readings


def test_small_sources_are_put_together_from_two_on() -> None:
    one = budget_rows([("large", 1.0), ("small", 0.01)], 1.0, "length", "mm")
    assert [row.split()[0] for row in one] == ["large", "small"]
    two = budget_rows([("large", 1.0), ("small", 0.01), ("other", 0.02)], 1.0, "length", "mm")
    assert [row.split()[:2] for row in two] == [["large", "u"], ["2", "smaller"]]


def test_traces_and_small_numbers_are_written_out() -> None:
    """A billionth of a millimetre is a trace; a ten-thousandth has six digits."""
    for mm, text in ((1e-9, "0.000000001"), (9e-10, "0")):
        assert addition_lines({"gap": {"mm": mm}})[0].split()[-2] == text
    for value, text in ((0.000123456789, "0.000123457"), (0.00001234567, "0.000012346")):
        assert addition_lines({"turns": value})[0].split()[1] == text
    gone = addition_lines({"gap": {"mm": 1.23456}}, None, {"mm": 0.0})
    assert gone == addition_lines({"gap": {"mm": 1.23456}})


def test_numbers_that_stand_alone_have_their_unit() -> None:
    """A strain is a share; the others are what they are."""
    told = {
        "strain": "0.12 %", "closing_deg": "0.0012 deg", "turns": "0.0012 turns",
        "degrees": "0.0012 deg", "marks_per_inch": "0.0012 to the inch",
        "marks_per_cm": "0.0012 to the centimetre",
    }  # fmt: skip
    for name, words in told.items():
        (line,) = addition_lines({name: 0.0012})
        assert line.endswith(f" {words}"), line
    labels = [addition_lines({name: 1.0})[0].split()[0] for name in told]
    assert labels == ["stretched", "last", "turns", "degrees", "marks", "marks"]


def test_a_chance_of_one_in_a_hundred_is_told() -> None:
    assert chance_words(0.01).endswith("a 1.0 % chance of settling it")
    assert chance_words(0.0099).endswith("will not settle it")


def test_after_nine_sets_none_is_read_any_more() -> None:
    """Near its limit eight may be one too few; the ninth was the last."""
    limits = Tolerance(-1.0, 1.0, "1 mm", "length")
    found = Estimate(0.95, Budget((Source(REPEATS, "how well it repeats", 0.1),)))
    near = Outcome("timed", found, limits, kind="length")
    chances = [
        _chance_of_reading(replace(near, readings={"repeats": {"errors": [950_000] * count}}))
        for count in (0, 8, 9)
    ]
    assert chances[0] is None
    assert chances[1] is not None
    assert chances[1] > 0
    assert chances[2] == 0.0


def test_a_gap_that_begins_at_nothing_is_one_where_no_leaf_went() -> None:
    outcome = Outcome("x", Estimate(0.0, Budget(())), None, kind="length")
    for gap, none in (([0, 38_100], True), ([-38_100, 0], True), ([1, 38_100], False)):
        assert _no_leaf_went(replace(outcome, readings={"gap_nm": gap})) is none


# ---------------------------------------------------------------- the hand


def test_what_a_hand_repeats_to_is_told_from_a_twentieth_on() -> None:
    told = {
        ratio: hand_words(OwnHand(LEAF, ratio, 20.0, 30)).partition(" repeat to ")[2].split(",")[0]
        for ratio in (1.05, 1.04, 0.96, 0.95)
    }
    assert told[1.04] == told[0.96] == "what is usual"
    assert told[1.05].endswith("times what is usual")
    assert told[0.95] == "95 % of what is usual"


def test_nearly_all_of_the_scatter_is_more_than_four_fifths() -> None:
    assert sort_of({LEAF: 2.0, "other": 1.0}) == ""  # 4 of 5
    assert sort_of({LEAF: 2.01, "other": 1.0}) == LEAF
    assert assumed_of(Budget((Source("a", "a", 0.0, hand=LEAF),))) == ({}, 0.0)


def test_from_where_on_ten_readings_tell_of_a_hand() -> None:
    told = [tells_from(one) for one in (FINE_STEPS, FINE_STEPS + 0.01, 0.8, 0.81, 3.0)]
    assert told == [0, 2, 2, 3, 5]


# ---------------------------------------------------------------- what is typed and what is asked


def test_as_many_points_as_there_may_be() -> None:
    every = "0,0;" * MOST_POINTS
    assert len(parse_points(every, ("x", "y"))) == MOST_POINTS
    with pytest.raises(QuantityError, match=f"{MOST_POINTS + 1} points; {MOST_POINTS} at the most"):
        parse_points(every + "0,0", ("x", "y"))


def test_four_readings_are_named_with_their_values_and_five_are_not() -> None:
    """More do not fit the smallest screen: all of it is read again then."""
    job = job_of(Case("tram", {}, ""))._replace(unit="mm")
    swung = {"care": "understood", "radius": "11 mm", "far": "0", "right": "0"}
    for near, left, named in (("2.9 mm", "0", 4), ("2.9 mm", "2.9 mm", 0)):
        step = walked("tram", job, {**swung, "near": near, "left": left}).step
        assert isinstance(step, Recheck)
        assert len(step.lines) == 1 + named
        label = step.options[0].label
        assert label == ("read again: near, right, far, left" if named else "read everything again")


def test_a_size_as_large_as_may_be_typed_is_offered() -> None:
    span = next(one for one in measured("sweep").asked(cut_job()) if one.key == "span")
    assert isinstance(span, Reading)
    for size, offered in ((span.at_most, True), (span.at_most + 1, False)):
        step = ask_readings(cut_job(sizes={"span": size}), [span], {}, "")
        assert isinstance(step, Number)
        assert (step.default is not None) == offered


def test_what_is_known_within_a_millimetre_is_no_more_exact_than_any_other() -> None:
    assert not Need(0.5, 0.95, "Staves").is_met(Spread(0.4, (), 1.0))


def test_a_band_that_is_set_to_its_own_end_stays_as_it_is() -> None:
    band = Tolerance(-1.0, 0.8, "x")
    assert set_to(Need(0.5, 0.95, "Staves", aim=0.8), band) == band


def test_a_surface_with_twenty_marks_to_the_inch_is_finished() -> None:
    """1,200 turns, one knife, 60 in a minute; trade magazine FDMC, "Knife marks per inch"."""
    marks = registry.reckoner("knife-marks")
    for feed, note in (("5 ft/min", ""), ("5.1 ft/min", "a finished surface has 20 marks")):
        found = marks.reckon({"rpm": "1200", "knives": "1", "feed": feed})
        assert found.note.startswith(note)
        assert bool(found.note) == bool(note)
    for knives, told in (("100", True), ("101", False)):
        try:
            marks.reckon({"rpm": "1200", "knives": knives, "feed": "5 ft/min"})
            assert told
        except ValueError:
            assert not told


# ---------------------------------------------------------------- what follows from what was read


def test_a_table_that_falls_to_front_and_back_closes_where_its_middle_line_rocks() -> None:
    """Both edges hollow by 1 mm, the diagonals level: the middle stands 1 mm above their middles.

    A straightedge from the one to the other rocks; pressed down, its far end stands off by 2 mm.
    """
    lines = ("front", "back", "left", "right", "rising", "falling", "closing")
    values = {**dict.fromkeys(lines, 0.0), "left": 1.0, "right": 1.0, "closing": 2.0}
    words = {f"{line}_light": "middle" if line != "closing" else "ends" for line in lines}
    flat = measured("flatness")
    found = flat.refuse(values, words)
    assert found is None or found.may_be
    found = flat.refuse({**values, "closing": 1.0}, words)
    assert found is not None
    assert not found.may_be
    assert "|1.00 mm] above its ends" in found.why


def test_a_square_whose_own_error_is_known_finds_nothing_at_a_true_face() -> None:
    """0.1 mm over 150 mm, corrected for: what is left lies between two leaves."""
    job = make_job()
    (square,) = job.drawer.squares
    known = square._replace(known_error=0.1 / 150, known_u=1e-6, limit=0.0)
    found = METHOD.set_right(job._replace(drawer=job.drawer._replace(squares=(known,))))
    assert abs(found.error) <= found.budget.expanded
    assert found.budget.expanded < 0.1 / 150


def test_an_estimate_goes_by_the_own_hand_where_one_is_known() -> None:
    feel = Source("feel", "feel", 0.1, 8.0, hand=LEAF)
    found = by_own_hand(Estimate(0.5, Budget((feel,))), [OwnHand(LEAF, 2.0, 20.0, 30)])
    assert found.error == 0.5
    assert found.budget.u == pytest.approx(0.2)


@pytest.mark.parametrize(("moved", "turned", "told"), [
    (0.3, "1/2", 0.6), (0.05, "1/2", None), (0.07, "1/16", 1.12), (0.79, "1/8", None),
])  # fmt: skip
def test_what_a_turn_did_is_believed_within_four_times_its_thread(
    moved: float, turned: str, told: float | None
) -> None:
    """1.27 mm a turn: 0.32 to 5.08 mm are believed, where it moved by 4 u of both (0.057 mm)."""
    job = make_job(tolerance=Tolerance(-0.1, 0.1, "0.1 mm", "length"), adjuster=SCREW)
    u = Budget((Source("repeats", "how well", 0.01),))
    before, after = (
        Outcome("x", Estimate(one, u), job.tolerance, kind="length", aims=("Less.", "More."))
        for one in (1.0, 1.0 - moved)
    )
    did = what_the_screw_did(job, before, after, turned)
    assert did.get("nm_per_turn") == (None if told is None else pytest.approx(told * 1e6))
    assert "wrong_way" not in did


def test_knife_ends_that_are_worth_it() -> None:
    """A hundredth where the tolerance is finer; 2 um where the work asks for all that is told."""
    job = make_job(tolerance=Tolerance(-0.01, 0.01, "x", "length"), unit="mm")
    assert [len(moves(job, {"knife1_front": off})) for off in (0.012, 0.009)] == [1, 0]
    told = [len(moves(job, {"knife1_front": off}, all_told=True)) for off in (0.0025, 0.0019)]
    assert told == [1, 0]


def test_what_several_sets_tell_stands_last() -> None:
    single = Budget((Source(REPEATS, "how well it repeats", 0.1), Source("lever", "a", 0.2)))
    three = budget_of_mean(single, [1.0, 1.1, 1.2])
    assert [one.id for one in three.sources] == ["lever", SCATTER]
    two = budget_of_mean(single, [1.0, 1.1])
    assert [one.id for one in two.sources] == ["lever", REPEATS]
    apart = budget_of_mean(single, [1.0, 3.0])
    assert [one.id for one in apart.sources] == ["lever", REPEATS, APART]


def test_six_pairs_of_tools_are_offered_at_the_most() -> None:
    job = make_job()
    (square,) = job.drawer.squares
    squares = tuple(square._replace(id=f"s{at}", name=f"Square {at}") for at in range(8))
    offered = take_tools(job._replace(drawer=job.drawer._replace(squares=squares)))
    assert len(offered.options) == 6
    assert offered.default == offered.unasked == offered.options[0].value


def test_tools_that_just_prove_it_are_not_said_to_fall_short() -> None:
    job = make_job(tolerance=Tolerance(-math.radians(0.02), math.radians(0.02), "0.02 deg"))
    best = max(one.probability for one in reaches_of(job))
    assert 0.5 < best < 1
    for level, short in ((best, False), ((1 + best) / 2, True)):
        assert (len(take_tools(job._replace(level=level)).lines) == 2) == short


def test_a_turn_is_asked_for_within_what_a_screw_is_turned() -> None:
    """Twenty turns, or twice what was advised; a third of it is not about as much any more."""
    job = make_job(adjuster=SCREW)
    for advised, fits, wrong in ((1.0, "20", "21"), (15.0, "30", "31")):
        step = ask_turned_by(job, Correction(turns=advised, clockwise=True), "turned_by")
        assert step.accept(fits) == fits
        with pytest.raises(AnswerError, match=r"than such a screw is turned; degrees .* 135/360"):
            step.accept(wrong)
        # what the refusal shows can be typed on a number pad: 3/8 of a turn are 135 of 360 degrees
        assert parse_turns(step.accept("135/360")) == parse_turns("3/8") == parse_turns("135 deg")
        assert step.lines[0].startswith("In turns")
        assert step.lines[1].startswith("Enter alone takes ")
    third = ask_turned(job, Correction(turns=1.0, clockwise=True), {"turned_by": "1/3"}, "")
    assert third is not None


def test_a_list_of_points_is_as_long_as_it_may_be() -> None:
    text = "0,0;1,1".ljust(100_000)
    assert len(parse_points(text, ("x", "y"), "mm")) == 2
    with pytest.raises(QuantityError, match="too long for a list of points"):
        parse_points(f"{text} ", ("x", "y"), "mm")


def test_a_name_that_is_nearly_right_is_offered() -> None:
    given = {"gap": "0.1 mm", "widht": "150 mm"}
    with pytest.raises(ReckoningError) as told:
        measured("flip").reckon(given)
    assert "widht= is not known here; did you mean width=?" in told.value.reasons


def test_a_square_that_is_off_by_five_degrees_is_still_one() -> None:
    read = {"goes": "3 thou", "refused": "4 thou", "lever": "6 in", "light": "top"}
    assert METHOD.reckon({**read, "square_error": "5 deg"}).estimate.budget.u > 0.05
    with pytest.raises(ReckoningError) as told:
        METHOD.reckon({**read, "square_error": "5.01 deg"})
    assert "more than 5 degrees is out of all reason" in told.value.reasons[0]


def test_the_inner_mounts_stand_at_the_lips_where_nothing_is_told() -> None:
    """A table that hangs by 1 mm in 100: mounts 400 mm apart are 4 mm apart in height."""
    found = coplanarity(
        [(0.0, -50.0, 0.0), (100.0, -50.0, 0.0), (0.0, 50.0, 0.0)],
        [(0.0, -50.0, 0.0), (-100.0, -50.0, -1.0), (0.0, 50.0, 0.0)],
    )
    sizes = {"mounts_along": 400.0, "mounts_across": 200.0}
    job = cut_job(sizes=sizes, unit="mm")
    told = mount_moves(job, found)
    assert told == mount_moves(cut_job(sizes={**sizes, "mount_lip": 0.0}, unit="mm"), found)
    assert told[:2] == (
        "Leave the front mount by the lips.", "Leave the back mount by the lips.",
    )  # fmt: skip
    assert told[2] == "Raise the front mount at the outer end by 4.00 mm."
