"""When a task is due: by the calendar, by hours run, by projects finished, after a happening.

Pure: the task, when it was last done and the running totals in, its standing out.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.dates import OF_NO_AGE, age, day, morning_after, said_later
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import counted
from shopboard.base.who import with_bench
from shopboard.metrology.duration import hours_words
from shopboard.shop.machine import PROJECT_FINISHED, Task

if TYPE_CHECKING:
    from shopboard.upkeep.begun import Begun


_SLACK = 1e-6
"""Minutes: forty times an hour is forty hours, in spite of rounding."""


class Done(NamedTuple):
    """The newest time that a task was done."""

    seq: int
    when: datetime
    minutes: float = 0.0
    """Minutes that the machine had run in all by then."""
    projects: float = 0.0
    """Projects that had run its machine by then."""
    on: datetime | None = None
    """When it was done, where that was said later."""
    clock_ok: bool = True
    """Whether the clock was right when it was recorded."""
    by: str = ""
    """Name of the bench that recorded it; empty: it had none."""

    @property
    def day(self) -> datetime:
        """When it was done."""
        return self.on or self.when

    def ago(self, now: datetime) -> str:
        """Say how long ago it was done; where it was said later, on which day, and that."""
        did = "done" if self.on is None else f"done on {day(self.on)}, recorded"
        return with_bench(age(self.when, now, did, clock_ok=self.clock_ok), self.by)


class Totals(NamedTuple):
    """What a machine has been through in all."""

    minutes: float = 0.0
    projects: float = 0.0

    def behind(self, done: Done) -> bool:
        """Tell whether a task was done at more than these: some that were counted are lost."""
        return self.minutes < done.minutes - _SLACK or self.projects < done.projects - _SLACK


class Happened(NamedTuple):
    """The newest happening of a sort on the task's machine, or in the shop."""

    seq: int
    when: datetime
    on: datetime | None = None
    """When it happened, where that was said later."""


def done_since(done: Done | None, on: datetime) -> str:
    """Say that a task is on record as done later than on a day; empty where it is not."""
    if done is None or done.day <= on:
        return ""
    return f"it is already recorded as done later, on {day(done.day)}"


class TaskStanding(NamedTuple):
    """How a task stands."""

    task: Task
    due: bool
    reason: str
    """Why it is due, or what will make it so; in words."""
    due_on: datetime | None = None
    """When the calendar makes it due; None: it does not."""
    done: Done | None = None
    begun: "Begun | None" = None
    """How far it is, while it is under way."""


def task_words(one: TaskStanding, wait: str = "") -> str:
    """Say how a task stands, in a few words.

    Args:
        one: how it stands.
        wait: what is left alone within it and for how long still; empty: nothing is.
    """
    if one.begun is None:
        return "due" if one.due else "not due"
    steps = len(one.task.steps)
    return wait or f"step {min(one.begun.steps + 1, steps)} of {steps}"


def task_standing(
    task: Task,
    done: Done | None,
    totals: Totals,
    happened: Mapping[str, Happened],
    now: datetime,
    begun: "Begun | None" = None,
) -> TaskStanding:
    """Judge a task.

    Args:
        task: the task.
        done: when it was last done; None: not on record.
        totals: of its machine, today.
        happened: the newest happening of each sort on its machine or in the shop.
        now: the time.
        begun: how far it is, while it is under way.
    """
    due_on = None
    if done is not None and task.every_days is not None:
        due_on = morning_after(done.day, task.every_days)
    passed = _undone(task, done, happened, totals) or _run_out(task, done, due_on, totals, now)
    if passed:
        return TaskStanding(task, True, passed, due_on, done, begun)
    return TaskStanding(task, False, _coming(task, done, due_on, totals, now), due_on, done, begun)


def _undone(task: Task, done: Done | None, happened: Mapping[str, Happened], totals: Totals) -> str:
    """Name the first happening since that makes it due; empty when there is none."""
    since = 0 if done is None else done.seq
    causes = [(happened[what].seq, what) for what in task.after if what in happened]
    seq, what = min((cause for cause in causes if cause[0] > since), default=(0, ""))
    if seq:
        return f"{what} on {said_later(happened[what].on, happened[what].when)}"
    made = totals.projects - (0.0 if done is None else done.projects)
    # the newest one did not run the machine, but one before it did
    return _used_in(made) if made >= 1 and PROJECT_FINISHED in task.after else ""


def _used_in(projects: float) -> str:
    return f"used in {counted(projects, 'project')} since"


def _run_out(
    task: Task, done: Done | None, due_on: datetime | None, totals: Totals, now: datetime
) -> str:
    """Say which rule has run out; empty when none has."""
    if done is None:
        by_rule = task.every_days or task.every_minutes or task.every_projects
        return "never recorded" if by_rule else ""
    if due_on is not None and not done.clock_ok and done.on is None:
        return f"done {OF_NO_AGE}"
    if due_on is not None and now >= due_on:
        return f"{done.ago(now)}, every {task.every}"
    ran = totals.minutes - done.minutes
    if task.every_minutes is not None and ran >= task.every_minutes - _SLACK:
        return f"{hours_words(ran)} run since, every {task.every}"
    made = totals.projects - done.projects
    if task.every_projects is not None and made >= task.every_projects:
        return f"{_used_in(made)}, every {task.every}"
    return ""


def _coming(
    task: Task, done: Done | None, due_on: datetime | None, totals: Totals, now: datetime
) -> str:
    """Say when it was done, and what will make it due."""
    coming = [day(due_on)] if due_on is not None else []
    if done is not None and task.every_minutes is not None:
        left = task.every_minutes - max(0.0, totals.minutes - done.minutes)
        coming.append(f"in {hours_words(left)} of use")
    if done is not None and task.every_projects is not None:
        left = task.every_projects - max(0.0, totals.projects - done.projects)
        coming.append(f"in {counted(left, 'project')}")
    if task.after:
        coming.append(f"after {' or '.join(task.after)}")
    words = [done.ago(now)] if done is not None else []
    if coming:
        words.append(f"due {' or '.join(coming)}")
    return "; ".join(words) or "when needed"
