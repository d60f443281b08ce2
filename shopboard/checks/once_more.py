"""Whether a point can be measured once more as it was: with today's drawer and shop file.

A result may be finer than the check of a point that is set right: read several times, over a wider
board, by a tool that has gone since, or because it was off and leaves told by how much. Pure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks import registry
from shopboard.checks.asked import Reading
from shopboard.checks.further import FINER, SHAPES, Way
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.metrology.sources import (
    CALLIPER,
    GAP_BRACKET,
    INDICATOR,
    LEVER_BRACKET,
    SQUARE,
    SQUARE_PROVEN,
    STRAIGHTEDGE,
)
from shopboard.metrology.wording import length

_SAME = (SQUARE, SQUARE_PROVEN, STRAIGHTEDGE, INDICATOR, CALLIPER, LEVER_BRACKET, GAP_BRACKET)
"""Sources that reading it again makes no smaller."""

_ALIKE = 1.1


class Before(NamedTuple):
    """A result as its record tells it."""

    method: str
    u: float
    """Standard uncertainty, in the unit of the point's tolerance."""
    budget: Sequence[tuple[str, float]]
    """Its sources by their identities, the same."""
    readings: Mapping[str, object]
    tools: Sequence[str]
    """Ids, of today, of the tools that took it; none: not on record."""


def once_more(before: Before, job: CheckContext, found: Sequence[Way]) -> str | None:
    """Say what it takes to measure a point as it was; empty: the check itself, no more.

    Args:
        before: its result.
        job: the point.
        found: the ways to check it today.

    Returns:
        None where it cannot be had again: the method cannot be run, or the result was finer by
        what is no longer there.
    """
    usual = next(
        (one for one in found if one.method == before.method and one.sort in ("tools", "method")),
        None,
    )
    if usual is None:
        return None
    if before.u >= FINER * usual.best.budget.u:
        return ""
    board, times = _longer(before, job)
    drawer = job.drawer
    there = {square.id for square in drawer.squares} | {leaves.id for leaves in drawer.feelers}
    there |= {one.id for one in drawer.others}
    lever = before.readings.get("lever_nm")
    if not there.issuperset(before.tools) or (
        isinstance(lever, int) and lever / 1e6 > _ALIKE * job.geometry.lever
    ):
        return None
    now = [(source.id, source.u / times) for source in usual.best.budget.sources]
    if any(_of(one, now) > _ALIKE * _of(one, before.budget) for one in _SAME):
        return None
    return board


def _of(source: str, budget: Sequence[tuple[str, float]]) -> float:
    """Give the largest of one sort of source of a budget."""
    return max((u for one, u in budget if one == source), default=0.0)


def _longer(before: Before, job: CheckContext) -> tuple[str, float]:
    """Say over how much more than the check asks for a result was taken, and how many times it."""
    method, sets = registry.method(before.method), before.readings.get("sets")
    first = sets[0] if isinstance(sets, list) and sets else None
    if not isinstance(method, MeasuredCheck) or not isinstance(first, dict):
        return "", 1.0
    values, _ = method.perfect(job)
    for one in method.asked(job):
        then = first.get(one.key) if isinstance(one, Reading) and one.size else None
        if isinstance(one, Reading) and isinstance(then, int) and one.key in values:
            times = then / 1e6 / values[one.key]
            if times > _ALIKE:
                over = length(then / 1e6, job.unit)
                shape = SHAPES.get(one.size)
                return (f"over a test board {over} {shape}" if shape else f"over {over}"), times
    return "", 1.0
