"""Whether a point can be set: by its adjuster, by what the method says, by the maker's manual."""

from __future__ import annotations

from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.metrology.kind import KINDS, YES_NO_WORDS

NOTHING_TO_TURN = (
    "The shop file names no adjuster here: set it by the maker's manual, then check it again."
)


def can_be_set(job: CheckContext, outcome: Outcome) -> bool:
    """Tell whether there is something to do: the method says what, or the adjuster moves it.

    An adjuster moves what departs from its place; no turn of a screw is worth so many seconds.
    """
    return bool(outcome.moves) or (job.adjuster is not None and KINDS[outcome.kind].departs)


def is_set_by_manual(job: CheckContext, outcome: Outcome) -> bool:
    """Tell whether a point is out that only the maker's manual tells how to set."""
    is_measured = outcome.tolerance is not None and outcome.kind not in YES_NO_WORDS
    is_out = is_measured and outcome.verdict == "out"
    return is_out and not job.proves and not can_be_set(job, outcome)


def aim_of(job: CheckContext, outcome: Outcome) -> str:
    """Say where what is out must go; empty where no way is told."""
    middle = job.set_to.as_it_counts(size=outcome.estimate.size).middle
    return outcome.aims[0 if outcome.estimate.error > middle else 1]
