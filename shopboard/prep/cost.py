"""What a prep day, or a year, cost and brought: minutes by machine, and what the checks found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store, kinds
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.minutes import task_minutes
from shopboard.prep.time_spent import WORK, TimeSpent
from shopboard.shop.machine import Machine, Task
from shopboard.shop.model import Shop

_READ = (*WORK, kinds.PREP.name, kinds.PAUSE.name)

_CHUNK = 400
"""Entries that are read in one go: the board draws and hears keys in between."""


class MachineCost(NamedTuple):
    """What one machine cost and brought."""

    machine: str
    """Its id."""
    name: str
    minutes: int
    """Of work at it."""
    planned: int | None = None
    """Minutes that were planned; None: not on record."""
    checks: int = 0
    """Points found as they were, each time counted."""
    out: int = 0
    """Of these, found out."""
    near: int = 0
    """Of these, found borderline."""
    set_right: int = 0
    """Of those that were not true, how many were true when they were left."""


class Cost(NamedTuple):
    """What all machines cost and brought; every sum is that of what is shown of each."""

    since: datetime
    rows: tuple[MachineCost, ...] = ()
    """Of the machines at which anything was done or planned, in the shop file's order."""

    def total(self, of: Callable[[MachineCost], int]) -> int:
        """Add one number up."""
        return sum(map(of, self.rows))

    @property
    def minutes(self) -> int:
        """Minutes of work."""
        return self.total(lambda one: one.minutes)

    @property
    def planned(self) -> int | None:
        """Minutes that were planned; None: not on record."""
        known = any(one.planned is not None for one in self.rows)
        return self.total(lambda one: one.planned or 0) if known else None


class Counted:
    """Counts minutes and results, record by record."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        tasks = {(one.id, task.id): task for one in shop.machines for task in one.tasks}
        self._spent = TimeSpent(
            lambda machine, task, step: _wait(tasks.get((machine, task)), step),
            lambda machine, task: (
                task_minutes(tasks[machine, task]) if (machine, task) in tasks else 0.0
            ),
            shop.hours,
        )
        self._found: dict[str, Counter[str]] = {}
        self._as_found: dict[str, str] = {}
        """By check, what its point was found as."""

    def take(self, entries: Iterable[Entry]) -> None:
        """Count further records, the oldest first."""
        entries = list(entries)
        self._spent.take(entries)
        for one in entries:
            if one.kind == kinds.CHECK.name and one.void is None:
                self._result(one)

    def _result(self, one: Entry) -> None:
        try:
            kept = kinds.CHECK.read(one)
        except kinds.UnreadableBodyError:  # a later program's
            return
        found, thread = self._found.setdefault(one.machine, Counter()), one.refers or one.uid
        if kept.run == "as-found":
            found.update(("checks", str(kept.verdict)))
            self._as_found[thread] = str(kept.verdict)
        elif kept.verdict == "true" and self._as_found.pop(thread, "true") != "true":
            found["set right"] += 1

    def cost(self, since: datetime, planned: Mapping[str, float] | None = None) -> Cost:
        """Give what was counted, beside the minutes that were planned by machine."""
        rows = []
        for one in self._shop.machines:
            minutes, found = self._spent.minutes.get(one.id, 0.0), self._found.get(one.id)
            wanted = _planned(one, planned) if planned else None
            found = found or Counter()
            if minutes or wanted or found:
                told = (found["checks"], found["out"], found["near"], found["set right"])
                rows.append(MachineCost(one.id, one.name, round(minutes), wanted, *told))
        return Cost(since, tuple(rows))


def _wait(task: Task | None, step: int) -> float:
    steps = task.steps if task is not None else ()
    return steps[step - 1].wait_minutes if 0 < step <= len(steps) else 0.0


def _planned(machine: Machine, planned: Mapping[str, float]) -> int:
    return round(sum(planned.get(ident, 0.0) for ident in (machine.id, *machine.was)))


def records_after(journal: Store, after: int, upto: int) -> Iterator[list[Entry]]:
    """Read what tells of work between two entries, a stretch at a time, the oldest first.

    Raises:
        JournalError: when the journal cannot be read.
    """
    for last in range(after, upto, _CHUNK):
        end = min(last + _CHUNK, upto)
        yield journal.newest(_READ, end, end - last, _CHUNK)[::-1]


def day_cost(journal: Store, shop: Shop, day: PrepDay, upto: int) -> Cost:
    """Give what a prep day cost and brought.

    Args:
        journal: the records.
        shop: the shop.
        day: the day.
        upto: number of the entry with which it ended, or of the newest.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found = Counted(shop)
    for entries in records_after(journal, day.seq - 1, upto):
        found.take(entries)
    return found.cost(day.when, dict(day.planned))
