"""What is near by square or leaf gap is offered at the machine what may settle it, and when."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from shopboard.checks import registry
from shopboard.checks.job import CheckContext
from shopboard.checks.mean_of_sets import MOST_SETS
from shopboard.checks.outcome import Outcome
from shopboard.checks.reading import Read
from shopboard.checks.settle import (
    WORTH_READING,
    chance_by_turning,
    chance_to_settle,
    what_would_settle,
)
from shopboard.checks.square_finding import SquareSet, as_set, evaluate
from shopboard.checks.steps import Choice, Finding, Step
from shopboard.checks.tools import Tools
from shopboard.checks.walk import Walk, walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import FeelerSet, Square
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.own_hand import LEAF, OwnHand
from shopboard.metrology.square import FEEL_U_MM, Light, SquareReading
from shopboard.metrology.uncertainty import Estimate
from shopboard.shop.reader import read_shop
from shopboard.sittings.point_job import job_for
from tests.builders import UPRIGHT, Person, felt, make_job
from tests.checks.machines import dial_job
from tests.combination import SHOP as COMBINATION
from tests.in_turn import part
from tests.metrology.test_coverage import Hand
from tests.metrology.test_feeler import INCH_SET, METRIC_SET

SQUARE, GAP = registry.method("square"), registry.method("leaf-gap")

METRIC = """\
[shop]
name = "The ferry shed"
unit = "mm"

[[drawer.square]]
id = "square"
name = "Square"
length = "100 mm"
grade = "00"

[[drawer.feeler]]
id = "leaves"
name = "Leaves"
leaves = [0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5]
leaf_tolerance = "0.003 mm"
most_leaves = 1

[[machine]]
id = "mitre"
name = "Mitre saw"
kind = "mitre saw"

[[machine.point]]
id = "blade"
name = "Blade"
check = "square"
datum = "table"
face = "blade"
lever = "80 mm"
tolerance = "2 mm/m"

[[machine.point]]
id = "insert"
name = "Insert"
check = "leaf-gap"
face = "insert below the table"
tolerance = "0.05 to 0.18 mm"
"""
"""Leaves of 0.05 mm one at a time: much coarser than the hand that feels them."""


def job_in(text: str, name: str, tmp_path: Path) -> CheckContext:
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    shop = read_shop(path, registry.names(), registry.facts()).shop
    return job_for(shop, shop.points[name], None)


def led(job: CheckContext, person: Person, **said: str) -> Walk:
    """A person answers until the result stands; what is asked otherwise is as proposed."""
    answers = dict(said)
    while not isinstance((done := walk(SQUARE, job, answers)).step, Finding):
        step = done.step
        assert step is not None
        proposed = isinstance(step, Choice) and step.default is not None
        answers[step.key] = "" if proposed else person.answer(step, job)
    return done


def outcome_of(done: Walk) -> Outcome:
    assert isinstance(done.step, Finding)
    return done.step.outcome


def step_of(done: Walk, key: str) -> Choice:
    step = next(step for step, _ in done.answered if step.key == key)
    assert isinstance(step, Choice)
    return step


def test_near_on_a_combination_machine_it_is_read_again_by_enter(tmp_path: Path) -> None:
    """Leaves of 0.01 mm in stacks of two: how well the hand repeats is most of it."""
    job = job_in(COMBINATION, "saw.blade", tmp_path)
    person = Person(math.atan(0.155 / 80))
    once = outcome_of(led(job, person, repeat1="no"))
    assert once.verdict == "near"
    done = led(job, person, repeat2="no")
    asked = step_of(done, "repeat1")
    assert asked.default == "yes"
    told = " ".join(asked.lines).partition("once more has a ")[2]
    assert f"{chance_to_settle(once, 1):.0%}".replace("%", " %") in told
    place = next(step for step, _ in done.answered if step.key == "again2.place")
    assert any("read it afresh" in line for line in place.lines)
    twice = outcome_of(done)
    assert twice.readings["repeats"]["errors"] == [once.readings["repeats"]["errors"][0]] * 2  # type: ignore[index]
    feel = [
        next(source.u for source in one.estimate.budget.sources if source.hand == LEAF)
        for one in (once, twice)
    ]
    assert feel[1] == pytest.approx(feel[0] / math.sqrt(2))  # GUM 4.2.3
    assert "mean of 2" in " ".join(twice.working)


def test_refused_the_words_lead_back_to_it_with_the_chance(tmp_path: Path) -> None:
    job = job_in(COMBINATION, "saw.blade", tmp_path)
    found = outcome_of(led(job, Person(math.atan(0.155 / 80)), repeat1="no"))
    said = what_would_settle(found)
    assert "taking the readings again" in said
    assert "chance of settling it" in said
    assert "go back for it" in said


def test_where_the_leaves_are_coarse_no_reading_is_asked_for(tmp_path: Path) -> None:
    """The same two leaves would go and not go again: neither asked nor told."""
    job = job_in(METRIC, "mitre.blade", tmp_path)
    done = led(job, Person(math.atan(0.17 / 80)))
    found = outcome_of(done)
    assert found.verdict == "near"
    assert not any(step.key.startswith("repeat") for step, _ in done.answered)
    said = what_would_settle(found)
    assert "leaves between those that you used, or a longer reach" in said
    assert "again" not in said
    assert "once more" not in said
    assert "ten readings" not in said


def gap_led(job: CheckContext, gap: float, **said: str) -> Walk:
    answers: dict[str, str] = {}
    while not isinstance((done := walk(GAP, job, answers)).step, Finding):
        step = done.step
        assert step is not None
        answers[step.key] = said.get(step.key) or _said_of(step, gap)
    return done


def _said_of(step: Step, gap: float) -> str:
    if not isinstance(step, Choice) or not step.big:
        return ""
    return felt(step, gap)


def test_a_gap_is_read_again_where_leaves_are_fine_and_not_where_they_are_coarse(
    tmp_path: Path,
) -> None:
    coarse = job_in(METRIC, "mitre.insert", tmp_path)
    done = gap_led(coarse, 0.17)
    assert outcome_of(done).verdict == "near"
    assert not any(step.key.startswith("repeat") for step, _ in done.answered)
    assert "longer" not in what_would_settle(outcome_of(done))  # a gap has no lever
    leaves = tuple(round(0.03 + 0.01 * at, 2) for at in range(40))
    fine = coarse._replace(
        drawer=coarse.drawer._replace(feelers=(FeelerSet("fine", "Fine leaves", leaves, 0.001, 1),))
    )
    done = gap_led(fine, 0.183, repeat2="no")
    assert step_of(done, "repeat1").default == "yes"
    found = outcome_of(done)
    assert found.readings["sets"] == [{"goes": 180_000, "refused": 190_000}] * 2
    assert "mean of 2" in " ".join(found.working)


def test_a_file_of_answers_gives_the_second_reading_in_a_table(tmp_path: Path) -> None:
    """As for every other method: the table alone says that it was read again."""
    job = job_in(COMBINATION, "saw.blade", tmp_path)
    said = {
        "light": "top",
        "leaf1": "typed",
        "goes": "0.15 mm",
        "refused": "0.16 mm",
        "again2.light": "top",
        "again2.leaf1": "typed",
        "again2.goes": "0.14 mm",
        "again2.refused": "0.15 mm",
    }
    found = walk(SQUARE, job, said, from_file=True).findings[0].outcome
    assert found.readings["gap_nm"] == [145_000, 155_000]
    assert found.estimate.error == pytest.approx(math.atan(0.15 / 80))


def test_two_that_are_too_far_apart_ask_for_a_third(tmp_path: Path) -> None:
    job = job_in(COMBINATION, "saw.blade", tmp_path)
    said = {
        "light": "top",
        "leaf1": "typed",
        "goes": "0.15 mm",
        "refused": "0.16 mm",
        "repeat1": "yes",
        "again2.light": "top",
        "again2.leaf1": "typed",
        "again2.goes": "0.05 mm",
        "again2.refused": "0.06 mm",
        "tools": "",
        "place": "",
        "again2.place": "",
    }
    step = walk(SQUARE, job, said).step
    assert isinstance(step, Choice)
    assert (step.key, step.default) == ("repeat2", "yes")
    assert "A third one will tell which." in " ".join(step.lines)
    both = walk(SQUARE, job, {**said, "repeat2": "no"}).step
    assert isinstance(both, Finding)
    names = [source.name for source in both.outcome.estimate.budget.sources]
    assert "the two readings disagree" in names


def test_turning_the_square_over_tells_its_chance(tmp_path: Path) -> None:
    """A coarse square: it is near by the square's own error."""
    job = job_in(METRIC, "mitre.blade", tmp_path)
    coarse = Square("square", "Square", 100.0, 0.0012)
    job = job._replace(
        geometry=job.geometry._replace(turn="end for end"),
        drawer=job.drawer._replace(squares=(coarse,)),
    )
    person = Person(math.atan(0.11 / 80), turns_over=True)
    step = step_of(led(job, person), "turn")
    assert step.default == "yes"
    declined = outcome_of(led(job, person, turn="no"))
    assert declined.verdict == "near"
    chance = f"{chance_by_turning(declined):.0%}".replace("%", " %")
    assert f"That has a {chance}" in " ".join(step.lines)
    said = what_would_settle(declined)
    assert f"turning the square over (that has a {chance}" in said
    assert outcome_of(led(job, person)).verdict == "true"


def test_a_square_that_reads_worse_than_it_may_be_is_read_again_both_ways() -> None:
    """One degree over six inches, of a square of grade 0; common sense, no source."""
    job = make_job(geometry=UPRIGHT._replace(turn="end for end"))
    liar = Person(0.0, 1.0 / 152.4, turns_over=True)
    done = led(job, liar, turn="yes", doubt1="keep")
    step = step_of(done, "doubt1")
    assert step.default == "again"
    assert "off by more than it should be" in " ".join(step.lines)
    assert "kept on purpose" in outcome_of(done).note
    again = led(job, liar, turn="yes", doubt2="keep")
    assert any(step.key == "reread1.place" for step, _ in again.answered)
    assert any(step.key == "reread1.turned.light" for step, _ in again.answered)


FINE = FeelerSet("fine", "Fine", tuple(round(0.02 + 0.01 * at, 2) for at in range(12)), 0.003, 2)


def _at(
    feelers: FeelerSet, limit: float, tolerance: float, rough: float, lever: float = 100.0
) -> tuple[CheckContext, Tools]:
    """A point against a tolerance in mm, and a hand that is known to be so rough."""
    square = Square("square", "Square", lever, limit)
    rad = tolerance / lever
    hands = () if rough == 1 else (OwnHand(LEAF, rough, 9.0, 20),)
    job = make_job(tolerance=Tolerance(-rad, rad, "as drawn"), hands=hands)
    return job, Tools(square, feelers, lever)


SCENES = {
    "stacks of 0.01 mm": (FINE, 0.0, 0.08, 1.0),
    "a rough hand, half thou": (INCH_SET, 0.0, 0.05, 4.0),
    "a very rough hand, metric": (METRIC_SET, 1e-4, 0.06, 4.0),
}


def read_again(
    chance: random.Random, scene: str, said: Callable[[float, bool], object] = lambda *_: None
) -> tuple[float, Estimate, Outcome]:
    """Read a face whose error is known, again and again as it is proposed."""
    feelers, limit, most, rough = SCENES[scene]
    job, tools = _at(feelers, limit, most, rough)
    hand = Hand(chance, feelers, feel=rough * FEEL_U_MM)
    face, own = chance.uniform(-2 * most, 2 * most) / tools.lever, chance.uniform(-limit, limit)
    real = tools.lever + chance.uniform(-1, 1)

    def once() -> SquareSet:
        reading = hand.read(math.tan(face + own) * real)
        return as_set(tools, Read(reading, 1, hand.most))

    sets = [once()]
    found = evaluate(job, sets)
    while found.verdict == "near" and len(sets) < MOST_SETS:
        promised = chance_to_settle(found, len(sets))
        if promised < WORTH_READING:
            break
        sets.append(once())
        found = evaluate(job, sets)
        said(promised, found.verdict != "near")
    return face, found.estimate, found


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """A hand four times as rough as usual, which is known."""
    return read_again(random.Random(int(rng.integers(2**40))), "a very rough hand, metric")[:2]


@pytest.mark.parametrize("scene", SCENES)
def test_as_often_as_said_it_settles_and_the_intervals_hold(scene: str) -> None:
    """Simulated: leaves off by their tolerance, a hand that feels every try anew.

    Reading on until it is proven is a choice by the result: of those called true no more may be
    out than is stated, and U must hold as ever.
    """
    chance, trials = random.Random(f"{scene} 14"), part(700)
    promised: list[float] = []
    settled = held = true = wrongly = 0

    def said(likely: float, it_did: bool) -> None:
        nonlocal settled
        promised.append(likely)
        settled += it_did

    most = SCENES[scene][2] / 100.0
    for _ in range(trials):
        face, estimate, found = read_again(chance, scene, said)
        held += abs(estimate.error - face) <= estimate.budget.expanded
        if found.verdict == "true":
            true += 1
            wrongly += abs(face) > most
    count = len(promised)
    assert count > 100
    spread = math.sqrt(sum(one * (1 - one) for one in promised)) / count
    assert settled / count == pytest.approx(sum(promised) / count, abs=4 * spread + 0.05)
    assert held >= 0.95 * trials - 3 * math.sqrt(trials * 0.95 * 0.05)
    assert wrongly <= 0.05 * true


def test_turning_over_settles_as_often_as_said() -> None:
    """Simulated likewise, a square of which half the tolerance is not known."""
    chance = random.Random("turned 14")
    job, tools = _at(METRIC_SET, 6e-4, 0.12, 1.0)
    promised: list[float] = []
    settled = 0
    for _ in range(part(900)):
        hand = Hand(chance, METRIC_SET)
        face, own = chance.uniform(-0.0024, 0.0024), chance.uniform(-6e-4, 6e-4)
        one = Read(hand.read(math.tan(face + own) * 100), 1, hand.most)
        first = evaluate(job, [as_set(tools, one)])
        if first.verdict != "near":
            continue
        promised.append(chance_by_turning(first))
        other = Read(hand.read(math.tan(face - own) * 100), 1, hand.most)
        settled += evaluate(job, [as_set(tools, one, other)]).verdict != "near"
    assert len(promised) > 150
    assert settled / len(promised) == pytest.approx(sum(promised) / len(promised), abs=0.12)


def test_the_second_of_one_bracket_moves_nothing_and_is_seldom_worth_it() -> None:
    """Coarse leaves: the mean stays in their middle, so that hardly any reading settles it."""
    job, tools = _at(METRIC_SET._replace(most_leaves=1), 1e-4, 0.06, 1.0)
    side: Light = "top"
    for goes, refused in ((0.03, 0.05), (0.05, 0.1)):
        found = evaluate(job, [as_set(tools, Read(SquareReading(side, goes, refused), 1, 1))])
        if found.verdict == "near":
            assert chance_to_settle(found, 1) < WORTH_READING


def test_a_gap_against_limits_asks_nothing_where_it_is_proven() -> None:
    job = dial_job(parse_limits("0.002 to 0.005 in"))
    done = walk(GAP, job, {"goes": "0.003", "refused": "0.004"}, from_file=True)
    assert [step.key for step, _ in done.answered if step.key.startswith("repeat")] == []


def test_where_no_leaf_went_there_is_none_between(tmp_path: Path) -> None:
    """No light at either end: only a thinner leaf, or a longer reach, would tell more."""
    metric = METRIC.replace('"2 mm/m"', '"0.3 mm/m"')
    found = outcome_of(led(job_in(metric, "mitre.blade", tmp_path), Person(0.0)))
    assert found.verdict == "near"
    said = what_would_settle(found)
    assert "a thinner leaf, or a longer reach" in said
    assert "leaves between" not in said
