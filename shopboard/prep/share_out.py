"""What fits into the time one has, and on which day the rest is done. Pure.

Worth decides what is done on a day and what is put off to another: nothing is in that keeps out
something more valuable. Between the windows of one day it decides nothing, for nothing is at risk
by an hour's pause: what is done before the pause and what after it is as the whole day is shortest,
but that what is urgent comes first.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import groupby, pairwise
from types import MappingProxyType

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.fill_window import Filling, Room, Stint
from shopboard.prep.schedule.job import Workday
from shopboard.prep.schedule.shortest_day import schedule

_SECONDS = 0.08
"""Allowance for the order of a whole day with pauses in it."""

_WALK = 1.0
"""Minutes that a walk from one machine to another counts for, where days with a pause are compared:
minutes left over before it are little. (our choice, no source)"""

_TOLD = 3.0
"""Minutes that must be saved before a day goes on in another order than was told at its beginning.
(our choice, no source)"""

_PLACES = 1
"""Machines, or modes of one, of which it is tried whether all there comes first."""

_DAYS, _MANY = 1, 80
"""How many days with pauses, and of how many jobs at the most, are put in order as a whole: what is
later is planned anew before it comes, and of more jobs worth alone decides."""


class Shared(NamedTuple):
    """A day's work shared out over the windows."""

    stints: tuple[Stint, ...]
    left: tuple[str, ...] = ()
    """Ids of the jobs that fit into none of them."""


class Pauses(NamedTuple):
    """What is known of the pauses within a day."""

    days: Sequence[int] = ()
    """Of each window, the number of its day; none: each has its own."""
    urgent: Collection[str] = ()
    """Ids of jobs that do not wait for the end of a pause where they fit before it."""
    stays: float = 0.0
    """Minutes that one stays on into a pause, at the most, where all of the day is then done."""
    over: float = 0.0
    """Minutes of the last window that are past the time one said: nothing new begins in them."""
    begun_as: Sequence[str] = ()
    """Ids of jobs in the order in which the day was begun: another one has to be better."""


_NO_PAUSES = Pauses()


def share_out(
    day: Workday,
    worth: Sequence[str],
    spans: Sequence[Room],
    alone: Collection[str],
    without: Mapping[str, Collection[str]] = MappingProxyType({}),
    past: Mapping[str, float] = MappingProxyType({}),
    pauses: Pauses = _NO_PAUSES,
) -> Shared:
    """Share the jobs of a day out over the windows one has.

    Args:
        day: the jobs; their minutes count from the start of the first window.
        worth: ids of all jobs, the most valuable first.
        spans: the windows.
        alone: ids of the jobs whose waits may end when nobody is there.
        without: by a job, those before it without which it can be done all the same: in the last
            window, after which they are not done at all, it does not wait for them.
        past: jobs for which one stays on in the first window, and by how many minutes at the most.
            So it is only where they cannot be done before it ends, and nothing else is.
        pauses: which windows are of one day, and what is known of the pauses between them.
    """
    if not day.jobs:
        return Shared(())
    if spans and spans[0][1] == math.inf:
        return Shared((Stint(0, day, schedule(day)),))
    filling = Filling(day, spans, alone, without, pauses.over)
    if past and spans:
        filling.stay_on(past)
    stints: list[Stint] = []
    numbers = pauses.days or range(len(spans))
    for count, (_, each) in enumerate(groupby(range(len(spans)), lambda at: numbers[at])):
        if not filling.left:
            break
        windows = list(each)
        as_one = len(windows) > 1 and count < _DAYS and len(filling.left) <= _MANY
        found = (
            _as_one_day(filling, windows, worth, pauses)
            if as_one
            else _filled(filling, windows, worth)
        )
        filling = found.filling
        stints += found.stints
    return Shared(tuple(stints), tuple(name for name in worth if name in filling.left))


class _Filled(NamedTuple):
    """Windows that are filled, and how all stands after them."""

    filling: Filling
    stints: tuple[Stint, ...]
    wanted: tuple[str, ...] = ()
    """In which order jobs were taken."""
    stays: float = 0.0
    stayed: float = 0.0
    """Minutes that one might stay on into pauses, and those that one does."""

    @property
    def names(self) -> set[str]:
        """Ids of the jobs that are done."""
        return {name for one in self.stints for name in one.found.order}

    @property
    def last(self) -> int:
        """Number of the last window in which anything is done."""
        return self.stints[-1].window if self.stints else -1

    def is_as_good(self, other: _Filled, urgent: Collection[str]) -> bool:
        """Tell whether it is no worse than another one in all but walks and a few minutes."""
        mine, its = self.cost(urgent), other.cost(urgent)
        more = _WALK * (self.walks - other.walks) + _TOLD
        return mine[:3] <= its[:3] and mine[3] - more <= its[3] and mine[4] <= its[4]

    @property
    def walks(self) -> int:
        """How often one goes from one place to another."""
        return sum(one.found.walks for one in self.stints)

    def cost(self, urgent: Collection[str]) -> tuple[int, int, int, float, int]:
        """Give what makes it worse than another, what weighs most first."""
        stints, begin = self.stints, self.filling.spans[self.last][0]
        over = {name for one in stints for name in one.found.over}
        harmed = sum(job.harms and job.id in over for one in stints for job in one.workday.jobs)
        late = sum(one.window for one in stints for name in one.found.order if name in urgent)
        finish = begin + stints[-1].found.finish + self.stayed
        minutes = finish + _WALK * self.walks
        return (
            harmed,
            -len(self.names),
            late,
            round(minutes, 3),
            sum(one.found.left for one in stints),
        )


def _filled(
    filling: Filling,
    windows: Sequence[int],
    wanted: Sequence[str],
    stays: float = 0.0,
    *,
    hasty: bool = False,
    told: Sequence[str] = (),
) -> _Filled:
    """Fill windows of one day with what is wanted, the most wanted first.

    In the order that was told, where jobs fit in it.
    """
    filling, spans, stayed = filling.again(hasty=hasty), filling.spans, 0.0
    filling.told = told
    pauses = {one: spans[two][0] - spans[one][1] for one, two in pairwise(windows)}
    stints = []
    for at in windows if filling.left else ():
        longer = min(stays, pauses.get(at, 0.0))
        found = filling.window(at, wanted, longer)
        if found is not None:
            stints.append(found)
            ends = (found.found.starts[job.id] + job.minutes for job in found.workday.jobs)
            stayed += max(0.0, max(ends) - spans[at][1] + spans[at][0]) if longer else 0.0
    return _Filled(filling, tuple(stints), tuple(wanted), stays, stayed)


def _as_one_day(
    filling: Filling, windows: Sequence[int], worth: Sequence[str], pauses: Pauses
) -> _Filled:
    """Fill the windows of one day in the order in which it would be done without a pause.

    What is done on it is what fits by its worth, or more.
    """
    by_worth = _filled(filling, windows, worth, hasty=True)
    if by_worth.last <= windows[0]:
        return _filled(filling, windows, worth)
    names = by_worth.names
    before = [at for at in windows if at < by_worth.last]
    work = sum(filling.left[name].minutes for name in names)
    fits = work <= sum(filling.spans[at][1] - filling.spans[at][0] + pauses.stays for at in before)
    room = sum(filling.spans[at][1] - filling.spans[at][0] for at in windows) + pauses.stays
    if sum(job.minutes for job in filling.left.values()) <= room:
        names = {*filling.left}
    orders = _orders(filling, filling.whole(windows[0], names), worth, pauses.urgent)
    tries = [_filled(filling, windows, wanted, hasty=True) for wanted in orders]
    best = _best(tries, by_worth, pauses)
    if fits and pauses.stays:
        longer = _filled(filling, windows, best.wanted, pauses.stays, hasty=True)
        best = _best((best, longer), by_worth, pauses)
    kept = _as_told(filling, windows, worth, pauses, best)
    if kept is not None and kept.names >= by_worth.names:  # nothing valuable is put off by it
        return kept
    return _best((_filled(filling, windows, best.wanted, best.stays), best), by_worth, pauses)


def _as_told(
    filling: Filling,
    windows: Sequence[int],
    worth: Sequence[str],
    pauses: Pauses,
    best: _Filled,
) -> _Filled | None:
    """Fill the windows of one day in the order in which it was begun; None: another is better."""
    told = [name for name in pauses.begun_as if name in filling.left]
    if not told:
        return None
    wanted = tuple(dict.fromkeys((*told, *worth)))
    kept = _filled(filling, windows, wanted, best.stays, hasty=True, told=told)
    since = {*pauses.urgent} - {*told}  # of what was known then it was told when it is done
    if not kept.is_as_good(best, since):
        return None
    return _best((_filled(filling, windows, wanted, best.stays, told=told),), kept, pauses)


def _best(tries: Iterable[_Filled], by_worth: _Filled, pauses: Pauses) -> _Filled:
    """Give what is best of a day that is filled by worth or in other ways."""
    fit = (
        one
        for one in tries
        if one.names >= by_worth.names and (not one.stayed or one.last < by_worth.last)
    )
    return min((by_worth, *fit), key=lambda one: one.cost(pauses.urgent))


def _orders(
    filling: Filling, day: Workday, worth: Sequence[str], urgent: Collection[str]
) -> Iterator[tuple[str, ...]]:
    """Give orders in which a day's jobs may be taken: its own, and with what is urgent first.

    Then those that begin with all that is done at one machine, or in one mode of it.
    """
    found = filling.plans.searched(day, _SECONDS)
    if found is None:
        return
    order = found.order
    first = [name for name in worth if name in urgent and name in order]
    at = {name: (filling.left[name].place, filling.left[name].mode) for name in order}
    places = dict.fromkeys(at.values())
    begins = [{at[name] for name in first}, *({one} for one in [*places][:_PLACES])]
    by_place = (sorted(order, key=lambda name: at[name] not in one) for one in begins)
    each = (order, (*first, *order), *by_place)
    yield from dict.fromkeys(tuple(dict.fromkeys((*one, *worth))) for one in each)
