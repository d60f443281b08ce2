"""What is known today, or on a day to come, of every point that shows in a joint."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from shopboard.base.dates import OF_NO_AGE, days_after
from shopboard.base.dates import day as day_words
from shopboard.metrology.spread import IN_WORK, in_work
from shopboard.prep.pieces import takes_cutter_off
from shopboard.prep.present import ErrorKnown, present, time_until
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import CHANGED_BY, HOURS_RUN, Point
from shopboard.sittings.check import has_measured
from shopboard.standing.model import MachineStanding, PointStanding, State
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.undone import below

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop
    from shopboard.wander.outlook import Outlook


class KnownPoint(NamedTuple):
    """One point as a joint sees it."""

    point: Point
    machine: str
    """Name of its machine."""
    state: State
    """How it stands on the day; due, too, where its result no longer counts by then."""
    now: ErrorKnown | None
    """The size of its error; None: nothing that can be gone by."""
    fresh: ErrorKnown | None = None
    """The same if it were set to nought now and measured as it was; None: never measured."""
    why: str = ""
    """Why nothing is known; empty where something is."""
    checks: tuple[Point, ...] = ()
    """The points to check until it can be gone by, in that order: what it rests on, then itself.
    Only what it rests on, where that alone makes it due. None where nothing need be checked."""
    first_machine: str = ""
    """Name of the machine of the first of these."""
    tag: str = ""
    """Why its machine is not to be used, in this mode or another; empty while it may be."""
    under_way: str = ""
    """What keeps the cutter of its machine out, in this mode or another: a change or a task that is
    under way, or that none was put on since; empty: nothing does."""
    stopped: str = ""
    """Id of the machine that is tagged or has its cutter out, where that is another mode."""
    stopped_name: str = ""
    """Its name."""
    method: str = ""
    """By which its newest result was found; empty: never measured."""

    @property
    def full_name(self) -> str:
        """``machine.point``."""
        return self.point.full_name

    @property
    def name(self) -> str:
        """The point with its machine, in words."""
        return f"{self.machine}: {self.point.name}"

    @property
    def adds(self) -> bool:
        """Whether its error adds to a misfit; a yes or no adds none, but must be a yes."""
        return self.point.tolerance.kind != "yes or no"

    @property
    def stands(self) -> bool:
        """Whether its newest result can be gone by."""
        return self.now is not None


def known_points(
    open_shop: OpenShop, names: Iterable[str], day: datetime | None = None
) -> dict[str, KnownPoint]:
    """Give what is known of points, by full name; one that the shop does not have is left out.

    Args:
        open_shop: shop, journal and time.
        names: full names.
        day: the day it is asked for, where that is later than now.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found: dict[str, KnownPoint] = {}
    # One in which nothing was measured yet has loosened nothing.
    begun = [
        name for name, one in open_shop.waiting.items() if has_measured(open_shop.journal, one)
    ]
    for name in names:
        machine = open_shop.standing.of_machine(name.partition(".")[0])
        standing = open_shop.standing.of_point(name)
        if machine is None or standing is None or name in found:
            continue
        now = open_shop.now()
        then = now if day is None else max(now, day)
        why, record = why_unknown(standing, then), standing.record
        if record is not None and not why and _age_is_unknown(open_shop, standing):
            why = _AGE_UNKNOWN
        stopped = _stopped(open_shop, machine)
        other = stopped.machine if stopped is not machine else None
        checks = _checks(open_shop, standing) if why else ()
        if not why:
            why, checks = _base_is_old(open_shop, standing.point, then)
        state = _stands(standing, why)
        if not why:  # board and prep day go on calling it what its result makes it
            why, checks = _check_under_way(open_shop, standing.point, begun)
        one = KnownPoint(
            standing.point,
            machine.machine.name,
            state,
            None,
            fresh=present(record.spread._replace(centre=0.0)) if record is not None else None,
            why=why,
            checks=checks,
            first_machine=open_shop.shop.machines_by_id[checks[0].machine].name if checks else "",
            tag=stopped.tag,
            under_way=_cutter_is_out(stopped),
            stopped=other.id if other is not None else "",
            stopped_name=other.name if other is not None else "",
            method=record.method if record is not None else "",
        )
        if record is not None and not why:
            seen = open_shop.outlook(name)
            one = one._replace(now=_present(open_shop, one.point, record, seen, then, now))
        found[name] = one
    return found


def _stands(standing: PointStanding, why: str) -> State:
    """Give how a point stands: due, too, where more keeps it than the base it waits for."""
    waits = standing.state == "waits" and why == standing.reason
    return "due" if why and standing.state in ("true", "waits") and not waits else standing.state


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
    return f"rests on {bases[0].name}, {found[bases[0].full_name]}", tuple(bases)


_AGE_UNKNOWN = f"measured {OF_NO_AGE}"


def _check_under_way(
    open_shop: OpenShop, point: Point, begun: Sequence[str]
) -> tuple[str, tuple[Point, ...]]:
    """Say that a point, or what it rests on, may just have been loosened, and what to finish."""
    if point.full_name in begun:
        return "its check was begun and is not finished", (point,)
    under = below(point, open_shop.shop.points)
    bases = tuple(open_shop.shop.points[one] for one in begun if one in under)
    if not bases:
        return "", ()
    return f"the check of {bases[0].name}, which it rests on, is not finished", bases


def _stopped(open_shop: OpenShop, machine: MachineStanding) -> MachineStanding:
    """Give the mode of a machine that is tagged, else that with its cutter out, else itself."""
    body = machine.machine.body
    others = [one for one in open_shop.standing.machines if body and one.machine.body == body]
    modes = [machine, *(one for one in others if one is not machine)]
    return min(modes, key=lambda one: (not one.tag, not _cutter_is_out(one)))


def _cutter_is_out(one: MachineStanding) -> str:
    """Say what keeps a cutter of its own out of a machine; empty: nothing does."""
    if one.changing is not None and one.changing.machine == one.machine.id:
        return f"{one.changing.what} is under way"
    task = next((each.task for each in one.tasks if _is_off(each)), None)
    if task is not None:
        return f"{task.name}, cutter off, is under way"
    own = [each for each in one.cutters if each.machine == one.machine.id]
    on = {each.cutter.kind for each in own if each.mounted}
    for each in own:
        kind = each.cutter.kind
        if each.cutter.where == "on the machine" and kind in CHANGED_BY and kind not in on:
            return f"{each.cutter.name} is {each.where}, and nothing is on in its place"
    return ""


def _is_off(one: TaskStanding) -> bool:
    """Tell whether a task that is under way has the cutter off, or may have it off."""
    begun = one.begun
    if begun is None:
        return False
    if not begun.same:  # which steps it was begun with, today's shop file no longer says
        return one.task.cutter_near
    out = takes_cutter_off(one.task)
    return out is not None and out[0] - 1 <= begun.steps < out[1]


def _age_is_unknown(open_shop: OpenShop, standing: PointStanding) -> bool:
    """Tell whether a result of no age has no day to be due on, but wanders by the days.

    One that holds so many days is due by its standing.
    """
    record = standing.record
    if record is None or record.clock_ok:
        return False
    wander = open_shop.outlook(standing.point.full_name).wander
    return wander is not None and wander.shows and wander.clock == "days"


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


def why_unknown(standing: PointStanding, day: datetime) -> str:
    """Say why a point's newest result cannot be gone by on a day; empty when it can.

    A point that is out or near can be gone by: its error is known, be it large. A no has none.
    """
    record = standing.record
    if record is None or standing.state == "unproven":
        return standing.reason or "never checked"
    if standing.state == "noted":
        return "only noted: nothing was measured"
    if standing.stale or standing.state == "due":
        return standing.stale or standing.reason
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


def _present(
    open_shop: OpenShop,
    point: Point,
    record: CheckRecord,
    seen: Outlook,
    day: datetime,
    now: datetime,
) -> ErrorKnown:
    """Give what is known of a point's error on a day."""
    wander, shows = seen.wander, in_work(record.spread, record.readings)
    if wander is None or not wander.shows:
        return present(shows)
    ran = (0.0, 0.0)
    if wander.clock == "minutes":
        ran = _ran_since(open_shop, point, record), a_day(seen)
    return present(shows, wander, time_until(wander, record.when, day, now, ran))


def _ran_since(open_shop: OpenShop, point: Point, record: CheckRecord) -> float:
    """Give how long a machine ran since a result, minutes; what was never told before it counts."""
    from shopboard.wander.point_history import point_past

    told = point_past(open_shop.journal, point).happenings
    runs = sorted(one for one in told if one.what == HOURS_RUN)  # by number
    before = [one.total for one in runs if one.seq < record.seq]
    return runs[-1].total - (before[-1] if before else 0.0) if runs else 0.0


def a_day(seen: Outlook) -> float:
    """Give how long a machine ran a day while its changes were seen, minutes."""
    told = [one.change for one in seen.found if one.change.minutes is not None]
    days = sum(one.days for one in told)
    return sum(one.minutes or 0.0 for one in told) / days if days > 0 else 0.0
