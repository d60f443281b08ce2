"""A task with steps being done, durable step by step.

Each step is in the journal before the next one is shown, so a task can be left, killed or cut off
anywhere and goes on where it stood; a wait runs on meanwhile.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from shopboard.journal import Entry, JournalLocked, NewEntry, Store, new_uid
from shopboard.shop.machine import Task, TaskStep
from shopboard.upkeep.begun import BEGIN, DONE, LEFT, LONGEST_WAIT, STEP, Begun, read_begun
from shopboard.upkeep.plug import plug_is_doubtful
from shopboard.upkeep.task_marks import new_task


class TaskSitting:
    """One task of one machine, from the first step to the mark that it is done."""

    def __init__(self, journal: Store, machine_id: str, task: Task, begun: Begun | None) -> None:
        """Begin a task, or go on with it; nothing is recorded before its first step is done.

        Args:
            journal: where it is recorded.
            machine_id: the task's machine.
            task: a task with steps.
            begun: how far it is; None begins it anew, as do other steps in the shop file.
        """
        self.machine_id = machine_id
        self.task = task
        self.done: Entry | None = None
        """The mark that it is done, once it is recorded."""
        self.left = False
        """Whether it was left undone for good."""
        self._journal = journal
        self._uid = new_uid()
        self._begun = begun if begun is not None and begun.same else None
        self._stale = begun if begun is not None and not begun.same else None

    @property
    def begun(self) -> Begun | None:
        """How far it is; None before its first step is done."""
        return self._begun

    @property
    def number(self) -> int:
        """Number of the step that is to be done now, from 1; past the last when none is left."""
        return (self._begun.steps if self._begun else 0) + 1

    @property
    def step(self) -> TaskStep | None:
        """The step that is to be done now; None when a wait or the end comes next."""
        if self.waits or self.number > len(self.task.steps):
            return None
        return self.task.steps[self.number - 1]

    @property
    def waits(self) -> bool:
        """Whether it must be left alone now, or had to be until a moment ago."""
        return self._begun is not None and self._begun.wait > 0

    def was_paused(self, now: datetime) -> bool:
        """Tell whether somebody may have used the machine since the newest entry about it."""
        last = self._begun.last if self._begun else None
        return last is None or plug_is_doubtful(last, now)

    def do_step(self) -> None:
        """Record that the step is done, and with the last one that the task is.

        Raises:
            JournalError: when it cannot be recorded; the step stays.
        """
        step = self.step
        if step is None:
            return
        ends = self.number == len(self.task.steps) and not step.wait_minutes
        self._record({"step": self.number}, ends=ends)

    def end_wait(self) -> None:
        """Go on after a wait, or before it is over; after the last one the task is done.

        Raises:
            JournalError: when it cannot be recorded; the wait stays.
        """
        if self.waits:
            ends = self.number > len(self.task.steps)
            self._record({"step": self.number - 1, "wait": 0.0}, ends=ends)

    def wait_until(self, minutes: float) -> None:
        """Make the wait so many minutes long, from its start.

        Raises:
            JournalError: when it cannot be recorded; the wait stays as it was.
        """
        if self.waits:
            minutes = min(max(minutes, 0.0), LONGEST_WAIT)
            self._record({"step": self.number - 1, "wait": round(minutes, 3)})

    def back(self) -> bool:
        """Go back one step; False at the first one.

        Raises:
            JournalError: when it cannot be recorded.
        """
        if self.number == 1:
            return False
        self._record({"step": self.number - 2, "wait": 0.0})
        return True

    def leave_undone(self, why: str) -> None:
        """Close it without the mark that it is done.

        Raises:
            JournalError: when it cannot be recorded.
        """
        if self._begun is not None:
            self._append([self._entry(LEFT, {"why": why}, self._begun.uid, self._begun.written)])
        self.left = True

    def _record(self, body: Mapping[str, object], *, ends: bool = False) -> None:
        entries: list[NewEntry] = []
        uid, written = (self._begun.uid, self._begun.written) if self._begun else (self._uid, 0)
        if self._stale is not None:
            why = {"why": "the shop file has changed since"}
            entries.append(self._entry(LEFT, why, self._stale.uid, self._stale.written))
        if self._begun is None:
            words = {"v": 1, "steps": [step.words for step in self.task.steps]}
            entries.append(NewEntry(uid, BEGIN, self.machine_id, self.task.id, words))
        entries.append(self._entry(STEP, body, uid, written))
        if ends:
            name = f"{uid}-{written + 2}"
            known = self._journal.get(name)
            if known is None or known.kind != DONE:
                mark = new_task(self._journal, self.machine_id, self.task.id, uid, name)
            else:  # an earlier try left it there, with the totals of that moment
                mark = NewEntry(name, DONE, known.machine, known.point, known.body, uid)
            entries.append(mark)
        recorded = self._append(entries)
        self._stale = None
        if ends:
            self.done = recorded[-1]
            return
        begin = self._journal.get(uid)
        if begin is not None:
            self._begun = read_begun(self.task, begin, self._journal.thread(uid))

    def _entry(self, kind: str, body: Mapping[str, object], uid: str, written: int) -> NewEntry:
        """Name entries by the task's beginning and number: a repeated Enter adds nothing."""
        name = f"{uid}-{written + 1}"
        return NewEntry(name, kind, self.machine_id, self.task.id, {"v": 1, **body}, uid)

    def _append(self, entries: list[NewEntry]) -> list[Entry]:
        for entry in entries:
            known = self._journal.get(entry.uid)
            if known is not None and (known.kind, known.body) != (entry.kind, entry.body):
                raise JournalLocked(
                    "Another program has gone on with this task meanwhile.",
                    "Leave it here and go on with it: it stands where the other one left it.",
                )
        return self._journal.append(entries)
