"""What the drawer can prove at a point: each method with what it usually reaches, ranked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopboard.checks import registry
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.possible import refused_size
from shopboard.checks.remedies import would_take
from shopboard.metrology.kind import YES_NO_WORDS, Kind, promised
from shopboard.metrology.quantity import Unit
from shopboard.metrology.reach import usual_of
from shopboard.metrology.square import ReadingError
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.wording import percent


@dataclass(frozen=True)
class Rank:
    """What one method tells of a true point."""

    method: str
    title: str
    kind: Kind
    best: Estimate | None = None
    """What a true point is usually measured as; None: it cannot be run."""
    most: float = 0.0
    """Expanded uncertainty of the one among true points that is known least."""
    probability: float = 0.0
    """The surest that a true point is found to be true by it."""
    proves: bool = False
    """Whether that reaches the shop's level of proof."""
    help: str = ""
    """What would prove it, or what is missing; empty where it proves the point."""

    @property
    def expanded(self) -> float:
        """Its expanded uncertainty, in the unit of `kind`; 0 where it cannot be run."""
        return self.best.budget.expanded if self.best else 0.0


def rank(job: CheckContext, methods: Sequence[str]) -> tuple[Rank, ...]:
    """Rank methods by the uncertainty that each usually reaches; what cannot run comes last."""
    found = [_rank(job, name) for name in methods]
    return tuple(sorted(found, key=lambda one: (one.best is None, one.expanded)))


def _rank(job: CheckContext, name: str) -> Rank:
    method = registry.method(name)
    title, kind = method.title, method.kind
    if kind != job.tolerance.kind:
        what = f"it measures {kind}, the tolerance is of {job.tolerance.kind}"
        return Rank(name, title, kind, help=what)
    try:
        shown = method.of_true_points(job)
        best = usual_of(shown)
        refused, probability = refused_size(method, job), method.surest(job, shown)
    except (NotPossibleError, ReadingError) as error:
        return Rank(name, title, kind, help=str(error))
    if refused:
        return Rank(name, title, kind, help=refused)
    proves = probability >= job.level
    help_with = "" if proves else would_take(best.budget, kind)
    most = max(one.budget.expanded for one in shown)
    return Rank(name, title, kind, best, most, probability, proves, help_with)


def cannot_be_proven(ranks: Sequence[Rank]) -> str:
    """Say that none of the methods can prove a point, and what would do it; empty when one can."""
    if not ranks or any(one.proves for one in ranks):
        return ""
    nearest = nearest_to_proof(ranks)
    if nearest.best is None:
        return f"Your tools cannot settle this: {nearest.help}."
    sure = percent(nearest.probability)
    return f"Your tools cannot settle this ({sure} certain at most): it takes {nearest.help}."


def nearest_to_proof(ranks: Sequence[Rank]) -> Rank:
    """Give the method that comes nearest to proving a point; there must be one."""
    return max(ranks, key=lambda one: one.probability)


def at_best(one: Rank, unit: Unit) -> str:
    """Say what a method usually tells, to stand behind its name; empty for a look."""
    if one.best is None:
        return f"cannot be run: {one.help}"
    if one.kind in YES_NO_WORDS:
        return ""
    words = promised(one.expanded, one.most, one.kind, unit)
    return words if one.proves else f"{words}, which cannot prove it true"
