"""How a point wanders, how long its newest result can be believed, and both in words. Pure."""

from __future__ import annotations

from shopboard.base.dates import day, days_after
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import counted
from shopboard.journal import Store
from shopboard.metrology import drift_words
from shopboard.metrology.control import Limits, individuals
from shopboard.metrology.drift import Wander, learn
from shopboard.metrology.due import Due, holds
from shopboard.metrology.kind import YES_NO_WORDS, measure_to
from shopboard.metrology.quantity import Unit
from shopboard.results.record import CheckRecord, Holds
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.wander.changes import FoundChange, PointPast, changes_of, total_minutes
from shopboard.wander.point_history import point_past

ENOUGH = 8
"""Changes from which it can be said what is usual; fewer make it so by chance too often."""


class Outlook(NamedTuple):
    """What the record of a point says of the time to come."""

    found: tuple[FoundChange, ...]
    """Its changes, the oldest first."""
    wander: Wander | None
    """None: nothing to learn from."""
    due: Due | None
    """How long its newest result can be believed; None: there is none, or it is no measure."""
    usual: Limits | None
    """Between what it usually changes from check to check; None: too few changes to say."""
    doubtful: int = 0
    """Results that say nothing of its wander, because the clock was wrong when they were kept."""


def outlook(point: Point, past: PointPast, newest: CheckRecord | None, risk: float) -> Outlook:
    """Work out how a point wanders and what follows.

    Args:
        point: the point.
        past: what is on record of it.
        newest: its newest result that stands; None: it has none.
        risk: accepted probability of being out.
    """
    found = tuple(changes_of(point, past))
    size = newest is not None and newest.spread.size
    tolerance = point.tolerance.as_it_counts(size=size)
    wander = learn([one.change for one in found], tolerance, point.every_days)
    due = None
    if newest is not None and tolerance.kind not in YES_NO_WORDS and newest.kind == tolerance.kind:
        due = _due(newest, point) or holds(wander, newest.spread, tolerance, point.every_days, risk)
    standing = (one for one in past.records if one.void is None and one.kind == tolerance.kind)
    doubtful = sum(1 for one in standing if not one.clock_ok)
    return Outlook(found, wander, due, _usual(found, wander), doubtful)


def outlook_now(journal: Store, shop: Shop, point: Point, newest: CheckRecord | None) -> Outlook:
    """Give how a point wanders by what is on record now.

    Raises:
        JournalError: when the journal cannot be read.
    """
    past = point_past(journal, point, beside=shop.reached.get(point.machine))
    return outlook(point, past, newest, shop.accepted_risk)


def _due(record: CheckRecord, point: Point) -> Due | None:
    """Give what the result holds by its own record; None where that says nothing."""
    if record.holds is None:
        return None
    days, minutes, every = record.holds.days, record.holds.minutes, point.every_days
    if every is not None and (days is None or every <= days):
        return Due(every, minutes, by_wander=minutes is not None)
    return Due(days, minutes, by_wander=True)


def _usual(found: tuple[FoundChange, ...], wander: Wander | None) -> Limits | None:
    """Give what is usual, steps left out."""
    steps = [step.number for step in wander.steps] if wander else []
    calm = [one.change.change for i, one in enumerate(found) if i not in steps]
    return individuals(calm) if len(calm) >= ENOUGH else None


def holds_by_wander(point: Point, past: PointPast, seen: Outlook, unit: Unit) -> Holds | None:
    """Give how long a result that was just taken can be believed.

    Args:
        point: the point.
        past: what is on record of it, that result included.
        seen: what was worked out of that.
        unit: the shop's, for the words.

    Returns:
        None where its wander limits nothing: then it holds as the shop file says.
    """
    wander, due = seen.wander, seen.due
    if wander is None or due is None or not due.by_wander:
        return None
    words = drift_words.wander_words(wander, point.tolerance.kind, unit)
    why = f"{words[0].lower()}{words[1:]}"
    days = due.days if due.minutes is None else None  # else the shop file's own, which may change
    return Holds(days, due.minutes, total_minutes(past, point.machine), why)


def sentences(
    seen: Outlook, point: Point, newest: CheckRecord | None, unit: Unit, risk: float, *, true: bool
) -> list[str]:
    """Say how a point wanders and when its next check is due; then its steps, the newest first.

    Last, how many results are left out because the clock was wrong.

    Args:
        seen: what was worked out.
        point: the point.
        newest: its newest result that stands; None: it has none.
        unit: the shop's.
        risk: accepted probability of being out.
        true: whether that result proved it true, and nothing was moved since.
    """
    kind = point.tolerance.kind
    if newest is None or seen.due is None:
        return []
    said = [_first(seen, seen.due, point, newest, unit, risk, true=true)]
    for step in reversed(seen.wander.steps if seen.wander else ()):
        words = drift_words.step_words(step, kind, unit)
        said.append(f"{day(seen.found[step.number].record.when)}: {words}")
    if seen.doubtful:
        results = counted(seen.doubtful, "result is", "results are")
        said.append(f"{results} left out of this, as the clock was wrong then.")
    return said


def _first(
    seen: Outlook,
    due: Due,
    point: Point,
    newest: CheckRecord,
    unit: Unit,
    risk: float,
    *,
    true: bool,
) -> str:
    kind, wander = point.tolerance.kind, seen.wander
    if not true:
        return f"{drift_words.wander_words(wander, kind, unit, interval=True)}."
    by = "" if due.days is None else day(days_after(newest.when, due.days))
    if newest.holds is not None and not (wander and wander.shows):
        # something that happened was withdrawn since: the newest one was judged with it
        words = drift_words.wander_words(wander, kind, unit)
        running = "" if due.minutes is None else f"for {drift_words.running_words(due.minutes)}"
        until = ", at most ".join(filter(None, (running, f"until {by}" if by else "")))
        return f"{words}. When the newest result was taken, {newest.holds.why}: it is good {until}."
    return drift_words.due_words(wander, due, kind, unit, by=by, every=point.every, risk=risk)


def usual_words(seen: Outlook, point: Point, unit: Unit) -> str:
    """Say between what the point usually changes; empty where that is not known."""
    if seen.usual is None:
        return ""
    ends = seen.usual.low, seen.usual.high
    low, high = (
        measure_to(end, ends[1] - ends[0], point.tolerance.kind, unit, signed=True) for end in ends
    )
    if low == high:
        return f"From check to check it usually changes by {low}."
    return f"From check to check it usually changes by {low} to {high}."
