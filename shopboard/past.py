"""What the journal says that matters now, gathered for `health`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from shopboard.journal import CLOCK, Entry, JournalError, NewEntry, Store, new_uid
from shopboard.record import CheckRecord, UnreadableError, read_all, read_check
from shopboard.shop.model import HOURS_RUN, PROJECT_FINISHED, USES, Point, Shop
from shopboard.standing import Happening, Move, Past
from shopboard.upkeep.begun import BEGIN, DONE, Begun, read_begun
from shopboard.upkeep.safety_record import ROUND, TAG, read_round, tag_words
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
        happening_of(entry)._replace(when=_when(entry, set_right))
        for entry in journal.latest(_HAPPENING).values()
    ]
    tasks = {
        place: Done(
            entry.seq,
            _when(entry, set_right),
            _number(entry.body.get("minutes")),
            _number(entry.body.get("projects")),
        )
        for place, entry in journal.latest(DONE).items()
    }
    proving = [place for place, record in latest.items() if record.readings.get("proves")]
    tags = {
        machine: tag_words(entry)
        for (machine, _), entry in journal.latest(TAG).items()
        if tag_words(entry)
    }
    rounds = {machine: read_round(entry) for (machine, _), entry in journal.latest(ROUND).items()}
    return Past(
        latest=latest,
        moves=moves,
        happenings=happenings,
        tasks=tasks,
        cutters=journal.latest("cutter"),
        tags=tags,
        rounds={machine: one for machine, one in rounds.items() if one is not None},
        proofs=_proofs(journal, proving, set_right) if proving else {},
        unreadable=len(entries) - len(latest),
    )


def _proofs(
    journal: Store, places: Sequence[tuple[str, str]], set_right: Entry | None
) -> dict[str, list[CheckRecord]]:
    """Give what was found of the drawer's tools, by tool, oldest first."""
    found: dict[str, list[CheckRecord]] = {}
    for place in places:
        for entry in journal.recent("check", *place, include_void=False):
            for record in _readable({place: entry}, set_right).values():
                tool = record.readings.get("proves")
                if isinstance(tool, str) and tool:
                    found.setdefault(tool, []).append(record)
    return {tool: sorted(each, key=lambda one: one.seq) for tool, each in found.items()}


def happening_of(entry: Entry) -> Happening:
    """Read an entry of what happened, which stands in the place of the point."""
    total = _number(entry.body.get("total"))
    return Happening(entry.seq, entry.when, entry.machine, entry.point, total)


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
        if when is not entry.when:  # the clock was ahead then
            record = record._replace(when=when, clock_ok=False)
        found[place] = record
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


def begun_tasks(journal: Store, shop: Shop, past: Past) -> dict[tuple[str, str], Begun]:
    """Give the tasks with steps that are under way, by (machine, task)."""
    stepped = {
        (machine.id, task.id): task
        for machine in shop.machines
        for task in machine.tasks
        if task.steps
    }
    found: dict[tuple[str, str], Begun] = {}
    for place, begin in (journal.latest(BEGIN) if stepped else {}).items():
        done = past.tasks.get(place)
        if place not in stepped or (done is not None and done.seq > begin.seq):
            continue
        begun = read_begun(stepped[place], begin, journal.thread(begin.uid))
        if begun is not None:
            found[place] = begun
    return found


def newest_happenings(journal: Store, machine_id: str, limit: int = 5) -> list[Entry]:
    """Give the newest happenings of a machine and of the whole shop that stand, newest first."""
    most = limit + _VOIDED_AMONG_THEM
    entries = [
        entry
        for machine in dict.fromkeys((machine_id, ""))
        for entry in journal.machine_entries(_HAPPENING, machine, most)
        if entry.void is None
    ]
    return sorted(entries, key=lambda entry: -entry.seq)[:limit]


def newest_of(journal: Store, machine_id: str, what: str) -> Entry | None:
    """Give the newest happening of a sort that stands."""
    machine = "" if what == PROJECT_FINISHED else machine_id
    entries = journal.recent(_HAPPENING, machine, what, limit=1, include_void=False)
    return entries[0] if entries else None


def record_happening(
    journal: Store,
    machine_id: str,
    what: str,
    amount: float | None = None,
    note: str = "",
    shop: Shop | None = None,
) -> Entry:
    """Record that something happened to a machine.

    Args:
        journal: the journal.
        machine_id: the machine; a finished project is the whole shop's, whatever is given.
        what: one of HAPPENINGS or USES, or NOTE.
        amount: of a use: minutes run, cuts, mm; a finished project counts one.
        note: words about it.
        shop: the shop, whose cutters on the machine were used; their entries are recorded with it.

    Raises:
        JournalError: when it cannot be recorded.
    """
    while True:
        entry = new_happening(journal, machine_id, what, amount, note)
        entries = [entry]
        added = entry.body.get("amount")
        if shop is not None and isinstance(added, int | float) and added:
            from shopboard.upkeep.cutter_journal import use_entries

            entries += use_entries(shop, entry.machine, what, added, entry.uid, journal)
        try:
            return journal.append(entries)[0]
        except JournalError:
            known = journal.get(entry.uid)
            if known is None or known.body == entry.body:
                raise
            # Another program has counted something meanwhile: count on from there.


def new_happening(
    journal: Store, machine_id: str, what: str, amount: float | None = None, note: str = ""
) -> NewEntry:
    """Put together what `record_happening` records, to be recorded with other entries at once.

    What happened stands in the place of the point, so that the newest of each sort is found at
    once, however many years the journal holds. What is counted carries its running total, and is
    named after the entry that it counts on from: of two programs that count on from the same one,
    the later is refused.
    """
    machine = "" if what == PROJECT_FINISHED else machine_id
    body: dict[str, object] = {"v": 1, "what": what}
    uid = new_uid()
    if what == PROJECT_FINISHED or what in USES:
        added = 1.0 if what == PROJECT_FINISHED else amount or 0.0
        newest = journal.recent(_HAPPENING, machine, what, limit=1)
        body |= {"amount": added, "total": _total(journal, machine, what) + added}
        uid = _name_after(newest[0].uid if newest else f"{machine}/{what}")
    if note:
        body["note"] = note
    return NewEntry(uid, _HAPPENING, machine, what, body)


def _name_after(before: str) -> str:
    from hashlib import sha256

    return sha256(f"after {before}".encode()).hexdigest()[:32]


def _total(journal: Store, machine_id: str, what: str) -> float:
    newest = newest_of(journal, machine_id, what)
    return _number(newest.body.get("total")) if newest else 0.0


def counted_since(journal: Store, entry: Entry) -> str:
    """Name what was done since and counts a happening in; empty when it can be taken back.

    A task keeps the totals of its day; with a happening before it gone, what has been run since
    would come out wrong.
    """
    if entry.point not in (HOURS_RUN, PROJECT_FINISHED):
        return ""
    for (machine, task), done in journal.latest(DONE).items():
        if done.seq > entry.seq and entry.machine in (machine, ""):
            return f"{machine}.{task}"
    return ""


def record_task(
    journal: Store, machine_id: str, task_id: str, refers: str = "", note: str = ""
) -> Entry:
    """Record that a task was done.

    Raises:
        JournalError: when it cannot be recorded.
    """
    return journal.append([new_task(journal, machine_id, task_id, refers, note=note)])[0]


def new_task(
    journal: Store, machine_id: str, task_id: str, refers: str = "", uid: str = "", note: str = ""
) -> NewEntry:
    """Put together what `record_task` records: with what the machine had been through by then."""
    body: dict[str, object] = {
        "v": 1,
        "minutes": _total(journal, machine_id, HOURS_RUN),
        "projects": _total(journal, machine_id, PROJECT_FINISHED),
    }
    if note:
        body["note"] = note
    return NewEntry(uid or new_uid(), DONE, machine_id, task_id, body, refers)


def take_back_task(journal: Store, machine_id: str, task_id: str, reason: str) -> bool:
    """Take back the newest mark that a task was done; False when none stands.

    Raises:
        JournalError: when it cannot be recorded.
    """
    newest = journal.recent(DONE, machine_id, task_id, limit=1, include_void=False)
    if newest:
        journal.void(newest[0].uid, reason)
    return bool(newest)
