"""How the cutters of a machine stand: where each is, how sharp, how much used since it was sharp.

Pure: shop file and newest entries in, standings out. The newest entry of a
cutter holds its whole state; one without entries stands as the shop file says.
Running times are minutes, lengths of wood mm.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import kinds
from shopboard.journal.kinds.cutters import UNITS, CutterUse, UseUnit
from shopboard.metrology.units import by_unit
from shopboard.shop.machine import Cutter, Machine, Sharpness, Where
from shopboard.shop.model import Shop
from shopboard.shop.one_body import served

if TYPE_CHECKING:
    from shopboard.journal import Entry

LEARNT_FROM = 2
"""Times that a cutter must have been found dull before its life goes by them."""

MOST_LIVES = 5
"""Lives kept with a cutter, the newest first."""


class KnownLife(NamedTuple):
    """How long an edge stays sharp."""

    amount: float
    unit: UseUnit
    times: int = 0
    """Times that it was found dull, if it was learnt so; 0: the shop file says it."""


LOOK_AGAIN = 0.25
"""Of its life: after so much more use an edge that was found still sharp is asked about again.
(our choice, no source)"""


class CutterStanding(NamedTuple):
    """How one cutter stands."""

    machine: str
    """Id of its machine, under which its records stand."""
    cutter: Cutter
    where: Where
    state: Sharpness
    edge: int
    use: CutterUse = CutterUse()
    """Since this edge was sharp."""
    sharpenings: int | None = None
    """How often it can still be sharpened; None: not known."""
    lives: tuple[CutterUse, ...] = ()
    """Its use each time that it was found dull, the newest first."""
    cost: float | None = None
    """What its newest sharpening cost, or what the shop file says."""
    sent: datetime | None = None
    """When it was sent to the sharpener; None: it is not there, or that is not on record."""
    note: str = ""
    feet: bool = False
    """Lengths are told in feet, not in metres."""
    seq: int = 0
    """Number of its newest entry; 0: it has none."""
    serves: tuple[str, ...] = ()
    """Ids of the other modes of its combination machine in which it cuts."""
    modes: tuple[str, ...] = ()
    """Names of all modes in which it cuts, its own first; none: one alone."""
    looked: CutterUse = CutterUse()
    """Its use when somebody looked, past its life, and found it still sharp; nothing: nobody."""
    unsure: str = ""
    """Why what is on record of it may not be all: the journal is damaged; empty: it is all."""

    @property
    def id(self) -> str:
        """Id of the cutter."""
        return self.cutter.id

    @property
    def mounted(self) -> bool:
        """Whether it is on the machine."""
        return self.where == "on the machine"

    @property
    def life(self) -> KnownLife | None:
        """How long its edge stays sharp: as learnt from the times it was found dull, or as stated.

        Learnt is the middle one of the last three lives, in the unit of the shop file; in another
        only where none was ever recorded in that one.
        """
        stated = self.cutter.lasts
        in_its_own = stated is not None and any(life.of(stated.unit) for life in self.lives)
        units = (stated.unit,) if stated is not None and in_its_own else UNITS
        for unit in units:
            known = [life.of(unit) for life in self.lives if life.of(unit) > 0]
            if len(known) >= LEARNT_FROM:
                return KnownLife(_middle(known[:3]), unit, len(known))
        return KnownLife(stated.amount, stated.unit) if stated else None

    @property
    def past_life(self) -> bool:
        """Whether it was used as long as its edge stays sharp."""
        life = self.life
        return life is not None and self.use.of(life.unit) >= life.amount

    @property
    def doubted(self) -> bool:
        """Whether it is sharp by the record and past its life: a question, until somebody looks."""
        if not self.past_life or self.state not in ("sharp", "dirty"):
            return False
        return self.life is None or self.use.of(self.life.unit) >= self.sharp_for(self.life)

    def sharp_for(self, life: KnownLife) -> float:
        """Give the use up to which it counts as sharp: past its life, until it is looked at again.

        Args:
            life: how long its edge stays sharp.
        """
        if not any(self.looked):
            return life.amount
        return max(life.amount, self.looked.of(life.unit) + LOOK_AGAIN * life.amount)

    @property
    def blunt(self) -> bool:
        """Whether it is on the machine although it is dull, or should be."""
        return self.mounted and (self.state in ("dull", "worn out") or self.doubted)

    @property
    def due_off(self) -> bool:
        """Whether it is on the machine and should not be as it is: dull, or dirty."""
        return self.blunt or (self.mounted and self.state == "dirty")


def _middle(values: Sequence[float]) -> float:
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


DoneAt = Mapping[tuple[str, str], int]
"""Number of the entry by which a task was done last, by (machine, task)."""


def cutter_standings(
    machine: Machine,
    entries: "Mapping[tuple[str, str], Entry]",
    done: DoneAt,
    *,
    feet: bool = False,
) -> tuple[CutterStanding, ...]:
    """Judge the cutters of a machine, in the order of the shop file.

    Where shop file and journal together put two of a kind on the machine, the one recorded last
    is there and the other lies on the shelf.

    Args:
        machine: the machine.
        entries: the newest entry of each cutter, by (machine, cutter).
        done: when its tasks were done last: one that cleans leaves no cutter on it dirty.
        feet: lengths are told in feet.
    """
    cleaned = max(
        (done.get((machine.id, one.id), 0) for one in machine.tasks if one.cleans), default=0
    )
    found = [
        _standing(machine.id, cutter, entries.get((machine.id, cutter.id)), feet)
        for cutter in machine.cutters
    ]
    there: dict[str, CutterStanding] = {}
    for one in found:
        place = one.cutter.place
        if one.mounted and (place not in there or there[place].seq < one.seq):
            there[place] = one
    return tuple(
        one._replace(
            where="on the shelf"
            if one.mounted and there[one.cutter.place] is not one
            else one.where,
            state="sharp"
            if one.state == "dirty" and there.get(one.cutter.place) is one and one.seq < cleaned
            else one.state,
            serves=served(machine, one.cutter.kind),
        )
        for one in found
    )


def all_cutters(
    shop: Shop, entries: "Mapping[tuple[str, str], Entry]", done: DoneAt
) -> dict[str, tuple[CutterStanding, ...]]:
    """Judge all cutters: of each machine its own, then those of other modes that serve it, too.

    Args:
        shop: the shop.
        entries: the newest entry of each cutter, by (machine, cutter).
        done: when tasks were done last.
    """
    feet = by_unit(shop.unit, inch=True, mm=False)
    own = {
        one.id: cutter_standings(one, entries, done, feet=feet)
        for one in shop.machines
        if one.cutters
    }
    names = {one.id: one.name for one in shop.machines}
    for home, cutters in own.items():
        own[home] = tuple(
            one._replace(modes=tuple(names[mode] for mode in (home, *one.serves) if one.serves))
            for one in cutters
        )
    found = dict(own)
    for machine, homes in shop.serving.items():
        others = (one for home in homes for one in own[home] if machine in one.serves)
        found[machine] = (*own.get(machine, ()), *others)
    return found


def _standing(machine: str, cutter: Cutter, entry: "Entry | None", feet: bool) -> CutterStanding:
    if entry is None:
        return CutterStanding(
            machine=machine,
            cutter=cutter,
            where=cutter.where,
            state=cutter.state,
            edge=cutter.edge,
            sharpenings=cutter.sharpenings,
            cost=cutter.cost,
            feet=feet,
        )
    said = kinds.CUTTER.read(entry)
    left = said.sharpenings_left
    return CutterStanding(
        machine=machine,
        cutter=cutter,
        where=said.where or cutter.where,
        state=said.state or cutter.state,
        edge=cutter.edge if said.edge is None else min(max(said.edge, 1), cutter.edges),
        use=said.use,
        sharpenings=cutter.sharpenings if left is None else min(max(left, 0), 1000),
        lives=said.lives[:MOST_LIVES],
        cost=cutter.cost if said.cost is None else said.cost,
        sent=said.sent,
        note=said.note,
        looked=said.looked,
        feet=feet,
        seq=entry.seq,
    )


def group_of(one: CutterStanding, all_here: Sequence[CutterStanding]) -> list[CutterStanding]:
    """Give the cutters that do the same work, this one among them, in the shop file's order."""
    by_id = {other.id: other for other in all_here}
    links = [
        {other.id, other.cutter.spare_for} for other in all_here if other.cutter.spare_for in by_id
    ]
    ids = {one.id}
    for _ in links:  # as many rounds as there can be links in a chain
        for link in links:
            if link & ids:
                ids |= link
    return [other for other in all_here if other.id in ids]
