"""What each step takes for an answer, and the one sentence with which it refuses the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.checks.correction_steps import unplug
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.steps import AnswerError, Caution, Choice, Do, Finding, Number, Option, Step
from shopboard.checks.turning import ask_turned_by
from shopboard.checks.walk import StepError, walk
from shopboard.metrology.adjuster import Correction
from shopboard.metrology.instruments import Drawer
from tests.builders import (
    FEELERS,
    INCH,
    METHOD,
    SQUARE_6,
    UPRIGHT,
    Person,
    follow,
    make_job,
    step_at,
)
from tests.in_turn import part

LED = {"tools": "square-6 with leaves", "place": "done", "light": "top"}
TYPED = {**LED, "leaf1": "typed"}
HOSTILE = ["\x1b[2J", "\u202etop", "top\x00", "[red]top[/red]", "%s", "'; DROP TABLE", "9" * 5000]
NO_NUMBER = ["", "nan", "inf", "-inf", "1e3", "0x12", "1/0", "twelve", "1 2", "١", "12 furlongs"]


def refusal(step: Step, text: str) -> str:
    """The sentence with which a step refuses a text."""
    with pytest.raises(AnswerError) as caught:
        step.accept(text)
    return str(caught.value)


def every_step() -> list[Step]:
    """A step of every kind, as the check asks them."""
    job = make_job(cutter_near=True)
    done = follow(job, Person(0.004, types=True))
    return [step for step, _ in done.answered]


def number(**changes: object) -> Number:
    step = step_at(make_job(), TYPED)
    assert isinstance(step, Number)
    return replace(step, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize("step", [one for one in every_step() if isinstance(one, Choice | Number)])
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_refused_in_one_short_line(step: Step, text: str) -> None:
    """Escapes, bidi, NUL, markup, very long text: one line, nothing of it raw."""
    said = refusal(step, text)
    assert said.isprintable()
    assert len(said) < 300


@given(st.sampled_from(every_step()), st.text(max_size=80))
@settings(max_examples=part(150), deadline=None)
def test_any_text_is_answered_or_refused(step: Step, text: str) -> None:
    """No text breaks a step; what it keeps, it would accept again unchanged."""
    kept, said = "", ""
    try:
        kept = step.accept(text)
    except AnswerError as error:
        said = str(error)
    assert said or step.accept(kept) == kept
    assert first_unfit(said) is None


@pytest.mark.parametrize("text", NO_NUMBER)
def test_what_is_no_number_is_refused(text: str) -> None:
    """Nothing, NaN, infinities, exponents, words, foreign digits, two numbers."""
    assert refusal(number(), text)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("-0.001", "thinner than 0"),
        ("7 in", "larger than"),
        ("99999999 in", "larger than"),
        ("2 m", "larger than"),
    ],
)
def test_a_gap_below_nothing_or_beyond_the_lever_is_refused(text: str, why: str) -> None:
    """A leaf is not thinner than 0; a gap as large as the lever is a slip of the unit."""
    assert why in refusal(number(), text)


@pytest.mark.parametrize(
    ("goes", "refused"),
    [
        (".012", ".012"),
        (".012", ".010"),
        ("12 thou", "0.012 in"),
        ("0.012 in", "12 thou"),
        ("0.3048 mm", "12 thou"),
        (".012", "0"),
    ],
)
def test_what_goes_must_be_thinner_than_what_will_not(goes: str, refused: str) -> None:
    """The same leaf cannot do both, however it is written; the step stays."""
    with pytest.raises(StepError) as caught:
        walk(METHOD, make_job(), {**TYPED, "goes": goes, "refused": refused})
    assert caught.value.step.key == "refused"
    assert "must be thicker" in str(caught.value)


def test_typed_leaves_must_agree_with_those_tried() -> None:
    """What went when it was tried cannot be thicker than the thickest that goes, and so on."""
    job = make_job()
    first = step_at(job, LED)
    assert isinstance(first, Choice)
    assert first.big == "10 thou at the TOP"  # what a tenth of a degree lets in over 6 in
    went = {**LED, "leaf1": "goes", "leaf2": "typed"}
    stuck = {**LED, "leaf1": "refused", "leaf2": "typed"}
    assert "went already" in refusal(step_at(job, went), ".009")
    assert step_at(job, went).accept("10 thou") == "10 thou"
    assert "did not go" in refusal(step_at(job, stuck), ".010")
    assert "did not go" in refusal(step_at(job, {**stuck, "goes": ".008 in"}), ".012")
    assert step_at(job, {**stuck, "goes": ".008 in"}).accept("10 thou") == "10 thou"


def test_a_thinnest_leaf_that_went_binds_what_is_typed() -> None:
    """No light, yet the thinnest leaf goes at the top: "0 goes" contradicts that."""
    answers = {**LED, "light": "none", "both": "top", "leaf2": "typed"}
    assert "went already" in refusal(step_at(make_job(), answers), "0")


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        (".012", ".012 in"),
        ("1/64", "1/64 in"),
        ("½ mm", "½ mm"),
        ("0", "0 in"),
        ("3 thou", "3 thou"),
    ],
)
def test_a_bare_number_is_kept_with_the_shops_unit(typed: str, kept: str) -> None:
    """What was understood is what is kept, whatever the shop's unit becomes later."""
    assert number().accept(typed) == kept


def test_a_vulgar_fraction_is_kept_with_its_unit() -> None:
    """1/4 as one character is a bare number, too."""
    assert number().accept("¼") == "¼ in"


def test_a_bare_number_in_a_metric_shop_is_mm() -> None:
    """0.05 is a twentieth of a millimetre there; a fraction must say of what."""
    metric = number(unit="mm")
    assert metric.accept("0.05") == "0.05 mm"
    assert "unit" in refusal(metric, "1/64")


def test_no_number_of_a_choice_is_read_from_a_held_key() -> None:
    """5,000 digits in a row are refused like any other wrong answer."""
    assert len(refusal(step_at(make_job(), LED), "1" * 5000)) < 100


def test_a_choice_takes_its_number_or_its_word_and_hints_at_slips() -> None:
    """1 or goes; gose was meant to be goes."""
    step = step_at(make_job(), LED)
    assert step.accept("1") == step.accept(" Goes ") == "goes"
    assert "did you mean goes" in refusal(step, "gose")
    assert refusal(step, "4")
    assert refusal(step, "0")
    assert refusal(step, "-1")


def test_enter_alone_never_answers_a_caution() -> None:
    """That the plug is out is said, or it is not so."""
    step = unplug("unplugged", "Unplug.")
    assert isinstance(step, Caution)
    for text in ("", " ", "y", "yes", "ok"):
        assert refusal(step, text)
    assert step.accept("1") == step.accept("plug out") == "plug out"


def test_enter_alone_takes_the_default_of_a_choice_that_has_one() -> None:
    """The tools that know most are taken by Enter alone; light is never assumed."""
    assert step_at(make_job(), {}).accept("") == LED["tools"]
    assert refusal(step_at(make_job(), {**LED, "light": "top"}), "")


@pytest.mark.parametrize("text", ["no", " No ", "n"])
def test_a_no_does_not_go_on(text: str) -> None:
    """To a thing to do, and to a finding, no means stay."""
    done = follow(make_job(), Person(0.0))
    (finding,) = done.findings
    assert "must be done" in refusal(Do(key="x", title="Do it."), text)
    assert "back" in refusal(finding, text)
    assert isinstance(finding, Finding)
    assert finding.accept("") == "record"


def test_turns_are_counted_from_nothing_up() -> None:
    """Degrees or turns; 135 alone is 135 turns, which no stop screw makes."""
    step = ask_turned_by(make_job(), Correction(turns=0.375, move=0.4), "left.turned_by")
    assert step.accept("") == "135 deg"
    assert step.accept("3/8") == "3/8"
    for text in ("-1/8", "135", "3/8 in", "nan", "lots"):
        assert refusal(step, text)


def test_the_advised_turn_can_always_be_taken_by_enter_alone() -> None:
    """Even where a fine thread at a long arm asks for thirty turns."""
    step = ask_turned_by(make_job(), Correction(turns=31.5, move=20), "left.turned_by")
    assert step.accept("") == "11340 deg"


def test_an_option_is_told_apart_by_its_value_alone() -> None:
    """A label is for the eye: it is no answer, so that changing words changes no file."""
    step = Choice(key="x", title="", options=(Option("goes", "goes in"), Option("refused", "no")))
    assert refusal(step, "goes in")


def empty_of(*, squares: bool) -> CheckContext:
    drawer = Drawer((SQUARE_6,), ()) if squares else Drawer((), (FEELERS,))
    return make_job(drawer=drawer, cutter_near=False)


@pytest.mark.parametrize("squares", [True, False])
def test_without_square_or_leaves_there_is_no_check(squares: bool) -> None:
    """Said before anything is asked, with what is missing."""
    with pytest.raises(NotPossibleError, match="square and a set of feeler leaves"):
        walk(METHOD, empty_of(squares=squares), {})


def test_a_lever_shorter_than_the_thinnest_leaf_is_no_check() -> None:
    """No leaf can be tried over a lever of a millimetre: one sentence, nothing breaks."""
    job = make_job(geometry=UPRIGHT._replace(lever=0.9))
    with pytest.raises(NotPossibleError, match="reach"):
        walk(METHOD, job, {})


def test_over_a_very_short_lever_only_leaves_thinner_than_it_are_tried() -> None:
    """A hair over a millimetre: the check goes its way and ends."""
    job = make_job(geometry=UPRIGHT._replace(lever=1.2))
    assert follow(job, Person(0.0)).step is None
    assert follow(job, Person(0.15, types=True)).step is None


def test_tools_that_left_the_drawer_are_asked_for_again() -> None:
    """The shop file was edited in the middle of a check: no dead end, the question comes back."""
    job = make_job(drawer=Drawer((SQUARE_6._replace(id="square-new"),), (FEELERS,)))
    with pytest.raises(StepError) as caught:
        walk(METHOD, job, LED)
    assert caught.value.step.key == "tools"
    assert "square-new" in str(caught.value)


def test_the_lever_is_never_longer_than_the_squares_blade() -> None:
    """A point with a reach of 9 in, a square of 6: leaves go in 6 in from the touching end."""
    long = make_job(geometry=UPRIGHT._replace(lever=9 * INCH))
    place = step_at(long, {"tools": LED["tools"]})
    assert any("6 in from" in line for line in place.lines)
