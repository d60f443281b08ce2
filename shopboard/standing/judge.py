"""How every point, machine and the shop stand: shop + records + happenings + now.

A machine stands as its worst point does; how one point stands is said in `one_point`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from shopboard.base.worked_out import WorkedOut
from shopboard.results.doubt import Doubt, Proofs, doubt_of, may_be_doubted, proofs_of
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED, Machine, Point
from shopboard.shop.model import Shop
from shopboard.shop.watched import WatchedShop
from shopboard.standing.model import (
    RANKS,
    MachineStanding,
    MachineState,
    Past,
    PointStanding,
    ShopStanding,
    Undoing,
)
from shopboard.standing.next_checks import by_urgency
from shopboard.standing.one_point import judge_point
from shopboard.standing.point_case import PointCase
from shopboard.upkeep.changing import changing_at
from shopboard.upkeep.cutters import CutterStanding, all_cutters
from shopboard.upkeep.happenings import Happening
from shopboard.upkeep.order import chain_order
from shopboard.upkeep.tasks import Happened, TaskStanding, Totals, task_standing


def shop_standing(shop: Shop, past: Past, now: datetime) -> ShopStanding:
    """Work out how everything stands.

    Args:
        shop: what is there.
        past: what happened.
        now: the time; a record from after it counts as made now.
    """
    happened = _by_machine(past.happenings)
    found = _points(shop, past, happened, now)
    open_points = {name: one for name, one in found.items() if one.is_open}
    order = chain_order(
        {name: one.point.rests_on for name, one in open_points.items()},
        {name: RANKS[one.state] for name, one in open_points.items()},
    )
    order = tuple(name for name in order if found[name].to_check)
    places = {name: place for place, name in enumerate(by_urgency(order, found))}
    cutters = _cutters(shop, past)
    machines: list[MachineStanding] = []
    for machine in shop.machines:
        points = tuple(found[point.full_name] for point in machine.points)
        names = [one.first or one.point.full_name for one in points if one.is_open]
        first = min(names, key=lambda name: places.get(name, len(places)), default=None)
        tasks = tuple(_tasks(shop, machine, past, happened, now)) if machine.tasks else ()
        machines.append(
            MachineStanding(
                machine,
                _machine_state(points, tasks),
                points,
                tasks,
                tag=past.tag_of(machine.id),
                round=past.rounds.get(machine.id),
                cutters=cutters.get(machine.id, ()),
                changing=changing_at(shop, past.cutters, machine.id) if past.cutters else None,
                first=found[first] if first else None,
            )
        )
    return ShopStanding(tuple(machines), past.rounds.get(""), order)


def judged_once(kept: WorkedOut, read: WatchedShop, past: Past, now: datetime) -> ShopStanding:
    """Give how all stands, in a minute once while nothing that it follows from changes.

    It is another one each time: whoever keeps what follows from the whole journal asks anew by it.

    Args:
        kept: where it is kept.
        read: the shop file as it was read last.
        past: what happened.
        now: the time.
    """
    by = (read.times, past, now.replace(second=0, microsecond=0))
    return kept.kept("standing", by, lambda: shop_standing(read.shop, past, now))._replace()


def _cutters(shop: Shop, past: Past) -> dict[str, tuple[CutterStanding, ...]]:
    """Give how the cutters of each machine stand, and of which that is not sure."""
    done = {place: one.seq for place, one in past.tasks.items()}
    cutters = all_cutters(shop, past.cutters, done)
    if past.damage is None:
        return cutters
    return {
        name: tuple(one._replace(unsure=past.shaken(one.seq)) for one in here)
        for name, here in cutters.items()
    }


_Happened = Mapping[str, Mapping[str, Happening]]
"""The newest of each sort, by machine and sort; those of the whole shop under no name."""


def _by_machine(happenings: Sequence[Happening]) -> _Happened:
    found: dict[str, dict[str, Happening]] = {}
    for one in sorted(happenings):  # by number
        found.setdefault(one.machine, {})[one.what] = one
    return found


def _machine_state(points: Sequence[PointStanding], tasks: Sequence[TaskStanding]) -> MachineState:
    if points:
        return min((one.state for one in points), key=RANKS.__getitem__)
    if tasks:
        return "due" if any(one.due for one in tasks) else "kept"
    return "unproven"


def _been_through(
    shop: Shop, machine: Machine, happened: _Happened
) -> tuple[dict[str, Happened], Totals]:
    """Give the newest happening of each sort that a machine's tasks go by, and what was counted."""
    here = {**happened.get(machine.id, {}), **happened.get("", {})}
    ran, made = here.get(HOURS_RUN), here.get(PROJECT_FINISHED)
    totals = Totals(
        ran.total if ran is not None else 0.0,
        made.counts_for(machine.id) if made is not None else 0.0,
    )
    for what, modes in shop.reached.get(machine.id, {}).items():
        there = [happened.get(one, {}).get(what) for one in (machine.id, *modes)]
        newest_there = max((one for one in there if one is not None), default=None)
        here |= {what: newest_there} if newest_there else {}
    newest = {
        what: Happened(one.seq, one.when, one.on)
        for what, one in here.items()
        if machine.id not in one.spared
    }
    return newest, totals


def _tasks(
    shop: Shop, machine: Machine, past: Past, happened: _Happened, now: datetime
) -> Iterator[TaskStanding]:
    newest, totals = _been_through(shop, machine, happened)
    for task in machine.tasks:
        place = (machine.id, task.id)
        done, begun = past.tasks.get(place), past.begun.get(place)
        one = task_standing(task, done, totals, newest, now, begun)
        shaken = past.shaken(done.seq if done is not None else 0)
        if past.damage is not None and done is not None and totals.behind(done):
            shaken = shaken or past.damage.why
        yield one._replace(due=True, reason=shaken) if shaken and not one.due else one


def _points(shop: Shop, past: Past, happened: _Happened, now: datetime) -> dict[str, PointStanding]:
    """Judge every point, each after all that it rests on.

    Walks with a list of its own: a chain may be longer than Python's stack is deep.
    """
    found: dict[str, PointStanding] = {}
    undoings: dict[str, Mapping[int, Undoing]] = {}
    proofs = proofs_of(past.proofs, shop) if past.proofs else {}
    moved: dict[str, int] = {}  # the newest move of each and of all below it
    for point in shop.points.values():
        waiting = [point]
        while waiting:
            one = waiting[-1]
            bases = [shop.points[base] for base in one.rests_on if base in shop.points]
            missing = [base for base in bases if base.full_name not in found]
            if missing:
                waiting += missing
                continue
            waiting.pop()
            name = one.full_name
            beside = shop.reached.get(one.machine, {})
            of_bases = [undoings[each.full_name] for each in bases]
            record = past.latest.get((one.machine, one.id))
            left = record.measured_on if record is not None else ""
            undoings[name] = _undoings(one, happened, of_bases, beside, left, shop)
            below = [found[base.full_name] for base in bases]
            ran = happened.get(one.machine, {}).get(HOURS_RUN)
            total = ran.total if ran else 0.0
            under = max((moved[base.full_name] for base in bases), default=0)
            move = past.moves.get((one.machine, one.id))
            moved[name] = max(under, move.seq if move else 0)
            doubt = _doubt(one, shop, past, proofs)
            case = PointCase(
                *(one, shop, past, now, below, undoings[name], found, total, under, doubt)
            )
            found[name] = judge_point(case)._replace(upset=max(moved[name], 0, *undoings[name]))
    return found


def _undoings(
    point: Point,
    happened: _Happened,
    below: Sequence[Mapping[int, Undoing]],
    beside: Mapping[str, Sequence[str]],
    left: str,
    shop: Shop,
) -> Mapping[int, Undoing]:
    """Give what undoes a point, by number: its own happenings and those of all it rests on.

    Among its own are those of the other modes of its body that reach it, by what happened, and
    those of a machine that it `left` in the shop file since it was measured there.
    """
    there = shop.reached.get(left, {}) if left else {}
    before = (left,) if left else ()
    own = {
        one.seq: Undoing(one, point)
        for what in point.undone_by
        for machine in (point.machine, "", *beside.get(what, ()), *before, *there.get(what, ()))
        if (one := happened.get(machine, {}).get(what)) is not None
    }
    if len(below) == 1 and not own:
        return below[0]
    return {number: one for each in (*below, own) for number, one in each.items()}


def _doubt(point: Point, shop: Shop, past: Past, proofs: Proofs) -> Doubt | None:
    """Say what is known today of the tool that a point was measured with; None: nothing new."""
    record = past.latest.get((point.machine, point.id))
    if record is None or not may_be_doubted(record, proofs):
        return None
    return doubt_of(record, point, shop, proofs)
