"""What is recorded of tasks: one with steps is begun, gone on with, left; each is done."""

from __future__ import annotations

from datetime import datetime

from shopboard.base.dates import told_time
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.did import Did, answered_in, did_body, ended_in
from shopboard.journal.kinds.row import (
    Body,
    EntryKind,
    amount_in,
    noted,
    number_in,
    on_day,
    text_in,
    texts_in,
)


class TaskDone(NamedTuple):
    """A task was done."""

    minutes: float
    """That its machine had run by then, in all."""
    projects: float
    """That had run its machine by then, in all; of before, that the shop had finished."""
    note: str = ""
    on: datetime | None = None
    """When it was done, where that was said later."""


def _task_done(value: TaskDone) -> Body:
    totals = {"minutes": value.minutes, "projects": value.projects}
    return {"v": 1, **totals, **noted(value.note), **on_day(value.on)}


def _read_task_done(body: Body) -> TaskDone:
    return TaskDone(
        number_in(body.get("minutes")),
        number_in(body.get("projects")),
        text_in(body.get("note")),
        told_time(body.get("on")),
    )


TASK = EntryKind(
    name="task",
    write=_task_done,
    of_body=_read_task_done,
    point="task",
    follows_renames=True,
    undoes=False,
    lost="nothing",
    at_machine=True,
    gathered="its place",
    look_back="",
    retired="its machine",
    export=False,
    status=True,
    voidable=True,
)


class TaskBegun(NamedTuple):
    """A task with steps begins."""

    steps: tuple[str, ...]
    """What each step asks, in the words of the shop file of that day."""


def _task_begun(value: TaskBegun) -> Body:
    return {**did_body(Did("begin")), "steps": list(value.steps)}


def _read_task_begun(body: Body) -> TaskBegun:
    return TaskBegun(texts_in(body.get("steps")))


TASK_BEGIN = EntryKind(
    name="task-begin",
    write=_task_begun,
    of_body=_read_task_begun,
    point="task",
    follows_renames=True,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=True,
    voidable=False,
)


class TaskStepDone(NamedTuple):
    """So many steps of a task are done; its time is the clock of the wait after it."""

    did: Did
    step: int | None
    """Steps done; None: not told."""
    wait: float | None = None
    """Minutes that it must be left alone; 0: no longer; None: as the step says."""


def _task_step(value: TaskStepDone) -> Body:
    wait = {} if value.wait is None else {"wait": value.wait}
    return {**did_body(value.did), "step": value.step, **wait}


def _read_task_step(body: Body) -> TaskStepDone:
    step, wait = body.get("step"), amount_in(body.get("wait"))
    return TaskStepDone(answered_in(body), step if isinstance(step, int) else None, wait)


TASK_STEP = EntryKind(
    name="task-step",
    write=_task_step,
    of_body=_read_task_step,
    point="task",
    follows_renames=True,
    undoes=False,
    lost="nothing",
    at_machine=True,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=True,
    voidable=False,
)


TASK_END = EntryKind(
    name="task-end",
    write=did_body,
    of_body=ended_in,
    point="task",
    follows_renames=True,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=True,
    voidable=False,
)
