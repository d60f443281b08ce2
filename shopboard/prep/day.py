"""The plan of a prep day: when what is done where, what is next, when all is done.

It is worked out anew from the journal and the time whenever it is asked for: so it follows what
really happened, and a restart changes nothing. The minutes count from the newest record of the
day; while nothing is recorded, the order of the rest stays as it is, and only its times move.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import NamedTuple

from shopboard.desk import Desk
from shopboard.journal import Entry, Store
from shopboard.prep.answers import minutes_of, morning_of, work_ahead
from shopboard.prep.begun_day import PrepDay, day_under_way
from shopboard.prep.job_list import Present, ToDo
from shopboard.prep.last_project import machines_of_last_project
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule import Job, Schedule, Workday, schedule
from shopboard.prep.wanted import wanted
from shopboard.prep.work import to_do
from shopboard.shop.problems import shorten
from shopboard.shop.project import Project

_MINUTE = timedelta(minutes=1)

WORKING_DAY = timedelta(hours=10)
"""A person does no more in one day. (common practice, no source)"""

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
    """What is not in the plan or not kept in it, and why, in sentences."""
    bound: float = 0.0
    """Minutes: no plan for the same pieces can be shorter."""
    minutes: float = 0.0
    """Minutes that this one takes, as it was worked out."""
    open_now: str = ""
    """Id of the machine that stands open with its cutter out; empty: none."""

    @property
    def first(self) -> Line | None:
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

        None: nothing was said, or nothing is left to do.
        """
        if self.day is None or self.day.finish is None or not self.lines:
            return None
        return float(round((self.finish - self.day.finish) / _MINUTE))

    @property
    def from_now(self) -> datetime:
        """When all is done by a day that begins at this very moment: to be said at its beginning.

        A day that is not begun is planned from the last full minute.
        """
        return max(self.finish, self.now + self.minutes * _MINUTE)


class Asked(NamedTuple):
    """A day that is to be planned: what there is to do, and from when its minutes count."""

    todo: ToDo
    workday: Workday
    zero: datetime


class Settled(NamedTuple):
    """A day whose order is settled, until something is recorded."""

    asked: Asked
    found: Schedule


class Planner:
    """Plans the day of one desk; what took long to work out is kept until it changes."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._project = ""
        self._allow_open = False
        self._read: tuple[object, PrepDay | None, Entry | None] = (None, None, None)
        self._stood: tuple[object, object] = (None, None)
        self._asked: tuple[object, Asked | None] = (None, None)
        self._settled: tuple[object, Settled | None] = (None, None)

    def choose(self, project: str = "", *, allow_open: bool = False) -> None:
        """Say what a day that is not begun yet would be for.

        Args:
            project: id of a project; empty: all that is due.
            allow_open: whether two machines may stand open at once.
        """
        self._project, self._allow_open = project, allow_open

    @property
    def day(self) -> PrepDay | None:
        """The day that is under way.

        Raises:
            JournalError: when the journal cannot be read.
        """
        return self._records()[0]

    def plan(self) -> Plan:
        """Plan the day that is under way, or one that would begin now.

        Raises:
            JournalError: when the journal cannot be read.
        """
        known = self.known()
        if known is None:
            asked = self.asked()
            self.settle(asked, schedule(asked.workday))
            known = self.known()
        if known is None:  # the minute went by
            return self.plan()
        return known

    def known(self) -> Plan | None:
        """Give the plan if its order is settled: quick; None when it has to be worked out.

        Raises:
            JournalError: when the journal cannot be read.
        """
        mark, settled = self._settled
        if settled is None or mark != self._mark():
            return None
        now, day = self._desk.now(), self.day
        project, _ = self._chosen()
        wanted_one = self._project_named(project)
        lines, finish = timed(settled, now)
        gone = project and wanted_one is None
        notes = (f"The project {shorten(project)} is no longer in the shop file.",) if gone else ()
        found = settled.found
        left_out = (*notes, *_left_too_long(found.left), *settled.asked.todo.left_out)
        return Plan(
            lines,
            finish,
            now,
            day,
            wanted_one,
            left_out,
            found.bound,
            found.finish,
            settled.asked.todo.open_now,
        )

    def asked(self) -> Asked:
        """Collect what there is to do; its order is still to be worked out.

        Raises:
            JournalError: when the journal cannot be read.
        """
        mark, asked = self._asked
        if asked is None or mark != self._mark():
            asked = self._ask()
            self._asked = (self._mark(), asked)
        return asked

    def ahead(self) -> Iterator[None]:
        """Work out, a little at a time, what `asked` takes long for.

        Raises:
            JournalError: when the journal cannot be read.
        """
        desk = self._desk
        project = self._project_named(self._chosen()[0])
        joints = project.joints if project is not None else ()
        day = morning_of(desk, project) if project is not None else None
        points = (one for machine in desk.standing.machines for one in machine.points)
        checks = [one.point.full_name for one in points if one.state != "true"]
        return work_ahead(desk, joints, day, checks)

    def settle(self, asked: Asked, found: Schedule) -> None:
        """Take the order that was worked out; one that is no longer asked for is dropped.

        Raises:
            JournalError: when the journal cannot be read.
        """
        if self._asked[1] is asked:
            self._settled = (self._asked[0], Settled(asked, found))

    def _chosen(self) -> tuple[str, bool]:
        day = self.day
        return (self._project, self._allow_open) if day is None else (day.project, day.allow_open)

    def _project_named(self, ident: str) -> Project | None:
        return next((one for one in self._desk.shop.projects if one.id == ident), None)

    def _records(self) -> tuple[PrepDay | None, Entry | None]:
        """Give the day under way and its newest act, read once until anything is recorded."""
        journal = self._desk.journal
        mark = journal.change_mark()
        if self._read[0] != mark:
            day = day_under_way(journal)
            self._read = (mark, day, newest_act(journal, day))
        return self._read[1], self._read[2]

    def _mark(self) -> object:
        """Tell this plan from another one."""
        desk = self._desk
        day, newest = self._records()
        if self._stood[0] is not desk.standing:
            self._stood = (desk.standing, _states(desk))
        zero = zero_of(desk, day, newest, desk.now())
        return (self._read[0], desk.shop, self._stood[1], self._chosen(), zero)

    def _ask(self) -> Asked:
        desk = self._desk
        shop, journal = desk.shop, desk.journal
        day, newest = self._records()
        ident, allow_open = self._chosen()
        project = self._project_named(ident)
        zero = zero_of(desk, day, newest, desk.now())
        ask = wanted(desk, project) if project is not None else None
        todo = to_do(
            Present(
                shop,
                desk.standing,
                zero,
                lambda point: minutes_of(desk, point.full_name),
                ask.needed if ask is not None else None,
                ask.to_check if ask is not None else {},
                _in_hand(desk, day),
                allow_open,
                machines_of_last_project(journal, shop),
            )
        )
        machine = shop.machines_by_id.get(newest.machine) if newest is not None else None
        bodies = {one.id: one.body for one in shop.machines if one.body}
        workday = Workday(
            todo.jobs,
            {(one.body, one.id): one.change_minutes for one in shop.machines if one.body},
            modes_now(journal, bodies),
            allow_open=allow_open,
            place=(machine.body or machine.id) if machine is not None else "",
            open_now=todo.open_now,
        )
        return Asked(todo, workday, zero)


def timed(settled: Settled, now: datetime) -> tuple[tuple[Line, ...], datetime]:
    """Give each piece its time: every one as soon as it can be, one after the other.

    The first one takes at least until now.
    """
    todo, workday, zero = settled.asked
    jobs: Mapping[str, Job] = {job.id: job for job in workday.jobs}
    passed = (now - zero) / _MINUTE
    modes = dict(workday.modes)
    ends: dict[str, float] = {}
    lines: list[Line] = []
    at, finish = 0.0, max(0.0, passed)
    for name in settled.found.order:
        job, piece = jobs[name], todo.pieces[name]
        change = 0.0
        if job.body and job.mode and modes.get(job.body) != job.mode:
            if modes.get(job.body):
                change = workday.change_minutes.get((job.body, job.mode), 0.0)
            modes[job.body] = job.mode
        begun = at + change
        start = max(begun, job.ready, *(ends[other] + lag for other, lag in job.after), 0.0)
        end = start + job.minutes
        late = 0.0
        if not lines and end < passed:
            late, end = passed - end, passed
        when = zero + start * _MINUTE
        lines.append(
            Line(piece, when, zero + end * _MINUTE, change, start - begun, late, job.opens)
        )
        at = ends[name] = end
        finish = max(finish, end + job.tail)
    return tuple(lines), zero + finish * _MINUTE


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


def _left_too_long(waits: int) -> tuple[str, ...]:
    """Say that a plan leaves waits much longer than they say."""
    if not waits:
        return ()
    which = "One wait is left much longer than it says"
    if waits > 1:
        which = f"{waits} waits are left much longer than they say"
    return (f"{which}: no other order was found that ends as soon.",)


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
