"""How long a result is good for as the point wanders, as it stands and set to the middle."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome

if TYPE_CHECKING:
    from shopboard.metrology.due import Due
    from shopboard.metrology.spread import Spread


def soon_out(job: CheckContext, outcome: Outcome) -> str:
    """Say when a true point may be out by its wander; empty where that limits nothing."""
    stands = _due(job, outcome, outcome.estimate.spread)
    if stands is None or not stands.by_wander or job.wanders is None:
        return ""
    when = "after" if stands.minutes is not None else "in"
    risk = f"{job.wanders.risk * 100:g} % chance of being out"
    return f"as it moves, {risk} {when} {_time(stands)}"


def set_or_not(job: CheckContext, outcome: Outcome) -> str:
    """Weigh setting a true point to the middle against letting it stand; no full stop."""
    spread, size = outcome.estimate.spread, outcome.estimate.size
    middle = job.set_to.as_it_counts(size=size).middle
    stands, fresh = _due(job, outcome, spread), _due(job, outcome, spread._replace(centre=middle))
    plainly = f"{'reducing it' if size else 'setting it to the middle'} makes it good for longer"
    if stands is None or fresh is None or job.wanders is None:
        return plainly
    if _length(fresh) > _length(stands):
        good = "it stays in tolerance until its next check is due anyway"
        if fresh.by_wander:
            good = f"it is good for {_time(fresh)}"
        return f"{soon_out(job, outcome)}; {'reduced' if size else 'set to the middle'}, {good}"
    if stands.by_wander:
        return f"{soon_out(job, outcome)}, set to the middle or not"
    wander = job.wanders.wander
    if wander.steady and wander.rate * (outcome.estimate.error - middle) < 0:
        return "it drifts toward the middle by itself: left alone it is good for longer"
    return plainly


def _due(job: CheckContext, outcome: Outcome, spread: Spread) -> Due | None:
    """Give how long a result holds; None where no wander is known."""
    if job.wanders is None:
        return None
    from shopboard.metrology.due import holds  # no board waits for it

    wander, every, risk = job.wanders
    tolerance = job.tolerance.as_it_counts(size=outcome.estimate.size)
    return holds(wander, spread, tolerance, every, risk)


def _length(due: Due) -> float:
    """Give how long, by the clock that the wander goes by; without end where it limits nothing."""
    time = due.days if due.minutes is None else due.minutes
    return float(time) if due.by_wander and time is not None else math.inf


def _time(due: Due) -> str:
    from shopboard.metrology.drift_words import days_words, running_words

    return days_words(due.days or 1) if due.minutes is None else running_words(due.minutes)
