"""The last finished project, and the machines that it used: they are serviced, and seen to first.

Its joints tell on which machines it was cut, where its name was told; what was recorded of their
use since the project before tells it of the others.
"""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Store
from shopboard.journal.kinds import HAPPENING
from shopboard.shop.machine import PROJECT_FINISHED, USES
from shopboard.shop.model import Shop
from shopboard.upkeep.happenings import project_name


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
    used = [
        machine.id
        for machine in shop.machines
        if not {machine.id, *machine.was}.isdisjoint(said.machines)
        or any(
            one.void is None
            for use in USES
            for one in journal.between(HAPPENING.name, machine.id, use, after, upto, 20)
        )
    ]
    name = project_name(shop, said.project) if said.project else ""
    return LastProject(name, frozenset(used))
