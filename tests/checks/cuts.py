"""What the tests of the cut tests share: virtual hands and tools, jobs, a Monte Carlo of u."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from shopboard.checks import registry
from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.contradiction import Recheck
from shopboard.checks.inputs import input_of, leaf_input
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, OtherTool
from shopboard.metrology.propagate import Input
from shopboard.metrology.uncertainty import Estimate, Source
from tests.builders import LEAVES, SQUARE_6, make_job
from tests.checks.machines import CALLIPER, DIALS, at_least, hits, walked
from tests.in_turn import part

if TYPE_CHECKING:
    import numpy as np

STRAIGHTEDGE = OtherTool("straightedge", "Straightedge", "straightedge", 914.4, 0.03)
TOOLS = Drawer((SQUARE_6,), DIALS.feelers, DIALS.shims, (CALLIPER, STRAIGHTEDGE))
NOWHERE = Geometry("", "", 0.0)
"""A point that no square is used on."""
TENTH = Tolerance(-math.radians(0.1), math.radians(0.1), "0.1 deg")

CUT_TESTS = ("flip", "five-cut", "frame", "diagonals", "edge-pair", "thickness", "snipe")


def cut_job(**changes: Any) -> CheckContext:
    """A point that is proven by a test cut, with a calliper and a straightedge in the drawer."""
    return make_job(**{"drawer": TOOLS, "geometry": NOWHERE, "tolerance": TENTH, **changes})


def cut_test(name: str, use: str = "") -> MeasuredCheck:
    """A method by name, in one of its uses."""
    found = registry.method(name)
    assert isinstance(found, MeasuredCheck)
    if not use:
        return found
    uses = {one.name: one for one in found.uses}  # type: ignore[attr-defined]
    made = type(found)(uses[use])  # type: ignore[call-arg]
    assert isinstance(made, MeasuredCheck)
    return made


def feel(rng: np.random.Generator, gap: float) -> tuple[float, float]:
    """Feel a gap with leaves off by up to 3 um and a hand that errs by 4 um: two leaves."""
    shift = rng.uniform(-0.003, 0.003) + rng.normal(0, 0.004)
    return between(gap + shift)


def between(gap: float) -> tuple[float, float]:
    """The thickest leaf that goes into a gap, and the thinnest that won't; stacks above 25 thou."""
    steps = (0.0, *LEAVES, *(thou * 0.0254 for thou in range(26, 400)))
    goes = max(one for one in steps if one <= max(gap, 0.0))
    return goes, min(one for one in steps if one > goes)


def calliper(rng: np.random.Generator, true: float) -> float:
    """Read the calliper: off by anything within its limit, read to the nearest thousandth."""
    shown = true + rng.uniform(-CALLIPER.limit, CALLIPER.limit)
    return float(round(shown / 0.0254) * 0.0254)


def read(
    method: MeasuredCheck,
    job: CheckContext,
    values: Mapping[str, float],
    words: Mapping[str, str] | None = None,
    leaves: tuple[float, float] | None = None,
) -> Taken:
    """Make a set of readings (mm); a gap is given by the two leaves that hold it."""
    said, inputs = {"flush": "flush", **(words or {})}, dict[str, Input]()
    for one in method.asked(job):
        if isinstance(one, Pick):
            assert said.get(one.key) in {value for value, _ in one.options}, one.key
        elif isinstance(one, Reading) and one.tool == "leaves":
            assert leaves is not None
            goes, refused = leaves
            low = -refused if said["open"] == "none" else goes
            inputs[one.key] = leaf_input(
                one.key, low, refused, job.drawer.feelers[0].leaf_tolerance
            )
        else:
            inputs[one.key] = input_of(job, one, values[one.key], said)
    return Taken(inputs, said)


def found(method: MeasuredCheck, job: CheckContext, taken: Taken) -> Outcome:
    """Evaluate one set of readings that nothing contradicts."""
    assert method.refuse(taken.values, taken.words) is None
    return method.evaluate(job, [taken])


def holds(trial: Callable[[np.random.Generator], tuple[float, Estimate]], trials: int) -> None:
    """Assert that U holds the planted error in 95 of 100 trials."""
    import numpy as np

    rng, trials = np.random.default_rng(20261125), part(trials)
    done = [trial(rng) for _ in range(trials)]
    assert hits(done) >= at_least(trials)
    # Nor may U be so wide that it says nothing: half of it must miss now and then.
    assert (
        sum(abs(one.error - true) > 0.5 * one.budget.expanded for true, one in done) > trials / 20
    )


def budget_by_monte_carlo(
    method: MeasuredCheck, job: CheckContext, taken: Taken, draws: int = 8000
) -> float:
    """Give u of a result by drawing every source through the formula (JCGM 101, clause 5)."""
    import numpy as np

    rng = np.random.default_rng(101)
    drawn = {
        name: one.value
        + sum((_draw(rng, source, draws) for source in one.sources), np.zeros(draws))
        for name, one in taken.inputs.items()
    }
    formula = method.near(taken.values, taken.words)
    results = np.array(
        [formula({name: float(some[n]) for name, some in drawn.items()}) for n in range(draws)]
    )
    read_sources = {source.name for one in taken.inputs.values() for source in one.sources}
    for source in method.evaluate(job, [taken]).estimate.budget.sources:
        if source.name not in read_sources:
            results += _draw(rng, source, draws)
    return float(np.std(results, ddof=1))


def u_agrees(
    method: MeasuredCheck, job: CheckContext, lever: Mapping[str, float], end: str, gap: float
) -> None:
    """Assert that u of a gap (mm), open at that end, is that of a Monte Carlo."""
    words = {"open": "none" if gap == 0 else end}
    taken = read(method, job, lever, words, between(gap))
    u = found(method, job, taken).estimate.budget.u
    assert math.isclose(budget_by_monte_carlo(method, job, taken), u, rel_tol=0.03)


def _draw(rng: np.random.Generator, source: Source, draws: int) -> np.ndarray:
    if source.even:
        half = source.u * math.sqrt(3)
        return rng.uniform(-half, half, draws)
    return rng.normal(0, source.u, draws)


def contradiction(name: str, job: CheckContext, answers: Mapping[str, str]) -> str:
    """Why a file of answers cannot be gone on with; nothing is recorded."""
    done = walked(name, job, answers)
    assert done.findings == ()
    assert isinstance(done.step, Recheck)
    return done.step.refusal
