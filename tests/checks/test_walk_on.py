"""A walk that is gone on with stands where the same answers lead from the first step on."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from shopboard.checks import registry
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Step
from shopboard.checks.walk import Method, walk
from tests.checks.readings import GOOD, Case, job_of, right
from tests.in_turn import few


class Counted:
    """A method that counts how often it is asked for its next step."""

    def __init__(self, method: Method) -> None:
        self.method, self.asked = method, 0

    def __getattr__(self, name: str) -> object:
        return getattr(self.method, name)

    def next_step(self, job: CheckContext, answers: Mapping[str, str]) -> Step | None:
        self.asked += 1
        return self.method.next_step(job, answers)


def three_sets(name: str, case: Case) -> dict[str, str]:
    """Answers for three sets of readings that are alike."""
    again = {f"again{n}.{key}": text for n in (2, 3) for key, text in GOOD[name].items()}
    return {**right(case), "repeat1": "yes", "repeat2": "yes", **again}


@pytest.mark.parametrize("name", GOOD)
def test_answer_by_answer_it_is_the_walk_from_the_first_step(name: str) -> None:
    """Also one answer back; and an answer costs no more the later it comes."""
    case = Case(name, {}, "")
    method, job = Counted(registry.method(name)), job_of(case)
    whole = walk(registry.method(name), job, three_sets(name, case), from_file=True)
    assert whole.step is None
    stands = walk(method, job, {})  # type: ignore[arg-type]
    given: dict[str, str] = {}
    looked_at = few(range(len(whole.answered)), 3)
    for at, (step, answer) in enumerate(whole.answered):
        given[step.key] = answer
        method.asked, before = 0, stands
        stands = walk(method, job, given, after=stands)  # type: ignore[arg-type]
        assert method.asked <= 2
        if at in looked_at:
            assert stands == walk(registry.method(name), job, given)
        left = {key: text for key, text in given.items() if key != step.key}
        assert walk(registry.method(name), job, left, after=stands.one_back()) == before
    assert stands.step is None
