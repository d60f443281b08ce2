"""Numbers and words of the checks to the last digit: what stands beside a result, what is asked.

What a person must be told is common practice, no source; each number is worked beside it.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from shopboard.checks.additions import addition_lines
from shopboard.checks.advice import correction_lines
from shopboard.checks.asked import Taken
from shopboard.checks.methods.carry import KnifeCarry
from shopboard.checks.methods.three_squares import ThreeSquares
from shopboard.checks.methods.tram import Tram
from shopboard.checks.outcome import Outcome
from shopboard.checks.possible import cannot_be_run
from shopboard.checks.reading import Read, ask_reading
from shopboard.checks.repeats import SetsRead
from shopboard.checks.report import outcome_lines
from shopboard.checks.settle import what_would_settle
from shopboard.checks.square_finding import as_set, evaluate
from shopboard.checks.steps import Choice
from shopboard.checks.tools import reaches_of, take_tools, tools_taken
from shopboard.checks.turning import turned_by
from shopboard.metrology.adjuster import Screw, Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import FeelerSet
from shopboard.metrology.kind import Kind
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.own_hand import BRACKET
from shopboard.metrology.quantity import Unit
from shopboard.metrology.sources import FEEL, GAP_BRACKET, REPEATS
from shopboard.metrology.square import SquareReading
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import DRAWER, SCREW, held_mm, make_job
from tests.checks.machines import closed, measured, walked
from tests.checks.readings import Case, job_of, right
from tests.checks.test_sets_read import JOB as BARE_JOB
from tests.checks.test_sets_read import Bare, answers, led

# ---------------------------------------------------------------- beside a result


def beside(value: dict[str, float], unit: Unit | None, known: dict[str, float] | None) -> str:
    (line,) = addition_lines({"skew": value}, unit, known)
    return line.split(None, 1)[1]


def test_what_stands_beside_a_result_has_two_digits_of_its_uncertainty() -> None:
    """12.3456 mm, give or take 0.02 mm: thousandths (JCGM 100, 7.2.6); else four digits."""
    for known, words in (
        ({"mm": 0.02}, "12.346 mm"),
        ({"mm": 0.0}, "12.35 mm"),
        (None, "12.35 mm"),
    ):
        assert beside({"mm": 12.3456}, None, known) == words
    assert beside({"in": 1.23456789}, None, {"in": 0.0012}) == "1.2346 in"


def test_inches_are_told_beside_a_result_only_where_no_shop_has_a_unit() -> None:
    """Along a board an inch shop speaks of inches, and to four digits, as a rule tells them."""
    along = {"in": 1.23456789, "thou": 1234.56789}
    known = {"in": 0.000012, "thou": 0.012}
    (line,) = addition_lines({"lead_length": along}, "inch", known)
    assert line.split()[-2:] == ["1.235", "in"]
    assert beside(along, "inch", known) == "1234.568 thou"


@pytest.mark.parametrize(
    ("kind", "unit", "words"),
    [
        ("angle", "inch", "-12.0 to +12.0 thou/ft"),
        ("angle", "mm", "-1.00 to +1.00 mm/m"),
        ("length", "inch", "-39.37 to +39.37 thou"),
        ("length", "mm", "-1.00 to +1.00 mm"),
        ("time", "mm", "at most 1.0 s"),
        ("stress", "inch", "-145 to 145 psi"),
    ],
)
def test_a_tolerance_is_told_in_the_one_unit_that_a_shop_reads(
    kind: Kind, unit: Unit, words: str
) -> None:
    """12 thou to the foot is 1 in 1000; 1 mm is 39.37 thou; 1 MPa is 145.04 psi (NIST SP 811)."""
    most = math.atan(0.001) if kind == "angle" else 1.0
    limits = Tolerance(-most, most, "x", kind)
    outcome = Outcome("x", Estimate(0.0, Budget((Source("a", "a", most / 9),))), limits, kind)
    (line,) = (one for one in outcome_lines(outcome, unit) if one.startswith("tolerance"))
    assert [float(one) for one in line.split() if one[-1].isdigit()] == pytest.approx(
        [float(one) for one in words.split() if one[-1].isdigit()], rel=2e-3
    )
    assert line.split()[-1] == words.split()[-1]
    assert line.count(" to ") == words.count(" to ")


@pytest.mark.parametrize(
    ("error", "u", "unit", "words"),
    [
        (12.3456, 0.0, "mm", "+12.3456 mm"),
        (12.3456, 0.1, "mm", "+12.35 mm"),
        (25.4 * 0.01234567, 0.0, "inch", "+12.35 thou"),
        (25.4 * 0.01234567, 25.4e-6, "inch", "+12.3457 thou"),
    ],
)
def test_what_is_exact_is_told_to_the_digits_of_its_unit(
    error: float, u: float, unit: Unit, words: str
) -> None:
    """U is twice u: 0.2 mm, of two digits; 0.0020 thou."""
    sources = (Source("a", "a", u),) if u else ()
    outcome = Outcome("x", Estimate(error, Budget(sources)), None, "length")
    assert outcome_lines(outcome, unit)[0].split(None, 1)[1] == words


# ---------------------------------------------------------------- what would settle it


def at_the_leaf(gap: object) -> str:
    """A gap at its limit, of which the bracket leaves most open."""
    source = Source(GAP_BRACKET, "between two leaves", 0.5, hand=BRACKET)
    found = Estimate(1.0, Budget((source,)))
    return what_would_settle(
        Outcome("x", found, Tolerance(-1, 1, "1", "length"), "length", readings={"gap_nm": gap})
    )


def test_where_no_leaf_went_a_thinner_one_is_asked_for() -> None:
    """From nothing to the thinnest, whichever end it is told from; else any finer step does."""
    below = at_the_leaf([0, 38_100])
    assert below != at_the_leaf([38_100, 50_800])
    for none_went in ([-38_100, 0], [-38_100, 38_100]):
        assert at_the_leaf(none_went) == below
    for went in ([-50_800, -38_100], [38_100, 50_800], [1, 38_100], None, 5, [0], [0, 1, 2]):
        assert at_the_leaf(went) == at_the_leaf([38_100, 50_800]), went


def test_a_third_reading_is_known_by_the_scatter_of_three() -> None:
    """How well it repeats has one degree of freedom less than there are readings, if three.

    Of two, what is usual is gone by: 50 degrees of freedom stay. With few of them k is larger
    (Student's t), so that less is settled.
    """
    from shopboard.checks import settle

    for count, dof in ((1, 50.0), (2, 2.0), (3, 3.0)):
        after = settle._of_one_more(Source(REPEATS, "how well", 1.0, dof=50.0), count)
        assert after.dof == dof, count
        assert after.u == pytest.approx(math.sqrt(count / (count + 1)))
        felt = settle._of_one_more(Source(FEEL, "feel", 1.0, dof=50.0), count)
        assert (felt.dof, felt.u) == (50.0, after.u)


# ---------------------------------------------------------------- several readings


def test_a_set_in_the_middle_tells_how_well_all_repeat() -> None:
    """Of 0, 1, 2, 3 and 4 that is the third: where it repeats to 30, one at 20 belongs."""

    class Uneven(Bare):
        rough: float = 0.0

        def repeats_within(self, job: object, taken: Taken) -> float:
            return 30.0 if taken.values["level"] == self.rough else 0.01

    for read, middle in (((0.0, 1.0, 20.0), 1.0), ((0.0, 2.0, 1.0, 3.0, 20.0), 2.0)):
        for rough in read:
            method = Uneven()
            method.rough = rough
            found = led(answers(*read), method)
            assert isinstance(found, Outcome) == (rough == middle), (read, rough)


def test_one_more_is_proposed_by_its_chance() -> None:
    """Near: chance told. What repeats least makes most of it; below a tenth it helps little."""
    said = {}
    for error in (0.9, 0.9999, 1.5):
        found = Estimate(error, Budget((Source(REPEATS, "how well", 0.1),)))
        outcome = Outcome("x", found, Tolerance(-1, 1, "1", "length"), kind="length")
        asked = SetsRead(Bare(), BARE_JOB, {}, "").ask_more("repeat0", outcome)
        assert isinstance(asked, Choice)
        said[error] = asked.lines[1]
    assert said[0.9].startswith("It would help: how well it repeats is most of the uncertainty")
    assert said[1.5] == "It is not needed."


# ---------------------------------------------------------------- square and feeler


def test_a_face_without_light_lies_between_nothing_and_the_thinnest_leaf() -> None:
    job = make_job()
    tools = tools_taken(job, "square-6 with leaves")
    assert tools is not None
    read = ask_reading(job, tools, {"light": "none", "both": "neither"}, "")
    assert read == Read(SquareReading("none", 0.0, 1.5 * 0.0254), 1, 1)


def test_every_reading_of_the_square_stands_in_its_working() -> None:
    """Two, three: as many lines more as readings."""
    job = make_job()
    tools = tools_taken(job, "square-6 with leaves")
    assert tools is not None
    reads = [
        Read(SquareReading("top", thou * 0.0254, (thou + 1) * 0.0254), 2, 1) for thou in (3, 5, 7)
    ]
    shown = [
        " ".join(evaluate(job, [as_set(tools, one) for one in reads[:count]]).working)
        for count in (1, 2, 3)
    ]
    assert len({*shown}) == 3
    for number, leaf in enumerate(("0.003", "0.005", "0.007")):
        assert [leaf in one for one in shown] == [number <= at for at in range(3)], leaf


def test_what_can_prove_it_just_so_is_not_complained_of() -> None:
    """To the last bit: a tolerance of 0.02 deg, which no square and leaf here surely prove."""
    most = math.radians(0.02)
    job = make_job(tolerance=Tolerance(-most, most, "0.02 deg"))
    best = max(one.probability for one in reaches_of(job))
    for level, complains in ((best, False), (math.nextafter(best, 1.0), True)):
        lines = take_tools(job._replace(level=level)).lines
        assert any("None of your tools can prove it" in one for one in lines) is complains


def test_a_square_that_reads_worse_than_it_may_be_is_read_again() -> None:
    """Turned over, light of 10 thou at the top both times: the square itself is off by that."""
    geometry = make_job().geometry._replace(turn="other side")
    job = make_job(geometry=geometry)
    read = {"light": "top", "leaf1": "typed", "goes": ".010 in", "refused": ".012 in"}
    given = {
        "tools": "square-6 with leaves",
        "place": "done",
        "turn": "yes",
        **read,
        **{f"turned.{key}": one for key, one in read.items()},
    }
    step = walked("square", job, given).step
    assert step is not None
    assert step.key == "doubt1"
    assert step.implied_by == (("reread1.light", "again"),)
    again = walked("square", job, {**given, "doubt1": "again"}).step
    assert again is not None
    assert again.key.startswith("reread1.")


# ---------------------------------------------------------------- planted geometry


def test_a_tilt_along_the_way_it_was_found_is_the_tilt_itself() -> None:
    """3 and 4 of a right triangle make 5: 0.3 mm and 0.4 mm over 200 mm tilt by atan(0.0025)."""
    read = {"near": 0.3, "far": 0.0, "left": 0.0, "right": 0.4, "radius": 100.0}
    along = Tram().near(read, {})
    assert along(read) == pytest.approx(math.atan(0.0025))
    back = {**read, "near": 0.0, "far": 0.3, "right": 0.0, "left": 0.4}
    assert along(back) == pytest.approx(-math.atan(0.0025))
    across = {**read, "near": 0.4, "right": -0.3}  # at a right angle to it
    assert along(across) == pytest.approx(0.0, abs=1e-12)
    flat = {**read, "near": 0.0, "right": 0.0}
    assert Tram().near(flat, {})(read) == pytest.approx(math.atan(0.0015))


def test_pairs_of_squares_show_the_sum_of_two_and_none_below_the_thinnest_leaf() -> None:
    """A and C off by 0.05 mm, B by a fifth the other way: 0.04, 0.1, 0.04.

    Half as much shows only between A and C, with leaves from 0.0381 mm on.
    """
    method, job = ThreeSquares(), make_job()
    for error, gaps, lights in (
        (0.05, (0.04, 0.1, 0.04), ("top", "top", "top")),
        (-0.05, (0.04, 0.1, 0.04), ("bottom", "bottom", "bottom")),
        (0.025, (0.0, 0.05, 0.0), ("none", "top", "none")),
    ):
        ((found, words),) = method.as_shown(job, [error])
        assert tuple(found[pair] for pair in ("ab", "ac", "bc")) == pytest.approx(gaps)
        assert tuple(words[f"{pair}_light"] for pair in ("ab", "ac", "bc")) == lights


def test_knives_within_their_tolerance_are_off_by_the_shares_of_the_worst() -> None:
    """Height = R - root(R² - c²/4): by hand, on a circle of 75 mm where none is told."""
    method = KnifeCarry()
    job = make_job(tolerance=Tolerance(0.0, 0.2, "0 to 0.2 mm", "length"), unit="mm")
    for circle, of in ((75.0, job), (100.0, job._replace(sizes={"circle": 100.0}))):
        values, words = method.perfect(of)
        assert (values["circle"], words["knives"]) == (circle, "three")
        carries = [mm for name, mm in values.items() if name.startswith("knife")]
        assert len(carries) == 6
        for carry in carries:
            height = circle / 2 - math.sqrt((circle / 2) ** 2 - carry**2 / 4)
            assert height == pytest.approx(0.1)
    worst = []
    for values, words in method.good(job):
        heights = [
            37.5 - math.sqrt(37.5**2 - mm**2 / 4) for key, mm in values.items() if key != "circle"
        ]
        worst.append(max(heights, key=lambda one: abs(one - 0.1)))
        off = worst[-1] - 0.1
        shares = [one - 0.1 for one in heights]
        assert shares == pytest.approx([off * one for one in (1, 0.6, 0.3, 0, -0.3, 0.1)], abs=1e-9)
        assert method.formula(values, {**words, "wanted": "0.1"}) == pytest.approx(worst[-1])
    assert len(worst) > 1


def test_a_gap_that_is_not_decided_goes_on_leaf_by_leaf() -> None:
    """Limits of 3 to 6 thou, 5 goes and 7 won't: it may be 6.5, and a leaf of 6 tells."""
    limits = Tolerance(3 * 0.0254, 6 * 0.0254, "3 to 6 thou", "length")
    few = FeelerSet("few", "Few", tuple(thou * 0.0254 for thou in (3, 5, 6, 7, 12)), most_leaves=1)
    job = make_job(drawer=DRAWER._replace(feelers=(few,)), tolerance=limits)
    given, gap = {"place": "done"}, 6.4 * 0.0254
    tried = []
    while isinstance(step := walked("leaf-gap", job, given).step, Choice) and "leaf" in step.key:
        thou = held_mm(step) / 0.0254
        tried.append(round(thou))
        given[step.key] = "goes" if thou * 0.0254 <= gap else "refused"
    assert tried[0] == 3
    assert {6, 7} <= {*tried}


# ---------------------------------------------------------------- which test was made


def test_an_end_that_the_named_test_does_not_have_is_refused() -> None:
    """A crosscut opens at the fence or away from it, a mitre at heel or tip; untold is shut."""
    method = measured("flip")
    use = next(one for one in method.uses if one.name == "crosscut")  # type: ignore[attr-defined]
    of = type(method)(use)  # type: ignore[call-arg]
    values = {"gap": 0.1, "width": 150.0}
    ends = [end for end, _ in use.where.options if end != "none"]
    assert len(ends) == 2
    for end in (*ends, "none"):
        assert of.refuse(values, {"use": "crosscut", "open": end}) is None
    assert of.refuse({**values, "gap": 0.0}, {"use": "crosscut"}) is None
    found = of.refuse(values, {"use": "crosscut", "open": "elsewhere"})
    assert found is not None
    assert found.why == f"open: with use=crosscut it can be {ends[0]} or {ends[1]}"
    assert found.again == ("open",)
    assert of.refuse(values, {"open": "elsewhere"}) is None  # the questions offer none


def test_a_size_that_the_check_refuses_is_named() -> None:
    """A strip of 60 m is no board."""
    job = job_of(Case("five-cut", {}, "", sizes={"length": 60_000.0}))
    assert "the length here is " in cannot_be_run(job, ("five-cut",))
    assert cannot_be_run(job._replace(sizes={"length": 400.0}), ("five-cut",)) == ""


# ---------------------------------------------------------------- the turn of a screw


def test_nine_times_a_turn_is_asked_about_at_the_most() -> None:
    given = {"turned_by": "9", **{f"turned_by{one}": f"{one}" for one in range(2, 12)}}
    for last in range(1, 10):
        said = {**given, **{f"turned_sure{one}": "again" for one in range(1, last)}}
        assert turned_by(said, "") == ("9" if last == 1 else f"{last}")
    every = {**given, **{f"turned_sure{one}": "again" for one in range(1, 12)}}
    assert turned_by(every, "") == "9"


# ---------------------------------------------------------------- what no screw sets


SLOT = Slot(arm=200.0, name="the part")


@pytest.mark.parametrize("adjuster", [SCREW, SLOT])
def test_no_screw_is_turned_by_so_many_seconds(adjuster: Screw | Slot) -> None:
    """Seen: a brake that stops in 4 s, of 0 to 10 s, was to be set 39 thou nearer to 5 s."""
    job = job_of(Case("timed", {}, ""))._replace(
        adjuster=adjuster, tolerance=parse_limits("0 to 10 s")
    )
    for time, told in (("4", 0), ("9.9", 0), ("20", 1)):
        done = walked("timed", job, {"care": "understood", "time": time, "repeat1": "no"})
        outcome = done.findings[0].outcome
        lines = correction_lines(job, outcome)
        assert len(lines) == told, lines
        assert not any("urn" in one or "Tap" in one for one in lines)
        assert done.step is None or told


@pytest.mark.parametrize("name", ["square-flip", "three-squares", "three-straightedges"])
@pytest.mark.parametrize("adjuster", [SCREW, SLOT])
def test_a_tool_with_a_screw_is_told_no_empty_line(name: str, adjuster: Screw | Slot) -> None:
    """What must move on a square only the shop file can say: where it does, that is told."""
    case = Case(name, {}, "")
    tight = 0.05 if name == "three-straightedges" else 0.0001
    kind = job_of(case).tolerance.kind
    job = job_of(case)._replace(adjuster=adjuster, tolerance=Tolerance(-tight, tight, "x", kind))
    outcome = closed(name, job._replace(adjuster=None), right(case))
    outcome = replace(outcome, tolerance=job.tolerance)
    if abs(outcome.estimate.error) <= outcome.estimate.budget.expanded:
        outcome = replace(outcome, estimate=outcome.estimate._replace(error=9 * tight))
    lines = correction_lines(job, outcome)
    assert lines
    assert all(lines)
    told = job._replace(adjuster=adjuster._replace(toward="left", away="left"))
    said = "That moves it left." if isinstance(adjuster, Screw) else "It must move left."
    assert correction_lines(told, outcome) == (*lines, said)


def test_a_loop_that_does_not_close_is_told_with_its_side() -> None:
    """Edges and diagonals 0.6 mm hollow or high, level through the middle: it cannot be both."""
    for light, side in (("middle", "below"), ("ends", "above")):
        lines = ("front", "back", "left", "right", "rising", "falling", "closing")
        values = dict.fromkeys(lines, 0.0) | {"rising": 0.6, "falling": 0.6}
        words = {f"{line}_light": light if values[line] else "none" for line in lines}
        found = measured("flatness").refuse(values, words)
        assert found is not None
        assert f" {side} its ends; read it again" in found.why


def test_no_knife_is_promised_farther_off_than_a_twentieth_of_its_circle() -> None:
    """A tolerance of 20 mm on a circle of 60 mm: 3 mm, as high as a carry is ever read."""
    job = make_job(tolerance=Tolerance(0.0, 20.0, "0 to 20 mm", "length"), unit="mm")
    values, _ = KnifeCarry().perfect(job._replace(sizes={"circle": 60.0}))
    carry = values["knife1_front"]
    assert 30 - math.sqrt(30**2 - carry**2 / 4) == pytest.approx(3.0)


def test_what_became_of_two_readings_that_cannot_both_be_is_on_record() -> None:
    """Light of 10 thou at the top both times: kept, or read again and then within the square's."""
    job = make_job(geometry=make_job().geometry._replace(turn="other side"))

    def read(prefix: str, light: str) -> dict[str, str]:
        said = {"light": light, "leaf1": "typed", "goes": ".010 in", "refused": ".012 in"}
        return {f"{prefix}{key}": one for key, one in said.items()}

    given = {"tools": "square-6 with leaves", "place": "done", "turn": "yes", "record": "kept"}
    given |= {**read("", "top"), "repeat1": "no", "next": "done", "close": "done"}
    for more, remark in (
        ({**read("turned.", "bottom")}, ""),
        ({**read("turned.", "top"), "doubt1": "keep"}, "They were kept on purpose."),
        (
            {
                **read("turned.", "top"),
                "doubt1": "again",
                "reread1.place": "done",
                **read("reread1.", "top"),
                **read("reread1.turned.", "bottom"),
            },
            "Both were read again.",
        ),
    ):
        done = walked("square", job, {**given, **more})
        assert done.findings, (done.step, more)
        note = done.findings[0].outcome.note
        assert [
            one for one in ("They were kept on purpose.", "Both were read again.") if one in note
        ] == ([remark] if remark else [])


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("0.05 to 0.15 mm", "0.05 to 0.15 mm"),
        ("0 to 0.15 mm", "0 to 0.15 mm"),
        ("-0.05 to 0.15 mm", "-0.05 to +0.15 mm"),
    ],
)
def test_both_ends_of_a_tolerance_have_a_sign_or_none(typed: str, says: str) -> None:
    limits = parse_limits(typed)
    outcome = Outcome("x", Estimate(0.1, Budget((Source("a", "a", 0.001),))), limits, "length")
    assert any(one.endswith(f" {says}") for one in outcome_lines(outcome, "mm"))
