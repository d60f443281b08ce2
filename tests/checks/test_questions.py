"""Every question that a check can ask is found, on whatever way."""

from __future__ import annotations

import random

import pytest

from shopboard.checks import registry
from shopboard.checks.blank import questions
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Choice, Number, Words
from shopboard.checks.walk import walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.limits import parse_limits
from tests.builders import SCREW, make_job
from tests.checks.readings import Case, job_of

YES = make_job(tolerance=Tolerance(-0.5, 0.5, "yes", "yes or no"), cutter_near=True)
DRIFT = job_of(Case("drift-angle", {}, ""))
GAP = job_of(Case("leaf-gap", {}, ""))._replace(tolerance=parse_limits("2 to 5 thou"))
TIMED = job_of(Case("timed", {}, ""))


@pytest.mark.parametrize(
    ("name", "job", "asked"),
    [
        ("note", make_job(tolerance=Tolerance(-0.5, 0.5, "noted", "note")), "text"),
        (
            "go-no-go",
            YES,
            "unplugged answer wrong? next? close"
            " left.adjust left.lock left.answer left.wrong? left.next?",
        ),
        (
            "leaf-gap",
            GAP,
            "place goes refused next close left.adjust left.lock left.goes left.refused left.next",
        ),
        (
            "diagonals",
            job_of(Case("diagonals", {}, "")),
            "care cut d1 d2 width other_width length other_length repeat1 next"
            " left.unplugged left.adjust left.lock left.cut left.d1 left.d2 left.width"
            " left.other_width left.length left.other_length left.repeat1 left.next",
        ),
        (
            "drift-angle",
            DRIFT,
            "care cut mark side length offset repeat1 next left.unplugged left.adjust left.lock"
            " left.cut left.mark left.side left.length left.offset left.repeat1 left.next",
        ),
        (
            "frame",
            job_of(Case("frame", {}, "")),
            "care sides cut lay others open width gap.goes? gap.by? gap.refused repeat1"
            " next left.unplugged left.adjust left.lock left.cut left.lay left.others left.open"
            " left.width left.gap.goes? left.gap.by? left.gap.refused left.repeat1 left.next",
        ),
        (
            "timed",
            TIMED,
            "care run off time repeat1 next left.unplugged left.adjust left.lock"
            " left.run left.off left.time left.repeat1 left.next",
        ),
    ],
)
def test_the_questions_of_a_check_by_hand(name: str, job: CheckContext, asked: str) -> None:
    """As they are met at the machine; what is asked only after some answers has a mark."""
    found = questions(registry.method(name), job)
    words = [f"{one.step.key}{'' if one.always else '?'}" for one in found]
    assert words == asked.split()
    after = [one.step.key.startswith("left.") for one in found]
    assert [one.after_correction for one in found] == after


@pytest.mark.parametrize(
    ("name", "job"),
    [
        ("go-no-go", YES._replace(cutter_near=False)),
        ("drift-angle", DRIFT._replace(adjuster=SCREW)),
        ("timed", TIMED),
    ],
)
def test_nothing_else_is_asked_on_ways_by_chance(name: str, job: CheckContext) -> None:
    """Simulated: somebody who answers anything; taken once more it goes by the same names."""
    chance, method = random.Random(name), registry.method(name)
    known = {one.step.key for one in questions(method, job)}
    met: set[str] = set()
    for _ in range(8):
        answers: dict[str, str] = {}
        for _ in range(25):
            step = walk(method, job, answers).step
            if step is None:
                break
            again = step.key.startswith(("again", "left.again", "left2", "left3", "doubt"))
            if again or "turned_sure" in step.key or "reread" in step.key:
                break
            if (
                not step.key.endswith("record")
                and "leaf" not in step.key
                and "repeat" not in step.key
            ):
                met.add(step.key)
            said = "done"
            if isinstance(step, Choice):
                said = chance.choice(step.options).value
            elif isinstance(step, Number):
                unit = "" if step.plain or step.is_turns else " mm"
                low = max(step.above, 0.0)
                high = min(step.at_most, low + 700)
                said = step.default or f"{low + (high - low) * chance.uniform(0.1, 0.9):.3f}{unit}"
            elif isinstance(step, Words):
                said = "so it is"
            answers[step.key] = said
    assert len(met) > 3
    assert met <= known, met - known
