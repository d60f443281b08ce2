"""What the journal says that matters now, gathered for `health`."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.health import Happening, Move, Past
from shopboard.journal import Entry, NewEntry, Store, new_uid
from shopboard.record import CheckRecord, UnreadableError, read_check
from shopboard.shop.model import Shop

_HAPPENINGS_LOOKED_AT = 50
"""Newest happenings of a machine that are looked at; older ones lie before any check that holds."""


def gather(journal: Store, shop: Shop) -> Past:
    """Read what `health` needs from the journal."""
    moves = {place: Move(entry.seq, entry.when) for place, entry in journal.latest("moved").items()}
    happenings = [
        Happening(entry.seq, entry.when, machine.id, str(entry.body.get("what", "")))
        for machine in shop.machines
        for entry in journal.machine_entries("happening", machine.id, _HAPPENINGS_LOOKED_AT)
        if entry.void is None
    ]
    return Past(_readable(journal.latest("check")), moves, happenings)


def _readable(entries: Mapping[tuple[str, str], Entry]) -> dict[tuple[str, str], CheckRecord]:
    found: dict[tuple[str, str], CheckRecord] = {}
    for place, entry in entries.items():
        try:
            found[place] = read_check(entry)
        except UnreadableError:
            continue  # a later program's result: this one cannot judge it
    return found


def record_happening(journal: Store, machine_id: str, what: str) -> Entry:
    """Record that something happened to a machine.

    Raises:
        JournalError: when it cannot be recorded.
    """
    body = {"v": 1, "what": what}
    return journal.append([NewEntry(new_uid(), "happening", machine_id, "", body)])[0]
