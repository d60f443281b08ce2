"""Which questions a round asks, in which order, and what it says to an answer."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks.steps import AnswerError, Caution, Choice
from shopboard.metrology.quantity import Unit
from shopboard.shop.default_safety import PLUG, usual, usual_of_shop
from shopboard.shop.kinds import LONGEST_NAME, LONGEST_WORDS
from shopboard.shop.machine import Cutter, Machine, MachineKind, SafetyQuestion
from shopboard.shop.read_safety import MOST_ANSWERS
from shopboard.upkeep.safety_questions import (
    as_kept,
    is_decision,
    next_step,
    question_asked,
    questions_of_machine,
    questions_of_shop,
)
from tests.builders import make_point, make_shop

KINDS: tuple[MachineKind, ...] = get_args(MachineKind)
SAW = Machine("saw", "Table saw", kind="table saw")
BLADE = Cutter("rip", "Rip blade", "on the machine", "sharp", plate=2.2, kerf=3.2)
EVERY = [*usual_of_shop(), *(question for kind in KINDS for question in usual(kind))]


def names(machine: Machine, *cutters: Cutter) -> list[str]:
    return [one.id for one in questions_of_machine(machine, cutters, "mm")]


def ask(question: SafetyQuestion, answer: str = "", tag: str | None = "") -> Choice | None:
    answers = {question.id: answer} if answer else {}
    return next_step([question], answers, tag)


@pytest.mark.parametrize("kind", [one for one in KINDS if one != "hand tools"])
def test_every_sort_of_machine_begins_with_the_plug_and_asks_the_usual(kind: MachineKind) -> None:
    """The plug first; what the machine must run for last. No cutter is left without a guard."""
    asked = questions_of_machine(Machine("m", "M", kind=kind or "bandsaw"), (), "mm")
    assert asked[0] == PLUG
    assert [one.running for one in asked] == sorted(one.running for one in asked)
    assert asked[-1].id == "stop-button"
    ids = [one.id for one in usual(kind)]
    assert len(set(ids)) == len(ids)
    assert {"plug", "cutter", "stop-button"} < set(ids)
    assert "guard" in ids or kind == "lathe"


def test_nothing_is_asked_of_hand_tools() -> None:
    """They have no plug."""
    assert names(Machine("edges", "Edges", kind="hand tools")) == []
    assert not Machine("edges", "Edges", kind="hand tools", cutters=(BLADE,)).has_round


def test_the_table_saw_has_riving_knife_and_push_sticks() -> None:
    assert {"guard", "riving-knife", "push-sticks"} <= set(names(SAW))
    assert "riving-knife" not in names(SAW._replace(kind="jointer"))
    assert "extinguisher" in [one.id for one in usual_of_shop()]


@pytest.mark.parametrize("question", EVERY, ids=lambda one: one.id)
def test_a_usual_question_keeps_the_rules_of_the_shop_file(question: SafetyQuestion) -> None:
    """It fits a window of 80 columns, has a state that is not wanted, and a digit for each."""
    answers = [*question.wanted, *question.others]
    assert question.wanted
    assert question.others
    assert len({one.lower() for one in answers}) == len(answers) <= MOST_ANSWERS
    assert max(map(len, answers)) <= LONGEST_NAME
    assert len(question.ask) <= LONGEST_WORDS


@pytest.mark.parametrize(
    ("points", "cutters", "asked"),
    [
        ((), (), False),
        ((make_point(),), (), False),
        ((make_point(cutter_near=True),), (), True),
        ((make_point(),), (BLADE,), True),
        ((), (BLADE,), True),
        ((), (BLADE._replace(kind="chisel", like="bit"),), True),  # of a mortiser
        ((), (BLADE._replace(kind="chisel", like="hand tool"),), False),  # that has no plug
    ],
)
def test_only_a_machine_with_a_cutter_is_asked_about(
    points: tuple[object, ...], cutters: tuple[Cutter, ...], asked: bool
) -> None:
    machine = Machine("m", "M", points=points, cutters=cutters)  # type: ignore[arg-type]
    assert machine.has_round is asked
    assert bool(names(machine)) is asked


def test_questions_of_ones_own_follow_or_take_the_place_of_usual_ones() -> None:
    own = SafetyQuestion("paddle", "Look.", ("free",), ("stuck",))
    guard = SafetyQuestion("guard", "Look at ours.", ("on",), ("off",))
    brake = SafetyQuestion("brake", "Start and stop it.", ("stops",), ("runs on",), running=True)
    machine = SAW._replace(safety=(own, guard, brake), not_asked=("push-sticks",))
    asked = {one.id: one for one in questions_of_machine(machine, (), "mm")}
    assert asked["guard"].ask == "Look at ours."
    assert list(asked) == [
        *("plug", "cutter", "guard", "riving-knife", "paddle", "stop-button", "brake")
    ]
    assert names(machine._replace(safety=(guard,), kind="")) == ["guard"]
    shop = make_shop(safety=(own,), not_asked=("floor",))
    of_shop = [one.id for one in questions_of_shop(shop)]
    assert of_shop[-1] == "paddle"
    assert "floor" not in of_shop


def test_a_plug_of_ones_own_is_still_asked_first_and_stops_the_round() -> None:
    """Such as the fuse of a machine without a plug."""
    fuse = SafetyQuestion("plug", "The fuse: where is it?", ("in my pocket",), ("in its place",))
    first = questions_of_machine(SAW._replace(safety=(fuse,)), (), "mm")[0]
    assert (first.ask, first.plug) == (fuse.ask, True)
    assert isinstance(ask(first), Caution)


@pytest.mark.parametrize(
    ("unit", "words"), [("inch", ("0.087 in", "0.126 in")), ("mm", ("2.20 mm", "3.20 mm"))]
)
def test_the_riving_knife_is_asked_for_by_both_numbers_of_the_blade_that_is_on(
    unit: Unit, words: tuple[str, str]
) -> None:
    """It must be thicker than the plate and thinner than the kerf (common practice, no source)."""
    asked = {one.id: one for one in questions_of_machine(SAW, (BLADE,), unit)}
    plate, kerf = words
    assert f"thicker than the plate, {plate}" in asked["riving-knife"].ask
    assert f"thinner than the kerf, {kerf}" in asked["riving-knife"].ask
    assert len(asked["riving-knife"].ask) <= LONGEST_WORDS
    without = questions_of_machine(SAW, (BLADE._replace(kerf=None),), unit)
    assert not any(plate in one.ask for one in without)


def test_the_wanted_answer_is_not_always_the_same_digit() -> None:
    """Else a round could be pressed through without looking."""
    places = set()
    for question in EVERY:
        step = ask(question)
        assert step is not None
        labels = [one.label for one in step.options]
        assert sorted(labels) == sorted([*question.wanted, *question.others])
        again = ask(question)
        assert again is not None
        assert again.options == step.options  # but always the same place for one question
        if not question.plug:
            places.add(labels.index(question.wanted[0]))
    assert len(places) >= 3


@pytest.mark.parametrize("question", EVERY, ids=lambda one: one.id)
def test_any_other_state_is_called_not_as_wanted_and_offers_a_tag(question: SafetyQuestion) -> None:
    for answer in question.wanted:
        assert ask(question, answer) is None
    for answer in question.others:
        for tag, values in (("", ["tag", "go on"]), ("taken apart", ["tag", "go on"])):
            step = ask(question, answer, tag)
            assert step is not None
            assert is_decision(step)
            assert question_asked(step) == question.id
            assert step.title.startswith("Not right. ")
            assert answer in step.title
            assert all(one in step.lines[0] for one in question.wanted)
            assert [one.value for one in step.options] == values
            assert step.default is None
            assert (tag in " ".join(step.lines)) or not tag


def test_the_shop_itself_cannot_be_tagged() -> None:
    step = ask(usual_of_shop()[0], usual_of_shop()[0].others[0], None)
    assert step is not None
    assert [one.value for one in step.options] == ["go on"]
    assert step.default == "go on"


def test_while_it_cannot_be_cut_off_nothing_more_is_asked() -> None:
    """Keep your hands off."""
    asked = questions_of_machine(SAW, (), "mm")
    answers = {"plug": PLUG.others[0]}
    step = next_step(asked, answers, "")
    assert step is not None
    assert "Keep your hands off" in " ".join(step.lines)
    assert next_step(asked, {**answers, step.key: "go on"}, "") is None
    following = next_step(asked, {"plug": PLUG.wanted[1]}, "")
    assert following is not None
    assert following.key == "cutter"


def test_an_answer_that_is_no_longer_one_is_asked_for_again() -> None:
    """The shop file was edited meanwhile."""
    step = ask(SafetyQuestion("guard", "Look.", ("on",), ("off",)), "swings back")
    assert step is not None
    assert not is_decision(step)


def test_what_runs_begins_with_the_usual_caution() -> None:
    question = next(one for one in usual("bandsaw") if one.running)
    step = ask(question)
    assert step is not None
    assert "every guard back" in step.lines[0]
    assert "maker's manual" in step.lines[-1]


WORDS = st.text("abc ABC[]'-", min_size=1, max_size=12).map(str.strip).filter(bool)


@given(st.lists(WORDS, min_size=2, max_size=9, unique_by=lambda one: " ".join(one.lower().split())))
def test_an_answer_is_kept_in_its_own_words_however_it_is_given(states: list[str]) -> None:
    """By its digit, or typed without regard to capitals and spaces."""
    question = SafetyQuestion("thing", "Look.", (states[0],), tuple(states[1:]))
    step = ask(question)
    assert step is not None
    for number, option in enumerate(step.options, 1):
        assert as_kept(step, step.accept(str(number))) == option.label
        if not option.label.strip().isdigit():
            assert as_kept(step, step.accept(f"  {option.label.upper()} ")) == option.label
    with pytest.raises(AnswerError):
        step.accept(str(len(states) + 1))
    with pytest.raises(AnswerError):
        step.accept("")


def test_a_sander_is_asked_of_its_abrasive_and_no_teeth() -> None:
    """Sparks in wood dust burn hours later: common practice, no source."""
    asked = {one.id: one for one in usual("sander")}
    assert [*asked][:2] == ["plug", "cutter"]
    assert {"guard", "work-rest", "sparks"} < set(asked)
    assert all("tooth" not in words for words in asked["cutter"].others)
