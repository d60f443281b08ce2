"""How every point, machine and the shop stand: shop + records + happenings + now.

A point is true, near, out, due (was true, but too old or undone since), unproven
(never checked) or waits (true by itself, but what it rests on is not). A machine
stands as its worst point does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from shopboard.base.dates import OF_NO_AGE, ago, day, days_after
from shopboard.metrology.conformity import aim_for_the_middle, is_about_nought
from shopboard.metrology.duration import hours_words
from shopboard.results.doubt import Doubt, Proofs, doubt_of, may_be_doubted, proofs_of
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED, Machine, Point
from shopboard.shop.model import Shop
from shopboard.standing.model import (
    RANKS,
    MachineStanding,
    MachineState,
    Past,
    PointStanding,
    ShopStanding,
    State,
    Undoing,
)
from shopboard.upkeep.cutters import all_cutters, changing_at
from shopboard.upkeep.happenings import Happening
from shopboard.upkeep.order import chain_order
from shopboard.upkeep.tasks import Happened, TaskStanding, Totals, task_standing

_SLACK = 1e-6
"""Minutes."""


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
    places = {name: place for place, name in enumerate(order)}
    machines: list[MachineStanding] = []
    cutters = all_cutters(shop, past.cutters)
    if past.damage is not None:
        cutters = {
            name: tuple(one._replace(unsure=past.shaken(one.seq)) for one in here)
            for name, here in cutters.items()
        }
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


def _tasks(
    shop: Shop, machine: Machine, past: Past, happened: _Happened, now: datetime
) -> Iterator[TaskStanding]:
    here = {**happened.get(machine.id, {}), **happened.get("", {})}
    sums = {what: one.total for what, one in here.items()}
    for what, modes in shop.reached.get(machine.id, {}).items():
        there = [happened.get(one, {}).get(what) for one in (machine.id, *modes)]
        newest_there = max((one for one in there if one is not None), default=None)
        here |= {what: newest_there} if newest_there else {}
    newest = {what: Happened(one.seq, one.when, one.on) for what, one in here.items()}
    totals = Totals(sums.get(HOURS_RUN, 0.0), sums.get(PROJECT_FINISHED, 0.0))
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
            found[name] = _judge(
                one, shop, past, below, undoings[name], found, now, total, under, doubt
            )
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


def _judge(
    point: Point,
    shop: Shop,
    past: Past,
    bases: Sequence[PointStanding],
    undoings: Mapping[int, Undoing],
    found: Mapping[str, PointStanding],
    now: datetime,
    total: float,
    moved: int,
    doubt: Doubt | None,
) -> PointStanding:
    """Judge a point.

    `total` is how many minutes its machine has run in all, `moved` the newest move of all below,
    `doubt` what is known today of the tool that it was measured with.
    """
    here = (point.machine, point.id)
    record, move = past.latest.get(here), past.moves.get(here)
    shaken = past.shaken(record.seq if record is not None else 0)
    if past.damage is not None and record is not None and record.holds is not None:
        behind = total < record.holds.total_minutes - _SLACK  # hours that it knew of are lost
        shaken = shaken or (past.damage.why if behind else "")
    first = next((base.first or base.point.full_name for base in bases if base.is_open), "")
    if shaken:
        return PointStanding(point, "unproven", shaken, record, first=first, stale=shaken)
    if record is None:
        reason = "nothing noted yet" if point.tolerance.kind == "note" else "never checked"
        return PointStanding(point, "unproven", reason, first=first)
    if doubt is not None and not doubt.cast:
        record = doubt.record
    probability: float | None
    verdict, probability = record.verdict_for(point.tolerance, shop.proof_level)
    used: float | None = point.tolerance.as_it_counts(size=record.spread.size).used(record.error)
    if move is not None and move.seq > record.seq:
        reason = f"moved on {day(move.when)}, not measured since"
        return PointStanding(point, "unproven", reason, record, used, probability, first=first)
    days, why, holds = point.every_days, "", record.holds
    if holds is not None and holds.days is not None and (days is None or holds.days < days):
        days, why = holds.days, f": {holds.why}"
    newer = [number for number in undoings if number > record.seq]
    cause = undoings[min(newer)] if newer else None  # that is the one that undid it
    anew = _set_anew(point, record, past, bases, shop)
    gone = _cause_words(cause, point, shop) if cause else anew
    cast = doubt is not None and doubt.cast
    if doubt is not None and cast and not gone:
        gone = doubt.words
        if verdict == "out" != doubt.record.verdict_for(point.tolerance, shop.proof_level)[0]:
            verdict = "true"  # it may be: its tool made it out
    did = "noted" if point.tolerance.kind == "note" else "checked"
    made = min(record.when, now)  # a record from the future counts as made now
    due_on = days_after(made, days) if days and not gone else None
    too_old = ""
    if due_on is not None and not record.clock_ok:
        too_old = f"{did if did == 'noted' else 'measured'} {OF_NO_AGE}"
    elif due_on is not None and now >= due_on:
        too_old = f"{did} {ago(record.when, now)}, holds {days} day{'' if days == 1 else 's'}{why}"
    stale = gone or _run_out(record, total) or too_old
    rests = "" if gone or did == "noted" else _rests_on(point, bases, found, shop)
    if moved > record.seq:
        stale = stale or rests
    if rests:
        rests = f"true by itself; {rests}" if verdict == "true" else rests
    state: State = verdict
    reason = doubt.words if doubt is not None else ""
    if verdict == "out":
        reason = f"out before that: {record.lean}; {gone}" if gone else record.lean
    elif verdict == "near" and gone:
        state, reason = "unproven", f"{gone}; it was near before that"
    elif verdict == "near":
        reason = "measured, but not proven either way"
        if is_about_nought(record.spread, record.expanded, point.tolerance, shop.proof_level):
            reason = f"{reason}: {aim_for_the_middle(point.tolerance)}"
    elif did == "noted":  # a note says neither that it is true nor that it is not
        used = probability = None
        state, reason = ("due", stale) if stale else ("noted", "")
    elif stale:
        state, reason = "due", stale
    elif rests:
        state, reason = "waits", rests
    sure_until = due_on if state in ("true", "noted") else None
    return PointStanding(
        point,
        state,
        reason,
        record,
        used,
        probability,
        sure_until,
        cause,
        first,
        stale or rests,
        doubted=cast,
    )


def _run_out(record: CheckRecord, total: float) -> str:
    """Say that the machine has run longer since than the result holds; empty when it has not."""
    holds = record.holds
    if holds is None or holds.minutes is None:
        return ""
    ran = total - holds.total_minutes
    if ran < holds.minutes:
        return ""
    return f"{hours_words(ran)} run since, holds {hours_words(holds.minutes)}: {holds.why}"


def _set_anew(
    point: Point,
    record: CheckRecord,
    past: Past,
    bases: Sequence[PointStanding],
    shop: Shop,
) -> str:
    """Say which base was set anew after a result was taken; empty when none was."""
    for base in bases:
        move = past.moves.get((base.point.machine, base.point.id))
        if move is not None and move.seq > record.seq:
            return f"rests on {_named(base.point, point, shop)}, set anew on {day(move.when)}"
    return ""


def _rests_on(
    point: Point,
    bases: Sequence[PointStanding],
    found: Mapping[str, PointStanding],
    shop: Shop,
) -> str:
    """Say what a point rests on and is not true; empty when all is."""
    base = next((one for one in bases if one.is_open), None)
    if base is None:
        return ""
    root = found[base.first] if base.first else base
    name = _named(root.point, point, shop)
    if root.state == "near":
        return f"rests on {name}, which is near: checking this again cannot help"
    if root.state == "out":
        return f"rests on {name}, which is out"
    if root.undone is not None:
        return _cause_words(root.undone, point, shop)
    which = "which " if root.reason.startswith("rests on") else ""
    return f"rests on {name}, {which}{root.reason}"


def _cause_words(cause: Undoing, point: Point, shop: Shop) -> str:
    """Name what happened and, where that is another point, the one that it undid."""
    words = f"{cause.happening.what} on {cause.happening.day_words}"
    if cause.root is point:
        return words
    return f"{words}; rests on {_named(cause.root, point, shop)}"


def _named(root: Point, point: Point, shop: Shop) -> str:
    """Name a point, with its machine where that is another one."""
    if root.machine == point.machine:
        return root.name
    return f"{root.name} ({shop.machines_by_id[root.machine].name})"
