"""The plan of a prep day: when what is done where, what is next, when all is done.

It is worked out anew from the journal and the time whenever it is asked for: so it follows what
really happened, and a restart changes nothing. The minutes count from the newest record of the
day; while nothing is recorded, the order of the rest stays as it is, and only its times move.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import NamedTuple

from shopboard.desk import Desk
from shopboard.journal import Entry, Store
from shopboard.prep.begun_day import PrepDay, day_under_way
from shopboard.prep.last_project import machines_of_last_project
from shopboard.prep.minutes import check_minutes
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule import Job, Workday, schedule
from shopboard.prep.work import Present, ToDo, needed_points, to_do
from shopboard.shop.model import Shop
from shopboard.shop.project import Project

_MINUTE = timedelta(minutes=1)

_ACTS = ("check", "end", "task", "task-step", "cutter")
"""Kinds of records with which a piece of work is over."""


class Line(NamedTuple):
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

    @property
    def over(self) -> datetime | None:
        """When the wait after it is over; None: nothing is left alone."""
        return self.end + self.piece.wait * _MINUTE if self.piece.wait else None


class Plan(NamedTuple):
    """A prep day as it lies ahead now."""

    lines: tuple[Line, ...]
    """In the order to do them."""
    finish: datetime
    now: datetime
    day: PrepDay | None = None
    """The day as it was begun; None: it is not begun."""
    project: Project | None = None
    left_out: tuple[str, ...] = ()
    """What is not in the plan and why, in sentences."""
    bound: float = 0.0
    """Minutes: no plan for the same pieces can be shorter."""
    minutes: float = 0.0
    """Minutes that this one takes, as it was worked out."""

    @property
    def first(self) -> Line | None:
        """What is to be done now, or after the wait that keeps from it."""
        return self.lines[0] if self.lines else None

    @property
    def hands_on(self) -> float:
        """Minutes of work that are left, waits not counted."""
        return sum(line.piece.minutes + line.change for line in self.lines)

    @property
    def later(self) -> float | None:
        """Minutes that all is done later than first said, sooner where negative.

        None: nothing was said, or nothing is left to do.
        """
        if self.day is None or self.day.finish is None or not self.lines:
            return None
        return (self.finish - self.day.finish) / _MINUTE


class Settled(NamedTuple):
    """The part of planning that does not change until something is recorded."""

    todo: ToDo
    order: tuple[str, ...]
    workday: Workday
    zero: datetime
    bound: float
    minutes: float


class Planner:
    """Plans the day of one desk; what took long to work out is kept until it changes."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._mark: object = None
        self._known: Settled | None = None

    def plan(self, project: str = "", *, allow_open: bool = False) -> Plan:
        """Plan the day that is under way, or one that would begin now.

        Args:
            project: id of a project, for a day that is not begun yet; empty: all that is due.
            allow_open: whether two machines may stand open at once, for the same.

        Raises:
            JournalError: when the journal cannot be read.
        """
        desk, now = self._desk, self._desk.now()
        day = day_under_way(desk.journal)
        if day is not None:
            project, allow_open = day.project, day.allow_open
        wanted = next((one for one in desk.shop.projects if one.id == project), None)
        newest = newest_act(desk.journal, day)
        zero = zero_of(desk, day, newest, now)
        mark = (desk.journal.change_mark(), desk.shop, _states(desk), project, allow_open, zero)
        if self._known is None or mark != self._mark:
            here = newest.machine if newest is not None else ""
            self._known = self._work_out(wanted, zero, here, day, allow_open=allow_open)
            self._mark = mark
        known = self._known
        lines, finish = timed(known, now)
        missing = bool(project) and wanted is None
        gone = (f"The project {project} is no longer in the shop file.",) if missing else ()
        return Plan(
            lines,
            finish,
            now,
            day,
            wanted,
            (*gone, *known.todo.left_out),
            known.bound,
            known.minutes,
        )

    def _work_out(
        self,
        project: Project | None,
        zero: datetime,
        here: str,
        day: PrepDay | None,
        *,
        allow_open: bool,
    ) -> Settled:
        desk = self._desk
        shop = desk.shop
        memo: dict[str, float] = {}
        in_hand = _in_hand(desk, day)
        needed = points_of(project, shop) if project is not None else None
        todo = to_do(
            Present(
                shop,
                desk.standing,
                zero,
                lambda point: memo.setdefault(
                    point.full_name, check_minutes(desk.journal, shop, point.full_name)
                ),
                needed,
                project.start if project is not None else None,
                in_hand,
                machines_of_last_project(desk.journal, shop),
            )
        )
        machine = shop.machines_by_id.get(here)
        bodies = {one.id: one.body for one in shop.machines if one.body}
        changes = {(one.body, one.id): one.change_minutes for one in shop.machines if one.body}
        workday = Workday(
            todo.jobs,
            changes,
            modes_now(desk.journal, bodies),
            allow_open=allow_open,
            place=(machine.body or machine.id) if machine is not None else "",
            open_now=todo.open_now,
        )
        found = schedule(workday)
        return Settled(todo, found.order, workday, zero, found.bound, found.finish)


def points_of(project: Project, shop: Shop) -> set[str]:
    """Give every point that shows in a project's joints, with all that they rest on."""
    names = (name for joint in project.joints for name in joint.points.values())
    return needed_points(shop, names)


def timed(settled: Settled, now: datetime) -> tuple[tuple[Line, ...], datetime]:
    """Give each piece its time: every one as soon as it can be, one after the other.

    The first one takes at least until now.
    """
    jobs: Mapping[str, Job] = {job.id: job for job in settled.workday.jobs}
    passed = (now - settled.zero) / _MINUTE
    modes = dict(settled.workday.modes)
    ends: dict[str, float] = {}
    lines: list[Line] = []
    at, finish = 0.0, max(0.0, passed)
    for name in settled.order:
        job, piece = jobs[name], settled.todo.pieces[name]
        change = 0.0
        if job.body and job.mode and modes.get(job.body) != job.mode:
            if modes.get(job.body):
                change = settled.workday.change_minutes.get((job.body, job.mode), 0.0)
            modes[job.body] = job.mode
        begun = at + change
        start = max(begun, job.ready, *(ends[other] + lag for other, lag in job.after), 0.0)
        end = start + job.minutes
        late = 0.0
        if not lines and end < passed:
            late, end = passed - end, passed
        when = settled.zero + start * _MINUTE
        lines.append(Line(piece, when, settled.zero + end * _MINUTE, change, start - begun, late))
        at = ends[name] = end
        finish = max(finish, end + job.tail)
    return tuple(lines), settled.zero + finish * _MINUTE


def newest_act(journal: Store, day: PrepDay | None) -> Entry | None:
    """Give the newest record with which a piece of work of this day was over; None: none yet."""
    if day is None:
        return None
    found = (one for kind in _ACTS for one in journal.latest(kind).values() if one.seq > day.seq)
    return max(found, key=lambda one: one.seq, default=None)


def zero_of(desk: Desk, day: PrepDay | None, newest: Entry | None, now: datetime) -> datetime:
    """Give the moment from which the minutes count: the newest record of the day, or now.

    A check that was begun later counts from its beginning.
    """
    if day is None:
        return now.replace(second=0, microsecond=0)
    moments = [day.when] if newest is None else [day.when, newest.when]
    begun = desk.waiting.get(_in_hand(desk, day))
    if begun is not None:
        moments.append(begun.when)
    return min(max(moments), now)


def modes_now(journal: Store, bodies: Mapping[str, str]) -> dict[str, str]:
    """Give the mode that each combination machine is in: that in which it was last worked on.

    Args:
        journal: the records.
        bodies: body by machine.
    """
    newest: dict[str, tuple[int, str]] = {}
    for kind in (*_ACTS, "happening") if bodies else ():
        for (machine, _), entry in journal.latest(kind).items():
            body = bodies.get(machine)
            if body is not None and entry.seq > newest.get(body, (0, ""))[0]:
                newest[body] = (entry.seq, machine)
    return {body: machine for body, (_, machine) in newest.items()}


def _in_hand(desk: Desk, day: PrepDay | None) -> str:
    """Give the point whose check was begun on this day and is not done; empty: none."""
    if day is None:
        return ""
    return next((name for name, one in desk.waiting.items() if one.seq > day.seq), "")


def _states(desk: Desk) -> tuple[object, ...]:
    """Give what the calendar alone may change without any record."""
    return tuple(
        (
            machine.tag,
            tuple(one.state for one in machine.points),
            tuple(one.due for one in machine.tasks),
            tuple(one.blunt for one in machine.cutters),
        )
        for machine in desk.standing.machines
    )
