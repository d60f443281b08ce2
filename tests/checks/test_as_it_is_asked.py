"""What a step says, in which order, and which answers it offers: trade talk, not arithmetic.

The order of what is said, and what a person must be told, is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from shopboard.checks import registry
from shopboard.checks.advice import advise, correction_of
from shopboard.checks.asked import Reading, Taken
from shopboard.checks.asking import ask_readings, too_large
from shopboard.checks.contradiction import Contradiction, ask_recheck, contradict, unlikely
from shopboard.checks.correction_steps import ask_next, close, lock, onward
from shopboard.checks.inputs import input_of
from shopboard.checks.job import Geometry
from shopboard.checks.knives import moves
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Step
from shopboard.checks.turning import ask_turned, kept_turn, turned_by
from shopboard.checks.walk import walk
from shopboard.metrology.adjuster import Correction, Screw, Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.quantity import Unit
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import SCREW, UPRIGHT, Person, follow, make_job, step_at
from tests.checks.machines import measured, walked
from tests.checks.readings import GOOD, Case, job_of, right
from tests.checks.test_said import NOTED, YES


def steps_of(name: str) -> list[Step]:
    """The steps of one way through a check, with a correction where something is turned for it."""
    if name == "square":
        job = make_job(cutter_near=True, adjuster=SCREW, geometry=UPRIGHT._replace(turn="no"))
        return [step for step, _ in follow(job, Person(0.01, then=(0.0,))).answered]
    case = Case(name, {}, "")
    job = job_of(case)._replace(cutter_near=True)
    if registry.method(name).proves == "" and name not in ("tram", "timed"):  # set by other means
        job = job._replace(adjuster=SCREW)
    said = {"unplugged": "plug out", "next": "adjust", "left.unplugged": "plug out"}
    done = walked(name, job, {**right(case), **said})
    return [*(step for step, _ in done.answered), *((done.step,) if done.step else ())]


@pytest.mark.parametrize("name", [*GOOD, "square"])
def test_a_question_is_said_in_words_and_its_answers_are_told_by_one(name: str) -> None:
    """A file of answers has a word or two in small letters; a person reads a phrase."""
    steps = steps_of(name)
    assert len(steps) > 3
    for step in steps:
        for line in (step.title, *step.lines):
            assert " " in line or isinstance(step, Finding), step.key
            # A finding is no sentence.
            told = isinstance(step, Finding)
            assert told or line[-1] in ".?:);", (step.key, line)
        for one in getattr(step, "options", ()):
            assert one.value == one.value.lower(), step.key
            assert len(one.value.split()) < 4, step.key
            assert one.label != one.value, step.key


def test_the_plug_comes_first_then_care_and_yes_before_no() -> None:
    seating = walk(registry.method("seating"), make_job(tolerance=YES), {"care": "understood"}).step
    assert isinstance(seating, Choice)
    assert [one.value for one in seating.options] == ["yes", "no"]
    job = make_job(tolerance=NOTED, geometry=Geometry("the lower wheel", "the tyre", 0.0))
    note = walk(registry.method("note"), job, {}).step
    assert note is not None
    assert note.lines == ("the tyre.", "the lower wheel.")
    done = walked("note", job, {"text": "worn"})
    limits = done.findings[0].outcome.tolerance
    assert limits is not None
    assert limits.low < done.findings[0].outcome.estimate.error < limits.high
    assert registry.method("note").reckon({"text": "worn"}).tolerance == NOTED
    assert registry.method("note").best(job).error == 0.0


# ---------------------------------------------------------------- a square at a face


@pytest.mark.parametrize(("lies", "words"), [
    ("upright", ("Set its stock on: ", "Press it down tight", "along the face")),
    ("flat", ("Lay the square flat, its stock against: ", "Hold its stock", "from above")),
])  # fmt: skip
def test_a_square_stands_or_lies(lies: Any, words: tuple[str, str, str]) -> None:
    job = make_job(geometry=UPRIGHT._replace(lies=lies))
    place = step_at(job, {"tools": "square-6 with leaves"})
    light = step_at(job, {"tools": "square-6 with leaves", "place": "done"})
    assert place.title == f"{words[0]}table."
    assert light.lines[0].startswith(words[1])
    assert words[2] in place.diagram[-1]


@pytest.mark.parametrize(("where", "says"), [
    ("left of the blade", "The square is turned over now: left of the blade."),
    ("", "The square is turned over now."),
])  # fmt: skip
def test_where_a_square_that_is_turned_over_stands_is_said(where: str, says: str) -> None:
    job = make_job(geometry=UPRIGHT._replace(turn="other side", other_side=where))
    first = {"tools": "square-6 with leaves", "place": "done", "turn": "yes"}
    first |= {"light": "none", "both": "neither"}
    step = step_at(job, first)
    assert (step.key, step.lines[1:]) == ("turned.light", (says,))
    assert len(step_at(job, {"tools": "square-6 with leaves", "place": "done"}).lines) == 1


# ---------------------------------------------------------------- readings that cannot be


def rechecked(found: Contradiction) -> tuple[str, ...]:
    """Readings of a flip that contradict each other, as they are asked about."""
    method, job = measured("flip"), job_of(Case("flip", {}, ""))
    asked = method.asked(job)
    inputs = {
        one.key: input_of(job, one, {"width": 152.4, "gap": 0.1}[one.key], {"open": "fence"})
        for one in asked
        if isinstance(one, Reading)
    }
    step = ask_recheck(found, "doubt1", job, asked, Taken(inputs, {"open": "fence"}), "reread1.")
    return (step.title, *step.lines, *(one.label for one in step.options), step.refusal)


def test_one_reading_stands_in_the_words_of_its_question_above_what_is_wrong() -> None:
    found = contradict("width: too wide; read it again", "width")
    title, asked, why, again, refusal = rechecked(found)
    assert title == "These readings contradict each other."
    assert asked.endswith("? 6.000 in")
    assert why == "Too wide; read it again."
    assert again == "read it again"
    assert refusal == "width: too wide; read it again"


def test_several_stand_below_what_is_wrong_by_their_names() -> None:
    found = unlikely("gap and width do not fit", "width", "gap")
    title, why, *told, again, keep, refusal = rechecked(found)
    assert title == "Can this be right?"
    assert why == "gap and width do not fit."  # the name of a reading keeps its small letter
    assert [one.partition(":")[0] for one in told] == ["width", "gap"]
    assert (again, keep) == ("read again: width, gap", "it really is so: keep it, with a remark")
    assert refusal == 'gap and width do not fit (or doubt1 = "keep", if it really is so)'
    every = rechecked(contradict("they cannot be"))
    assert every[1] == "They cannot be."
    assert "open: " in every[2]
    assert "read again: open, width, gap" in every


def test_a_reading_of_two_words_is_known_by_them() -> None:
    """``lead length`` is the reading that a file calls ``lead_length``."""
    job = job_of(Case("snipe", {}, ""))
    asked = measured("snipe").asked(job)
    (one,) = (one for one in asked if one.key == "lead_length")
    assert isinstance(one, Reading)
    taken = Taken({one.key: input_of(job, one, 60.0, {})}, {})
    found = unlikely("lead length: too long; read it again", one.key)
    step = ask_recheck(found, "doubt1", job, asked, taken, "reread1.")
    assert step.lines[1] == "Too long; read it again."
    other = ask_recheck(unlikely("so: it is", one.key), "doubt1", job, asked, taken, "")
    assert other.lines[1] == "So: it is."


def test_a_leaf_that_went_is_no_leaf_that_will_not() -> None:
    job = job_of(Case("frame", {}, ""))
    gap = measured("frame").asked(job)[2]
    assert isinstance(gap, Reading)
    step = ask_readings(job, [gap], {"gap.goes": "5 thou"}, "")
    assert isinstance(step, Number)
    with pytest.raises(AnswerError, match="5 thou goes, so what won't go must be thicker"):
        step.accept("5 thou")
    assert step.accept("6 thou") == "6 thou"


def test_a_decimal_comma_is_written_as_a_point_in_all_that_is_said() -> None:
    """One mark on a screen: the program writes its numbers with a point."""
    job = job_of(Case("frame", {}, ""))._replace(unit="mm")
    gap = measured("frame").asked(job)[2]
    assert isinstance(gap, Reading)
    goes = ask_readings(job, [gap], {}, "")
    assert isinstance(goes, Number)
    goes = replace(goes, unit="mm")
    assert (goes.accept("0,18"), goes.accept("0,18 mm")) == ("0.18 mm", "0.18 mm")
    assert goes.accept(",18") == ".18 mm"
    step = ask_readings(job, [gap], {"gap.goes": "0,18 mm"}, "")
    assert isinstance(step, Number)
    assert step.lines[0].startswith("0.18 mm")
    with pytest.raises(AnswerError, match=r"^0\.17 mm: 0\.18 mm .*goes, so what won't go"):
        step.accept("0,17 mm")


def test_a_limit_is_said_with_its_unit() -> None:
    job = job_of(Case("sweep", {}, ""))
    span = next(one for one in measured("sweep").asked(job) if one.key == "span")
    assert isinstance(span, Reading)
    units: tuple[tuple[Unit, str, str], ...] = (
        ("inch", "0.787 in", "393.701 in"),
        ("mm", "20 mm", "10000 mm"),
    )
    for unit, least, most in units:
        step = ask_readings(job._replace(unit=unit), [span], {}, "")
        assert isinstance(step, Number)
        assert step.too_small == f"it must be larger than {least}"
        assert step.too_large == f"it can be {most} at the most"
    assert too_large(replace(span, at_most=25.4), None) == "it can be 1 in (25.4 mm) at the most"
    plain = ask_readings(job, [replace(span, above=0.0)], {}, "")
    assert isinstance(plain, Number)
    assert plain.too_small == "it must be larger than 0"


# ---------------------------------------------------------------- a correction


OFF = Outcome(
    "x", Estimate(0.5, Budget((Source("a", "a", 0.1),))), Tolerance(-1, 1, "1", "length"),
    kind="length", moves=("Turn it.",),
)  # fmt: skip


def test_what_is_moved_by_its_own_words_is_left_where_a_screw_would_be() -> None:
    """True, but told from the middle: it may be set nearer; nearer than U it is left."""
    job = make_job(tolerance=OFF.tolerance, unit="mm")
    assert correction_of(job, OFF) == Correction(leave="", optional=True)
    assert advise(job, OFF, correction_of(job, OFF))[0].startswith("True, at 50 % of its")
    small = replace(OFF, estimate=OFF.estimate._replace(error=0.01))
    left = correction_of(job, small)
    assert left.leave
    assert left.optional
    assert correction_of(job, small, insist=True).leave == ""
    out = replace(OFF, estimate=OFF.estimate._replace(error=5.0))
    assert correction_of(job, out) == Correction(leave="", optional=False)


def test_a_slot_is_told_what_to_do_before_where_to() -> None:
    outcome = replace(OFF, moves=(), aims=("Less.", "More."))
    job = make_job(tolerance=OFF.tolerance, unit="mm", adjuster=Slot(500.0))
    off = replace(outcome, estimate=outcome.estimate._replace(error=2.0))
    tap, aim = advise(job, off, correction_of(job, off))
    assert tap.startswith("Tap ")
    assert aim == "Less."


def test_what_had_better_be_done_is_the_first_answer() -> None:
    job = make_job(tolerance=OFF.tolerance, unit="mm", adjuster=SCREW)
    told = {
        name: ask_next(job, replace(OFF, estimate=OFF.estimate._replace(error=error)), made, "next")
        for name, error, made in (
            ("leave", 0.01, Correction(leave="It is near enough.")),
            ("may", 0.5, Correction(optional=True)),
            ("must", 5.0, Correction()),
            ("near", 0.95, Correction()),
        )
    }
    assert {name: [one.value for one in step.options] for name, step in told.items()} == {
        "leave": ["done", "adjust"], "may": ["done", "adjust"], "must": ["adjust", "done"],
        "near": ["done", "adjust"],
    }  # fmt: skip
    assert {name: (step.default, step.unasked) for name, step in told.items()} == {
        "leave": ("done", "done"), "may": ("done", "done"), "must": ("adjust", "done"),
        "near": ("done", "done"),
    }  # fmt: skip
    assert told["near"].title == "Correct what is probably true?"
    assert "go back" not in told["near"].lines[0]
    assert told["near"].lines[1].startswith("The chance that it is true is ")


def test_what_moves_when_it_is_locked_is_measured_again() -> None:
    job = make_job(lock="both bolts")
    assert lock(job, "lock", "angle", runs=False).lines == (
        "Tightening can move it, so measure it again now.",
    )
    runs = lock(job, "lock", "time", runs=True)
    assert runs.lines[0] == "Now check it again."
    assert runs.lines[1].startswith("Tools off the machine, every guard back on")
    assert runs.title == "Tighten both bolts."
    assert lock(job._replace(lock=""), "lock", "time", runs=True).title.startswith(
        "Put back everything"
    )
    assert lock(job._replace(lock=""), "lock", "angle", runs=False).title.startswith(
        "Tighten every"
    )
    assert close(make_job(cutter_near=True), "Clamps off.").lines == (
        "Clamps off.", "Put back what you took off, guards first. Then plug in.",
    )  # fmt: skip
    assert close(make_job(cutter_near=False)).lines == ()
    assert [one.value for one in onward("Fence", plug_is_out=True).options] == ["next", "clear"]
    (over,) = onward("Fence", "planing", plug_is_out=True).lines
    assert over.startswith("Take the tools off and change over to: planing. The plug stays out. C")
    assert "plug" not in onward("Fence", plug_is_out=False).lines[0]


TURN = Correction(turns=1.0, clockwise=True)
KEPT = "Kept on purpose: turned 5 turns (1800°), advised 1 turn (360°)."


def test_a_turn_that_is_hard_to_believe_is_asked_about_until_it_is_said_to_be_so() -> None:
    """Three times what was advised, or a third of it; a quarter of a turn off is what a hand is."""
    job = make_job(adjuster=SCREW)
    for said, believed in (
        ("1.25", True), ("2.9", True), ("3", False), ("0.34", True), ("0.33", False), ("0", True),
    ):  # fmt: skip
        step = ask_turned(job, TURN, {"turned_by": said}, "")
        assert (step is None) == believed, said
    once = {"turned_by": "5", "turned_sure1": "keep"}
    assert ask_turned(job, TURN, once, "") is None
    assert kept_turn(TURN, once, "") == KEPT
    again = {"turned_by": "5", "turned_sure1": "again", "turned_by2": "1"}
    assert ask_turned(job, TURN, again, "") is None
    assert turned_by(again, "") == "1"
    assert kept_turn(TURN, again, "") == ""
    twice = {**again, "turned_by2": "5"}  # the same again is believed
    assert ask_turned(job, TURN, twice, "") is None
    assert kept_turn(TURN, twice, "") == KEPT
    assert kept_turn(TURN, {"turned_by": "5"}, "") == ""
    assert turned_by({"turned_by": "5", "turned_by2": "1"}, "") == "5"
    assert turned_by({}, "") is None


def test_knife_ends_are_moved_the_worst_first() -> None:
    """Half of the tolerance's half width is left; what can be told is moved where work asks it."""
    job = make_job(tolerance=Tolerance(0.0, 0.1, "0 to 0.1 mm", "length"), unit="mm")
    found = {"knife1_front": 0.08, "knife1_back": 0.0, "knife2_front": 0.055, "knife2_back": 0.049}
    assert moves(job, found) == (
        "Raise knife 1 at the back by 0.050 mm.", "Lower knife 1 at the front by 0.030 mm.",
    )  # fmt: skip
    assert moves(job, found, all_told=True)[2] == "Lower knife 2 at the front by 0.005 mm."
    assert len(moves(job, found, all_told=True)) == 3
    turned = moves(job._replace(adjuster=Screw(1.0, 100.0, "away")), found)
    assert turned[0].endswith(": its jack screw clockwise 18°.")
    assert turned[1].endswith(": its jack screw anticlockwise 11°.")


def test_the_spread_of_the_knives_is_from_the_highest_to_the_lowest() -> None:
    """Carries of 6 and 2 mm in a circle of 80: heights 0.113 and 0.013 mm by the chord."""
    job = job_of(Case("carry", {}, ""))._replace(unit="mm")
    given = {"care": "understood", "circle": "80 mm", "knives": "two"}
    given |= {"knife1_front": "6 mm", "knife1_back": "2 mm"}
    given |= {"knife2_front": "5 mm", "knife2_back": "5 mm"}
    outcome = walked("carry", job, given).findings[0].outcome
    assert "all within 0.100 mm of each other" in outcome.lean
