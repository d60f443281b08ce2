"""How many leaves and readings a check still asks for is told, and it keeps to that."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from shopboard.checks import registry
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Choice, Finding, Number, Step
from shopboard.checks.walk import walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.feeler import stacks
from shopboard.metrology.instruments import FeelerSet
from tests.builders import DRAWER, felt, make_job
from tests.checks.readings import GOOD, Case, job_of, right

FEW = FeelerSet("leaves", "Feeler set", tuple(thou * 0.0254 for thou in (1.5, 2, 3, 4, 6, 10, 25)))
FINE = Tolerance(-2e-4, 2e-4, "0.2 mm/m")
GUIDE = Tolerance(0.05, 0.15, "0.05 to 0.15 mm", "length")


def gaps() -> list[float]:
    """A gap between each two stacks that the leaves make, mm: no other is told apart."""
    thick = [0.0, *(one.thickness for one in stacks(FEW))]
    return [(low + high) / 2 for low, high in pairwise(thick)]


def tried(method: str, job: CheckContext, gap: float) -> list[Step]:
    """The steps at which leaves are tried in a gap, until another is asked."""
    answers = {"tools": "square-6 with leaves", "place": "done", "light": "top"}
    steps: list[Step] = []
    for _ in range(20):
        step = walk(registry.method(method), job, answers).step
        if not isinstance(step, Choice) or not step.key.startswith("leaf"):
            return steps
        steps.append(step)
        answers[step.key] = felt(step, gap)
    raise AssertionError(steps)


def most(step: Step) -> int:
    """How many more a step says there are at the most."""
    more = re.fullmatch(r"leaf \d+, (?:at most (\d+) more|the last one)", step.count)
    assert more is not None, step.count
    return int(more[1] or 0)


@pytest.mark.parametrize("method", ["square", "leaf-gap"])
@pytest.mark.parametrize("tolerance", ["usual", "fine"])
def test_no_more_leaves_are_asked_for_than_were_told_and_so_many_may_be(
    method: str, tolerance: str
) -> None:
    """Each gap that the leaves tell apart is felt: the longest way is as long as was told."""
    job = make_job(drawer=DRAWER._replace(feelers=(FEW,)))
    job = job._replace(tolerance=GUIDE) if method == "leaf-gap" else job
    if tolerance == "fine":
        narrow = Tolerance(0.1, 0.11, "0.1 to 0.11 mm", "length")
        job = job._replace(tolerance=narrow if method == "leaf-gap" else FINE)
    longest: dict[tuple[str, str], int] = {}
    told: dict[tuple[str, str], int] = {}
    for gap in gaps():
        steps = tried(method, job, gap)
        for number, step in enumerate(steps):
            there = (step.key, step.title)
            told[there] = most(step)
            longest[there] = max(longest.get(there, 0), len(steps) - number - 1)
    assert longest == told
    assert max(told.values()) > 1


@pytest.mark.parametrize("name", sorted(GOOD))
def test_each_reading_of_a_set_says_which_of_how_many_it_is(name: str) -> None:
    """What is told is counted again by asking: the last one is reading 5 of 5."""
    case = Case(name, {}, "")
    job, given = job_of(case), right(case)
    answers: dict[str, str] = {}
    counts: list[str] = []
    for _ in range(60):
        step = walk(registry.method(name), job, answers).step
        if step is None or isinstance(step, Finding):
            break
        answers[step.key] = given.get(step.key) or step.unasked or step.assumed or "1"
        if isinstance(step, Number | Choice) and step.key not in ("care", "sides", "use"):
            counts.append(step.count)
    while counts and not counts[-1]:  # whether it is read once more is no reading
        counts.pop()
    told = [tuple(map(int, re.findall(r"\d+", one))) for one in counts if one]
    assert told == [(at, len(counts)) for at in range(1, len(counts) + 1)][-len(told) or 99 :]
    assert bool(told) == (name != "timed")
