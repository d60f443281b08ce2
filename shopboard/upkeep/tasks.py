"""When a task is due: by the calendar, by hours run, by projects finished, after a happening.

Pure: the task, when it was last done and the running totals in, its standing out.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import NamedTuple

from shopboard.dates import ago, day
from shopboard.shop.model import Task


class Done(NamedTuple):
    """The newest time that a task was done."""

    seq: int
    when: datetime
    minutes: float = 0.0
    """Minutes that the machine had run in all by then."""
    projects: float = 0.0
    """Projects that the shop had finished by then."""


class Totals(NamedTuple):
    """What a machine has been through in all."""

    minutes: float = 0.0
    projects: float = 0.0


class Happened(NamedTuple):
    """The newest happening of a sort on the task's machine, or in the shop."""

    seq: int
    when: datetime


class TaskStanding(NamedTuple):
    """How a task stands."""

    task: Task
    due: bool
    reason: str
    """Why it is due, or what will make it so; in words."""
    due_on: datetime | None = None
    """When the calendar makes it due; None: it does not."""
    done: Done | None = None


def task_standing(
    task: Task, done: Done | None, totals: Totals, happened: Mapping[str, Happened], now: datetime
) -> TaskStanding:
    """Judge a task.

    Args:
        task: the task.
        done: when it was last done; None: not on record.
        totals: of its machine, today.
        happened: the newest happening of each sort on its machine or in the shop.
        now: the time.
    """
    due_on = None
    if done is not None and task.every_days is not None:
        due_on = done.when + timedelta(days=task.every_days)
    since = 0 if done is None else done.seq
    for what in task.after:
        cause = happened.get(what)
        if cause is not None and cause.seq > since:
            return TaskStanding(task, True, f"{what} on {day(cause.when)}", due_on, done)
    by_rule = task.every_days or task.every_minutes or task.every_projects
    if done is None:
        waits = f"after: {', '.join(task.after)}" if task.after else "when needed"
        reason = "not on record yet" if by_rule else waits
        return TaskStanding(task, bool(by_rule), reason, None, None)
    passed = _passed(task, done, totals, now)
    if passed:
        return TaskStanding(task, True, passed, due_on, done)
    return TaskStanding(task, False, f"done {ago(done.when, now)}", due_on, done)


def _passed(task: Task, done: Done, totals: Totals, now: datetime) -> str:
    """Say which rule has run out; empty when none has."""
    if task.every_days is not None and now >= done.when + timedelta(days=task.every_days):
        return f"done {ago(done.when, now)}, every {task.every}"
    ran = totals.minutes - done.minutes
    if task.every_minutes is not None and ran >= task.every_minutes:
        return f"{ran / 60:.0f} h run since, every {task.every}"
    made = totals.projects - done.projects
    if task.every_projects is not None and made >= task.every_projects:
        return f"{made:.0f} project{'' if made == 1 else 's'} since, every {task.every}"
    return ""
