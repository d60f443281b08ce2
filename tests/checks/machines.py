"""What the tests of measured checks share: a drawer with dials, feeding readings, counting hits."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from shopboard.checks import registry
from shopboard.checks.asked import Reading, Taken
from shopboard.checks.inputs import input_of
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.walk import Walk, walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, OtherTool
from shopboard.metrology.uncertainty import Estimate
from tests.builders import DRAWER, make_job
from tests.in_turn import part

if TYPE_CHECKING:
    import numpy as np

INDICATOR = OtherTool("dial", "Dial indicator", "indicator", 25.4, 0.0127)
CALLIPER = OtherTool("calliper", "Calliper", "calliper", 152.4, 0.0254)
DIALS = Drawer(DRAWER.squares, DRAWER.feelers, DRAWER.shims, (INDICATOR, CALLIPER))
HALF_STEP = 0.0127
"""Half of the step that a dial is read to, mm."""


def measured(name: str) -> MeasuredCheck:
    """A method of typed readings by its name."""
    found = registry.method(name)
    assert isinstance(found, MeasuredCheck)
    return found


def dial_job(tolerance: Tolerance, **changes: Any) -> CheckContext:
    """A point with a dial indicator and a calliper in the drawer, in no words of its own."""
    return make_job(drawer=DIALS, geometry=Geometry("", "", 0.0), tolerance=tolerance, **changes)


def fed(
    method: MeasuredCheck,
    job: CheckContext,
    values: Mapping[str, float],
    words: Mapping[str, str] | None = None,
) -> Outcome:
    """Feed readings (mm) to a check as if they had been typed."""
    asked = [one for one in method.asked(job) if isinstance(one, Reading) and one.key in values]
    inputs = {one.key: input_of(job, one, values[one.key], words or {}) for one in asked}
    assert method.refuse(values, words or {}) is None
    return method.evaluate(job, [Taken(inputs, words or {})])


def dial(rng: np.random.Generator, true: float, tool: OtherTool = INDICATOR) -> float:
    """Read a dial: off by anything within its limit, read to the nearest step."""
    shown = true + rng.uniform(-tool.limit, tool.limit)
    return round(shown / (2 * HALF_STEP)) * 2 * HALF_STEP


def rule(rng: np.random.Generator, true: float) -> float:
    """Read a rule: off by up to half a millimetre."""
    return float(true + rng.uniform(-0.5, 0.5))


def hits(trials: Sequence[tuple[float, Estimate]]) -> int:
    """How often the planted error lies within U of what was found."""
    return sum(abs(one.error - true) <= one.budget.expanded for true, one in trials)


def at_least(trials: int) -> float:
    """95 of 100, less three standard deviations of the count."""
    return 0.95 * trials - 3 * math.sqrt(trials * 0.95 * 0.05)


def holds(
    trial: Callable[[np.random.Generator], tuple[float, Estimate]], seed: int, trials: int = 500
) -> None:
    """Assert that U holds the planted error in 95 of 100 trials."""
    import numpy as np

    rng, trials = np.random.default_rng(seed), part(trials)
    assert hits([trial(rng) for _ in range(trials)]) >= at_least(trials)


def monte_carlo_u(
    formula: Callable[[Mapping[str, Any]], Any],
    drawn: Mapping[str, Any],
) -> float:
    """Standard deviation of a formula over drawn inputs (JCGM 101, clause 5)."""
    import numpy as np

    return float(np.std(formula(drawn), ddof=1))


def walked(name: str, job: CheckContext, answers: Mapping[str, str]) -> Walk:
    """Walk a check with a file of answers."""
    return walk(registry.method(name), job, answers, from_file=True)


def closed(name: str, job: CheckContext, answers: Mapping[str, str]) -> Outcome:
    """Walk a check from its first step until it is closed; give what was recorded first."""
    done = walked(name, job, answers)
    assert done.step is None, done.step
    return done.findings[0].outcome
