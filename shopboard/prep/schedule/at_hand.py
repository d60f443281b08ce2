"""The jobs of a day that may come next, and of very many the few that could be chosen.

Of a handful of jobs every rule looks at each. Where hundreds may come next it looks at those that
some rule could want first: where the person is, the longest tails, what starts soonest.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from heapq import nsmallest
from typing import TypeVar

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.network import NOWHERE, Net

_Key = TypeVar("_Key", bound=tuple[int, ...])

FEW = 60
"""So many are all looked at."""

_AT_PLACE, _OF_A_SORT, _LOOKED_THROUGH = 15, 6, 40
"""How many are given of one place and of any other sort, and how far down they are looked for."""


class Now(NamedTuple):
    """How things stand."""

    time: int
    opened: int
    """Stretches that are open, as bits."""
    modes: Sequence[int]
    """By body."""
    place: int


class AtHand:
    """The jobs all of whose forerunners are done."""

    def __init__(self, net: Net, tail: Sequence[int]) -> None:
        self.net = net
        self._tail = tail
        self.soonest = list(net.ready)
        self.jobs: set[int] = set()
        self._patient = frozenset(
            job for job, _, begun_by in (*net.patient, *net.strict) if begun_by
        )
        self._waiting: set[int] = set()
        """Of what may come next, the jobs whose waits must not be left too long."""
        self._waits = [need.bit_count() for need in net.need]
        self._begun: list[tuple[int, int]] = []
        self._openers: list[tuple[int, int]] = []
        """(-tail, job) of what could start by now; those that open a machine by themselves."""
        self._later: list[tuple[int, int, int]] = []
        self._at_place: dict[int, set[int]] = defaultdict(set)
        for at, count in enumerate(self._waits):
            if not count:
                self._put(at)

    def done(self, at: int, end: int) -> None:
        """Take out a job that is done, and put in what may follow it now."""
        net = self.net
        self.jobs.remove(at)
        self._waiting.discard(at)
        self._at_place[net.place[at]].remove(at)
        key = (-self._tail[at], at)
        _drop(self._begun, key)
        _drop(self._openers, key)
        _drop(self._later, (self.soonest[at], *key))
        for follower, lag in net.afters[at]:
            self.soonest[follower] = max(self.soonest[follower], end + lag)
            self._waits[follower] -= 1
            if not self._waits[follower]:
                self._put(follower)

    def _put(self, at: int) -> None:
        self.jobs.add(at)
        if at in self._patient:
            self._waiting.add(at)
        self._at_place[self.net.place[at]].add(at)
        insort(self._later, (self.soonest[at], -self._tail[at], at))

    def waited(self, at: int, time: int) -> bool:
        """Tell whether the wait before a job is over, one that must not be left too long."""
        return at in self._waiting and self.soonest[at] <= time

    def choice(self, now: Now, serving: int) -> Iterable[int]:
        """Give the jobs to choose from; never none while any may come next.

        Args:
            now: how things stand.
            serving: jobs on the way to close what is open, as bits.
        """
        net = self.net
        if len(self.jobs) <= FEW:
            return [at for at in self.jobs if not net.foreign[at] & now.opened]
        self._come_due(now.time)
        here: Iterable[int] = self._at_place[now.place]
        if len(self._at_place[now.place]) > _AT_PLACE:
            soonest, tail = self.soonest, self._tail
            here = nsmallest(
                _AT_PLACE, here, lambda at: (max(now.time, soonest[at]), -tail[at], at)
            )
        found = set(here)
        found.update(nsmallest(_OF_A_SORT, self._waiting, self.soonest.__getitem__))
        if serving:
            found.update(at for at in self.jobs if serving >> at & 1)
        found.update(self._first(self._begun, now))
        found.update(at for _, _, at in self._later[:_OF_A_SORT])
        if not now.opened:
            found.update(self._first(self._openers, now))
        free = [at for at in found if not net.foreign[at] & now.opened]
        return free or [at for at in self.jobs if not net.foreign[at] & now.opened]

    def _come_due(self, time: int) -> None:
        """Move what can start by now from the list of what comes later."""
        many = bisect_left(self._later, (time + 1,))
        for _, tail, at in self._later[:many]:
            insort(self._openers if self.net.foreign[at] else self._begun, (tail, at))
        del self._later[:many]

    def _first(self, jobs: Sequence[tuple[int, int]], now: Now) -> Iterator[int]:
        """Give those of the longest tails, with a change of mode and without."""
        net, counts = self.net, [0, 0]
        for _, at in jobs[:_LOOKED_THROUGH]:
            body = net.body[at]
            changes = body != NOWHERE and now.modes[body] not in (net.mode[at], NOWHERE)
            counts[changes] += 1
            if counts[changes] <= _OF_A_SORT:
                yield at
            elif counts[not changes] >= _OF_A_SORT:
                return


def _drop(jobs: list[_Key], key: _Key) -> None:
    """Take a key out of a sorted list, if it is there."""
    place = bisect_left(jobs, key)
    if jobs[place : place + 1] == [key]:
        del jobs[place]
