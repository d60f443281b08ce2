"""How every point, machine and the shop stand: shop + records + happenings + now.

A point is true, near, out, due (was true, but too old or undone since) or
unproven (never checked). A machine stands as its worst point does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Literal, NamedTuple

from shopboard.dates import ago as ago
from shopboard.dates import day as day
from shopboard.record import CheckRecord
from shopboard.shop.model import HOURS_RUN, PROJECT_FINISHED, Machine, Point, Shop
from shopboard.upkeep.tasks import Done, Happened, TaskStanding, Totals, task_standing

if TYPE_CHECKING:
    from shopboard.journal import Entry

State = Literal["out", "unproven", "near", "due", "true"]

MachineState = Literal["out", "unproven", "near", "due", "true", "kept"]
"""Kept: a machine without points, while none of its tasks is due."""

_NEVER = datetime.max.replace(tzinfo=UTC)

WORST_FIRST: tuple[State, ...] = ("out", "unproven", "near", "due", "true")


_RANKS: dict[MachineState, int] = {
    **{state: rank for rank, state in enumerate(WORST_FIRST)},
    "kept": len(WORST_FIRST),
}


class Happening(NamedTuple):
    """Something that happened to a machine."""

    seq: int
    when: datetime
    machine: str
    """Empty: the whole shop."""
    what: str
    total: float = 0.0
    """Running total of what is counted: minutes, cuts, mm, projects."""


class Move(NamedTuple):
    """When a point was last moved in a check."""

    seq: int
    when: datetime


class Past(NamedTuple):
    """What the journal says that matters now."""

    latest: Mapping[tuple[str, str], CheckRecord] = {}
    """Newest result that stands, by (machine, point)."""
    moves: Mapping[tuple[str, str], Move] = {}
    """Newest move, by (machine, point)."""
    happenings: Sequence[Happening] = ()
    """The newest of each sort, in any order."""
    tasks: Mapping[tuple[str, str], Done] = {}
    """Newest time that a task was done, by (machine, task)."""
    cutters: Mapping[tuple[str, str], Entry] = {}
    """Newest entry of a cutter, by (machine, cutter)."""
    tags: Mapping[str, str] = {}
    """Why a machine is not to be used, by machine."""
    unreadable: int = 0
    """Newest results that are of a later program and cannot be judged by this one."""


class PointStanding(NamedTuple):
    """How one point stands."""

    point: Point
    state: State
    reason: str
    """Why, in words."""
    record: CheckRecord | None = None
    """The newest result that stands."""
    used: float | None = None
    """Share of the tolerance that the error uses; 1 is the limit."""
    probability: float | None = None
    """Probability that it is within today's tolerance."""
    due_on: datetime | None = None
    """When a true point becomes due; None: not by the calendar."""


class MachineStanding(NamedTuple):
    """How one machine stands."""

    machine: Machine
    state: MachineState
    points: tuple[PointStanding, ...]
    """In the order of the shop file."""
    tasks: tuple[TaskStanding, ...] = ()
    """In the order of the shop file."""
    tag: str = ""
    """Why it is not to be used; empty while it may be."""

    @property
    def worst(self) -> PointStanding | None:
        """The point that makes the machine's state."""
        return next((one for one in self.points if one.state == self.state), None)

    @property
    def last(self) -> CheckRecord | None:
        """The machine's newest result."""
        records = [one.record for one in self.points if one.record is not None]
        return max(records, key=lambda record: record.seq, default=None)

    @property
    def to_check(self) -> int:
        """Points that are not true."""
        return sum(1 for one in self.points if one.state != "true")

    @property
    def to_do(self) -> tuple[TaskStanding, ...]:
        """Tasks that are due."""
        return tuple(one for one in self.tasks if one.due)


class ShopStanding(NamedTuple):
    """How the whole shop stands."""

    machines: tuple[MachineStanding, ...]
    """In the order of the shop file."""

    @property
    def all_true(self) -> bool:
        """Whether every point of every machine is true."""
        return all(one.state == "true" for machine in self.machines for one in machine.points)

    def count(self, state: State) -> int:
        """Count the points in a state."""
        return sum(1 for m in self.machines for point in m.points if point.state == state)

    @property
    def worst_first(self) -> tuple[MachineStanding, ...]:
        """Machines by state, the worst first; in the shop file's order within a state."""
        return tuple(sorted(self.machines, key=lambda one: _RANKS[one.state]))

    @property
    def next_due(self) -> PointStanding | None:
        """The true point that becomes due first."""
        dated = [
            one for machine in self.machines for one in machine.points if one.due_on is not None
        ]
        return min(dated, key=lambda one: one.due_on or _NEVER, default=None)

    def of_machine(self, machine_id: str) -> MachineStanding | None:
        """Find a machine's standing."""
        return next((one for one in self.machines if one.machine.id == machine_id), None)

    def of_point(self, full_name: str) -> PointStanding | None:
        """Find a point's standing."""
        machine = self.of_machine(full_name.partition(".")[0])
        points = machine.points if machine else ()
        return next((one for one in points if one.point.full_name == full_name), None)


def shop_standing(shop: Shop, past: Past, now: datetime) -> ShopStanding:
    """Work out how everything stands.

    Args:
        shop: what is there.
        past: what happened.
        now: the time; a record from after it counts as made now.
    """
    found: dict[str, PointStanding] = {}
    for point in shop.points.values():
        _stand(point, shop, past, now, found)
    return ShopStanding(tuple(_machine(one, found, past, now) for one in shop.machines))


def _machine(
    machine: Machine, found: Mapping[str, PointStanding], past: Past, now: datetime
) -> MachineStanding:
    points = tuple(found[point.full_name] for point in machine.points)
    tasks = tuple(_tasks(machine, past, now)) if machine.tasks else ()
    worst: MachineState = "unproven"
    if points:
        worst = min((one.state for one in points), key=WORST_FIRST.index)
    elif tasks:
        worst = "due" if any(one.due for one in tasks) else "kept"
    return MachineStanding(machine, worst, points, tasks, past.tags.get(machine.id, ""))


def _tasks(machine: Machine, past: Past, now: datetime) -> Iterator[TaskStanding]:
    here = [one for one in past.happenings if one.machine in (machine.id, "")]
    happened = {one.what: Happened(one.seq, one.when) for one in here}
    totals = {one.what: one.total for one in here}
    sums = Totals(totals.get(HOURS_RUN, 0.0), totals.get(PROJECT_FINISHED, 0.0))
    for task in machine.tasks:
        done = past.tasks.get((machine.id, task.id))
        yield task_standing(task, done, sums, happened, now)


def _stand(
    point: Point, shop: Shop, past: Past, now: datetime, found: dict[str, PointStanding]
) -> None:
    """Put a point's standing into `found`, after those of all that it rests on.

    Walks with a list of its own: a chain may be longer than Python's stack is deep.
    """
    waiting = [point]
    while waiting:
        one = waiting[-1]
        bases = [shop.points[base] for base in one.rests_on if base in shop.points]
        missing = [base for base in bases if base.full_name not in found]
        if missing:
            waiting += missing
            continue
        below = [found[base.full_name] for base in bases]
        found[one.full_name] = _judge(one, shop.proof_level, past, below, now)
        waiting.pop()


def _judge(
    point: Point, level: float, past: Past, bases: Sequence[PointStanding], now: datetime
) -> PointStanding:
    here = (point.machine, point.id)
    record, move = past.latest.get(here), past.moves.get(here)
    if record is None:
        return PointStanding(point, "unproven", "never checked")
    verdict, probability = record.verdict_for(point.tolerance, level)
    counts = point.tolerance.as_it_counts(size=record.spread.size)
    used = counts.used(record.error)
    if move is not None and move.seq > record.seq:
        reason = f"moved on {day(move.when)}, not measured since"
        return PointStanding(point, "unproven", reason, record, used, probability)
    if verdict == "out":
        return PointStanding(point, "out", record.lean, record, used, probability)
    if verdict == "near":
        reason = "measured, but not proven either way"
        return PointStanding(point, "near", reason, record, used, probability)
    made = min(record.when, now)  # a record from the future counts as made now
    due_on = made + timedelta(days=point.every_days) if point.every_days else None
    undone = _undone(point, record, past, bases)
    if not undone and due_on is not None and now >= due_on:
        undone = f"checked {ago(record.when, now)}, holds {point.every_days} days"
    if undone:
        return PointStanding(point, "due", undone, record, used, probability)
    return PointStanding(point, "true", "", record, used, probability, due_on)


def _undone(point: Point, record: CheckRecord, past: Past, bases: Sequence[PointStanding]) -> str:
    """Say what undid a true result since it was taken; empty when nothing did."""
    for one in sorted(past.happenings, key=lambda happening: happening.seq):
        if one.machine not in (point.machine, ""):
            continue
        if one.what in point.undone_by and one.seq > record.seq:
            return f"{one.what} on {day(one.when)}"
    for base in bases:
        move = past.moves.get((base.point.machine, base.point.id))
        if move is not None and move.seq > record.seq:
            return f"rests on {base.point.name}, set anew on {day(move.when)}"
        if base.state != "true":
            return f"rests on {base.point.name}, which is {base.state}"
    return ""
