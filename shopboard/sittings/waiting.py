"""What was left half-way and can be gone on with: checks, and tasks with steps."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from shopboard.journal import Entry, Store
from shopboard.journal.kinds import ANSWER, CHECK
from shopboard.shop.model import Shop
from shopboard.standing.model import Past
from shopboard.upkeep.begun import BEGIN, Begun, read_begun

RESUMES_WITHIN = timedelta(hours=24)
"""A check whose last answer is older is not gone on with: readings of two days do not belong
together (our choice, no source)."""

_NEWEST_ANSWERS = 50
"""Of a point, that are looked at for one that belongs to a check begun long ago."""


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
    place = (begun.machine, begun.point)
    newest = journal.between(ANSWER.name, *place, after, 2**62, _NEWEST_ANSWERS)
    return any(one.refers == begun.uid for one in newest)


def has_void_result(thread: Sequence[Entry]) -> bool:
    """Tell whether a result of a check was withdrawn, by the check's entries."""
    return any(one.kind == CHECK.name and one.void is not None for one in thread)


def unfinished(journal: Store, now: datetime) -> dict[str, Entry]:
    """Give the unfinished checks that can be gone on with, by point, the last answered first.

    Not one of which a result was withdrawn: what is to be turned followed from that.

    Args:
        journal: the journal.
        now: the computer's clock, also where it stands before the newest record.
    """
    after = waits_after(journal, now)
    recent = [one for one in journal.open_checks() if _went_on(journal, one, after)]
    threads = {one.uid: [one, *journal.thread(one.uid)] for one in recent}
    last = {uid: max(one.seq for one in entries) for uid, entries in threads.items()}
    found: dict[str, Entry] = {}
    for entry in sorted(recent, key=lambda one: -last[one.uid]):
        if not has_void_result(threads[entry.uid]):
            found.setdefault(f"{entry.machine}.{entry.point}", entry)
    return found


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
