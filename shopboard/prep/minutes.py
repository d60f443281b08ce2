"""How long one has to be at a check or a task: told, learnt from the journal, or usual.

All times are minutes of a person's work; what is left alone meanwhile is not counted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from itertools import pairwise
from math import ceil
from statistics import median

from shopboard.checks import registry
from shopboard.journal import Entry, Store
from shopboard.journal.kinds import ANSWER, BACK, BEGIN, END, MOVED
from shopboard.shop.machine import Point, Task
from shopboard.shop.model import Shop
from shopboard.sittings.check_sitting import FINISHED

LEARNT_FROM = 3
"""Finished checks of a point before its minutes go by them."""

LATEST = 5
"""Finished checks that count, the newest first: hands get quicker."""

LONGEST_STEP = timedelta(minutes=10)
"""No step of a check takes longer, unless the whole check usually does: somebody was elsewhere.
Common practice, no source."""

QUICKEST_STEP = timedelta(seconds=1)
"""Nobody looks, feels and answers in less: such a check was not walked at the machine, but told by
a program, or before its begin said so. Common practice, no source."""

_LOOKED_AT = 12
"""Checks begun that are looked at, finished or not."""

LEAST_LEFT = 0.25
"""Part of a check that is left at the least while it is not done, where nothing tells how many
answers it takes (our choice, no source)."""

SHORTEST = 0.5
"""Minutes that a check takes at the least, however quickly its answers came."""

OTHER_CHECK = 10.0
"""A check by a method that this program does not know, minutes; common practice, no source."""

STEP_MINUTES = 3.0
"""One step of a task, minutes; common practice, no source."""

PLAIN_TASK = 10.0
"""A task without steps, minutes; common practice, no source."""

CHANGE_MINUTES: Mapping[str, float] = {
    "blade": 6,
    "band": 12,
    "knives": 30,
    "bit": 2,
    "hand tool": 2,
}
"""A change of cutter by its kind, minutes from plug out to plug in; common practice, no source."""


CLEAN_MINUTES = 10.0
"""Cleaning pitch off a cutter, minutes; common practice, no source."""


def whole_minutes(minutes: float) -> float:
    """Give whole minutes, never fewer: the last digits of a float are no minute."""
    return float(ceil(minutes - 1e-6))


def method_minutes(name: str) -> float:
    """Give how long a check by a method usually takes, with its correction."""
    method = registry.known(name)
    return method.minutes if method else OTHER_CHECK


def check_minutes(journal: Store, shop: Shop, point: str, method: str = "") -> float:
    """Give how long a check of a point takes.

    Args:
        journal: the records.
        shop: the shop.
        point: its full name.
        method: by which it is checked; empty: by its first.

    Returns:
        What the shop file says; by another method than the first, what is usual for that; else the
        middle one of its last finished checks, from begin to end; else what
        is usual for its first method.

    Raises:
        KeyError: when the shop has no such point.
        JournalError: when the journal cannot be read.
    """
    one = shop.points[point]
    if one.minutes is not None:
        return one.minutes
    if method and method not in one.checks[:1]:
        return method_minutes(method)
    learnt = learnt_minutes(journal, one)
    return usual_minutes(one) if learnt is None else learnt


def usual_minutes(point: Point) -> float:
    """Give how long a check by the point's first method usually takes."""
    return method_minutes(point.checks[0]) if point.checks else OTHER_CHECK


def learnt_minutes(journal: Store, point: Point) -> float | None:
    """Learn from the last finished checks how long one takes; None when there are too few.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found = [max(minutes, SHORTEST) for minutes, _ in _last_ones(journal, point)]
    return median(found) if len(found) >= LEARNT_FROM else None


def _last_ones(journal: Store, point: Point) -> list[tuple[float, int]]:
    """Give of the last finished checks of a point how long each lasted, and its answers."""
    begun = journal.recent(BEGIN.name, point.machine, point.id, _LOOKED_AT, include_void=False)
    found: list[tuple[float, int]] = []
    for begin in begun:
        thread = journal.thread(begin.uid)
        minutes = _lasted(begin, thread)
        if minutes is not None:
            found.append((minutes, _answers(thread)))
        if len(found) == LATEST:
            break
    return found


def _answers(thread: Sequence[Entry]) -> int:
    """Count the answers of a check that were not taken back."""
    return sum((one.kind == ANSWER.name) - (one.kind == BACK.name) for one in thread)


def part_left(journal: Store, point: Point, begin: Entry, minutes: float) -> float:
    """Give the part of a check that is left: by its answers, else by its minutes.

    After the point was set, all of it is left.

    Args:
        journal: the records.
        point: what is checked.
        begin: the entry that began the check.
        minutes: that the whole of it takes.

    Returns:
        Above 0, 1 at the most.

    Raises:
        JournalError: when the journal cannot be read.
    """
    thread = journal.thread(begin.uid)
    sets = [at for at, one in enumerate(thread) if one.kind == MOVED.name]
    if sets:  # all of it is read again from there on
        begin, thread = thread[sets[-1]], thread[sets[-1] + 1 :]
    given, like = _answers(thread), [answers for _, answers in _last_ones(journal, point)]
    if len(like) >= LEARNT_FROM:
        usual = max(median(like), 1)
        return min(1.0, max(usual - given, 1) / usual)
    steps = (after.when - before.when for before, after in pairwise((begin, *thread)))
    at_it = (one for one in steps if timedelta() <= one <= LONGEST_STEP)
    spent = sum(at_it, timedelta())
    return max(1 - spent / timedelta(minutes=1) / max(minutes, SHORTEST), LEAST_LEFT)


def _lasted(begin: Entry, thread: list[Entry]) -> float | None:
    """Give how long a check at the machine lasted; None where it was left, or tells nothing."""
    end = next((one for one in thread if one.kind == END.name), None)
    if end is None or END.read(end).text != FINISHED:
        return None
    way = [begin, *(one for one in thread if one.seq <= end.seq)]
    if not _walked_at_once(begin, way):
        return None
    usual = method_minutes(BEGIN.read(begin).method)
    longest = max(LONGEST_STEP, timedelta(minutes=usual))
    steps = [after.when - before.when for before, after in pairwise(way)]
    if any(not timedelta(0) <= step <= longest for step in steps):
        return None
    answers = sum(one.kind == ANSWER.name for one in way)
    if end.when - begin.when < answers * QUICKEST_STEP:
        return None
    return (end.when - begin.when) / timedelta(minutes=1)


def _walked_at_once(begin: Entry, way: Sequence[Entry]) -> bool:
    """Tell whether somebody walked a check without a pause, by a clock that was right."""
    begun = BEGIN.read(begin)
    if begun.from_file or begun.study:
        return False
    return all(one.clock_ok and not ANSWER.read(one).after_pause for one in way)


def task_minutes(task: Task) -> float:
    """Give how long one has to work at a task: what the shop file says, or what is usual."""
    if task.minutes is not None:
        return task.minutes
    return STEP_MINUTES * len(task.steps) if task.steps else PLAIN_TASK
