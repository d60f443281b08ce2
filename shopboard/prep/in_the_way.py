"""Why a point cannot be gone by on a day, and what to check until it can."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.dates import OF_NO_AGE, days_after
from shopboard.base.dates import day as day_words
from shopboard.metrology.quantity import Unit
from shopboard.metrology.spread import IN_WORK
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import Point
from shopboard.standing.model import PointStanding
from shopboard.upkeep.undone import below

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop

_AGE_UNKNOWN = f"measured {OF_NO_AGE}"


def in_the_way(
    open_shop: OpenShop, standing: PointStanding, day: datetime
) -> tuple[str, tuple[Point, ...]]:
    """Say why a point cannot be gone by on a day, by itself or by what it rests on.

    Returns:
        Nothing where it can be gone by; else the points to check until then, in that order.

    Raises:
        JournalError: when the journal cannot be read.
    """
    why = why_unknown(standing, day, open_shop.shop.unit)
    if standing.record is not None and not why and _age_is_unknown(open_shop, standing):
        why = _AGE_UNKNOWN
    if why:
        return why, _checks(open_shop, standing)
    return _base_is_old(open_shop, standing.point, day)


def why_unknown(standing: PointStanding, day: datetime, unit: Unit) -> str:
    """Say why a point's newest result cannot be gone by on a day; empty when it can.

    A point that is out or near can be gone by: its error is known, be it large. A no has none.
    Where it can no longer, its own error is said before what has come over it.
    """
    record = standing.record
    if record is None or standing.state == "unproven":
        return standing.reason or "never checked"
    if standing.state == "noted":
        return "only noted: nothing was measured"
    if standing.stale:
        own = f"{record.words(unit)}; " if standing.state in ("near", "out") else ""
        return f"{own}{standing.stale}"
    if standing.state == "due":
        return standing.reason
    if record.readings.get(IN_WORK, 0) is None:
        return f"what shows in the work was not measured: {record.lean}"
    if record.kind == "yes or no" and standing.state != "true":
        return standing.reason
    if record.kind != standing.point.tolerance.kind:
        return "its newest result is of another kind than its tolerance"
    return _due_by(standing, record, day)


def _due_by(standing: PointStanding, record: CheckRecord, day: datetime) -> str:
    """Say that a point is due by a day, and when; empty while it is not."""
    limits = (standing.point.every_days, record.holds.days if record.holds is not None else None)
    days = min((one for one in limits if one is not None), default=None)
    if days is not None and days_after(record.when, days) <= day:
        return f"due on {day_words(days_after(record.when, days))}"
    return ""


def _age_is_unknown(open_shop: OpenShop, standing: PointStanding) -> bool:
    """Tell whether a result of no age has no day to be due on, but wanders by the days.

    One that holds so many days is due by its standing.
    """
    record = standing.record
    if record is None or record.clock_ok:
        return False
    wander = open_shop.outlook(standing.point.full_name).wander
    return wander is not None and wander.shows and wander.clock == "days"


def _base_is_old(open_shop: OpenShop, point: Point, day: datetime) -> tuple[str, tuple[Point, ...]]:
    """Say that what a point rests on is due by a day, or of an age that nobody knows.

    Nothing else is wrong with it: then the point would wait for it today.
    """
    points, found = open_shop.shop.points, dict[str, str]()
    for name in sorted(below(point, points), key=[*points].index):
        base = open_shop.standing.of_point(name)
        if base is not None and base.record is not None:
            why = _due_by(base, base.record, day)
            why = why or (_AGE_UNKNOWN if _age_is_unknown(open_shop, base) else "")
            found |= {name: why} if why else {}
    bases = sorted((points[name] for name in found), key=lambda one: len(below(one, points)))
    if not bases:
        return "", ()
    return f"depends on {bases[0].name}, {found[bases[0].full_name]}", tuple(bases)


def check_under_way(
    open_shop: OpenShop, point: Point, begun: Sequence[str]
) -> tuple[str, tuple[Point, ...]]:
    """Say that a point, or what it rests on, may just have been loosened, and what to finish."""
    if point.full_name in begun:
        return "its check was begun and is not finished", (point,)
    under = below(point, open_shop.shop.points)
    bases = tuple(open_shop.shop.points[one] for one in begun if one in under)
    if not bases:
        return "", ()
    return f"the check of {bases[0].name}, which it depends on, is not finished", bases


def _checks(open_shop: OpenShop, standing: PointStanding) -> tuple[Point, ...]:
    """Give the points to check until one can be gone by, in the order to check them."""
    from shopboard.prep.due_checks import comes_back

    points, name = open_shop.shop.points, standing.point.full_name
    chain = {name, *below(standing.point, points)}
    found = [points[one] for one in open_shop.standing.order if one in chain]
    waiting = [
        one for one in map(open_shop.standing.of_point, chain) if one and one.state == "waits"
    ]
    # Those whose base has to be set are checked again after it.
    waiting = [one for one in waiting if not comes_back(one, open_shop.standing)]
    found += sorted((one.point for one in waiting), key=lambda one: len(below(one, points)))
    return tuple(found) or (standing.point,)
