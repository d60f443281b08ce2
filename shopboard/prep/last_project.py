"""The last finished project, and the machines that it used: they are serviced, and seen to first.

What one before it used, and what was not serviced since, is still as it was left.

Its entry tells on which machines it ran; where it tells of none, and of one of before that told of
its joints alone, what was recorded of their use since the project before does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from types import MappingProxyType

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store
from shopboard.journal.kinds import HAPPENING
from shopboard.shop.machine import PROJECT_FINISHED
from shopboard.shop.model import Shop
from shopboard.shop.project import Project
from shopboard.upkeep.happenings import project_name
from shopboard.upkeep.ran_on import last_use, used_between


class UsedFor(NamedTuple):
    """The last project that used a machine, where that is not the last of all."""

    name: str
    """Empty: not told."""
    seq: int
    """The number of its entry."""


class LastProject(NamedTuple):
    """The last finished project, and who used what before it."""

    name: str = ""
    """Empty: not told."""
    machines: frozenset[str] = frozenset()
    """Ids of the machines that it used."""
    before: Mapping[str, UsedFor] = MappingProxyType({})
    """Of each other machine that one before it used, which one that was."""

    def used(self, machine: str, serviced: int | None) -> bool:
        """Tell whether a machine was used since it was serviced, by the number of that entry."""
        if machine in self.machines:
            return True
        before = self.before.get(machine)
        return before is not None and (serviced is None or serviced < before.seq)

    def used_it(self, machine: str) -> str:
        """Say what used a machine."""
        if machine in self.machines:
            return f"used for {self.name}" if self.name else "used in the last project"
        name = self.before[machine].name
        return f"used for {name}" if name else "used in a project before"


_MOST = 200
"""Finished projects that are looked at, the newest."""


def to_come_first(journal: Store, shop: Shop) -> tuple[Project, ...]:
    """Give the projects in the order of the shop file, but the finished ones at its end.

    Raises:
        JournalError: when the journal cannot be read.
    """
    over = finished_days(journal, shop)
    return tuple(sorted(shop.projects, key=lambda one: one.id in over))


def finished_days(journal: Store, shop: Shop) -> dict[str, date]:
    """Give the days on which projects were finished, by id.

    One that begins after that is to be made again, and is not among them.

    Raises:
        JournalError: when the journal cannot be read.
    """
    ends = journal.recent(HAPPENING.name, "", PROJECT_FINISHED, _MOST, include_void=False)
    days: dict[str, date] = {}
    for one in ends:
        said = HAPPENING.read(one)
        days.setdefault(said.project, (said.on or one.when).astimezone().date())

    found: dict[str, date] = {}
    for project in shop.projects:
        names = (project.id, *project.was)
        over = max((days[name] for name in names if name in days), default=None)
        if over is not None and (project.start is None or project.start <= over):
            found[project.id] = over
    return found


def last_project(journal: Store, shop: Shop) -> LastProject:
    """Read which project was finished last and which machines it used, and those before it.

    Raises:
        JournalError: when the journal cannot be read.
    """
    ends = journal.recent(HAPPENING.name, "", PROJECT_FINISHED, _MOST, include_void=False)
    if not ends:
        return LastProject()
    after = ends[1].seq if len(ends) > 1 else 0
    used = _told_by(ends[0]) | {*used_between(shop, journal, after, ends[0].seq)}
    used -= HAPPENING.read(ends[0]).spared
    before = _used_before(journal, shop, ends[1:])
    left = {machine: one for machine, one in before.items() if machine not in used}
    return LastProject(_name(shop, ends[0]), frozenset(used), left)


def _used_before(journal: Store, shop: Shop, ends: Sequence[Entry]) -> dict[str, UsedFor]:
    """Tell of each machine which of some projects, the newest first, used it last."""
    found: dict[str, Entry] = {}
    for end in ends:
        for name in _told_by(end) - HAPPENING.read(end).spared:
            found.setdefault(name, end)
    for machine in shop.machines if ends else ():
        newest = last_use(journal, machine.id, ends[0].seq)
        end = min((one for one in ends if one.seq > newest), key=lambda one: one.seq)
        known = found.get(machine.id)
        is_newer = known is None or known.seq < end.seq
        if newest and is_newer and machine.id not in HAPPENING.read(end).spared:
            found[machine.id] = end
    return {name: UsedFor(_name(shop, end), end.seq) for name, end in found.items()}


def _told_by(end: Entry) -> set[str]:
    return {*(HAPPENING.read(end).machines or ())}


def _name(shop: Shop, end: Entry) -> str:
    project = HAPPENING.read(end).project
    return project_name(shop, project) if project else ""
