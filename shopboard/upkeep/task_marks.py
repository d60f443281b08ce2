"""Marks that tasks were done, each with what its machine had been through by then."""

from __future__ import annotations

from datetime import datetime

from shopboard.base.dates import told_on
from shopboard.journal import Entry, NewEntry, Store, kinds, new_uid
from shopboard.journal.kinds import TaskDone
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED
from shopboard.upkeep.happenings import projects_on, total_of
from shopboard.upkeep.taken_back import Counts, still_in
from shopboard.upkeep.tasks import Done


def record_task(
    journal: Store,
    machine_id: str,
    task_id: str,
    refers: str = "",
    note: str = "",
    on: datetime | None = None,
    uid: str = "",
) -> Entry:
    """Record that a task was done.

    Args:
        journal: the journal.
        machine_id: its machine.
        task_id: the task.
        refers: uid of the entry that began it.
        note: words about it.
        on: when it was done, where that is said later.
        uid: name of its entry; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    entry = new_task(journal, machine_id, task_id, refers, uid, note, on)
    return journal.append([entry])[0]


def new_task(
    journal: Store,
    machine_id: str,
    task_id: str,
    refers: str = "",
    uid: str = "",
    note: str = "",
    on: datetime | None = None,
) -> NewEntry:
    """Put together what `record_task` records: with what the machine had been through by then."""
    minutes = total_of(journal, machine_id, HOURS_RUN)
    said = TaskDone(minutes, projects_on(journal, machine_id), note, on)
    return kinds.TASK.new(uid or new_uid(), said, machine_id, task_id, refers)


def take_back_task(
    journal: Store, machine_id: str, task_id: str, reason: str, uid: str = ""
) -> Entry | None:
    """Withdraw the newest mark that a task was done; give it, None when none stands.

    Args:
        journal: the journal.
        machine_id: its machine.
        task_id: the task.
        reason: why.
        uid: name of the entry that takes it back; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    newest = journal.recent(kinds.TASK.name, machine_id, task_id, limit=1, include_void=False)
    if not newest:
        return None
    journal.void(newest[0].uid, reason, uid)
    return newest[0]


def done_of(entry: Entry, when: datetime, gone: Counts) -> Done:
    """Read a mark that a task was done, with what counts of its day to this day."""
    hours = still_in(gone.get((entry.machine, HOURS_RUN), ()), entry.seq)
    projects = still_in(gone.get(("", PROJECT_FINISHED), ()), entry.seq, entry.machine)
    said = kinds.TASK.read(entry)
    return Done(
        entry.seq,
        when,
        said.minutes - hours,
        said.projects - projects,
        told_on(said.on, entry.when),
        clock_ok=entry.clock_ok and when is entry.when,
        by=entry.by,
    )
