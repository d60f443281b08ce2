"""The ways to check a point as they follow from a desk, and what each leaves open on a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from shopboard.checks.further import Proof, Way, ways
from shopboard.checks.once_more import Before, once_more
from shopboard.checks.ranking import cannot_be_proven
from shopboard.checks.settle import would_take
from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.instruments import PROVEN
from shopboard.metrology.spread import Spread
from shopboard.prep.known import a_day
from shopboard.prep.mend import Option, Options
from shopboard.prep.present import Present, present, time_until
from shopboard.sittings.point_job import job_for

if TYPE_CHECKING:
    from shopboard.metrology.uncertainty import Budget, Estimate
    from shopboard.open_shop import Desk
    from shopboard.results.record import CheckRecord


def options_on(desk: Desk, day: datetime | None = None) -> Options:
    """Give the ways to check each point now, and what they leave open on a day; None: now.

    Raises (when called):
        JournalError: when the journal cannot be read.
    """
    return lambda name: options_of(desk, name, day)


def options_of(desk: Desk, name: str, day: datetime | None = None) -> tuple[Option, ...]:
    """Give the ways to check a point, in order of least trouble.

    They are worked out once until anything changes.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    kept = desk.kept("options")
    key = f"{name} {day}"
    if key not in kept:
        kept[key] = tuple(_options(desk, name, day))
    found: tuple[Option, ...] = kept[key]
    return found


def _options(desk: Desk, name: str, day: datetime | None) -> Iterator[Option]:
    point, standing = desk.shop.points[name], desk.standing.of_point(name)
    record = standing.record if standing is not None else None
    tolerance = point.tolerance
    how = _as_it_was(desk, name, record) if record is not None else None
    if record is not None and how is not None:
        aim = _aim(tolerance.as_it_counts(size=record.spread.size), record)
        right = next(one.best for one in _ways(desk, name) if one.method == record.method)
        shows = record.spread._replace(centre=_measured_as(aim, right, tolerance))
        plain = Option(_on(desk, name, day, shows), aim=aim)
        yield plain._replace(sort="board", method=record.method, how=how) if how else plain
    for one in _ways(desk, name):
        best, finer = one.best, would_take(one.best.budget, tolerance.kind)
        aim = _aim(tolerance.as_it_counts(size=best.size), best.budget)
        fresh = _on(desk, name, day, best._replace(error=_measured_as(aim, best, tolerance)).spread)
        yield Option(
            *(fresh, one.sort, one.method, one.how, one.at_hand, one.needs),
            first_name=_named(desk, one.needs[0]) if one.needs else "",
            aim=aim,
            finer=finer,
        )


def _as_it_was(desk: Desk, name: str, record: CheckRecord) -> str | None:
    """Say what it takes to measure a point as it was; None where that cannot be done today."""
    point, were = desk.shop.points[name], desk.shop.tools_were
    if record.kind != point.tolerance.kind or record.method not in point.checks:
        return None
    ids = record.readings.get("tool_ids")
    tools = [were.get(one, one) for one in map(str, ids)] if isinstance(ids, list) else []
    before = Before(record.method, record.u, record.budget, record.readings, tools)
    return once_more(before, job_for(desk.shop, point, desk.journal), _ways(desk, name))


def _named(desk: Desk, full_name: str) -> str:
    point = desk.shop.points[full_name]
    return f"{desk.shop.machines_by_id[point.machine].name}: {point.name}"


def _ways(desk: Desk, name: str) -> tuple[Way, ...]:
    """Give the ways to check a point; worked out once until anything changes."""
    kept: dict[str, tuple[Way, ...]] = desk.kept("ways")
    if name not in kept:
        point = desk.shop.points[name]
        job = job_for(desk.shop, point, desk.journal)
        kept[name] = ways(job, point.checks, () if point.proves else _proofs(desk))
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


def _on(desk: Desk, name: str, day: datetime | None, spread: Spread) -> Present:
    """Give what will be known, on a day, of an error that is measured now."""
    seen, now = desk.outlook(name), desk.now()
    if day is None or day <= now or seen.wander is None or not seen.wander.shows:
        return present(spread)
    until = time_until(seen.wander, now, day, now, (0.0, a_day(seen)))
    return present(spread, seen.wander, until)


def cannot_be_true(desk: Desk, name: str) -> str:
    """Say that no check with the tools at hand can prove a point true; empty where one can.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    kept: dict[str, str] = desk.kept("cannot be true")
    if name not in kept:
        words = cannot_be_proven(desk.ranks(name))
        kept[name] = "" if not words or _wider_board_proves(desk, name) else words
    return kept[name]


def _wider_board_proves(desk: Desk, name: str) -> bool:
    point = desk.shop.points[name]
    best = [one.best for one in _ways(desk, name) if one.at_hand]
    spreads = [
        one.budget.spread_around(point.tolerance.as_it_counts(size=one.size).middle) for one in best
    ]
    return any(probability_within(one, point.tolerance) >= desk.shop.proof_level for one in spreads)


class Settles(NamedTuple):
    """What may prove a near point true, once it is set right."""

    how: str
    """In words; empty: nothing but the usual check."""
    at_hand: bool
    """Whether it can be done there and then."""


def what_settles(desk: Desk, name: str) -> Settles | None:
    """Say how a near point has to be checked: as a rule a perfect one must come out true.

    None where it is not near, or its result no longer stands: then any check tells something.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    stands = desk.standing.of_point(name)
    if stands is None or stands.state != "near" or not stands.stands:
        return None
    kept: dict[str, Settles] = desk.kept("settles")
    if name not in kept:
        ways_here, level = _ways(desk, name), desk.shop.proof_level
        tolerance = desk.shop.points[name].tolerance
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


def _proofs(desk: Desk) -> tuple[Proof, ...]:
    """Give how well the squares could be proven that are not."""
    kept = desk.kept("proofs")
    if "squares" not in kept:
        kept["squares"] = tuple(_squares(desk))
    found: tuple[Proof, ...] = kept["squares"]
    return found


def _squares(desk: Desk) -> Iterator[Proof]:
    for point in desk.shop.points.values():
        if not point.proves:
            continue
        job = job_for(desk.shop, point, desk.journal)
        bare = any(
            one.id == point.proves and not one.source.startswith(PROVEN)
            for one in job.drawer.squares
        )
        bests: list[Estimate] = [one.best for one in ways(job, point.checks)] if bare else []
        if bests:
            yield Proof(point.proves, point.full_name, min(bests, key=lambda one: one.budget.u))
