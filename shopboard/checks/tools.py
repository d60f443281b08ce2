"""Which square and leaves to take, and what they usually tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.own_hand import by_own_hand
from shopboard.checks.remedies import would_take
from shopboard.checks.steps import Choice, Option
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import PROVEN, Drawer, FeelerSet, Square
from shopboard.metrology.kind import promised
from shopboard.metrology.own_hand import OwnHand
from shopboard.metrology.reach import AS_GOOD, FINE_ENOUGH, Reach, reaches, true_errors
from shopboard.metrology.square import ReadingError
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.wording import percent

_MOST_OFFERED = 6
"""More tools than this do not fit on the screen beside the number pad's keys."""


@dataclass(frozen=True)
class Tools:
    """The square and the leaves in use, and the lever that they give."""

    square: Square
    feelers: FeelerSet
    lever: float
    """mm."""


def reaches_of(job: CheckContext) -> tuple[Reach, ...]:
    """Give what every square with every set of leaves tells at a point, the finest first.

    Raises:
        ReadingError: when the lever is too short.
    """
    turns, fine = job.geometry.turn != "no", FINE_ENOUGH if job.level <= 1 else 0.0
    return _reaches(job.geometry.lever, job.worked_to, job.drawer, turns, job.hands, fine)


@lru_cache(maxsize=16)  # every step of a check asks for it again
def _reaches(
    lever: float,
    tolerance: Tolerance,
    drawer: Drawer,
    turns: bool,
    hands: tuple[OwnHand, ...],
    fine: float,
) -> tuple[Reach, ...]:
    def known(found: Estimate) -> Estimate:
        return by_own_hand(found, hands)

    return reaches(lever, tolerance, drawer, can_turn=turns, known=known, fine=fine)


def take_tools(job: CheckContext) -> Choice:
    """Ask which tools are taken, the best first; say so when none can prove the point.

    Raises:
        NotPossibleError: when the drawer has no square or no leaves, or none for so short a lever.
    """
    wanted = job.worked_to
    try:
        found = reaches_of(job)
    except ReadingError as error:
        raise NotPossibleError(f"the reach is too short for these leaves: {error}") from None
    if not found:
        raise NotPossibleError(
            "this check needs a square and a set of feeler leaves among your tools"
        )
    offered = [one for one in found if not one.turned]
    if job.need is not None:
        offered = _finest_where_set(job, offered)
    offered = offered[:_MOST_OFFERED]
    best = max(found, key=lambda one: one.probability)
    lines = [f"Tolerance {wanted.words(job.unit)}."]
    if best.probability < job.level:
        lines.append(
            f"None of your tools can prove it true ({percent(best.probability)} sure at most):"
            f" it takes {would_take(best.best.budget, 'angle')}."
        )
    if best.turned and offered[0].probability < job.level:  # the point's screen promises that
        told = promised(*_tells(best), "angle", job.unit)
        lines.append(f"{best.square.name} read again turned over: {told}.")
    return Choice(
        key="tools",
        title="Take square and leaves. Wipe them clean.",
        lines=tuple(lines),
        options=tuple(Option(_value(one), _label(job, one, offered[0])) for one in offered),
        default=_value(offered[0]),
        unasked=_value(offered[0]),
    )


def _finest_where_set(job: CheckContext, found: Sequence[Reach]) -> list[Reach]:
    """Put first what tells most of a point that is set right: that is what the work asks to prove.

    Of a point as it is usually found another may tell more; a thinner leaf shows less light there.
    """
    errors = true_errors(job.worked_to)
    at = min(range(len(errors)), key=lambda one: abs(errors[one] - job.set_to.middle))

    def u(reach: Reach) -> float:
        return reach.shown[at].budget.u

    best = min(map(u, found), default=0.0)
    return sorted(found, key=lambda one: 0.0 if u(one) <= AS_GOOD * best else u(one))


def _value(reach: Reach) -> str:
    return f"{reach.square.id} with {reach.feelers.id}"


def _label(job: CheckContext, reach: Reach, first: Reach) -> str:
    """Name the tools and what they tell, or that they tell as much as the first ones."""
    leaves = f", {reach.feelers.name}" if len(job.drawer.feelers) > 1 else ""
    proven = " (proven)" if reach.square.source.startswith(PROVEN) else ""
    usual, most = _tells(reach)
    same = all(
        one <= AS_GOOD * best for one, best in zip((usual, most), _tells(first), strict=True)
    )
    words = "as good" if same and reach != first else promised(usual, most, "angle", job.unit)
    return f"{reach.square.name}{proven}{leaves}: {words}"


def _tells(reach: Reach) -> tuple[float, float]:
    """Give its expanded uncertainty at a point as it usually is, and the most."""
    return reach.best.budget.expanded, max(one.budget.expanded for one in reach.shown)


def tools_taken(job: CheckContext, value: str | None) -> Tools | None:
    """Find the tools that an answer names; None when none does, or the drawer lost them since."""
    for square in job.drawer.squares:
        for feelers in job.drawer.feelers:
            if value == f"{square.id} with {feelers.id}":
                return Tools(square, feelers, min(job.geometry.lever, square.length))
    return None
