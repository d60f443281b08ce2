"""What the journal says that matters now, gathered for `health`."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from shopboard.health import Happening, Move, Past
from shopboard.journal import CLOCK, Entry, NewEntry, Store, new_uid
from shopboard.record import CheckRecord, UnreadableError, read_all, read_check
from shopboard.shop.model import HOURS_RUN, PROJECT_FINISHED, USES, Point
from shopboard.upkeep.tasks import Done

_HAPPENING = "happening"

RESUMES_WITHIN = timedelta(hours=12)
"""An older check is closed as unfinished: readings of two days do not belong together."""

_VOIDED_AMONG_THEM = 8
"""Happenings read beyond those wanted, because some may have been taken back."""


def gather(journal: Store) -> Past:
    """Read what `health` needs from the journal."""
    set_right = next(iter(journal.recent(CLOCK, "", "", 1, include_void=False)), None)
    moves = {
        place: Move(entry.seq, _when(entry, set_right))
        for place, entry in journal.latest("moved").items()
    }
    entries = journal.latest("check")
    latest = _readable(entries, set_right)
    happenings = [
        Happening(
            entry.seq, _when(entry, set_right), machine, what, _number(entry.body.get("total"))
        )
        for (machine, what), entry in journal.latest(_HAPPENING).items()
    ]
    tasks = {
        place: Done(
            entry.seq,
            _when(entry, set_right),
            _number(entry.body.get("minutes")),
            _number(entry.body.get("projects")),
        )
        for place, entry in journal.latest("task").items()
    }
    tags = {
        machine: str(entry.body.get("why", "")) or "not to be used"
        for (machine, _), entry in journal.latest("tag").items()
        if entry.body.get("out_of_use") is True
    }
    return Past(
        latest=latest,
        moves=moves,
        happenings=happenings,
        tasks=tasks,
        cutters=journal.latest("cutter"),
        tags=tags,
        unreadable=len(entries) - len(latest),
    )


def _number(value: object) -> float:
    """Give a number from a record; 0 where a later program wrote something else."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return 0.0
    return float(value) if abs(value) < 1e12 else 0.0


def _readable(
    entries: Mapping[tuple[str, str], Entry], set_right: Entry | None
) -> dict[tuple[str, str], CheckRecord]:
    found: dict[tuple[str, str], CheckRecord] = {}
    for place, entry in entries.items():
        try:
            record = read_check(entry)
        except UnreadableError:
            continue  # a later program's result: this one cannot judge it
        when = _when(entry, set_right)
        found[place] = record if when is entry.when else record._replace(when=when)
    return found


def _when(entry: Entry, set_right: Entry | None) -> datetime:
    """Give the time of an entry; no later than the clock was right again, if it came before."""
    if set_right is None or entry.seq > set_right.seq or entry.when <= set_right.when:
        return entry.when
    return set_right.when


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


def record_happening(
    journal: Store, machine_id: str, what: str, amount: float | None = None, note: str = ""
) -> Entry:
    """Record that something happened to a machine.

    What happened stands in the place of the point, so that the newest of each sort is found at
    once, however many years the journal holds.

    Args:
        journal: the journal.
        machine_id: the machine; a finished project is the whole shop's, whatever is given.
        what: one of HAPPENINGS or USES, or NOTE.
        amount: of a use: minutes run, cuts, mm; a finished project counts one.
        note: words about it.

    Raises:
        JournalError: when it cannot be recorded.
    """
    machine = "" if what == PROJECT_FINISHED else machine_id
    body: dict[str, object] = {"v": 1, "what": what}
    if what == PROJECT_FINISHED:
        amount = 1.0
    if what == PROJECT_FINISHED or what in USES:
        newest = journal.recent(_HAPPENING, machine, what, limit=1, include_void=False)
        before = _number(newest[0].body.get("total")) if newest else 0.0
        body |= {"amount": amount or 0.0, "total": before + (amount or 0.0)}
    if note:
        body["note"] = note
    return journal.append([NewEntry(new_uid(), _HAPPENING, machine, what, body)])[0]


def record_task(journal: Store, machine_id: str, task_id: str, refers: str = "") -> Entry:
    """Record that a task was done, with what the machine had been through by then.

    Raises:
        JournalError: when it cannot be recorded.
    """
    totals = {}
    for key, machine, what in (
        ("minutes", machine_id, HOURS_RUN),
        ("projects", "", PROJECT_FINISHED),
    ):
        newest = journal.recent(_HAPPENING, machine, what, limit=1, include_void=False)
        totals[key] = _number(newest[0].body.get("total")) if newest else 0.0
    body = {"v": 1, **totals}
    return journal.append([NewEntry(new_uid(), "task", machine_id, task_id, body, refers)])[0]
