"""What the journal says that matters now, gathered to be judged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import datetime, timedelta

from shopboard.base.dates import told_on
from shopboard.journal import CLOCK, Entry, JournalMovedOn, NewEntry, Store, new_uid
from shopboard.results.record import CheckRecord, UnreadableError, read_all, read_check
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED, TURNED, USES, Point
from shopboard.shop.model import Shop
from shopboard.standing.model import Happening, Move, Past
from shopboard.upkeep.begun import BEGIN, DONE, Begun, read_begun
from shopboard.upkeep.safety_record import ROUND, TAG, lost_tags, read_round, tag_words
from shopboard.upkeep.taken_back import (
    Counts,
    Gone,
    counts_gone,
    gone_at,
    newest_cutters,
    still_in,
)
from shopboard.upkeep.tasks import Done

HAPPENING = "happening"
"""Kind of the entries that say what happened; what did stands in the place of the point."""

RESUMES_WITHIN = timedelta(hours=24)
"""A check whose last answer is older is not gone on with: readings of two days do not belong
together (our choice, no source)."""

_NEWEST_ANSWERS = 50
"""Of a point, that are looked at for one that belongs to a check begun long ago."""

_VOIDED_AMONG_THEM = 8
"""Happenings read beyond those wanted, because some may have been taken back."""


def gather(journal: Store) -> Past:
    """Read what `judge` needs from the journal."""
    set_right = next(iter(journal.recent(CLOCK, "", "", 1, include_void=False)), None)
    moves = {
        place: Move(entry.seq, _when(entry, set_right))
        for place, entry in journal.latest("moved").items()
    }
    entries = journal.latest("check")
    gone = counts_gone(journal)
    latest = _readable(entries, set_right, gone)
    happenings = [
        happening_of(entry, gone.get(place, ()))._replace(when=_when(entry, set_right))
        for place, entry in journal.latest(HAPPENING).items()
    ]
    tasks = {
        place: done_of(entry, _when(entry, set_right), gone)
        for place, entry in journal.latest(DONE).items()
    }
    proving = [place for place, record in latest.items() if record.readings.get("proves")]
    tags = {machine: entry for (machine, _), entry in journal.latest(TAG).items()}
    rounds = {machine: read_round(entry) for (machine, _), entry in journal.latest(ROUND).items()}
    return Past(
        latest=latest,
        moves=moves,
        happenings=happenings,
        tasks=tasks,
        cutters=newest_cutters(journal),
        tags={one: tag_words(entry) for one, entry in tags.items() if tag_words(entry)},
        lost_tags=lost_tags(journal),
        cleared={one: entry.seq for one, entry in tags.items() if not tag_words(entry)},
        rounds={machine: one for machine, one in rounds.items() if one is not None},
        proofs=_proofs(journal, proving, set_right) if proving else (),
        unreadable=len(entries) - len(latest),
        damage=journal.damage,  # last: what was read above may have shown some
    )


def _proofs(
    journal: Store, places: Sequence[tuple[str, str]], set_right: Entry | None
) -> list[CheckRecord]:
    """Give what was found of the drawer's tools, oldest first."""
    found: list[CheckRecord] = []
    for place in places:
        for entry in journal.recent("check", *place, include_void=False):
            found += _readable({place: entry}, set_right, {}).values()
    proofs = [one for one in found if one.readings.get("proves")]
    return sorted(proofs, key=lambda one: one.seq)


def happening_of(entry: Entry, gone: Sequence[Gone] = ()) -> Happening:
    """Read an entry of what happened, which stands in the place of the point.

    Args:
        entry: the entry.
        gone: the counts of its sort that were taken back there.
    """
    total = max(0.0, _number(entry.body.get("total")) - still_in(gone, entry.seq))
    return Happening(
        entry.seq,
        entry.when,
        entry.machine,
        entry.point,
        total,
        told_on(entry.body.get("on"), entry.when),
    )


def done_of(entry: Entry, when: datetime, gone: Counts) -> Done:
    """Read a mark that a task was done, with what counts of its day to this day."""
    hours = still_in(gone.get((entry.machine, HOURS_RUN), ()), entry.seq)
    projects = still_in(gone.get(("", PROJECT_FINISHED), ()), entry.seq)
    return Done(
        entry.seq,
        when,
        _number(entry.body.get("minutes")) - hours,
        _number(entry.body.get("projects")) - projects,
        told_on(entry.body.get("on"), entry.when),
        clock_ok=entry.clock_ok and when is entry.when,
    )


def _number(value: object) -> float:
    """Give a number from a record; 0 where a later program wrote something else."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return 0.0
    return float(value) if abs(value) < 1e12 else 0.0


def _readable(
    entries: Mapping[tuple[str, str], Entry], set_right: Entry | None, gone: Counts
) -> dict[tuple[str, str], CheckRecord]:
    found: dict[tuple[str, str], CheckRecord] = {}
    for place, entry in entries.items():
        try:
            record = read_check(entry)
        except UnreadableError:
            continue  # a later program's result: this one cannot judge it
        holds = record.holds
        if holds is not None and (place[0], HOURS_RUN) in gone:
            total = holds.total_minutes - still_in(gone[place[0], HOURS_RUN], entry.seq)
            record = record._replace(holds=holds._replace(total_minutes=total))
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


def waits_after(journal: Store, now: datetime) -> int:
    """Give the number of an entry: an unfinished check that was gone on with later waits.

    Told by the order of recording, so that a clock that was ahead or behind for a while makes no
    check older than it is.

    Args:
        journal: the journal.
        now: the computer's clock, also where it stands before the newest record.
    """
    return journal.seq_at(now - RESUMES_WITHIN)


def _went_on(journal: Store, begun: Entry, after: int) -> bool:
    """Tell whether a check was begun, or answered, after an entry."""
    if begun.seq > after:
        return True
    newest = journal.between("answer", begun.machine, begun.point, after, 2**62, _NEWEST_ANSWERS)
    return any(one.refers == begun.uid for one in newest)


def unfinished(journal: Store, now: datetime) -> dict[str, Entry]:
    """Give the unfinished checks that can be gone on with, by point, the last answered first.

    Not one of which a result was taken back: what is to be turned followed from that.

    Args:
        journal: the journal.
        now: the computer's clock, also where it stands before the newest record.
    """
    after = waits_after(journal, now)
    recent = [one for one in journal.open_visits() if _went_on(journal, one, after)]
    threads = {one.uid: [one, *journal.thread(one.uid)] for one in recent}
    last = {uid: max(one.seq for one in entries) for uid, entries in threads.items()}
    found: dict[str, Entry] = {}
    for entry in sorted(recent, key=lambda one: -last[one.uid]):
        if not any(one.kind == "check" and one.void is not None for one in threads[entry.uid]):
            found.setdefault(f"{entry.machine}.{entry.point}", entry)
    return found


def learnt_advance(journal: Store, point: Point, before: int | None) -> float | None:
    """Middle one of the last three advances that the point's screw was seen to make.

    Each was seen between two results of one check; it counts only while both of them stand.
    """
    entries = journal.recent("check", point.machine, point.id, limit=30)
    stands: dict[str, bool] = {}  # of each check, whether its newest result so far does
    both = []
    for one in reversed(entries):
        if one.void is None and stands.get(one.refers, True):
            both.append(one)
        stands[one.refers] = one.void is None
    known = read_all([one for one in reversed(both) if before is None or one.seq < before])
    shown = [one.mm_per_turn for one in known if one.mm_per_turn is not None][:3]
    return sorted(shown)[len(shown) // 2] if shown else None


def take_back(journal: Store, uid: str, reason: str, name: str = "") -> None:
    """Take a result back, by an entry of that name, if one is given.

    Where its correction is under way, the point may be loose already: then an older result that was
    true says nothing any more, and it stands as moved.

    Raises:
        JournalError: when it cannot be recorded.
    """
    found = journal.get(uid)
    after = [one for one in journal.thread(found.refers) if one.seq > found.seq] if found else []
    begun = any(one.kind == "answer" and one.body.get("text") == "adjust" for one in after)
    if found and begun and not any(one.kind in ("moved", "check", "end") for one in after):
        name = name or new_uid()
        moved = NewEntry(f"{name}-moved", "moved", found.machine, found.point, {"v": 1})
        journal.append([moved])  # first: cut off here, it is only measured once more
    journal.void(uid, reason, name)


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
    """Give the newest happenings of a machine and of the whole shop that stand, newest first.

    Each has the total that still counts.
    """
    most = limit + _VOIDED_AMONG_THEM
    entries = [
        entry
        for machine in dict.fromkeys((machine_id, ""))
        for entry in journal.machine_entries(HAPPENING, machine, most)
        if entry.void is None
    ]
    newest = sorted(entries, key=lambda entry: -entry.seq)[:limit]
    places = {(one.machine, one.point) for one in newest if "total" in one.body}
    gone = {place: gone_at(journal, *place) for place in places}
    return [_counted(entry, gone.get((entry.machine, entry.point), ())) for entry in newest]


def _counted(entry: Entry, gone: Sequence[Gone]) -> Entry:
    if not gone:
        return entry
    return entry._replace(body={**entry.body, "total": happening_of(entry, gone).total})


def newest_of(journal: Store, machine_id: str, what: str) -> Entry | None:
    """Give the newest happening of a sort that stands."""
    machine = "" if what == PROJECT_FINISHED else machine_id
    entries = journal.recent(HAPPENING, machine, what, limit=1, include_void=False)
    return entries[0] if entries else None


def record_happening(
    journal: Store,
    machine_id: str,
    what: str,
    amount: float | None = None,
    note: str = "",
    shop: Shop | None = None,
    on: datetime | None = None,
    uid: str = "",
) -> Entry:
    """Record that something happened to a machine.

    Args:
        journal: the journal.
        machine_id: the machine; a finished project is the whole shop's, whatever is given.
        what: one of HAPPENINGS or USES, or NOTE.
        amount: of a use: minutes run, cuts, mm; a finished project counts one.
        note: words about it.
        shop: the shop, whose cutters on the machine were used; their entries are recorded with it.
        on: when it happened, where it is said later; it counts from its recording all the same.
        uid: name of its entry; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    uid = uid or new_uid()
    while True:
        last = journal.last_seq()
        entry = _new_happening(journal, uid, machine_id, what, amount, note, on)
        entries = [entry]
        added = entry.body.get("amount")
        if shop is not None and isinstance(added, int | float) and added:
            from shopboard.upkeep.cutter_journal import use_entries

            entries += use_entries(shop, entry.machine, what, added, uid, journal, on)
        elif shop is not None and what == TURNED:
            from shopboard.upkeep.cutter_journal import turned_entries

            entries += turned_entries(shop, entry.machine, uid, journal, on)
        with suppress(JournalMovedOn):  # what was counted meanwhile: count on from there
            return journal.append(entries, last)[0]


def _new_happening(
    journal: Store,
    uid: str,
    machine_id: str,
    what: str,
    amount: float | None,
    note: str,
    on: datetime | None,
) -> NewEntry:
    """Put together what `record_happening` records.

    What happened stands in the place of the point, so that the newest of each sort is found at
    once, however many years the journal holds. What is counted carries its running total.
    """
    machine = "" if what == PROJECT_FINISHED else machine_id
    body: dict[str, object] = {"v": 1, "what": what}
    if what == PROJECT_FINISHED or what in USES:
        added = 1.0 if what == PROJECT_FINISHED else amount or 0.0
        body |= {"amount": added, "total": total_of(journal, machine, what) + added}
    if note:
        body["note"] = note
    if on is not None:
        body["on"] = on.isoformat()
    return NewEntry(uid, HAPPENING, machine, what, body)


def total_of(journal: Store, machine_id: str, what: str) -> float:
    """Give what was counted of one sort by now: minutes, cuts, mm, projects."""
    newest = newest_of(journal, machine_id, what)
    if newest is None:
        return 0.0
    return happening_of(newest, gone_at(journal, newest.machine, what)).total
