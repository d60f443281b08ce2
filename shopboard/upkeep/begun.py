"""A task with steps that is under way: how far it is. Pure: entries in."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds import TASK, TASK_BEGIN, TASK_END, TASK_STEP
from shopboard.shop.machine import Task

if TYPE_CHECKING:
    from shopboard.journal import Entry

BEGIN, STEP, DONE, LEFT = TASK_BEGIN.name, TASK_STEP.name, TASK.name, TASK_END.name
"""Kinds of the journal: begun, a step done, the task done, the task left undone."""

LONGEST_WAIT = 14 * 24 * 60.0
"""Minutes: as far as a wait can be put off."""


class Begun(NamedTuple):
    """A task that was begun and is not done."""

    uid: str
    """Of the entry that began it."""
    when: datetime
    """When it was begun."""
    steps: int = 0
    """Steps done."""
    since: datetime | None = None
    """When the newest of them was done."""
    wait: float = 0.0
    """Minutes that it must be left alone from then on; 0: it need not."""
    last: datetime | None = None
    """When the newest entry about it was recorded."""
    written: int = 0
    """Entries about it, besides the one that began it."""
    same: bool = True
    """Whether the shop file still has the steps that it was begun with."""


def read_begun(task: Task, begin: "Entry", thread: "Sequence[Entry]") -> Begun | None:
    """Find out how far a task is; None when it was done or left undone.

    Args:
        task: the task as the shop file has it today.
        begin: the entry that began it.
        thread: the entries that refer to that one, oldest first.
    """
    if any(entry.kind in (DONE, LEFT) for entry in thread):
        return None  # withdrawn or not: it is not under way
    found = begun_by(task, begin)
    for entry in thread:
        found = begun_after(found, entry, task)
    return found


def begun_by(task: Task, begin: "Entry") -> Begun:
    """Give how far a task is by the entry that began it."""
    were, now = TASK_BEGIN.read(begin).steps, tuple(step.words for step in task.steps)
    same = were == now or _same_in_other_words(were, now)
    return Begun(begin.uid, begin.when, last=begin.when, same=same)


def _same_in_other_words(were: Sequence[str], now: Sequence[str]) -> bool:
    """Tell whether only the words of a usual task changed: the program's doing, not the file's."""
    from shopboard.shop.words_before import words_before  # for tasks begun before that alone

    return len(were) == len(now) and all(
        one in (words, words_before(words)) for one, words in zip(were, now, strict=True)
    )


def begun_after(before: Begun, entry: "Entry", task: Task) -> Begun:
    """Take in one entry: a step done, a step back, or a wait that is set."""
    before = before._replace(written=before.written + 1)
    if entry.kind != STEP or entry.void is not None:
        return before
    told = TASK_STEP.read(entry)
    known = told.step is not None and 0 <= told.step <= len(task.steps)
    steps = told.step if told.step is not None and known else before.steps
    minutes = told.wait if told.wait is not None and 0 <= told.wait <= LONGEST_WAIT else None
    if minutes is not None and steps == before.steps:
        return before._replace(wait=minutes, last=entry.when)  # the clock goes on as it was
    if minutes is None:
        minutes = task.steps[steps - 1].wait_minutes if steps else 0.0
    return before._replace(steps=steps, since=entry.when, wait=minutes, last=entry.when)
