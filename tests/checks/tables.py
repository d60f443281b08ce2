"""What the tests of form and knives share: a straightedge in the drawer, leaves, whole answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import pytest

from shopboard.checks.asked import Taken
from shopboard.checks.asking import ask_readings
from shopboard.checks.contradiction import Recheck
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import AnswerError, Step
from shopboard.checks.walk import Walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, OtherTool
from shopboard.metrology.uncertainty import Source
from tests.builders import DRAWER, LEAVES, make_job
from tests.checks.cuts import NOWHERE, feel

if TYPE_CHECKING:
    import numpy as np

LIMIT = 0.02
"""The straightedge's own error, mm."""
STRAIGHTEDGE = OtherTool("straightedge", "Straightedge", "straightedge", 1270.0, LIMIT)
TOOLS = Drawer(DRAWER.squares, DRAWER.feelers, DRAWER.shims, (STRAIGHTEDGE,))
THINNEST = LEAVES[0]
TEN_THOU = Tolerance(-0.254, 0.254, "10 thou", "length")


def table_job(**changes: Any) -> CheckContext:
    """A point that is proven with straightedge and leaves."""
    made = {"drawer": TOOLS, "geometry": NOWHERE, "tolerance": TEN_THOU, **changes}
    return make_job(**made)


def gap(key: str, mm: float, rng: np.random.Generator) -> dict[str, str]:
    """Feel a gap and type both leaves."""
    goes, refused = feel(rng, mm)
    return {f"{key}.goes": f"{goes:.4f} mm", f"{key}.refused": f"{refused:.4f} mm"}


def take(method: MeasuredCheck, job: CheckContext, answers: Mapping[str, str]) -> Taken:
    """Make one set of readings from answers, as from a file that leaves out what it may."""
    given = dict(answers)
    taken = ask_readings(job, method.asked(job), given, "")
    while isinstance(taken, Step):
        said = next((implied for other, implied in taken.implied_by if other in given), None)
        if said is None and taken.unasked is None:
            break
        given[taken.key] = said or taken.unasked or ""
        taken = ask_readings(job, method.asked(job), given, "")
    assert isinstance(taken, Taken), taken
    wrong = method.refuse(taken.values, taken.words)
    assert wrong is None or wrong.may_be, wrong  # what is unlikely is kept on purpose
    return taken


def evaluated(method: MeasuredCheck, job: CheckContext, answers: Mapping[str, str]) -> Outcome:
    """Evaluate one set of answers that nothing contradicts."""
    return method.evaluate(job, [take(method, job, answers)])


def drawn_inputs(
    method: MeasuredCheck, job: CheckContext, taken: Taken, rng: np.random.Generator, draws: int
) -> dict[str, np.ndarray]:
    """Draw every input of one set, so many times (JCGM 101, clause 5)."""
    import numpy as np

    inputs = {**taken.inputs, **method.own(job)}
    return {
        name: one.value + sum((draw(rng, source, draws) for source in one.sources), np.zeros(draws))
        for name, one in inputs.items()
    }


def drawn_u(
    method: MeasuredCheck,
    job: CheckContext,
    taken: Taken,
    draws: int = 3000,
    of_all: Callable[[Mapping[str, np.ndarray], Mapping[str, str]], np.ndarray] | None = None,
) -> float:
    """Find u of one set by drawing every input through the formula itself (JCGM 101, clause 5).

    Not through `near`: that one holds for one input at a time. `of_all` is the formula by other
    means, of all draws at once.
    """
    import numpy as np

    rng = np.random.default_rng(101)
    drawn = drawn_inputs(method, job, taken, rng, draws)
    if of_all is None:
        each = ({name: float(some[n]) for name, some in drawn.items()} for n in range(draws))
        results = np.array([method.formula(values, taken.words) for values in each])
    else:
        results = of_all(drawn, taken.words)
    inputs = {**taken.inputs, **method.own(job)}
    known = {source.name for one in inputs.values() for source in one.sources}
    for source in method.evaluate(job, [taken]).estimate.budget.sources:
        if source.name not in known:
            results += draw(rng, source, draws)
    return float(np.std(results, ddof=1))


def draw(rng: np.random.Generator, source: Source, draws: int) -> np.ndarray:
    """Draw from one source: even within its half-width, or normal."""
    half = source.u * 3**0.5
    return rng.uniform(-half, half, draws) if source.even else rng.normal(0, source.u, draws)


def fits(steps: list[Step]) -> None:
    """Titles of at most twelve words, drawings of at most eleven rows."""
    for step in steps:
        assert 0 < len(step.title.split()) <= 12, step.title
        assert len(step.diagram) <= 11
        assert all(len(line) < 76 for line in step.diagram)


def refused_at_the_end(done: Walk, why: str) -> None:
    """The readings are refused with the reason; there is no way on, and nothing is recorded."""
    assert isinstance(done.step, Recheck)
    assert why in done.step.refusal
    assert not done.findings
    with pytest.raises(AnswerError):
        done.step.accept("done")
