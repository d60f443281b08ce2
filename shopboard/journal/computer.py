"""The name of this computer, as the journal notes who records."""

from __future__ import annotations

from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.text import harmless
from shopboard.journal import kinds
from shopboard.journal.entry import NewEntry, new_uid
from shopboard.journal.store import Store

_LONGEST = 60


def this_computer() -> str:
    """Give the computer's name in its network, harmless; empty when it has none."""
    from platform import node  # not needed before the first recording

    return harmless(node().strip())[:_LONGEST]


def naming(journal: Store, name: str) -> list[NewEntry]:
    """Give the entry that names this computer, where the last such entry names another.

    Raises:
        JournalError: when the journal cannot be read.
    """
    last = journal.recent(kinds.COMPUTER.name, "", "", 1) if name else []
    if not name or (last and kinds.COMPUTER.read(last[0]).name == name):
        return []
    return [kinds.COMPUTER.new(new_uid(), kinds.ComputerName(name))]


def written_elsewhere(journal: Store, newest: datetime | None) -> str:
    """Say that another computer wrote a journal last; empty when this one did.

    Args:
        journal: the journal.
        newest: when its newest entry was recorded; a computer's clock may lag behind it.

    Raises:
        JournalError: when the journal cannot be read.
    """
    last = journal.recent(kinds.COMPUTER.name, "", "", 1)
    name = kinds.COMPUTER.read(last[0]).name if last else ""
    if not name or name == this_computer():
        return ""
    when = day(max(last[0].when, newest or last[0].when))
    return f"This journal was last written on another computer ({harmless(name)}), on {when}."
