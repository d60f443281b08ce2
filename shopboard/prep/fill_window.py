"""What fits into one window of the time one has, and how things stand after it. Pure.

The jobs come the most wanted first. Each is taken with all that must be done before it, and with
what ends a wait that it begins, if it fits beside what was taken before it; so nothing is in that
keeps out something that is wanted more. What does not fit waits for the next window.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import copy

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.kept_plans import KeptPlans, followed_by
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.network import UNIT

Room = tuple[float, float]
"""From when to when somebody is there, minutes from the zero of the day; the last may be inf."""

_SECONDS = 0.15
"""Allowance for the first window, which is looked at now; each later one has half as much."""

_TRIES, _A_TRY, _FEW = 3, 0.04, 20
"""How often it is looked closer whether something fits, with which allowance, of how many jobs."""

_SOON = 3
"""Windows in which that is the allowance; each later one has half as much as the one before it."""

_SEARCHED = 5
"""Windows that are searched; what is later is put in order by a rule."""

_AT_ITS_END = 16
"""Jobs of which it is tried whether they fit at the end of the first window; half as many in each
later one."""

_MISSES, _LEAST_MISSES, _RULES = 100, 2, 8
"""How many jobs may not fit before the rest is left for the next window, the first number in the
first window, and how many rules are tried there; with each later window a quarter as many jobs and
half as many rules: what is in it is planned anew before it comes. In haste half as many jobs."""

_EXACT = 1e-6
_PART = 2 / UNIT
"""Of a minute: so much longer a time in whole parts may be."""


class Stint(NamedTuple):
    """What is done in one window."""

    window: int
    """Number of the window, from 0."""
    workday: Workday
    """Its jobs; minutes count from the start of the window."""
    found: Schedule


class Filling:
    """Fills one window after the other; keeps what is still to be done."""

    def __init__(
        self,
        day: Workday,
        spans: Sequence[Room],
        alone: Collection[str],
        without: Mapping[str, Collection[str]],
        over: float = 0.0,
    ) -> None:
        self.day = day
        self._late = over
        self.without = without
        self.spans = spans
        self.alone = alone
        self.left: dict[str, Job] = {job.id: job for job in day.jobs}
        self._ends_wait: dict[str, list[str]] = defaultdict(list)
        self.begun: dict[str, None] = {}
        """Jobs that end a wait which was begun sooner, or are in hand: they come first."""
        for job in day.jobs:
            for name, lag in job.after:
                if lag > 0:
                    self._ends_wait[name].append(job.id)
        self.modes = dict(day.modes)
        self._open = day.open_now
        self._place = day.place
        self.tries = _TRIES
        self.hasty = False
        self.plans = KeptPlans()
        """Shared with what is tried on."""
        self.told: Sequence[str] = ()
        """An order of jobs in which it is tried first whether they fit; none: by rules alone."""
        self._past: dict[str, float] = {}
        """Minutes after the end of the window up to which a job may be over."""

    def again(self, *, hasty: bool = False) -> Filling:
        """Give another one that stands as this one does, to try something on.

        Args:
            hasty: whether it looks at nothing closely: what is best is filled once more.
        """
        other = copy(self)
        other.hasty = hasty
        if hasty:
            other.tries = 0
        other.left, other.begun, other.modes = {**self.left}, {**self.begun}, {**self.modes}
        return other

    def stay_on(self, past: Mapping[str, float]) -> None:
        """Let jobs be over after the end of the first window, by no more than they must be."""
        self._at, (self._begin, self._end) = 0, self.spans[0]
        self._chosen: set[str] = set()
        room, mine = self._end - self._begin, list[str]()
        for name, most in past.items():
            if name not in self.left:
                continue
            workday = self._workday(self._with_needs([*mine, name], whole=False))
            found = self._ordered(workday, self._a_try)
            if found is None:
                continue
            ends = {job.id: found.starts[job.id] + job.minutes - room for job in workday.jobs}
            if max(ends.values()) <= most + _EXACT:
                mine.append(name)
                self.begun[name] = None
                self._past = {n: end + _PART for n, end in ends.items() if end > _EXACT}

    @property
    def _a_try(self) -> float:
        return _A_TRY / 2.0 ** (2 * self.hasty + max(0, self._at + 1 - _SOON))

    def _ordered(self, workday: Workday, seconds: float) -> Schedule | None:
        """Give a good plan of some jobs; None: two machines would have to be open at once."""
        if self._at < _SEARCHED:
            return self.plans.searched(workday, seconds)
        quick = self.plans.quick(workday)
        return None if quick is None else next(quick.by_rules(1), None)

    def _room(self, names: Iterable[str]) -> float:
        """Give the minutes in which some jobs have to be done."""
        return self._end - self._begin + max((self._past.get(one, 0.0) for one in names), default=0)

    def window(self, at: int, wanted: Sequence[str], longer: float = 0.0) -> Stint | None:
        """Choose what is done in a window; None: nothing.

        Args:
            at: its number.
            wanted: ids of jobs, the most wanted first.
            longer: minutes that one stays after its end.
        """
        self._at, (self._begin, self._end) = at, self.spans[at]
        late = self._late if at == len(self.spans) - 1 else 0.0
        self._last = self._end - self._begin - late
        self._end += longer
        self._chosen = set()
        self._found: tuple[Workday, Schedule] | None = None
        self._misses = max(_MISSES >> 2 * at + self.hasty, _LEAST_MISSES)
        self._over = self._least_over()
        if self._end - self._begin > 0 or self._past:
            names = dict.fromkeys((*self.begun, *wanted))
            self._add([name for name in names if name in self.left])
        if self._found is None:
            return None
        workday, found = self._found
        better = None if self.hasty or self.told else self._ordered(workday, _SECONDS / 2**at)
        if better is not None and self._fits(workday, better):
            found = better
        stint = self._topped_up(Stint(at, workday, found), wanted)
        self._done(stint)
        self._past = {}
        return stint

    def _topped_up(self, stint: Stint, wanted: Sequence[str]) -> Stint:
        """Do at the end of a window what fits there, each machine as it is by then."""
        at = stint.window
        if at >= _SEARCHED or self._past:
            return stint
        free, modes = self._after(stint)
        short = [name for name in wanted if self._is_short(name, free, modes)]
        for name in short[: _AT_ITS_END >> at]:
            more = self._with_needs([name], whole=True)
            if not more or not all(self._is_short(one, free, modes) for one in more):
                continue
            workday = self._workday(self._chosen | more)
            found = followed_by(workday, stint.found.order)
            if found is not None and self._fits(workday, found):
                stint, self._chosen = Stint(at, workday, found), self._chosen | more
                free, modes = self._after(stint)
        return stint

    def _after(self, stint: Stint) -> tuple[float, Mapping[str, str]]:
        """Give the minutes left at the end of a window, and the modes that machines are in then."""
        jobs = {one.id: one for one in stint.workday.jobs}
        end = max(stint.found.starts[name] + job.minutes for name, job in jobs.items())
        done = (jobs[name] for name in stint.found.order)
        modes = self.modes | {job.body: job.mode for job in done if job.mode}
        return self._end - self._begin - end + _EXACT, modes

    def _is_short(self, name: str, free: float, modes: Mapping[str, str]) -> bool:
        """Tell whether a job that is not chosen may fit behind others, its machine as it is."""
        job = self.left.get(name)
        if job is None or name in self._chosen or job.minutes > free:
            return False
        return not (job.opens or job.closes or (job.mode and modes.get(job.body) != job.mode))

    def _least_over(self) -> int:
        """Count the waits begun sooner that are left although it harms, whatever else is done.

        But for what ends the waits that their ends begin: these are done with them.
        """
        names = [
            job.id
            for job in self.left.values()
            if job.harms and not any(lag and name in self.left for name, lag in job.after)
        ]
        if not names:
            return 0
        found = self._ordered(self._workday(self._with_needs(names, whole=True)), self._a_try)
        return len(names) if found is None else len(found.over.keys() & names)

    def _add(self, names: Sequence[str]) -> None:
        """Take what fits of some jobs, in their order: all at once, or else in two halves."""
        minutes = {n: self.left[n].minutes for n in names if n not in self._chosen}
        room = self._room((*self._chosen, *minutes))
        room -= sum(self.left[name].minutes for name in self._chosen)
        names = [name for name, each in minutes.items() if each <= room + _EXACT]
        if not names or not self._misses:
            return
        too_much = sum(minutes[name] for name in names) > room + _EXACT
        if not too_much and self._take(self._with_needs(names, whole=True)):
            return
        if len(names) == 1:
            self._misses -= not self._take(self._with_needs(names, whole=False))
            return
        self._add(names[: len(names) // 2])
        self._add(names[len(names) // 2 :])

    def _with_needs(self, names: Iterable[str], *, whole: bool) -> set[str]:
        """Give jobs with all that must come before, and if `whole` with what ends their waits."""
        found: set[str] = set()
        ahead = list(names)
        while ahead:
            name = ahead.pop()
            if name in found or name in self._chosen:
                continue
            found.add(name)
            spared = self.without.get(name, ()) if self._at == len(self.spans) - 1 else ()
            before = (other for other, _ in self.left[name].after if other in self.left)
            ahead += [other for other in before if other not in spared]
            if whole and name not in self.alone:
                ahead += [other for other in self._ends_wait[name] if other in self.left]
        return found

    def _take(self, more: set[str]) -> bool:
        """Take jobs beside those that are chosen; False: they do not fit."""
        names = self._chosen | more
        room = self._room(names)
        if self._at_least([self.left[name] for name in names]) > room + _EXACT:
            return False
        workday = self._workday(names)
        quick = self.plans.quick(workday)
        if quick is None or quick.least > (room + _EXACT) * UNIT:
            return False
        found = followed_by(workday, self.told) if self.told else None
        if found is None or not self._fits(workday, found):
            plans = quick.by_rules(max(_RULES >> self._at + 2 * self.hasty, 1))
            found = next((one for one in plans if self._fits(workday, one)), None)
        if found is None:
            if not self.tries or len(names) > _FEW:
                return False
            self.tries -= 1
            found = self._ordered(workday, self._a_try)
            if found is None or not self._fits(workday, found):
                return False
        self._chosen, self._found = names, (workday, found)
        return True

    def _at_least(self, jobs: Sequence[Job]) -> float:
        """Give minutes in which no order has some jobs done; another bound tells more, and later.

        Each mode but the one that a machine is in has to be changed into, and no job is over before
        the wait in front of it.
        """
        modes, change = self.modes, self.day.change_minutes
        into = {(one.body, one.mode) for one in jobs if one.body and one.mode}
        changed = (each for each in into if (modes.get(each[0]) or each[1]) != each[1])
        work = sum(one.minutes for one in jobs) + sum(change.get(each, 0.0) for each in changed)
        return max(work, *(one.ready - self._begin + one.minutes for one in jobs))

    def whole(self, at: int, names: Collection[str]) -> Workday:
        """Make the day of some jobs, from the beginning of a window on, as if nothing broke it."""
        self._at, (self._begin, self._end) = at, self.spans[at]
        return self._workday(names)

    def _workday(self, names: Collection[str]) -> Workday:
        """Make the day of some jobs; what was done in an earlier window is waited for no more."""
        jobs = tuple(self._here(self.left[name], names) for name in self.left if name in names)
        return self.day._replace(
            jobs=jobs, modes={**self.modes}, open_now=self._open, place=self._place
        )

    def _here(self, job: Job, names: Collection[str]) -> Job:
        """Give a job as it is in this window: a wait that began sooner is as long over already."""
        after = tuple((name, lag) for name, lag in job.after if name in names)
        waited = self._begin - job.ready
        if waited > 0 and not any(lag for _, lag in after):
            job = job._replace(patience=max(0.0, job.patience - waited))
        return job._replace(after=after, ready=max(0.0, -waited))

    def _fits(self, workday: Workday, found: Schedule) -> bool:
        """Tell whether all is done in the window, and no wait ends when nobody is there.

        Nor is one that is begun in it left although it harms, and of those begun sooner no more
        than must be.
        """
        room = self._end - self._begin + _EXACT
        jobs = {job.id: job for job in workday.jobs}
        harmed = [jobs[name] for name in found.over if jobs[name].harms]
        if len(harmed) > self._over or any(lag for one in harmed for _, lag in one.after):
            return False
        for name, job in jobs.items():
            end = found.starts[name] + job.minutes
            last = self._last - _EXACT
            if found.starts[name] >= last and end > self._last + _EXACT and name not in self.begun:
                return False  # past the end one stays on for what is in hand
            if end > room + self._past.get(name, 0.0):
                return False
            if job.tail and not self._is_seen(job, jobs, end):
                return False
        return True

    def _is_seen(self, job: Job, jobs: Mapping[str, Job], end: float) -> bool:
        """Tell whether somebody is there when the wait after a job is over, or it may end alone.

        And soon enough after it where it harms to leave it.
        """
        ends = self._ends_wait[job.id]
        later = [self.left[name] for name in ends if name not in jobs]
        if ends and not later:
            return True
        over, spans = self._begin + end + job.tail, self.spans[self._at + 1 :]
        if job.id not in self.alone and not any(
            begin - _EXACT <= over < until for begin, until in spans
        ):
            return False
        return all(
            any(
                begin - over <= one.patience and max(begin, over) + one.minutes <= until
                for begin, until in spans
            )
            for one in later
            if one.harms
        )

    def _done(self, stint: Stint) -> None:
        """Take what is done in a window out of what is left; its waits run on."""
        jobs = {job.id: job for job in stint.workday.jobs}
        for name in stint.found.order:
            job = self.left.pop(name)
            over = self._begin + stint.found.starts[name] + job.minutes
            for other in self._ends_wait[name]:
                if other not in jobs:
                    lag = dict(self.left[other].after)[name]
                    ready = max(self.left[other].ready, over + lag)
                    self.left[other] = self.left[other]._replace(ready=ready)
                    self.begun[other] = None
            if job.body and job.mode:
                self.modes[job.body] = job.mode
            self._place = job.place or self._place
            self._open = job.opens or self._open
            if job.closes == self._open:
                self._open = ""
