"""Records of what the shop file no longer has, and what that may have become.

Nothing recorded is lost when a machine or a blade is sold or an id is changed: what stands
under a name that is not in the file is shown as retired.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from difflib import SequenceMatcher
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store, kinds
from shopboard.journal.kinds.check import verdict_in
from shopboard.shop.machine import Machine
from shopboard.shop.model import Shop

LIKE = 0.6
"""How much alike two ids must be, from 0 to 1, for one to be taken for the other."""

BESIDE_RESULTS = tuple(one.name for one in kinds.ALL if one.retired == "its machine")
"""Kinds of entries that speak of a machine as a whole."""


RetiredSort = Literal["point", "task", "cutter"]
"""What is gone from a machine."""


class Retired(NamedTuple):
    """What is on record under a name that is not in the shop file."""

    machine: str
    point: str
    """Id of the point, task or cutter; empty: the machine as a whole."""
    name: str
    """What the point was called when it was last checked; empty when that is not known."""
    seq: int
    when: datetime
    """Number and time of its newest record."""
    verdict: str = ""
    """Of its newest result that stands; empty when none does."""
    became: str = ""
    """Name of what there is today that it probably became, or empty."""
    sort: RetiredSort = "point"
    made_id: bool = False
    """What it became has an id made of its name: so another name made it another id."""

    @property
    def full_name(self) -> str:
        """``machine.point``, or the machine's id."""
        return f"{self.machine}.{self.point}" if self.point else self.machine

    @property
    def about(self) -> str:
        """Name it as what it is: ``the task saw.wax``; a machine or a point by its name alone."""
        return self.full_name if self.sort == "point" else f"the {self.sort} {self.full_name}"

    @property
    def was(self) -> str:
        """What `was` has to say for it, under what it became."""
        same_machine = self.became.partition(".")[0] == self.machine
        return self.point if self.point and same_machine else self.full_name

    @property
    def remedy(self) -> str:
        """What to write into the file where it is what it is taken for."""
        if self.made_id and "." not in self.was:
            return f'write id = "{self.was}" above its name'
        return f'write was = "{self.was}" below its id'


def what_it_is(one: Retired) -> str:
    """Say what is gone, where that is no point: ``the machine``, ``a task``; of a point, empty."""
    if not one.point:
        return "the machine"
    return "" if one.sort == "point" else f"a {one.sort}"


def find_retired(shop: Shop, journal: Store) -> list[Retired]:
    """Find what is on record under names that are not in the shop file, by name.

    Raises:
        JournalError: when the journal cannot be read.
    """
    begun, standing = journal.latest(kinds.BEGIN.name), journal.latest(kinds.CHECK.name)
    found = []
    for machine, point in {*begun, *standing}:
        if f"{machine}.{point}" in shop.points:
            continue
        newest = journal.recent(kinds.CHECK.name, machine, point, 1)
        if newest:  # a check that was only begun leaves nothing to keep
            stands = standing.get((machine, point))
            verdict = verdict_in(stands.body) if stands else ""
            name = _called(begun.get((machine, point)))
            found.append(Retired(machine, point, name, newest[0].seq, newest[0].when, verdict))
    found += _whole_machines(shop, journal)
    parts = [*_parts(shop, journal, "task"), *_parts(shop, journal, "cutter")]
    told = [*_with_successors(found, shop, journal), *parts]
    return sorted(one._replace(made_id=_is_made(shop, one)) for one in told)


def _is_made(shop: Shop, one: Retired) -> bool:
    """Tell whether what it became has an id that is made of its name."""
    return f"{one.sort if one.point else 'machine'} {one.became}" in shop.made_ids


def _at_least_like(shop: Shop, what: str, alike: float) -> float:
    """Give how much alike two ids are; one that is made of a name changes as much as that does."""
    return max(alike, LIKE) if what in shop.made_ids else alike


def _parts(shop: Shop, journal: Store, sort: Literal["task", "cutter"]) -> list[Retired]:
    """Find the tasks or cutters that are gone from machines that are still there."""
    kind = (kinds.TASK if sort == "task" else kinds.CUTTER).name
    newest = journal.latest(kind)
    gone: list[Retired] = []
    for (machine, ident), entry in newest.items():
        if ident and ident not in _ids(shop, machine, sort) and machine in shop.machines_by_id:
            gone.append(Retired(machine, ident, "", entry.seq, entry.when, sort=sort))
    taken: set[str] = set()
    told = []
    for one in sorted(gone, key=lambda each: -each.seq):
        best = ("", 0.0)
        for ident in _ids(shop, one.machine, sort):
            name = f"{one.machine}.{ident}"
            alike = _at_least_like(shop, f"{sort} {name}", _alike(one.point, ident))
            if alike < LIKE or alike <= best[1] or name in taken:
                continue
            if not journal.between(kind, one.machine, ident, 0, one.seq, 1):
                best = (name, alike)
        taken.add(best[0])
        told.append(one._replace(became=best[0]))
    return told


def _ids(shop: Shop, machine: str, sort: Literal["task", "cutter"]) -> list[str]:
    here = shop.machines_by_id.get(machine)
    if here is None:
        return []
    return [one.id for one in (here.tasks if sort == "task" else here.cutters)]


def _called(begun: Entry | None) -> str:
    return kinds.BEGIN.read(begun).name if begun is not None else ""


def _whole_machines(shop: Shop, journal: Store) -> list[Retired]:
    newest: dict[str, Entry] = {}
    for kind in BESIDE_RESULTS:
        for (machine, _), entry in journal.latest(kind).items():
            known = newest.get(machine)
            if machine and machine not in shop.machines_by_id:
                newest[machine] = entry if known is None or known.seq < entry.seq else known
    return [Retired(name, "", "", entry.seq, entry.when) for name, entry in newest.items()]


def _with_successors(found: Sequence[Retired], shop: Shop, journal: Store) -> list[Retired]:
    """Add what each probably became: nothing that had records of its own before it ended."""
    machines = _machines_that_became(found, shop, journal)
    taken: set[str] = set()
    told = []
    for one in sorted(found, key=lambda each: -each.seq):
        became = machines.get(one.machine, "") if not one.point else ""
        if one.point and one.machine in shop.machines_by_id:
            became = _point_that_became(one, shop, journal, taken)
            taken.add(became)
        told.append(one._replace(became=became))
    gone = {one.machine for one in told if not one.point}
    for machine, became in machines.items():
        if machine not in gone:  # it has results only: the machine itself is named, once
            newest = max((one for one in found if one.machine == machine), key=lambda one: one.seq)
            told.append(Retired(machine, "", "", newest.seq, newest.when, became=became))
    return told


def _point_that_became(one: Retired, shop: Shop, journal: Store, taken: set[str]) -> str:
    best = ("", 0.0)
    for point in shop.machines_by_id[one.machine].points:
        alike = 1.0 if one.name == point.name else _alike(one.point, point.id)
        alike = _at_least_like(shop, f"point {point.full_name}", alike)
        if alike < LIKE or alike <= best[1] or point.full_name in taken:
            continue
        if not _had_results(journal, point.machine, point.id, one.seq):
            best = (point.full_name, alike)
    return best[0]


def _machines_that_became(found: Sequence[Retired], shop: Shop, journal: Store) -> dict[str, str]:
    """Give the machines of today that have the points of machines that are gone, or their id."""
    parts: dict[str, list[Retired]] = {}
    for one in found:
        if one.machine not in shop.machines_by_id:
            parts.setdefault(one.machine, []).append(one)
    became: dict[str, str] = {}
    for gone, records in parts.items():
        ended, best = max(one.seq for one in records), ("", 0.0)
        for machine in shop.machines:
            alike = max(_alike(gone, machine.id), _shared(records, machine))
            alike = _at_least_like(shop, f"machine {machine.id}", alike)
            if alike < LIKE or alike <= best[1] or machine.id in became.values():
                continue
            known = (_had_results(journal, machine.id, one.id, ended) for one in machine.points)
            if not any(known):
                best = (machine.id, alike)
        if best[0]:
            became[gone] = best[0]
    return became


def _shared(records: Sequence[Retired], machine: Machine) -> float:
    """Give which share of the points that are gone a machine has; one alone must have its name."""
    names = {point.id: point.name for point in machine.points}
    points = [one for one in records if one.point]
    same = [one for one in points if one.point in names]
    if len(same) == 1 and same[0].name != names[same[0].point]:
        return 0.0
    return len(same) / len(points) if points else 0.0


def _alike(first: str, second: str) -> float:
    """Tell how much alike two ids are; one that only grew, or was cut short, is the same."""
    if first.startswith(f"{second}-") or second.startswith(f"{first}-"):
        return 1.0
    return SequenceMatcher(None, first, second).ratio()


def _had_results(journal: Store, machine: str, point: str, upto: int) -> bool:
    return bool(journal.between(kinds.CHECK.name, machine, point, 0, upto, 1))
