"""Leaf gap: leaf by leaf against limits."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.checks import registry
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Choice, Finding, Number
from shopboard.checks.walk import StepError, Walk, walk
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.feeler import stacks
from shopboard.metrology.instruments import Drawer, FeelerSet
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.uncertainty import Estimate
from tests.builders import DRAWER, held_mm, make_job
from tests.checks.machines import dial_job, holds, walked
from tests.cli.program import Program

METHOD = registry.method("leaf-gap")
LIMITS = parse_limits("0.002 to 0.005 in")
"""Guides beside a band: 0.002 to 0.005 in (common practice, no source)."""
JOB = dial_job(LIMITS)
THOU = 0.0254


def felt(job: CheckContext, gap: float, rng: np.random.Generator | None = None) -> Walk:
    """Let somebody try every leaf that is asked for; leaf and hand err a little with `rng`."""
    answers: dict[str, str] = {}
    while True:
        done = walk(METHOD, job, answers)
        if done.step is None or isinstance(done.step, Finding):
            return done
        answers[done.step.key] = _answer(done.step, gap, rng)


def _answer(step: object, gap: float, rng: np.random.Generator | None) -> str:
    if isinstance(step, Number):  # thicker than every leaf: measured otherwise
        return f"{max(gap - 0.05, 0) if step.key == 'goes' else gap + 0.05:.6f} mm"
    if not isinstance(step, Choice):
        return "done"
    if not step.big:  # read it all once more?
        return "no"
    thick = held_mm(step)
    if rng is not None:
        thick += rng.uniform(-0.003, 0.003) + rng.normal(0, 0.004)
    return "goes" if thick <= gap + 1e-6 else "refused"


def outcome_of(done: Walk) -> Outcome:
    assert isinstance(done.step, Finding)
    return done.step.outcome


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Gaps up to 12 thou, leaves off by up to 3 um, a hand that feels to 4 um."""
    gap = rng.uniform(0.0, 12 * THOU)
    return gap, outcome_of(felt(JOB, gap, rng)).estimate


def test_a_planted_gap_is_found_within_u_in_95_of_100() -> None:
    """Simulated, leaf by leaf."""
    holds(trial, 81, 400)


@pytest.mark.parametrize(
    ("thou", "verdict", "words"),
    [
        (3.4, "true", "within its limits"),
        (8.2, "out", "wider than its upper limit"),
        (0.8, "out", "tighter than its lower limit"),
        (0.0, "out", "tighter than its lower limit"),
    ],
)
def test_the_verdict_and_the_words(thou: float, verdict: str, words: str) -> None:
    found = outcome_of(felt(JOB, thou * THOU))
    assert (found.verdict, found.lean) == (verdict, words)


def test_few_leaves_are_tried_and_a_proven_gap_needs_no_further_one() -> None:
    """The first leaf is the lower limit, which must go, the next the upper one; then halving."""
    most = math.ceil(math.log2(len(stacks(JOB.drawer.feelers[0])))) + 2
    for thou in (0.5, 1.8, 2.3, 3.4, 4.7, 6.0, 9.1, 20.0):
        done = felt(JOB, thou * THOU)
        tried = [step for step, _ in done.answered if step.key.startswith("leaf")]
        assert len(tried) <= most
        assert tried[0].big == "2 thou in the gap"
    good = felt(JOB, 3.4 * THOU)
    assert len([key for key in good.answers if key.startswith("leaf")]) <= 4


def test_the_uncertainty_is_that_of_a_monte_carlo() -> None:
    """JCGM 101: a gap between .003 and .004, a leaf off by up to 3 um, a hand that feels to 4."""
    rng = np.random.default_rng(82)
    count = 200_000
    drawn = (
        rng.uniform(3 * THOU, 4 * THOU, count)
        + rng.uniform(-0.003, 0.003, count)
        + rng.normal(0, 0.004, count)
    )
    typed = walked("leaf-gap", JOB, {"goes": "0.003", "refused": "0.004"})
    budget = typed.findings[0].outcome.estimate.budget
    assert budget.u == pytest.approx(float(np.std(drawn)), rel=0.01)


def test_from_a_file_of_answers_the_two_leaves_are_enough() -> None:
    done = walked("leaf-gap", JOB, {"goes": "0.003", "refused": "0.004"})
    assert done.step is None
    found = done.findings[0].outcome
    assert found.kind == "length"
    assert found.estimate.error == pytest.approx(3.5 * THOU)
    assert found.readings["gap_nm"] == [76_200, 101_600]


def test_leaves_that_contradict_each_other_are_refused() -> None:
    """What won't go is thicker than what goes, and agrees with the leaves tried before."""
    with pytest.raises(StepError, match="must be thicker"):
        walked("leaf-gap", JOB, {"goes": "0.004", "refused": "0.003"})
    tried = {"leaf1": "goes", "leaf2": "typed", "goes": "0.0015", "refused": "0.003"}
    with pytest.raises(StepError, match="went already"):
        walked("leaf-gap", JOB, tried)


def test_the_correction_is_the_way_to_the_middle_of_the_limits() -> None:
    """8.5 thou found, 3.5 wanted: 5 thou closer, on a screw of 20 threads a tenth of a turn."""
    screw = Screw(pitch=1.27, arm=1.0, clockwise="toward", name="the guide's screw")
    job = dial_job(LIMITS, adjuster=screw)
    done = walked("leaf-gap", job, {"goes": "0.008", "refused": "0.009", "next": "adjust"})
    text = " ".join(line for step, _ in done.answered for line in step.lines)
    assert "clockwise 36°" in text
    assert "5.0 thou" in text
    assert "The gap must close." in text


def test_without_leaves_it_is_not_possible() -> None:
    job = dial_job(LIMITS)
    bare = Drawer(DRAWER.squares, (), (), ())
    with pytest.raises(NotPossibleError, match="feeler"):
        walked("leaf-gap", job._replace(drawer=bare), {})


def test_the_best_reading_lies_in_the_middle_of_the_limits() -> None:
    best = METHOD.best(JOB)
    assert best.error == pytest.approx(3.5 * THOU, abs=THOU)
    assert best.budget.expanded < LIMITS.half_width
    closed = METHOD.best(dial_job(Tolerance(-0.2, 0.2, "8 thou", "length")))
    assert closed.error == pytest.approx(0.75 * THOU)  # below the thinnest leaf, of 1.5 thou


def test_reckoned(program: Program) -> None:
    """GUM F.2.2.1, from memory: a full step of one thou gives u = 0.28868 thou."""
    words = ("goes=.003in", "refused=.004in", "tolerance=0.002 to 0.005 in", "--json")
    data = program.bare("reckon", "leaf-gap", *words).json
    assert data["error"]["thou"] == pytest.approx(3.5)
    bracket = data["uncertainty"]["budget"][0]
    assert bracket["standard_thou"] == pytest.approx(0.288675, rel=1e-5)
    assert data["verdict"] == "true"
    assert (data["from"]["thou"], data["to"]["thou"]) == pytest.approx((3.0, 4.0))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("goes=.004in", "refused=.003in"), "thinner"),
        (("goes=12thou", "refused=.012in"), "thinner"),
        (("goes=.003in", "refused=.004in", "tolerance=1 deg"), "kind"),
    ],
)
def test_what_cannot_be_is_refused(program: Program, words: tuple[str, ...], says: str) -> None:
    ran = program.bare("reckon", "leaf-gap", *words)
    assert ran.code == 2
    assert says in ran.err


def test_at_the_upper_limit_one_leaf_goes_before_two() -> None:
    """Leaves of 1, 2 and 4 thou, two together: 2 went, so 4 alone tells of 5 before 1 + 4 does."""
    leaves = FeelerSet("few", "Few leaves", tuple(thou * 0.0254 for thou in (1, 2, 4)), 0.003, 2)
    job = make_job(tolerance=parse_limits("2 to 5 thou"), drawer=Drawer((), (leaves,)))
    first = walk(registry.method("leaf-gap"), job, {"place": "done"}).step
    assert first is not None
    assert first.big == "2 thou in the gap"
    second = walk(registry.method("leaf-gap"), job, {"place": "done", "leaf1": "goes"}).step
    assert second is not None
    assert second.big == "4 thou in the gap"
