"""What the journal says that matters now, gathered for `health`."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from shopboard.health import Happening, Move, Past
from shopboard.journal import Entry, NewEntry, Store, new_uid
from shopboard.record import CheckRecord, UnreadableError, read_all, read_check
from shopboard.shop.model import Point

_HAPPENING = "happening"

RESUMES_WITHIN = timedelta(hours=12)
"""An older check is closed as unfinished: readings of two days do not belong together."""

_VOIDED_AMONG_THEM = 8
"""Happenings read beyond those wanted, because some may have been taken back."""


def gather(journal: Store) -> Past:
    """Read what `health` needs from the journal."""
    moves = {place: Move(entry.seq, entry.when) for place, entry in journal.latest("moved").items()}
    entries = journal.latest("check")
    latest = _readable(entries)
    happenings = [
        Happening(entry.seq, entry.when, machine, what)
        for (machine, what), entry in journal.latest(_HAPPENING).items()
    ]
    return Past(latest, moves, happenings, unreadable=len(entries) - len(latest))


def _readable(entries: Mapping[tuple[str, str], Entry]) -> dict[tuple[str, str], CheckRecord]:
    found: dict[tuple[str, str], CheckRecord] = {}
    for place, entry in entries.items():
        try:
            found[place] = read_check(entry)
        except UnreadableError:
            continue  # a later program's result: this one cannot judge it
    return found


def unfinished(journal: Store, now: datetime) -> dict[str, Entry]:
    """Give the unfinished checks that can be gone on with, by point, the last answered first."""
    recent = [one for one in journal.open_visits() if now - one.when <= 2 * RESUMES_WITHIN]
    last = {one.uid: max([one.seq, *(e.seq for e in journal.thread(one.uid))]) for one in recent}
    found: dict[str, Entry] = {}
    for entry in sorted(recent, key=lambda one: -last[one.uid]):
        found.setdefault(f"{entry.machine}.{entry.point}", entry)
    return found


def learnt_advance(journal: Store, point: Point, before: int | None) -> float | None:
    """Middle one of the last three advances that the point's screw was seen to make."""
    entries = journal.recent("check", point.machine, point.id, limit=30, include_void=False)
    known = read_all([one for one in entries if before is None or one.seq < before])
    shown = [one.mm_per_turn for one in known if one.mm_per_turn is not None][:3]
    return sorted(shown)[len(shown) // 2] if shown else None


def was_moved(journal: Store, point: Point, before: int | None) -> bool:
    """Tell whether the point was moved after its newest result that stands.

    Args:
        journal: the journal.
        point: the point.
        before: number of an entry; what was recorded after it is left out.
    """
    newest = {"moved": 0, "check": 0}
    for kind in newest:
        entries = journal.recent(kind, point.machine, point.id, limit=60, include_void=False)
        known = [one.seq for one in entries if before is None or one.seq < before]
        newest[kind] = max(known, default=0)
    return newest["moved"] > newest["check"]


def newest_happenings(journal: Store, machine_id: str, limit: int = 5) -> list[Entry]:
    """Give the newest happenings of a machine that stand, newest first."""
    entries = journal.machine_entries(_HAPPENING, machine_id, limit + _VOIDED_AMONG_THEM)
    return [entry for entry in entries if entry.void is None][:limit]


def record_happening(journal: Store, machine_id: str, what: str) -> Entry:
    """Record that something happened to a machine.

    What happened stands in the place of the point, so that the newest of each sort is found at
    once, however many years the journal holds.

    Raises:
        JournalError: when it cannot be recorded.
    """
    body = {"v": 1, "what": what}
    return journal.append([NewEntry(new_uid(), _HAPPENING, machine_id, what, body)])[0]
