"""A prep day that is planned: its pieces shared out over the time one has, each with its time."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import count

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import counted
from shopboard.prep.as_begun import as_begun
from shopboard.prep.at_risk import LeftPiece, as_jobs, as_one
from shopboard.prep.fill_window import Stint
from shopboard.prep.in_one_go import in_one_go
from shopboard.prep.job_list import ToDo
from shopboard.prep.past_closing import INTO_PAUSE, stays_for
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import PlanLine
from shopboard.prep.plan_words import span
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.share_out import Pauses, Shared, share_out
from shopboard.prep.time_had import FARTHEST, TimeHad, Window
from shopboard.prep.to_spare import to_spare
from shopboard.prep.waits_left import RunningWaits
from shopboard.prep.well_ordered import changed_late, worth_first
from shopboard.prep.whole_changes import left_behind, torn, without_changes
from shopboard.prep.worth import Worth

_MINUTE = timedelta(minutes=1)

_SOON = 4
"""Windows that are put in a better order: what is later is planned anew before it comes."""

_ONE_BY_ONE = 3
"""How many changes of cutter are left out by themselves, the least valuable first, before all go
whose checks do not fit."""


class DayToPlan(NamedTuple):
    """A day that is to be planned: what there is to do, and from when its minutes count."""

    todo: ToDo
    workday: Workday
    zero: datetime
    windows: tuple[Window, ...]
    """The time one has, the first from zero on."""
    worth: Worth
    """What its pieces are worth; of a time without an end nobody asks."""
    lost: float = 0.0
    """Minutes of the first window that went by at a job that took longer."""
    bears: float = 0.0
    """Minutes by which its last window may run over before anything is put off."""
    in_hand: tuple[str, ...] = ()
    """Ids of what one is at: it is gone on with past closing."""
    until: datetime | None = None
    """The end of the time that one said to have; None: nothing was said."""
    anew: bool = False
    """Whether what was to be done first no longer fits: whatever is first now begins now."""
    at_it: bool = False
    """Whether one said since the newest record that one was at what is first."""
    more: float = 0.0
    """Minutes of the first window that were there when the day was looked at, before it began."""
    begun_as: tuple[str, ...] = ()
    """Ids of its pieces in the order in which it was begun; none: it is not, or nothing is told."""

    def shared(self) -> Shared:
        """Share its pieces out over the time one has, and put them in order; it may take long."""
        spans = [self._span(one) for one in self.windows]
        if spans:
            spans[0] = (0.0, spans[0][1] - self.lost + self.more)
        found = self._fitting(spans)
        worth = self.worth.without(frozenset(found.left))  # what is left out draws nothing forward
        stints = (self._well_ordered(one, worth) for one in found.stints)
        return found._replace(stints=tuple(stints))

    def _well_ordered(self, stint: Stint, worth: Sequence[str]) -> Stint:
        """Let a window's order be one that its owner would rather follow, where nothing is lost."""
        pieces, in_hand = self.todo.pieces, self.in_hand
        stint = as_begun(stint, self.begun_as, in_hand)
        stint = to_spare(in_one_go(stint, pieces, in_hand), in_hand)
        if stint.window >= _SOON:
            return stint
        stint = changed_late(stint, pieces, in_hand)
        return stint if self.until is None else worth_first(stint, worth, in_hand)

    def _fitting(self, spans: Sequence[tuple[float, float]]) -> Shared:
        """Choose what fits; no change of cutter without the checks it undoes."""
        alone = [name for name, piece in self.todo.pieces.items() if piece.alone]
        worth = self.worth.order or tuple(self.todo.pieces)
        without, day = self.without, self.workday
        past = stays_for(day.jobs, self.in_hand, spans)
        pauses = Pauses(self._days, self.worth.urgent, INTO_PAUSE, self._over, self.begun_as)
        found = share_out(day, worth, spans, alone, without, past, pauses)
        gone = set[str]()
        for tries in count():
            kept = {job.id for job in day.jobs}
            more = kept & self._left_out(found, one_by_one=tries < _ONE_BY_ONE)
            if not more:
                break
            gone |= more
            day = without_changes(day, more, without)
            kept = {job.id for job in day.jobs}
            wanted = [one for one in self.worth.without(gone) or worth if one in kept]
            found = share_out(day, wanted, spans, alone, without, past, pauses)
        done = {name for stint in found.stints for name in stint.found.order}
        return found._replace(left=tuple(name for name in worth if name not in done))

    def _left_out(self, found: Shared, *, one_by_one: bool) -> set[str]:
        """Give the changes of cutter that are left out where so much fits."""
        worth, pieces = self.worth.order or tuple(self.todo.pieces), self.todo.pieces
        some = [name for name in torn(found, pieces) if name not in {*self.in_hand} - self._at_none]
        if some and one_by_one:
            some = [max(some, key=worth.index)]
        return {*some, *left_behind(found, pieces)}

    @property
    def _days(self) -> tuple[int, ...]:
        """Of each window, the day on which it begins where the shop is."""
        return tuple(one.start.astimezone().toordinal() for one in self.windows)

    @property
    def without(self) -> Mapping[str, frozenset[str]]:
        """By a check, the upkeep before it that is not begun: it can be done without.

        So can a change of cutter without the tasks that come before it, and they without it. But
        what a change undoes is true until then, and is checked behind it alone.
        """
        pieces = self.todo.pieces
        open_ = {name for name in pieces if name not in self.worth.begun}
        tasks = {name for name in open_ if pieces[name].sort == "task"}
        upkeep = {name for name in open_ if pieces[name].sort != "check"}
        spared = {"check": upkeep, "cutter": tasks, "task": upkeep - tasks}
        at_none, none = self._at_none, frozenset[str]()
        return {
            job.id: frozenset(
                name
                for name, _ in job.after
                if name in at_none or (name in some and name not in pieces[job.id].undone_by)
            )
            for job in self.workday.jobs
            if (some := spared.get(pieces[job.id].sort, none)) or at_none
        }

    @property
    def _at_none(self) -> frozenset[str]:
        """Changes of cutter that stay first, as if in hand, and are not on record.

        Nobody is at one: all comes behind it, and nothing needs it.
        """
        pieces = (self.todo.pieces[name] for name in self.in_hand if not self.at_it)
        return frozenset(one.id for one in pieces if one.sort == "cutter" and one.act)

    @property
    def _over(self) -> float:
        """Minutes of the last window that are past the end of the time that one said."""
        end = self.windows[-1].end if self.windows else None
        return max(0.0, (end - self.until) / _MINUTE) if end and self.until else 0.0

    @property
    def into_pause(self) -> float:
        """Minutes that one stays on after the first window, where the next is of the same day."""
        days = self._days[:2]
        return INTO_PAUSE if len(days) > 1 and days[0] == days[1] else 0.0

    def _span(self, one: Window) -> tuple[float, float]:
        end = math.inf if one.end is None else (one.end - self.zero) / _MINUTE
        return max(0.0, (one.start - self.zero) / _MINUTE) if one.end else 0.0, end


class Settled(NamedTuple):
    """A day whose order is settled, until something is recorded."""

    asked: DayToPlan
    shared: Shared


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


class _First(NamedTuple):
    """What is first by now: when it begins and ends, how late it is, minutes from zero."""

    start: float
    end: float
    late: float = 0.0
    left: float = 0.0
    silent: float = 0.0


def _first(piece: Piece, start: float, passed: float, *, at_it: bool) -> _First:
    """Tell how far what is first is, which was to begin at `start`.

    Minutes without a record belong to it: to one that was begun all, to one that leaves no record
    before it is done as many as it takes. A check and a change are on record when they begin: one
    that is not begins now.
    """
    end, left = start + piece.minutes, _left(piece, passed - start)
    late, begun = max(passed - end, 0.0), piece.begun or at_it
    silent = passed - start if late and not begun else 0.0
    if begun or not piece.told_when_begun:
        return _First(start, passed + left, late, left, silent)
    return _First(passed, passed + piece.minutes, late, piece.minutes, silent)


def all_timed(
    settled: Settled, now: datetime, away: float = 0.0
) -> tuple[tuple[PlanLine, ...], datetime]:
    """Give each piece its time, window by window; `away`: minutes of the first, see `timed`."""
    asked = settled.asked
    lines: list[PlanLine] = []
    finish = now
    waits = RunningWaits(asked.todo, asked.zero)
    for stint in settled.shared.stints:
        window = asked.windows[stint.window]
        zero = window.start if stint.window else asked.zero
        until = min(filter(None, (asked.until, window.end)), default=None)
        some = asked._replace(workday=stint.workday, zero=zero)
        found, over = timed(some, stint.found, now, 0.0 if stint.window else away)
        lines += (waits.told(line, until) for line in found)
        finish = max(finish, over)
    return tuple(lines), finish


def timed(
    asked: DayToPlan, found: Schedule, now: datetime, away: float = 0.0
) -> tuple[tuple[PlanLine, ...], datetime]:
    """Give each piece of one window its time: every one as soon as it can be, one after the other.

    What is left of the first one is counted from now.

    Args:
        asked: the day, or what is done in one window of it.
        found: its order.
        now: the time.
        away: minutes from its zero in which nobody was there.
    """
    todo, workday, zero = asked.todo, asked.workday, asked.zero
    jobs: Mapping[str, Job] = {job.id: job for job in workday.jobs}
    passed = (now - zero) / _MINUTE
    modes = dict(workday.modes)
    ends: dict[str, float] = {}
    lines: list[PlanLine] = []
    at, finish = away, max(0.0, passed)
    silent = passed if asked.anew and away < passed else 0.0
    if silent:
        at = passed
    for name in found.order:
        job, piece = jobs[name], todo.pieces[name]
        change = 0.0
        if job.body and job.mode and modes.get(job.body) != job.mode:
            if modes.get(job.body):
                change = workday.change_minutes.get((job.body, job.mode), 0.0)
            modes[job.body] = job.mode
        begun = at + change
        held = found.held.get(name, 0.0)
        free = max(begun, job.ready, *(ends[other] + lag for other, lag in job.after), 0.0)
        start = max(free, held)
        idle, one = start - begun, _First(start, start + job.minutes)
        if not lines and passed > start:
            one = _first(piece, start, passed, at_it=asked.at_it)
        elif not lines and silent:
            one = one._replace(silent=silent)
        when, over = (zero + each * _MINUTE for each in (one.start, one.end))
        lines.append(
            PlanLine(
                *(piece, when, over, change, idle, one.late, one.left, job.opens, one.silent),
                is_held=held > free,
            )
        )
        at = ends[name] = end = one.end
        finish = max(finish, end + job.tail)
    return tuple(lines), zero + finish * _MINUTE


_STEP = 5.0
"""Minutes after which a day that runs over is shared out anew."""


def overrun(settled: Settled, lines: Sequence[PlanLine], *, is_quiet: bool = False) -> float:
    """Give the minutes lost at a job that takes longer, where the rest no longer fits; 0: it does.

    Of one job alone nothing is put off, unless nobody may be at it; but none is begun any more when
    the time is over.

    Args:
        settled: the day.
        lines: its pieces as they are timed by now.
        is_quiet: whether nothing was recorded for so long that one may have been away.
    """
    asked, stints = settled.asked, settled.shared.stints
    end = asked.windows[0].end if asked.windows else None
    if end is None or not stints or stints[0].window:
        return 0.0
    count = len(stints[0].found.order)
    found = stints[0].found
    planned = max(found.starts[job.id] + job.minutes for job in stints[0].workday.jobs)
    planned_end = asked.zero + planned * _MINUTE  # for some of it one stays on
    if len(asked.windows) == 1:
        end = max(end, planned_end) + asked.bears * _MINUTE
    else:
        end = max(end + asked.into_pause * _MINUTE, planned_end)
    lines = lines[:count]
    late = [lines[-1]] if (count > 1 or is_quiet) and lines[-1].end > end else []
    late += _too_late(lines, asked.until) if len(asked.windows) == 1 else ()
    lost = ((one.start - asked.zero) / _MINUTE - found.starts[one.piece.id] for one in late)
    steps = max((each // _STEP for each in lost), default=0.0)
    return max(steps * _STEP, asked.lost + _STEP) if late else 0.0


def _too_late(lines: Sequence[PlanLine], until: datetime | None) -> list[PlanLine]:
    """Give what is new and would begin when the time is over that one said.

    What ends a wait that runs, and what was begun, is not new.
    """
    new = (one for one in lines if one.piece.over_at is None and not one.piece.begun)
    return [one for one in new if until is not None and one.start >= until]


def left_pieces(settled: Settled, had: TimeHad) -> tuple[LeftPiece, ...]:
    """Give what does not fit, with what that puts at risk, or why it fits on no day at all."""
    asked = settled.asked
    endless = had.until is None and not had.days
    pieces, names = asked.todo.pieces, {*settled.shared.left}
    # a check is as true as it was while the change that would undo it is left out
    left = [pieces[name] for name in settled.shared.left if not _stays_true(pieces[name], names)]
    done = [name for stint in settled.shared.stints for name in stint.found.order]
    checks = [name for name in done if asked.todo.pieces[name].sort == "check"]
    without = asked.without
    found = []
    for parts in as_jobs(left):
        piece, ids = as_one(parts), {one.id for one in parts}
        told = [_on_no_day(asked, piece, left)] if endless else []
        told += [asked.worth.risks[piece.id], _with_checks(piece, pieces)]
        if not ids.isdisjoint(name for check in checks for name in without.get(check, ())):
            told.append(f"checked without it: {', '.join(_without_it(asked, ids, checks))}")
        found.append(LeftPiece(piece, "; ".join(filter(None, told))))
    return tuple(found)


def _without_it(asked: DayToPlan, left_out: Collection[str], checks: Sequence[str]) -> list[str]:
    """Name the checks, in their order, that are made without what comes before them, or such one.

    Args:
        asked: the day.
        left_out: ids of the pieces that are left out.
        checks: ids of the checks that are made.
    """
    after = {job.id: {name for name, _ in job.after} for job in asked.workday.jobs}
    found = {*left_out}
    for check in checks:
        if not found.isdisjoint(after.get(check, ())):
            found.add(check)
    return [asked.todo.pieces[name].name for name in checks if name in found]


def _stays_true(piece: Piece, left: Collection[str]) -> bool:
    """Tell whether a check is due only behind changes of cutter that are left out, too."""
    return bool(piece.undone_by) and all(name in left for name in piece.undone_by)


def _with_checks(piece: Piece, pieces: Mapping[str, Piece]) -> str:
    """Say of a change that is left out which minutes of checks come with it; empty: none."""
    undone = [one.minutes for one in pieces.values() if piece.id in one.undone_by]
    if not undone:
        return ""
    return f"{counted(len(undone), 'check')} behind it, {span(sum(undone))}"


def _on_no_day(asked: DayToPlan, piece: Piece, left: Sequence[Piece]) -> str:
    """Say why a piece fits on no day, of all that are left."""
    waits = [one for one in asked.todo.pieces.values() if one.wait and not one.alone]
    if any((one.machine, one.target) == (piece.machine, piece.target) for one in waits):
        return _ENDS_ALONE
    longest = max((one.end - one.start for one in asked.windows if one.end), default=_MINUTE)
    return _TOO_LONG if any(one.minutes * _MINUTE > longest for one in left) else _TOO_FAR


_ENDS_ALONE = "its wait would end when nobody is there, unless its step may_end_alone"
_TOO_LONG = "takes longer in one go than the shop is open, or comes after what does"
_TOO_FAR = f"no time is left for it in the next {FARTHEST} days"
