"""A prep day as it lies ahead: pieces of work with their times, and when all is done."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.job_list import ToDo
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.shop.project import Project

_MINUTE = timedelta(minutes=1)

WORKING_DAY = timedelta(hours=10)
"""A person does no more in one day. (common practice, no source)"""


class PlanLine(NamedTuple):
    """A piece of work with its place in the day."""

    piece: Piece
    start: datetime
    end: datetime
    change: float = 0.0
    """Minutes before it that the combination machine takes to be changed over to its mode."""
    idle: float = 0.0
    """Minutes before it with nothing to do but wait."""
    late: float = 0.0
    """Minutes that it has taken longer than it should, so far."""
    left: float = 0.0
    """Minutes that are left of one that is late."""
    opens: str = ""
    """Id of the machine whose cutter comes off with it; empty: none."""

    @property
    def begins(self) -> datetime:
        """When one goes at it: where the machine has to be changed over, with that."""
        return self.start - (self.change + self.idle) * _MINUTE if self.change else self.start

    def changing_over(self, now: datetime) -> bool:
        """Tell whether it is the change of mode before it that is to be done now."""
        return self.begins <= now < self.begins + self.change * _MINUTE

    @property
    def over(self) -> datetime | None:
        """When the wait after it is over; None: nothing is left alone."""
        return self.end + self.piece.wait * _MINUTE if self.piece.wait else None


class DayPlan(NamedTuple):
    """A prep day as it lies ahead now."""

    lines: tuple[PlanLine, ...]
    """In the order to do them."""
    finish: datetime
    now: datetime
    day: PrepDay | None = None
    """The day as it was begun; None: it is not begun."""
    project: Project | None = None
    left_out: tuple[str, ...] = ()
    """What is not in the plan or not kept in it, and why, in sentences."""
    bound: float = 0.0
    """Minutes: no plan for the same pieces can be shorter."""
    minutes: float = 0.0
    """Minutes that this one takes, as it was worked out."""
    open_now: str = ""
    """Id of the machine that stands open with its cutter out; empty: none."""
    tags_hold_up: bool = False
    """Whether there is work at a machine that is left out for its tag."""
    away: float = 0.0
    """Minutes that one was away on this day, as one said."""
    quiet_since: datetime | None = None
    """Since when nothing was recorded, where one has to say whether one was away; else None.

    Until that is said the plan goes on from now."""

    @property
    def first(self) -> PlanLine | None:
        """What is to be done now, or after the wait that keeps from it."""
        return self.lines[0] if self.lines else None

    @property
    def hands_on(self) -> float:
        """Minutes of work that are left, waits not counted."""
        return sum(line.piece.minutes + line.change for line in self.lines)

    @property
    def is_too_long(self) -> bool:
        """Whether what is left takes a person more than a working day, its waits with it."""
        return bool(self.lines) and self.lines[-1].end - self.now > WORKING_DAY

    @property
    def later(self) -> float | None:
        """Minutes that all is done later than first said, sooner where negative.

        What one was away does not count. None: nothing was said, or nothing is left to do.
        """
        if self.day is None or self.day.finish is None or not self.lines:
            return None
        return float(round((self.finish - self.day.finish) / _MINUTE - self.away))

    @property
    def from_now(self) -> datetime:
        """When all is done by a day that begins at this very moment: to be said at its beginning.

        A day that is not begun is planned from the last full minute.
        """
        return max(self.finish, self.now + self.minutes * _MINUTE)


class DayToPlan(NamedTuple):
    """A day that is to be planned: what there is to do, and from when its minutes count."""

    todo: ToDo
    workday: Workday
    zero: datetime


class Settled(NamedTuple):
    """A day whose order is settled, until something is recorded."""

    asked: DayToPlan
    found: Schedule


def _left(piece: Piece, spent: float) -> float:
    """Give the minutes that are left of what was begun, after so many, by its own measure.

    None of its steps is done yet: what is done is no part of a piece. So all but the first are left
    as they are. One that is over its time takes half as long again as it is over, and no longer
    than it takes by itself (our choice, no source).
    """
    first, last = piece.steps
    step = piece.minutes / max(last - first + 1, 1)
    over = spent - step
    return piece.minutes - step + (min(over / 2, step) if over > 0 else -over)


def timed(
    settled: Settled, now: datetime, away: float = 0.0
) -> tuple[tuple[PlanLine, ...], datetime]:
    """Give each piece its time: every one as soon as it can be, one after the other.

    The first one is in hand: what is left of it is counted from now.

    Args:
        settled: the day, in its order.
        now: the time.
        away: minutes from its zero in which nobody was there.
    """
    todo, workday, zero = settled.asked
    jobs: Mapping[str, Job] = {job.id: job for job in workday.jobs}
    passed = (now - zero) / _MINUTE
    modes = dict(workday.modes)
    ends: dict[str, float] = {}
    lines: list[PlanLine] = []
    at, finish = away, max(0.0, passed)
    for name in settled.found.order:
        job, piece = jobs[name], todo.pieces[name]
        change = 0.0
        if job.body and job.mode and modes.get(job.body) != job.mode:
            if modes.get(job.body):
                change = workday.change_minutes.get((job.body, job.mode), 0.0)
            modes[job.body] = job.mode
        begun = at + change
        held = settled.found.held.get(name, 0.0)
        start = max(begun, job.ready, held, *(ends[other] + lag for other, lag in job.after), 0.0)
        end = start + job.minutes
        late = left = 0.0
        if not lines and passed > start:
            left = _left(piece, passed - start)
            late, end = max(passed - end, 0.0), passed + left
        when = zero + start * _MINUTE
        idle = start - begun
        lines.append(
            PlanLine(piece, when, zero + end * _MINUTE, change, idle, late, left, job.opens)
        )
        at = ends[name] = end
        finish = max(finish, end + job.tail)
    return tuple(lines), zero + finish * _MINUTE
