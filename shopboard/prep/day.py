"""The plan of a prep day: when what is done where, what is next, when all is done.

It is worked out anew from the journal and the time whenever it is asked for: so it follows what
really happened, and a restart changes nothing. The minutes count from the newest record of the
day; while nothing is recorded, the order of the rest stays as it is, and only its times move.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from shopboard.open_shop import OpenShop
from shopboard.prep.answers import (
    answers_of,
    cannot_run,
    minutes_of,
    morning_of,
    needs_of_points,
    work_ahead,
)
from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.by_now import ByNow, by_now
from shopboard.prep.closed import closed_until
from shopboard.prep.day_end import found_today, with_answers
from shopboard.prep.day_so_far import DaySoFar, full_minute, is_fresh, part_minute, so_far, zero_of
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.job_list import KnownNow, ToDo
from shopboard.prep.last_project import last_project
from shopboard.prep.left_undone import left_undone
from shopboard.prep.minutes import part_left, whole_minutes
from shopboard.prep.modes_now import changes_over, modes_now, unknown_modes
from shopboard.prep.options import what_settles
from shopboard.prep.past_closing import spoilt, with_closed
from shopboard.prep.plan import DayPlan
from shopboard.prep.schedule.job import Workday
from shopboard.prep.share_out import Shared
from shopboard.prep.still_held import still_held
from shopboard.prep.time_had import (
    RunsOver,
    Shut,
    TimeHad,
    Window,
    as_said,
    later_by,
    of_one_day,
    put_back,
    runs_over,
    why_shut,
    windows,
)
from shopboard.prep.timing import DayToPlan, Settled, left_pieces, overrun
from shopboard.prep.waits_left import left_too_long
from shopboard.prep.wanted import wanted
from shopboard.prep.work import at_hand, can_go_first, has_room, stays_first, to_do
from shopboard.prep.worth import Worth, worth_of
from shopboard.shop.machine import Point
from shopboard.shop.problems import shorten
from shopboard.shop.project import Project

_MINUTE = timedelta(minutes=1)


class _Stage:
    """A day with so many minutes lost at what one is at, and its order once that is worked out."""

    def __init__(self, asked: DayToPlan) -> None:
        self.asked = asked
        self.settled: Settled | None = None


class Planner:
    """Plans the day of one open shop; what took long to work out is kept until it changes."""

    def __init__(self, open_shop: OpenShop) -> None:
        self._open_shop = open_shop
        self._project = ""
        self._allow_open = False
        self._had: TimeHad | None = None
        self._said = open_shop.now()
        self._read: tuple[object, object, DaySoFar] = (None, None, DaySoFar())
        self._stood: tuple[object, object] = (None, None)
        self._stages: tuple[object, dict[float, _Stage]] = (None, {})
        self._answered: tuple[object, tuple[GlueUpAnswer, ...]] = (None, ())

    def choose(
        self, project: str = "", *, allow_open: bool = False, had: TimeHad | None = None
    ) -> None:
        """Say what a day that is not begun yet would be for.

        Args:
            project: id of a project; empty: all that is due.
            allow_open: whether two machines may stand open at once.
            had: the time one has; a day under way is looked at as if that had been said. None:
                what is on record of it, or the hours of the shop.
        """
        self._project, self._allow_open, self._had = project, allow_open, had
        self._said = self._open_shop.now()

    @property
    def had(self) -> TimeHad | None:
        """The time that was said for a day that is not begun; so many minutes count from now on."""
        had = self._had
        if had is None or self.day is not None:
            return had
        return put_back(had, full_minute(self._open_shop.now()) - full_minute(self._said))

    @property
    def day(self) -> PrepDay | None:
        """The day that is under way.

        Raises:
            JournalError: when the journal cannot be read.
        """
        return self._records().day

    def plan(self) -> DayPlan:
        """Plan the day that is under way, or one that would begin now.

        Raises:
            JournalError: when the journal cannot be read.
        """
        stages = self._asked_so_far()  # whether or not a minute goes by meanwhile
        while True:
            stage, timed = self._stage(stages)
            if stage.settled is not None and timed is not None:
                return self._told(stage.settled, timed)
            stage.settled = Settled(stage.asked, stage.asked.shared())

    def known(self) -> DayPlan | None:
        """Give the plan if its order is settled: quick; None when it has to be worked out.

        Raises:
            JournalError: when the journal cannot be read.
        """
        stage, timed = self._stage(self._asked_so_far())
        settled = stage.settled
        return None if settled is None or timed is None else self._told(settled, timed)

    def _stage(self, stages: dict[float, _Stage]) -> tuple[_Stage, ByNow | None]:
        """Give the day as it is by now, with its times; None: its order is to be worked out.

        What runs over is shared out anew without the minutes that are lost by now. It always goes
        from the day as it was when something was recorded last, never from what was seen since:
        so every screen and command says the same at the same moment.
        """
        found, now, standing = self._records(), self._open_shop.now(), self._open_shop.standing
        if found.day is None:  # it counts from the full minute: what fits to the minute, fits
            now = full_minute(now)
        lost, first = 0.0, ""
        while True:
            if lost not in stages:
                stages[lost] = _Stage(self._ask(lost, first))
            stage = stages[lost]
            if stage.settled is None:
                return stage, None
            timed = by_now(stage.settled, standing, found.newest, now)
            lost = overrun(stage.settled, timed.lines, is_quiet=timed.quiet is not None)
            if not lost:
                return stage, timed
            if not found.in_hand:  # a check begun is first by itself
                first = first or timed.lines[0].piece.id

    def _asked_so_far(self) -> dict[float, _Stage]:
        """Give what was asked since anything changed, by the minutes that are lost since then."""
        mark = self._mark()
        if self._stages[0] != mark:
            self._stages = (mark, {})
        return self._stages[1]

    def _told(self, settled: Settled, timed: ByNow) -> DayPlan:
        """Say what is planned of a day whose order is settled."""
        now, day = self._open_shop.now(), self.day
        project, found = self._chosen()[0], self._records()
        wanted_one = self._project_named(project)
        lines, finish, quiet = timed
        gone = project and wanted_one is None
        notes = (f"The project {shorten(project)} is no longer in the shop file.",) if gone else ()
        asked, stints = settled.asked, settled.shared.stints
        used = (one.piece.machine for one in lines if not one.piece.beside)
        machines = self._open_shop.shop.machines_by_id
        over = left_too_long(lines, asked.todo, machines, asked.windows)
        modes = unknown_modes(asked.workday.modes, used, machines)
        whole = stints[0].found if len(stints) == 1 and not settled.shared.left else None
        left = left_pieces(settled, self._time()[0])
        window, shut = self._next_window(asked)
        plan = DayPlan(
            lines,
            finish,
            now,
            day,
            wanted_one,
            (*notes, *over, *modes, *asked.todo.left_out),
            whole.bound if whole is not None else 0.0,
            whole.finish if whole is not None else 0.0,
            asked.todo.open_now,
            asked.todo.stays_open,
            found.away.minutes if found.away is not None else 0.0,
            quiet,
            left,
            window,
            not asked.windows or asked.windows[0].end is not None,
            until=self._time()[0].until,
            holds=still_held(self._open_shop.shop, wanted_one, left, asked.todo.stays_open),
            shut=shut,
            today=of_one_day(asked.windows, self._time()[0]),
            closed=closed_until(found, self._time()[0], self._open_shop.shop.hours, finish),
        )
        return plan if wanted_one is None or not plan.is_done else self._ended(plan, wanted_one)

    def _next_window(self, asked: DayToPlan) -> tuple[Window | None, Shut]:
        """Give the time in which one is there next, as one said it, and why nobody is before."""
        if not asked.windows:
            return None, "closed"
        found, hours = as_said(asked.windows[0], self._time()[0]), self._open_shop.shop.hours
        return found, why_shut(hours, self._open_shop.now(), found.start)

    def _ended(self, plan: DayPlan, project: Project) -> DayPlan:
        """Say of a plan that is done which joints of its project go; asked once as all stands."""
        mark = (self._open_shop.standing, project)
        if self._answered[0] != mark:
            self._answered = (mark, answers_of(self._open_shop, project.joints))
        return with_answers(plan, self._answered[1], project.name)

    def asked(self) -> DayToPlan:
        """Collect what there is to do; its order is still to be worked out.

        Raises:
            JournalError: when the journal cannot be read.
        """
        return self._stage(self._asked_so_far())[0].asked

    def ahead(self) -> Iterator[None]:
        """Work out, a little at a time, what `asked` takes long for.

        Raises:
            JournalError: when the journal cannot be read.
        """
        open_shop = self._open_shop
        project = self._project_named(self._chosen()[0])
        joints = project.joints if project is not None else ()
        day = morning_of(open_shop, project) if project is not None else None
        points = (one for machine in open_shop.standing.machines for one in machine.points)
        checks = [one.point.full_name for one in points if one.is_open]
        return work_ahead(open_shop, joints, day, checks)

    def settle(self, asked: DayToPlan, found: Shared) -> None:
        """Take the order that was worked out; one that is no longer asked for is dropped.

        Raises:
            JournalError: when the journal cannot be read.
        """
        for stage in self._asked_so_far().values():
            if stage.asked is asked:
                stage.settled = Settled(asked, found)

    def undone(self) -> tuple[LeftPiece, ...]:
        """Give what would be left if the day ended now, with what that puts at risk.

        Raises:
            JournalError: when the journal cannot be read.
        """
        plan, settled = self.plan(), self._stage(self._asked_so_far())[0].settled
        if settled is None:  # a minute went by meanwhile
            return self.undone()
        asked = settled.asked
        risks = asked.worth.risks or self._worth(asked.todo, plan.project).risks
        planned = (one.piece for one in plan.lines)
        return left_undone(planned, settled, risks, self._time()[0])

    def _chosen(self) -> tuple[str, bool]:
        day = self.day
        return (self._project, self._allow_open) if day is None else (day.project, day.allow_open)

    def _project_named(self, ident: str) -> Project | None:
        projects = self._open_shop.shop.projects
        return next((one for one in projects if ident in (one.id, *one.was)), None)

    def _records(self) -> DaySoFar:
        """Give what is on record of the day under way, read once until anything is recorded."""
        mark, waiting = self._open_shop.journal.change_mark(), self._open_shop.waiting
        if self._read[0] != mark or self._read[1] is not waiting:
            self._read = (mark, waiting, so_far(self._open_shop))
        return self._read[2]

    def _mark(self) -> object:
        """Tell this plan from another one."""
        open_shop = self._open_shop
        if self._stood[0] is not open_shop.standing:
            self._stood = (open_shop.standing, open_shop.standing.by_calendar)
        zero, there = self._there()
        chosen = self._chosen()
        gone = spoilt(open_shop.standing, open_shop.now())
        stood = (open_shop.as_of, self._stood[1], gone)  # which may lag behind the journal
        return (self._read[0], open_shop.shop, stood, chosen, zero, there)

    def _time(self) -> tuple[TimeHad, datetime]:
        """Give the time one has, and when that was said."""
        day, had = self.day, self.had
        if had is not None or day is None:
            return had or TimeHad(), full_minute(self._open_shop.now())
        return day.had, day.since

    def _there(self) -> tuple[datetime, tuple[Window, ...]]:
        """Give the moment from which the minutes count, and the time one has from then on.

        Outside of the hours they count from when one is there again.
        """
        open_shop = self._open_shop
        zero = zero_of(self._records(), open_shop.now())
        had, since = self._time()
        over = self._runs_over(zero)
        found = windows(had, open_shop.shop.hours, open_shop.now(), since, sum(over, timedelta()))
        found = later_by(with_closed(open_shop, found, had, since), had, over.planned)
        return max(zero, found[0].start) if found else zero, found

    def _runs_over(self, zero: datetime) -> RunsOver:
        """Tell how long after the time that was said the day in progress may end."""
        had, since = self._time()
        on_record = self.day is not None and self._had is None
        over = runs_over(had if on_record else TimeHad(), since, zero)
        fresh = is_fresh(self._records(), zero)
        return RunsOver(timedelta(), sum(over, timedelta())) if fresh else over

    def _minutes_left(self, point: Point, found: DaySoFar) -> float:
        """Give how long a check takes; of the one in hand, what is left of it."""
        minutes = minutes_of(self._open_shop, point.full_name)
        if found.begun is None or found.in_hand != point.full_name:
            return minutes
        part = part_left(self._open_shop.journal, point, found.begun, minutes)
        return whole_minutes(minutes * part)

    def _worth(self, todo: ToDo, project: Project | None) -> Worth:
        open_shop = self._open_shop
        needs = needs_of_points(open_shop, project) if project is not None else None
        found = self._records()
        since = found.day.seq if found.day is not None else 0
        return worth_of(todo, open_shop.shop, open_shop.standing, found.in_hand, needs, since)

    def _ask(self, lost: float, first: str) -> DayToPlan:
        """Collect what there is to do.

        Args:
            lost: minutes that are lost at what one is at.
            first: id of what that is, if minutes are lost.
        """
        open_shop = self._open_shop
        shop, journal = open_shop.shop, open_shop.journal
        found = self._records()
        ident, allow_open = self._chosen()
        project = self._project_named(ident)
        zero, there = self._there()
        ask = wanted(open_shop, project) if project is not None else None
        todo = to_do(
            KnownNow(
                shop,
                open_shop.standing,
                zero,
                lambda point: self._minutes_left(point, found),
                ask.needed if ask is not None else None,
                ask.to_check if ask is not None else {},
                found.in_hand,
                allow_open,
                last_project(journal, shop),
                lambda name: what_settles(open_shop, name),
                ask.not_enough if ask is not None else (),
                lambda point: cannot_run(open_shop, point),
                lambda one: found_today(journal, found.day, one),
                project.also_on if project is not None else (),
            )
        )
        if ask is not None:
            todo = todo._replace(stays_open=(*todo.stays_open, *ask.notes))
        spoils = spoilt(open_shop.standing, open_shop.now())
        had = self._time()[0]
        at = first if has_room(todo, first, there, had, zero, lost) else ""
        at = spoils if can_go_first(todo, spoils) else at
        todo = stays_first(todo, at)
        machine = shop.machines_by_id.get(found.place)
        workday = Workday(
            todo.jobs,
            changes_over(shop),
            modes_now(journal, shop),
            allow_open=allow_open,
            place=(machine.body or machine.id) if machine is not None else "",
            open_now=todo.open_now,
        )
        endless = bool(there) and there[0].end is None  # nobody asks what is worth most then
        worth = (Worth((), {}) if endless else self._worth(todo, project)).first_of_all(at)
        bears = self._runs_over(zero).more / _MINUTE
        in_hand = tuple(dict.fromkeys((*at_hand(todo, found.in_hand), *filter(None, (at,)))))
        return DayToPlan(
            *(todo, workday, zero, there, worth, lost, bears, in_hand, had.until),
            more=part_minute(found, zero) / _MINUTE,
            anew=bool(first and not at),
            at_it=found.said_at_it(zero),
            begun_as=found.order,
        )
