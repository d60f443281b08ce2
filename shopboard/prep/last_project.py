"""Which machines the last finished project used: they are seen to first."""

from __future__ import annotations

from shopboard.journal import Store
from shopboard.journal.kinds import HAPPENING
from shopboard.shop.machine import PROJECT_FINISHED, USES
from shopboard.shop.model import Shop


def machines_of_last_project(journal: Store, shop: Shop) -> frozenset[str]:
    """Give the machines whose use was recorded between the last two finished projects.

    Raises:
        JournalError: when the journal cannot be read.
    """
    ends = journal.recent(HAPPENING.name, "", PROJECT_FINISHED, 2, include_void=False)
    if not ends:
        return frozenset()
    upto, after = ends[0].seq, ends[1].seq if len(ends) > 1 else 0
    return frozenset(
        machine.id
        for machine in shop.machines
        if any(
            one.void is None
            for use in USES
            for one in journal.between(HAPPENING.name, machine.id, use, after, upto, 20)
        )
    )
