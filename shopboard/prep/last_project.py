"""The last finished project, and the machines that it used: they are serviced, and seen to first.

Its entry tells on which machines it ran; where it tells of none, and of one of before that told of
its joints alone, what was recorded of their use since the project before does.
"""

from __future__ import annotations

from datetime import date

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Store
from shopboard.journal.kinds import HAPPENING
from shopboard.shop.machine import PROJECT_FINISHED
from shopboard.shop.model import Shop
from shopboard.shop.project import Project
from shopboard.upkeep.happenings import project_name
from shopboard.upkeep.ran_on import used_between


class LastProject(NamedTuple):
    """The last finished project."""

    name: str = ""
    """Empty: not told."""
    machines: frozenset[str] = frozenset()
    """Ids of the machines that it used."""

    @property
    def used_it(self) -> str:
        """Say that it used a machine."""
        return f"used for {self.name}" if self.name else "used in the last project"


_MOST = 200
"""Finished projects that are looked at, the newest."""


def to_come_first(journal: Store, shop: Shop) -> tuple[Project, ...]:
    """Give the projects in the order of the shop file, but the finished ones at its end.

    One that begins after it was finished is to be made again.

    Raises:
        JournalError: when the journal cannot be read.
    """
    ends = journal.recent(HAPPENING.name, "", PROJECT_FINISHED, _MOST, include_void=False)
    days: dict[str, date] = {}
    for one in ends:
        said = HAPPENING.read(one)
        days.setdefault(said.project, (said.on or one.when).astimezone().date())

    def is_finished(one: Project) -> bool:
        over = [days[name] for name in (one.id, *one.was) if name in days]
        return bool(over) and (one.start is None or one.start <= max(over))

    return tuple(sorted(shop.projects, key=is_finished))


def last_project(journal: Store, shop: Shop) -> LastProject:
    """Read which project was finished last and which machines it used.

    Raises:
        JournalError: when the journal cannot be read.
    """
    ends = journal.recent(HAPPENING.name, "", PROJECT_FINISHED, 2, include_void=False)
    if not ends:
        return LastProject()
    upto, after = ends[0].seq, ends[1].seq if len(ends) > 1 else 0
    said = HAPPENING.read(ends[0])
    used = {*(said.machines or ()), *used_between(shop, journal, after, upto)} - said.spared
    name = project_name(shop, said.project) if said.project else ""
    return LastProject(name, frozenset(used))
