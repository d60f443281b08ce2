"""How long somebody worked at each machine, by when things were recorded. Pure.

What lies between one record and the next was work at the machine of the next. Within a prep day
that holds between any two, else between two of one check, task or change. The wait that a step
begins is not work, nor is a gap of an hour, unless one said that it was, and never what of a gap
lies in a pause or a night of the shop that was over before it: who works then has it on record.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, time, timedelta

from shopboard.journal import Entry, kinds
from shopboard.prep.pause import LONG, was_away
from shopboard.shop.hours import OpenHours, spans_on

WORK = tuple(
    one.name
    for one in (
        *(kinds.BEGIN, kinds.ANSWER, kinds.BACK, kinds.MOVED, kinds.CHECK, kinds.END),
        *(kinds.TASK_BEGIN, kinds.TASK_STEP, kinds.TASK_END, kinds.TASK, kinds.CUTTER),
    )
)
"""Kinds of records that are of work at a machine."""

_MINUTE = timedelta(minutes=1)


class TimeSpent:
    """Adds up minutes, record by record."""

    def __init__(
        self,
        wait_of: Callable[[str, str, int], float],
        minutes_of: Callable[[str, str], float],
        hours: tuple[OpenHours, ...] = (),
    ) -> None:
        """Begin with none.

        Args:
            wait_of: minutes of the wait after a step of a task, by machine, task and number.
            minutes_of: how long a task takes, by machine and task: counted where only that it was
                done is on record.
            hours: of the shop.
        """
        self._hours = hours
        self.minutes: dict[str, float] = {}
        """By the id of the machine."""
        self._wait_of, self._minutes_of = wait_of, minutes_of
        self._in_day, self._was_work = False, False
        self._newest: datetime | None = None
        self._threads: dict[str, datetime] = {}
        """When each check, task or change was last worked at, or the wait after that is over."""

    def take(self, entries: Iterable[Entry]) -> None:
        """Add the next records, those of prep days and pauses among them, the oldest first."""
        for one in entries:
            if one.kind == kinds.PREP.name:
                what = kinds.PREP.read(one).what
                if what in ("begun", "ended") and one.void is None:
                    self._in_day, self._newest = what == "begun", one.when
            elif one.kind == kinds.PAUSE.name:
                self._was_work = not was_away(one)
                self._newest = self._newest if self._was_work else one.when
            elif one.kind in WORK and one.void is None and not _said_only(one):
                self._work(one)

    def _work(self, one: Entry) -> None:
        thread = one.refers or one.uid
        spent, begun = self._since(one, thread), thread in self._threads
        if one.kind == kinds.TASK.name and not begun and not self._in_day:
            spent = self._minutes_of(one.machine, one.point)
        self.minutes[one.machine] = self.minutes.get(one.machine, 0.0) + spent
        self._threads[thread] = one.when + self._wait(one) * _MINUTE
        self._newest, self._was_work = one.when, False

    def _since(self, one: Entry, thread: str) -> float:
        """Give the minutes of work that a record tells of."""
        over = self._threads.get(thread)
        if self._newest is None or not one.clock_ok or not (self._in_day or over is not None):
            return 0.0
        begun = max(self._newest, over or self._newest)
        gap = one.when - begun - _paused(self._hours, begun, one.when)
        if gap >= LONG and not (self._in_day and self._was_work):
            return 0.0
        return max(gap / _MINUTE, 0.0)

    def _wait(self, one: Entry) -> float:
        if one.kind != kinds.TASK_STEP.name:
            return 0.0
        said = kinds.TASK_STEP.read(one)
        if said.wait is not None or said.step is None:
            return said.wait or 0.0
        return self._wait_of(one.machine, one.point, said.step)


def _said_only(one: Entry) -> bool:
    """Tell whether a record is of use alone, or of what was done on another day."""
    if one.kind == kinds.CUTTER.name:
        return kinds.CUTTER.read(one).is_use
    return one.kind == kinds.TASK.name and kinds.TASK.read(one).on is not None


def _paused(hours: tuple[OpenHours, ...], begun: datetime, when: datetime) -> timedelta:
    """Give what of a gap lies before the shop opened again; within a pause one was at work."""
    if not hours or when <= begun:
        return timedelta()
    shut, found = begun, timedelta()
    for start, end in _open_from(hours, begun, when):
        if shut < start <= when:
            found += start - shut
        shut = max(shut, end)
    return found


def _open_from(
    hours: tuple[OpenHours, ...], begun: datetime, when: datetime
) -> Iterator[tuple[datetime, datetime]]:
    """Give from when to when the shop is open, of every day from one moment to another."""
    first, last = (one.astimezone().replace(tzinfo=None) for one in (begun, when))
    for ahead in range((last.date() - first.date()).days + 1):
        day = datetime.combine(first.date() + timedelta(days=ahead), time())
        for start, end in spans_on(hours, day.weekday()):
            yield (day + start * _MINUTE).astimezone(), (day + end * _MINUTE).astimezone()
