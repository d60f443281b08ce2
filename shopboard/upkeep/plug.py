"""How long a plug that was out may be taken to be out still."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from shopboard.journal import Store, kinds

PLUG_HOLDS = timedelta(minutes=10)
"""After this pause the plug's state is asked again (our choice, no source)."""


def plug_is_doubtful(last: datetime, now: datetime) -> bool:
    """Tell whether somebody may have used the machine since.

    Where the clock was set back nobody knows how long the pause was: then, too.

    Args:
        last: when something was last recorded at the machine.
        now: the time.
    """
    return not timedelta(0) <= now - last <= PLUG_HOLDS


_WITH_THE_PLUG = tuple(one.name for one in kinds.ALL if one.at_machine)
"""Kinds of records after which a plug may be in: work that is over, and all that runs."""


def was_worked_on_since(journal: Store, modes: Iterable[str], seq: int) -> bool:
    """Tell whether anything else was recorded of a machine since: its plug may be in again.

    Args:
        journal: the records.
        modes: ids of the machine, or of all modes of its body: they share one plug.
        seq: number of the newest entry of the work that left the plug out.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return any(
        entry.seq > seq
        for mode in modes
        for kind in _WITH_THE_PLUG
        for entry in journal.machine_entries(kind, mode, 1)
    )
