"""Checks whose result is said rather than measured, and a time by the watch."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.checks import registry
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.reckoning import ReckoningError
from shopboard.checks.report import outcome_json, outcome_lines
from shopboard.checks.steps import LONGEST_WORDS, AnswerError, Choice, Words
from shopboard.checks.walk import StepError, Walk, walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.limits import parse_limits
from tests.builders import make_job
from tests.checks.readings import TOOLS

YES = Tolerance(-0.5, 0.5, "yes", "yes or no")
NOTED = Tolerance(-0.5, 0.5, "noted", "note")
BRAKE = parse_limits("0 to 10 s")
KNIFE = Geometry("the blade plate", "riving knife, both sides", 0.0)


def knife_job(**changes: object) -> CheckContext:
    return make_job(point="Riving knife in line", geometry=KNIFE, tolerance=YES, **changes)


def led(name: str, job: CheckContext, **answers: str) -> Walk:
    return walk(registry.method(name), job, answers, from_file=True)


# ---------------------------------------------------------------- go or no-go


def test_the_question_comes_from_the_point() -> None:
    step = walk(registry.method("go-no-go"), knife_job(), {}).step
    assert isinstance(step, Choice)
    assert step.title == "Riving knife in line: is it as it should be?"
    assert step.lines[:2] == ("Look at: riving knife, both sides.", "Against: the blade plate.")
    assert [option.value for option in step.options] == ["yes", "no"]


def test_a_yes_is_true_and_closes() -> None:
    done = led("go-no-go", knife_job(), answer="yes")
    assert done.step is None
    assert [one.outcome.verdict for one in done.findings] == ["true"]


def test_a_no_says_what_is_wrong_and_is_looked_at_again_after_it_was_put_right() -> None:
    answers = {"answer": "no", "wrong": "leans left", "next": "adjust", "left.answer": "yes"}
    done = led("go-no-go", knife_job(), **answers)
    assert done.step is None
    assert [one.outcome.verdict for one in done.findings] == ["out", "true"]
    assert [one.run for one in done.findings] == ["as-found", "as-left"]
    assert done.findings[0].outcome.lean == "leans left"


AWAY = {
    *("diagonals", "drift-angle", "edge-pair", "five-cut", "flip", "frame", "snipe", "thickness"),
    *("drilled-angle", "taper"),
    *("square-flip", "three-squares", "three-straightedges", "timed"),
}
"""Read off pieces that were cut, off tools on the bench, or while it runs."""


@pytest.mark.parametrize("name", registry.names())
def test_hands_near_a_cutter_begin_at_the_plug(name: str) -> None:
    """Whatever is read at the machine itself does (common practice, no source)."""
    step = walk(registry.method(name), knife_job(cutter_near=True, drawer=TOOLS), {}).step
    assert step is not None
    assert (step.key == "unplugged") == (name not in AWAY)


def test_a_reckoned_no_is_out() -> None:
    found = outcome_json(registry.method("go-no-go").reckon({"answer": "no"}))
    assert found["verdict"] == "out"
    assert found["probability"] == 0
    assert outcome_lines(registry.method("go-no-go").reckon({"answer": "yes"})) == [
        "answer       yes",
        "verdict      true",
    ]


# ---------------------------------------------------------------- note


def test_a_note_is_kept_as_it_was_written() -> None:
    done = led("note", make_job(tolerance=NOTED), text="belt: a few cracks")
    outcome = done.findings[0].outcome
    assert (outcome.lean, outcome.verdict) == ("belt: a few cracks", "noted")
    assert outcome.readings["text"] == "belt: a few cracks"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "a few words"),
        ("   ", "a few words"),
        ("x" * 201, "201 characters"),
        ("two\nlines", "one line"),
        ("\x1b[31mred", r"U\+001B"),
        ("left \u202eright", r"U\+202E"),
        ("zero\u200bwidth", r"U\+200B"),
    ],
)
def test_a_note_that_cannot_be_shown_is_refused(text: str, words: str) -> None:
    with pytest.raises(StepError, match=words):
        led("note", make_job(tolerance=NOTED), text=text)
    with pytest.raises(ReckoningError, match=words):
        registry.method("note").reckon({"text": text})


@given(st.text())
def test_words_are_taken_as_they_are_or_refused(text: str) -> None:
    try:
        said = Words(key="text", title="").accept(text)
    except AnswerError:
        return
    assert said == text.strip()
    assert first_unfit(said) is None
    assert 0 < len(said) <= LONGEST_WORDS


# ---------------------------------------------------------------- a time


def timed(*times: str, tolerance: Tolerance = BRAKE) -> Walk:
    answers = {"care": "understood", "time": times[0]}
    for number, time in enumerate(times[1:], 2):
        answers |= {f"repeat{number - 1}": "yes", f"again{number}.time": time}
    return led("timed", make_job(tolerance=tolerance, geometry=KNIFE), **answers)


@pytest.mark.parametrize(
    ("time", "verdict"), [("4.2", "true"), ("4.2 s", "true"), ("9.8", "near"), ("13", "out")]
)
def test_a_time_is_judged_against_its_limits(time: str, verdict: str) -> None:
    outcome = timed(time).findings[0].outcome
    assert outcome.verdict == verdict
    assert outcome.kind == "time"


def test_a_time_near_nothing_is_not_near_the_lower_limit() -> None:
    """No time is below 0, so a limit of 0 is never in doubt."""
    outcome = timed("0.2").findings[0].outcome
    assert (outcome.verdict, outcome.lean) == ("true", "9.8 s under 10 s")


def test_readings_that_are_repeated_tell_their_own_scatter() -> None:
    """Three readings have k = 4.30 (GUM table G.2), not 2; the mean and its u by hand."""
    budget = timed("4.0", "4.5", "3.5").findings[0].outcome.estimate.budget
    scatter = next(one for one in budget.sources if "scatter" in one.name)
    assert scatter.u == pytest.approx(0.288675, abs=1e-6)
    assert scatter.dof == 2


def test_it_runs_while_it_is_timed_so_no_plug_is_pulled() -> None:
    job = make_job(tolerance=BRAKE, geometry=KNIFE, cutter_near=True)
    step = walk(registry.method("timed"), job, {}).step
    assert step is not None
    assert step.key == "care"
    assert "manual" in " ".join(step.lines)


def test_a_brake_that_is_too_slow_is_for_the_manual_not_for_a_screw() -> None:
    done = timed("13")
    assert "manual" in done.findings[0].outcome.moves[0]
    assert done.findings[0].outcome.lean == "3.0 s over 10 s"


def test_a_reckoned_time_travels_with_its_unit() -> None:
    found = outcome_json(
        registry.method("timed").reckon({"time": "4.2 s", "tolerance": "0 to 10 s"})
    )
    assert found["error"] == {"s": 4.2}
    assert found["verdict"] == "true"
