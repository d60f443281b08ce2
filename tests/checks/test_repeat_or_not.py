"""When more readings are proposed: where how well it repeats is most of the uncertainty."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest

from shopboard.checks import registry
from shopboard.checks.job import CheckContext
from shopboard.checks.remedies import READ_AGAIN
from shopboard.checks.settle import what_would_settle
from shopboard.checks.steps import Choice
from shopboard.checks.walk import walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.student import coverage_factor
from tests.checks.cuts import TENTH, calliper, cut_job, cut_test, read
from tests.checks.machines import at_least
from tests.checks.test_five_cut import five_cuts

METHOD = cut_test("five-cut")
STRIP = {"care": "understood", "a": "1.0120 in", "length": "16 in"}


def asked(name: str, job: CheckContext, answers: Mapping[str, str], key: str) -> Choice:
    """The question whether to read again, as somebody at the machine sees it."""
    given = dict(answers)
    while (step := walk(registry.method(name), job, given).step) is not None:
        if step.key == key:
            assert isinstance(step, Choice)
            return step
        given[step.key] = given.get(step.key, step.unasked or "done")
    raise AssertionError(given)


def limit(thou_per_ft: float) -> Tolerance:
    rad = math.atan(thou_per_ft / 12_000)
    return Tolerance(-rad, rad, f"{thou_per_ft} thou/ft")


def test_near_and_mostly_scatter_more_readings_are_proposed() -> None:
    """A five-cut strip by the calliper: how well four cuts seat is three quarters of it."""
    step = asked("five-cut", cut_job(tolerance=limit(0.9)), {**STRIP, "b": "1.0085 in"}, "repeat1")
    assert "It would help" in " ".join(step.lines)
    assert step.default == "yes"


def test_proven_it_is_not_needed() -> None:
    """Whatever makes the budget: the verdict stands."""
    step = asked("five-cut", cut_job(tolerance=TENTH), {**STRIP, "b": "1.0085 in"}, "repeat1")
    assert "not needed" in " ".join(step.lines)
    assert step.default == "no"


def test_near_for_the_leaves_sake_more_readings_would_not_help() -> None:
    """An edge pair: leaf, hand and bracket make most of it, and stay however often it is read."""
    answers = {
        "care": "understood",
        "use": "edges",
        "flush": "flush",
        "open": "fence",
        "thickness": "3/4 in",
        "gap.goes": ".0035",
        "gap.refused": ".004",
    }
    job = cut_job(tolerance=limit(30))
    done = walk(registry.method("edge-pair"), job, answers, from_file=True)
    assert done.findings[0].outcome.verdict == "near"
    assert READ_AGAIN.words not in what_would_settle(done.findings[0].outcome)
    step = asked("edge-pair", job, answers, "repeat1")
    assert "would help little" in " ".join(step.lines)
    assert step.default == "no"


@pytest.mark.parametrize("sets", [1, 2, 3, 5])
def test_repeated_cuts_hold_the_planted_error_and_say_how_well(sets: int) -> None:
    """Simulated: so many strips cut in coordinates; U of their mean holds in 95 of 100 trials.

    From three on their own scatter counts, with n - 1 degrees of freedom; five tell more than one.
    """
    rng = np.random.default_rng(20261126 + sets)
    job, trials, hits, widths = cut_job(), 500, 0, []
    for _ in range(trials):
        error, taken = rng.uniform(-0.004, 0.004), []
        for _ in range(sets):
            a, b, length, _ = five_cuts(error, list(rng.normal(0, 0.02 / 400, 5)))
            values = {"a": calliper(rng, a), "b": calliper(rng, b), "length": length}
            taken.append(read(METHOD, job, values))
        found = METHOD.evaluate(job, taken).estimate
        hits += abs(found.error - error) <= found.budget.expanded
        widths.append(found.budget.expanded)
        dofs = {source.dof for source in found.budget.sources if math.isfinite(source.dof)}
        assert dofs == {8.0 if sets < 3 else sets - 1.0}
    assert hits >= at_least(trials)
    if sets == 5:
        alone = METHOD.evaluate(job, taken[:1]).estimate.budget.expanded
        assert np.median(widths) < alone


def test_three_readings_that_scatter_are_judged_with_two_degrees_of_freedom() -> None:
    """GUM Table G.2: k of 4.30 for U, and 2.92 u for a limit: what U says, the verdict says too.

    Three strips, 2, 4 and 6 thou wider at the fence: u of the mean wedge is 2 thou / root 3.
    """
    job = cut_job(tolerance=TENTH)
    given = [
        read(METHOD, job, {"a": 25.4 + thou * 0.0254, "b": 25.4, "length": 400.0})
        for thou in (2.0, 4.0, 6.0)
    ]
    budget = METHOD.evaluate(job, given).estimate.budget
    (scatter,) = (one for one in budget.sources if one.dof == 2)
    assert scatter.u == pytest.approx(2 * 0.0254 / math.sqrt(3) / 1600)
    alone = type(budget)((scatter,))
    assert alone.k == pytest.approx(4.30, abs=5e-3)
    spread = alone.spread_around(0.0)
    assert spread.cdf(2.92 * scatter.u) == pytest.approx(0.95, abs=5e-4)
    assert spread.cdf(coverage_factor(2, 0.90) * scatter.u) == pytest.approx(0.95, abs=1e-9)
