"""A study of the hand, with a method that sets a tool up, asks how it lies and reads one number.

That nothing is asked ten times which goes without saying, and what is told of ten readings, is
common practice, no source; each number is worked beside it.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from shopboard.checks import registry
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Choice, Do, Finding, Number, Option, Step
from shopboard.checks.study import (
    COARSEST,
    READINGS,
    Study,
    can_study,
    coarseness,
    foreword,
    study_method,
    study_words,
    what_it_says,
)
from shopboard.checks.walk import Answers
from shopboard.metrology.kind import Kind
from shopboard.metrology.own_hand import BRACKET, LEAF
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import make_job

SIDES = (Option("left", "left"), Option("right", "right"))


class Bare(GuidedCheck):
    """Wiped once; set up, laid on a side, looked at and read for each reading."""

    name = "bare"
    title = "Bare"
    kind: Kind = "length"
    half = 0.0
    """Of the bracket, in standard deviations of a usual hand."""

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        return None if "wipe" in answers else Do(key="wipe", title="Wipe it.")

    def measure(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        steps: tuple[Step, ...] = (
            Do(key=f"{prefix}place", title="Place it."),
            Choice(key=f"{prefix}side", title="Which side?", options=SIDES, default="left"),
            Choice(key=f"{prefix}seen", title="Where is light?", options=SIDES),
            Number(key=f"{prefix}value", title="What is read?", unit="mm", lines=("In mm.",)),
        )
        for step in steps:
            if step.key not in answers:
                return step
        value = float(answers[f"{prefix}value"])
        # the tool is known less well the farther from 0 it is read
        budget = Budget((*self.best(job).budget.sources, Source("own", "own error", 1 + value)))
        side = {"side": answers[f"{prefix}side"]}
        estimate = Estimate(value, budget)
        return Outcome("bare", estimate, job.tolerance, self.kind, readings=side)

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        raise NotImplementedError  # nothing is reckoned here

    def best(self, job: CheckContext) -> Estimate:
        bracket = [Source("bracket", "leaves", self.half / 3, hand=BRACKET) for _ in range(3)]
        feel = Source("feel", "feel", 1.0, hand=LEAF)
        return Estimate(0.0, Budget((feel, *(one for one in bracket if self.half))))


def bare(half: float = 0.0, **changes: object) -> Bare:
    """Three brackets of u a third of `half`: the half-width is root(3 x 3) times that, `half`."""
    method = Bare()
    method.half = half
    for name, value in changes.items():
        setattr(method, name, value)
    return method


def gone(method: Bare, job: CheckContext, values: list[float]) -> tuple[list[Step], Finding | None]:
    """Do a study to its end; give what was asked, and its finding."""
    study, answers, steps = Study(method, method.reckon), dict[str, str](), list[Step]()
    left, finding = iter(values), None
    for _ in range(100):
        step = study.next_step(job, answers)
        if step is None:
            break
        steps.append(step)
        finding = step if isinstance(step, Finding) else finding
        value = step.key.endswith("value")
        answers[step.key] = str(next(left)) if value else "right"
    return steps, finding


JOB = make_job(unit="mm")
ALIKE = [2.0] * READINGS


def test_what_goes_without_saying_is_asked_once() -> None:
    """Light is looked for each time, the number is read each time: neither has a usual answer."""
    steps, _ = gone(bare(), JOB._replace(cutter_near=True), ALIKE)
    later = [
        f"reading{number}.{name}"
        for number in range(2, READINGS + 1)
        for name in ("anew", "seen", "value")
    ]
    assert [one.key for one in steps] == [
        *("unplugged", "wipe", "place", "side", "seen", "value"),
        *later,
        *("record", "close"),
    ]
    assert steps[2].lines[0] == "Reading 1 of 10."
    assert steps[5].lines == ("Reading 1 of 10.", "In mm.")
    assert steps[6].lines[0] == "For reading 2 of 10. Start fresh."
    assert steps[8].lines == ("Reading 2 of 10.", "In mm.")


@pytest.mark.parametrize(
    ("hands", "clears", "cutter", "closed"),
    [
        (True, True, False, True),
        (True, False, False, False),
        (True, False, True, True),
        (False, True, True, False),
    ],
)
def test_the_machine_is_cleared_where_hands_left_something(
    hands: bool, clears: bool, cutter: bool, closed: bool
) -> None:
    method = bare(hands_near=hands, clears=clears)
    steps, finding = gone(method, JOB._replace(cutter_near=cutter), ALIKE)
    assert finding is not None
    assert (steps[-1].key == "close") == closed
    assert (steps[0].key == "unplugged") == (hands and cutter)


def test_the_mean_is_known_by_the_tool_of_the_first_and_its_own_scatter() -> None:
    """1, 2 ... 10: mean 5.5, standard deviation 3.0277 (worked: root(82.5 / 9)), over root 10."""
    values = [float(one) for one in range(1, READINGS + 1)]
    _, finding = gone(bare(), JOB._replace(was_moved=True), values)
    assert finding is not None
    assert finding.title == "10 readings."
    assert finding.run == "as-left"
    found = finding.outcome
    assert found.estimate.error == 5.5
    own, scatter = found.estimate.budget.sources  # what is taken as usual of the hand is left out
    assert (own.id, own.u) == ("own", 2.0)  # 1 + 1, as the first was read
    assert scatter.u == pytest.approx(0.9574, abs=1e-4)
    assert scatter.dof == 9
    assert found.note.startswith("With feeler leaves you repeat to 3.")
    assert found.note.endswith(": the checks use it. The mean of 10 readings.")
    assert found.readings["repeats"] == {
        "errors": [int(one * 1e6) for one in values],
        "hand": {"leaf": 1_000_000},
        "half": 0,
    }
    assert found.level == JOB.level
    _, unmoved = gone(bare(), JOB, values)
    assert unmoved is not None
    assert unmoved.run == "as-found"


def test_what_two_sorts_of_reading_make_together_tells_of_neither() -> None:
    """Nearly all of the scatter must be of one: four fifths of the variance."""
    leaf = Source("feel", "feel", 1.0, hand=LEAF)
    for other, told in ((0.4, True), (0.6, False)):
        budget = Budget((leaf, Source("dial", "dial", other, hand="dial")))
        assert bool(what_it_says(ALIKE, budget)) is told
    coarse = Source("bracket", "leaves", 5.0, hand=BRACKET)
    words = what_it_says(ALIKE, Budget((leaf, coarse)))
    assert words == ("They agree as well as the leaves can tell: the usual value stays in use.",)


def test_up_to_the_coarsest_ten_readings_are_offered(monkeypatch: pytest.MonkeyPatch) -> None:
    """A half-width of 4.5 standard deviations of a usual hand still tells of a rough one."""
    methods = {
        "fine": bare(0.3),
        "coarse": bare(3.0),
        "coarsest": bare(COARSEST),
        "beyond": bare(4.51),
        "by cut": bare(0.3, hands_near=False),
        "other": bare(0.3, kind="stress"),
    }
    monkeypatch.setattr(registry, "method", methods.__getitem__)
    job = JOB._replace(tolerance=JOB.tolerance._replace(kind="length"))
    assert coarseness(methods["coarsest"], job) == COARSEST
    assert study_method(job, ("coarsest",)) == "coarsest"
    assert study_method(job, ("beyond",)) == ""
    assert study_method(job, ("by cut", "other", "coarsest", "coarse")) == "coarse"
    assert study_method(job, ("by cut", "other")) == ""
    assert study_method(job, ()) == ""
    assert foreword(methods["coarsest"], job)[0].startswith(
        "They only show here whether your readings"
    )
    assert foreword(methods["beyond"], job)[0].startswith("They say nothing about your hand here")
    assert foreword(methods["fine"], job) == ()
    assert study_words(methods["fine"], job) == "read it ten times: what your own hand repeats to"
    # half as many again as the coarseness: 4.5
    coarse = study_words(methods["coarse"], job)
    assert coarse == "read it ten times: whether your readings scatter 5 times the usual"
    assert can_study(methods["fine"], job)
    assert not can_study(methods["by cut"], job)


def test_how_little_they_tell_is_said_at_the_first_question_alone() -> None:
    steps, _ = gone(bare(3.0), JOB, ALIKE)
    rough = [one.key for one in steps if any("5 times the usual" in line for line in one.lines)]
    assert rough == ["place"]
