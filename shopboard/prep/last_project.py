"""The last finished project, and the machines that it used: they are serviced, and seen to first.

Its entry tells on which machines it ran; where it tells of none, and of one of before that told of
its joints alone, what was recorded of their use since the project before does.
"""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Store
from shopboard.journal.kinds import HAPPENING
from shopboard.shop.machine import PROJECT_FINISHED
from shopboard.shop.model import Shop
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
