"""What a standing is made of: what the journal says that matters now, and how all stands by it.

Plain values; `judge` works them out.
"""

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from datetime import UTC, datetime
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Damage, Entry
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import Machine, Point
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.changing import Changing
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.happenings import Happening
from shopboard.upkeep.safety_record import LOST, RoundStanding, may_carry
from shopboard.upkeep.tasks import Done, TaskStanding

State = Literal["out", "unproven", "near", "due", "waits", "true", "noted"]

MachineState = Literal["out", "unproven", "near", "due", "waits", "true", "noted", "kept"]
"""Kept: a machine without points, while none of its tasks is due."""

_NEVER = datetime.max.replace(tzinfo=UTC)

WORST_FIRST: tuple[State, ...] = ("out", "unproven", "near", "due", "waits", "true", "noted")


RANKS: dict[MachineState, int] = {
    **{state: rank for rank, state in enumerate(WORST_FIRST)},
    "kept": len(WORST_FIRST),
}
"""Place of each state, the worst first."""


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
    begun: Mapping[tuple[str, str], Begun] = {}
    """Tasks with steps that are under way, by (machine, task)."""
    cutters: Mapping[tuple[str, str], Entry] = {}
    """Newest entry of a cutter, by (machine, cutter)."""
    tags: Mapping[str, str] = {}
    """Why a machine is not to be used, by machine."""
    cleared: Mapping[str, int] = {}
    """Number of the entry that cleared the newest tag, by machine."""
    lost_tags: Mapping[str, int] = {}
    """What was cleared before such an entry may be tagged, by machine; of no machine: any may."""
    rounds: Mapping[str, RoundStanding] = {}
    """What is on record of the safety rounds, by machine; that of the shop under no name."""
    proofs: Sequence[CheckRecord] = ()
    """What was found of the drawer's tools and stands, oldest first."""
    unreadable: int = 0
    """Newest results that are of a later program and cannot be judged by this one."""
    damage: Damage | None = None
    """The newest damage that is known of the journal."""
    taken_back: AbstractSet[tuple[str, str]] = frozenset()
    """Of which every result was withdrawn, by (machine, point)."""

    def shaken(self, seq: int) -> str:
        """Say why what was recorded with a number, 0 for nothing, is not sure; empty: it is."""
        return self.damage.why if self.damage is not None and self.damage.shakes(seq) else ""

    def tag_of(self, machine_id: str) -> str:
        """Say why a machine is not to be used; also where its tag may be lost."""
        seq = self.cleared.get(machine_id, 0)
        lost = max(self.lost_tags.get(machine_id, 0), self.lost_tags.get("", 0))
        why = self.shaken(seq) or (LOST if seq < lost else "")
        return self.tags.get(machine_id) or (may_carry(why) if why else "")


class Undoing(NamedTuple):
    """A happening that undoes a point, and with it all that rests on it."""

    happening: Happening
    root: Point
    """The point that the happening undoes by itself."""


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
    undone: Undoing | None = None
    """What undid it since it was checked; None: nothing did."""
    first: str = ""
    """Full name of the point to check before it: down the chain, what it rests on and is not
    true. Empty: none."""
    stale: str = ""
    """Why its result can no longer be gone by, in words; of a point that is out or near, too.
    Empty: it can, or there is none."""
    doubted: bool = False
    """The tool that it was measured with was found bad since."""
    base_moved: bool = False
    """It is due because what it rests on was set anew since."""
    upset: int = 0
    """Number of the entry with which it, or what it rests on, last moved or may have; 0: none."""

    @property
    def is_open(self) -> bool:
        """Whether it is not as it should be. A note that stands judges nothing."""
        return self.state not in ("true", "noted")

    @property
    def to_check(self) -> bool:
        """Whether a check of it can help: not where it waits for its base."""
        return self.is_open and self.state != "waits"

    @property
    def comes_first(self) -> str:
        """Say what is done with it before what rests on it: what is known to be out is set."""
        return "adjust" if self.state == "out" and not self.stale else "check"

    @property
    def stands(self) -> bool:
        """Whether its newest result tells how it is now, be that good or bad."""
        return self.state in ("true", "near", "out") and not self.stale


class MachineStanding(NamedTuple):
    """How one machine stands."""

    machine: Machine
    state: MachineState
    points: tuple[PointStanding, ...]
    """In the order of the shop file."""
    tasks: tuple[TaskStanding, ...] = ()
    """In the order of the shop file."""
    tag: str = ""
    """Why it is not to be used; empty while it may be. So is one whose tag may be lost."""
    round: RoundStanding | None = None
    """What is on record of its safety rounds."""
    cutters: tuple[CutterStanding, ...] = ()
    """In the order of the shop file."""
    changing: Changing | None = None
    """The change of cutter that is under way on it."""
    first: PointStanding | None = None
    """The point to check first, here or on another machine: what the others rest on."""

    @property
    def worst(self) -> PointStanding | None:
        """The point that makes the machine's state; of several, the one to check first."""
        first = self.first
        if first and first.point.machine == self.machine.id and first.state == self.state:
            return first
        return next((one for one in self.points if one.state == self.state), None)

    @property
    def last(self) -> CheckRecord | None:
        """The machine's newest result."""
        records = [one.record for one in self.points if one.record is not None]
        return max(records, key=lambda record: record.seq, default=None)

    @property
    def to_check(self) -> int:
        """Points that must be checked before all is true."""
        return sum(1 for one in self.points if one.to_check)

    @property
    def blunt(self) -> tuple[CutterStanding, ...]:
        """Cutters on the machine that are dull or past their life."""
        return tuple(one for one in self.cutters if one.blunt)

    @property
    def due_off(self) -> tuple[CutterStanding, ...]:
        """Cutters that should not be on the machine as they are, the dull ones before the dirty."""
        dirty = (one for one in self.cutters if one.due_off and not one.blunt)
        return (*self.blunt, *dirty)

    @property
    def to_do(self) -> tuple[TaskStanding, ...]:
        """Tasks that are due."""
        return tuple(one for one in self.tasks if one.due)


class ShopStanding(NamedTuple):
    """How the whole shop stands."""

    machines: tuple[MachineStanding, ...]
    """In the order of the shop file."""
    round: RoundStanding | None = None
    """What is on record of the safety rounds of the shop itself."""
    order: tuple[str, ...] = ()
    """Full names of the points to check, in the order to check them."""

    @property
    def all_true(self) -> bool:
        """Whether every point of every machine is true, but for those that are only noted."""
        return not any(one.is_open for machine in self.machines for one in machine.points)

    def count(self, state: State) -> int:
        """Count the points in a state."""
        return sum(1 for m in self.machines for point in m.points if point.state == state)

    @property
    def tagged(self) -> tuple[MachineStanding, ...]:
        """Machines that are not to be used."""
        return tuple(one for one in self.machines if one.tag)

    @property
    def worst_first(self) -> tuple[MachineStanding, ...]:
        """Machines by state, the worst first; in the shop file's order within a state.

        A machine that is not to be used comes before all others.
        """
        return tuple(sorted(self.machines, key=lambda one: (not one.tag, RANKS[one.state])))

    @property
    def next_due(self) -> PointStanding | None:
        """The true point that becomes due first."""
        dated = [
            one for machine in self.machines for one in machine.points if one.due_on is not None
        ]
        return min(dated, key=lambda one: one.due_on or _NEVER, default=None)

    @property
    def by_calendar(self) -> tuple[object, ...]:
        """What the calendar alone may change without any record."""
        return tuple(
            (
                machine.tag,
                tuple(one.state for one in machine.points),
                tuple(one.due for one in machine.tasks),
                tuple((one.blunt, one.due_off) for one in machine.cutters),
            )
            for machine in self.machines
        )

    def round_left(self, now: datetime) -> str | None:
        """Name the machine whose safety round was left and goes on; empty: that of the shop."""
        if self.round is not None and self.round.goes_on(now):
            return ""
        left = (one for one in self.machines if one.round is not None and one.round.goes_on(now))
        return next((one.machine.name for one in left), None)

    def proofs(self) -> list[str]:
        """Give the uids of the results by which tools of the drawer are proven."""
        points = (point for machine in self.machines for point in machine.points)
        return [one.record.uid for one in points if one.point.proves and one.record is not None]

    def of_machine(self, machine_id: str) -> MachineStanding | None:
        """Find a machine's standing."""
        return next((one for one in self.machines if one.machine.id == machine_id), None)

    def of_point(self, full_name: str) -> PointStanding | None:
        """Find a point's standing."""
        machine = self.of_machine(full_name.partition(".")[0])
        points = machine.points if machine else ()
        return next((one for one in points if one.point.full_name == full_name), None)
