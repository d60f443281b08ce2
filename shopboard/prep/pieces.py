"""Pieces of work as a person does them in one go, and what becomes of the cutter in them. Pure.

Times are minutes of a person's work.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.minutes import task_minutes, whole_minutes
from shopboard.shop.machine import CHANGED_BY, Leaves, Point, Task

PieceSort = Literal["task", "cutter", "check"]


class Piece(NamedTuple):
    """Something to do in one go."""

    id: str
    sort: PieceSort
    machine: str
    """Id of its machine."""
    name: str
    """Name of the task or the point, or what becomes of the cutter."""
    minutes: float
    """Whole ones: what is shown of a day adds up."""
    words: str = ""
    """What is done: the words of its first step, of a whole task its name."""
    why: str = ""
    target: str = ""
    """Id of the task or the cutter, full name of the point."""
    steps: tuple[int, int] = (0, 0)
    """First and last step of a task, from 1, of a change under way those that are left; (0, 0): it
    has none."""
    of: int = 0
    """Steps of the whole task."""
    wait: float = 0.0
    """Minutes that it is left alone afterwards."""
    act: str = ""
    """What is done with a cutter: ``put on``, ``turn``, ``clean``, and ``cleaned`` beside the
    machine; empty: a change is under way."""
    serviced: str = ""
    """Why it is there although the project of the day does not need its machine; empty: it does."""
    alone: bool = False
    """Whether the wait after it may be over when nobody is there."""
    over_at: float | None = None
    """When the wait before it that runs now is over, minutes from the zero of the day, below 0: it
    was over by then; None: none runs."""
    beside: bool = False
    """Whether it is done beside its machine, which need not be in its mode for it."""
    begun: bool = False
    """Whether it is on record that it was begun."""
    by_tool: bool = False
    """Whether it is a tool of a set, or a few of them: the others may be done another time."""
    undone_by: tuple[str, ...] = ()
    """Of a check that is true now: ids of the planned changes of cutter that undo it."""
    brought_by: tuple[str, ...] = ()
    """Of a check, true now or not: ids of the planned changes of cutter that undo it."""

    @property
    def told_when_begun(self) -> bool:
        """Whether it is on record as soon as it is begun: a check, a change of cutter."""
        return self.sort != "task" and self.act != "cleaned"

    @property
    def is_part(self) -> bool:
        """Whether it is some steps of a task whose name its words do not say already."""
        return bool(self.of) and not self.words.endswith(self.name)


def takes_cutter_off(task: Task) -> tuple[int, int] | None:
    """Give the numbers of the steps that take the cutter off and put it on again, from 1.

    Without a step that puts it on, it is out until the last one.
    """
    offs = [n for n, step in enumerate(task.steps, 1) if step.cutter == "off"]
    if not offs:
        return None
    ons = [n for n, step in enumerate(task.steps, 1) if n > offs[0] and step.cutter == "on"]
    return offs[0], ons[-1] if ons else len(task.steps)


def stretches(task: Task, done: int) -> list[tuple[int, int]]:
    """Give the steps left in stretches between waits, as (first, last), from 1.

    A task without steps is (0, 0); one whose last wait is running has only its end left, which
    comes as a stretch of no steps. Dirt is a stretch of its own, ahead of wax. So is each tool of a
    set, or a few of them: the others can wait for another time of the day, or for another day.
    """
    if not task.steps:
        return [(0, 0)]
    found, first = [], done + 1
    for number in range(done + 1, len(task.steps) + 1):
        dirty = task.left_by(number) == "dirt"
        parts = number < len(task.steps) and dirty and task.left_by(number + 1) == "wax"
        parts = parts or _is_laid_down(task, number, number - first + 1)
        if task.steps[number - 1].wait_minutes or number == len(task.steps) or parts:
            found.append((first, number))
            first = number + 1
    if task.steps[-1].wait_minutes:
        found.append((len(task.steps) + 1, len(task.steps)))
    return found


def piece_id(machine: str, task: Task, first: int) -> str:
    """Name the piece of a task that begins with a step, from 1."""
    return f"task {machine}.{task.id} {first}"


def minutes_of_part(task: Task, first: int, last: int) -> float:
    """Give the minutes that a stretch of a task's steps takes, from 1: whole ones.

    Those of all stretches add up to those of the task, unless these are fewer than its steps.
    """
    count = max(len(task.steps), 1)
    before, upto = (whole_minutes(task_minutes(task) * each / count) for each in (first - 1, last))
    return max(upto - before, 1.0)


def words_of_part(task: Task, first: int, last: int) -> str:
    """Give the words of the first of a stretch of steps, from 1, with all tools that it is for."""
    words = task.steps[first - 1].words
    if not task.each:
        return words
    count = len(task.steps) // len(task.each)
    tools = task.each[(first - 1) // count : (last - 1) // count + 1]
    if len(tools) == 1:
        return words
    between = " and " if len(tools) == 2 else " to "
    return f"{tools[0]}{between}{tools[-1]}{words.removeprefix(tools[0])}"


_A_FEW = 5.0
"""Minutes of work in one go at the least, before the next tool of a set may wait. (common practice,
no source)"""


def _is_laid_down(task: Task, number: int, count: int) -> bool:
    """Tell whether a tool of a set is done with a step, after enough steps in one go."""
    return laid_down(task, number) and count * task_minutes(task) / len(task.steps) >= _A_FEW


def laid_down(task: Task, done: int) -> bool:
    """Tell whether a tool of a set is done with so many steps: none of it is half done then."""
    return bool(task.each) and done % (len(task.steps) // len(task.each)) == 0


RANKS: Mapping[Leaves, int] = {"dirt": 0, "nothing": 1, "wax": 2}
"""What makes dirt comes first, what wants a clean machine and stays on it last."""


def undone_by_change(point: Point) -> bool:
    """Tell whether taking the cutter off and putting it on again undoes a check."""
    return not {*CHANGED_BY.values()}.isdisjoint(point.undone_by)
