"""What is known today, or on a day to come, of every point that shows in a joint."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.spread import in_work
from shopboard.prep.in_the_way import check_under_way, in_the_way
from shopboard.prep.present import ErrorKnown, present, time_until
from shopboard.prep.stopped import cutter_is_out, stopped_mode
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import HOURS_RUN, Point
from shopboard.sittings.check_sitting import has_measured
from shopboard.standing.model import MachineStanding, PointStanding, State

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
    now = open_shop.now()
    then = now if day is None else max(now, day)
    for name in names:
        machine = open_shop.standing.of_machine(name.partition(".")[0])
        standing = open_shop.standing.of_point(name)
        if machine is not None and standing is not None and name not in found:
            found[name] = _known(open_shop, machine, standing, begun, now, then)
    return found


def _known(
    open_shop: OpenShop,
    machine: MachineStanding,
    standing: PointStanding,
    begun: Sequence[str],
    now: datetime,
    then: datetime,
) -> KnownPoint:
    """Give what is known of one point on a day; `begun` are those whose check is under way."""
    point, record = standing.point, standing.record
    stopped = stopped_mode(open_shop, machine)
    other = stopped.machine if stopped is not machine else None
    why, checks = in_the_way(open_shop, standing, then)
    state = _stands(standing, why)
    if not why:  # board and prep day go on calling it what its result makes it
        why, checks = check_under_way(open_shop, point, begun)
    one = KnownPoint(
        point,
        machine.machine.name,
        state,
        None,
        why=why,
        checks=checks,
        first_machine=open_shop.shop.machines_by_id[checks[0].machine].name if checks else "",
        tag=stopped.tag,
        under_way=cutter_is_out(stopped),
        stopped=other.id if other is not None else "",
        stopped_name=other.name if other is not None else "",
    )
    if record is None:
        return one
    fresh = present(record.spread._replace(centre=0.0))
    one = one._replace(fresh=fresh, method=record.method)
    if why:
        return one
    seen = open_shop.outlook(point.full_name)
    return one._replace(now=_present(open_shop, point, record, seen, then, now))


def _stands(standing: PointStanding, why: str) -> State:
    """Give how a point stands: due, too, where more keeps it than the base it waits for."""
    waits = standing.state == "waits" and why == standing.reason
    return "due" if why and standing.state in ("true", "waits") and not waits else standing.state


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
