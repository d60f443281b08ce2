"""The ways to check a point as they follow from an open shop, and what each leaves open."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.further import Proof, Way, ways
from shopboard.checks.once_more import Before, once_more
from shopboard.checks.ranking import cannot_be_proven
from shopboard.checks.remedies import would_take
from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.instruments import PROVEN
from shopboard.metrology.spread import Spread
from shopboard.prep.known import a_day
from shopboard.prep.mend import MendOption, Options
from shopboard.prep.present import ErrorKnown, present, time_until
from shopboard.sittings.point_job import job_for

if TYPE_CHECKING:
    from shopboard.metrology.uncertainty import Budget, Estimate
    from shopboard.open_shop import OpenShop
    from shopboard.results.record import CheckRecord


def options_on(open_shop: OpenShop, day: datetime | None = None) -> Options:
    """Give the ways to check each point now, and what they leave open on a day; None: now.

    Raises (when called):
        JournalError: when the journal cannot be read.
    """
    return lambda name: options_of(open_shop, name, day)


def options_of(
    open_shop: OpenShop, name: str, day: datetime | None = None
) -> tuple[MendOption, ...]:
    """Give the ways to check a point, in order of least trouble.

    They are worked out once until anything changes.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    kept = open_shop.kept("options")
    key = f"{name} {day}"
    if key not in kept:
        kept[key] = tuple(_options(open_shop, name, day))
    found: tuple[MendOption, ...] = kept[key]
    return found


def _options(open_shop: OpenShop, name: str, day: datetime | None) -> Iterator[MendOption]:
    point, standing = open_shop.shop.points[name], open_shop.standing.of_point(name)
    record = standing.record if standing is not None else None
    tolerance = point.tolerance
    how = _as_it_was(open_shop, name, record) if record is not None else None
    if record is not None and how is not None:
        aim = _aim(tolerance.as_it_counts(size=record.spread.size), record)
        right = next(one.best for one in _ways(open_shop, name) if one.method == record.method)
        shows = record.spread._replace(centre=_measured_as(aim, right, tolerance))
        plain = MendOption(_on(open_shop, name, day, shows), aim=aim)
        yield plain._replace(sort="board", method=record.method, how=how) if how else plain
    for one in _ways(open_shop, name):
        best, finer = one.best, would_take(one.best.budget, tolerance.kind)
        aim = _aim(tolerance.as_it_counts(size=best.size), best.budget)
        fresh = _on(
            open_shop, name, day, best._replace(error=_measured_as(aim, best, tolerance)).spread
        )
        yield MendOption(
            *(fresh, one.sort, one.method, one.how, one.at_hand, one.needs),
            first_name=_named(open_shop, one.needs[0]) if one.needs else "",
            aim=aim,
            finer=finer,
        )


def _as_it_was(open_shop: OpenShop, name: str, record: CheckRecord) -> str | None:
    """Say what it takes to measure a point as it was; None where that cannot be done today."""
    point, were = open_shop.shop.points[name], open_shop.shop.tools_were
    if record.kind != point.tolerance.kind or record.method not in point.checks:
        return None
    ids = record.readings.get("tool_ids")
    tools = [were.get(one, one) for one in map(str, ids)] if isinstance(ids, list) else []
    budget = [(one.id, one.u) for one in record.budget]
    before = Before(record.method, record.u, budget, record.readings, tools)
    return once_more(
        before, job_for(open_shop.shop, point, open_shop.journal), _ways(open_shop, name)
    )


def _named(open_shop: OpenShop, full_name: str) -> str:
    point = open_shop.shop.points[full_name]
    return f"{open_shop.shop.machines_by_id[point.machine].name}: {point.name}"


def _ways(open_shop: OpenShop, name: str) -> tuple[Way, ...]:
    """Give the ways to check a point; worked out once until anything changes."""
    kept: dict[str, tuple[Way, ...]] = open_shop.kept("ways")
    if name not in kept:
        point = open_shop.shop.points[name]
        job = job_for(open_shop.shop, point, open_shop.journal)
        kept[name] = ways(job, point.checks, () if point.proves else _proofs(open_shop))
    return kept[name]


def _aim(tolerance: Tolerance, known: Budget | CheckRecord) -> float:
    """Give the error that is set to for the work: the smallest that is true for the shop file.

    Args:
        tolerance: the shop file's.
        known: tells how well the error will be known; worked out only where it matters.
    """
    if tolerance.middle == 0:
        return 0.0
    low, high = tolerance.low + known.expanded, tolerance.high - known.expanded
    return tolerance.middle if low > high else min(max(0.0, low), high)


def _measured_as(aim: float, right: Estimate, tolerance: Tolerance) -> float:
    """Give the error that a point set to its aim is measured as.

    Set to nought, it may show as more: a gap that no leaf enters counts as half the thinnest.
    """
    return aim if aim or tolerance.middle else right.error


def _on(open_shop: OpenShop, name: str, day: datetime | None, spread: Spread) -> ErrorKnown:
    """Give what will be known, on a day, of an error that is measured now."""
    seen, now = open_shop.outlook(name), open_shop.now()
    if day is None or day <= now or seen.wander is None or not seen.wander.shows:
        return present(spread)
    until = time_until(seen.wander, now, day, now, (0.0, a_day(seen)))
    return present(spread, seen.wander, until)


def cannot_be_true(open_shop: OpenShop, name: str) -> str:
    """Say that no check with the tools at hand can prove a point true; empty where one can.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    kept: dict[str, str] = open_shop.kept("cannot be true")
    if name not in kept:
        words = cannot_be_proven(open_shop.ranks(name))
        kept[name] = "" if not words or _wider_board_proves(open_shop, name) else words
    return kept[name]


def _wider_board_proves(open_shop: OpenShop, name: str) -> bool:
    point = open_shop.shop.points[name]
    best = [one.best for one in _ways(open_shop, name) if one.at_hand]
    spreads = [
        one.budget.spread_around(point.tolerance.as_it_counts(size=one.size).middle) for one in best
    ]
    return any(
        probability_within(one, point.tolerance) >= open_shop.shop.proof_level for one in spreads
    )


class Settles(NamedTuple):
    """What may prove a near point true, once it is set right."""

    how: str
    """In words; empty: nothing but the usual check."""
    at_hand: bool
    """Whether it can be done there and then."""


def what_settles(open_shop: OpenShop, name: str) -> Settles | None:
    """Say how a near point has to be checked: as a rule a perfect one must come out true.

    None where it is not near, or its result no longer stands: then any check tells something.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    stands = open_shop.standing.of_point(name)
    if stands is None or stands.state != "near" or not stands.stands:
        return None
    kept: dict[str, Settles] = open_shop.kept("settles")
    if name not in kept:
        ways_here, level = _ways(open_shop, name), open_shop.shop.proof_level
        tolerance = open_shop.shop.points[name].tolerance
        proving = [one for one in ways_here if _of_perfect(one.best, tolerance) >= level]
        if proving:
            way = min(proving, key=lambda one: not one.at_hand)
            kept[name] = Settles(f"check it {way.how}" if way.how else "", way.at_hand)
        elif ways_here:
            best = max((one.best for one in ways_here), key=lambda one: _of_perfect(one, tolerance))
            kept[name] = Settles(would_take(best.budget, tolerance.kind), at_hand=False)
        else:
            kept[name] = Settles("", at_hand=True)
    return kept[name]


def _of_perfect(best: Estimate, tolerance: Tolerance) -> float:
    """Give how likely a point is within its tolerance that is measured when it is set right."""
    middle = tolerance.as_it_counts(size=best.size).middle
    spread = best.budget.spread_around(middle) if middle else best.spread
    return probability_within(spread, tolerance)


def _proofs(open_shop: OpenShop) -> tuple[Proof, ...]:
    """Give how well the squares could be proven that are not."""
    kept = open_shop.kept("proofs")
    if "squares" not in kept:
        kept["squares"] = tuple(_squares(open_shop))
    found: tuple[Proof, ...] = kept["squares"]
    return found


def _squares(open_shop: OpenShop) -> Iterator[Proof]:
    for point in open_shop.shop.points.values():
        if not point.proves:
            continue
        job = job_for(open_shop.shop, point, open_shop.journal)
        bare = any(
            one.id == point.proves and not one.source.startswith(PROVEN)
            for one in job.drawer.squares
        )
        bests: list[Estimate] = [one.best for one in ways(job, point.checks)] if bare else []
        if bests:
            yield Proof(point.proves, point.full_name, min(bests, key=lambda one: one.budget.u))
