"""The jobs of a day that may come next, and of very many the few that could be chosen.

Of a handful of jobs every rule looks at each. Where hundreds may come next it looks at those that
some rule could want first: where the person is, the longest tails, what starts soonest.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import chain, islice
from typing import TypeVar

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.precedence import bits

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
        self._as_bits = 0
        self._patient = frozenset(
            job for job, _, begun_by in (*net.patient, *net.strict) if begun_by
        )
        self._waiting: list[tuple[int, int]] = []
        """Of what may come next, (soonest start, job) of those whose waits must not be left too
        long."""
        self._waits = [need.bit_count() for need in net.need]
        self._begun: list[tuple[int, int]] = []
        self._openers: list[tuple[int, int]] = []
        """(-tail, job) of what could start by now; those that open a machine by themselves."""
        self._later: list[tuple[int, int, int]] = []
        self._begun_at: dict[int, list[tuple[int, int]]] = defaultdict(list)
        self._later_at: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
        """The same as begun and later, by place; what opens a machine is among them."""
        self._all = len(self._waits) <= FEW
        """Whether all are looked at always, and none of the lists is asked for."""
        for at, count in enumerate(self._waits):
            if not count:
                self._put(at)

    def done(self, at: int, end: int) -> None:
        """Take out a job that is done, and put in what may follow it now."""
        net = self.net
        self.jobs.remove(at)
        self._as_bits ^= 1 << at
        if not self._all:
            self._strike_out(at)
        for follower, lag in net.afters[at]:
            self.soonest[follower] = max(self.soonest[follower], end + lag)
            self._waits[follower] -= 1
            if not self._waits[follower]:
                self._put(follower)

    def _strike_out(self, at: int) -> None:
        """Take a job out of all lists."""
        key, place = (-self._tail[at], at), self.net.place[at]
        _drop(self._waiting, (self.soonest[at], at))
        for begun in (self._begun, self._openers, self._begun_at[place]):
            _drop(begun, key)
        for later in (self._later, self._later_at[place]):
            _drop(later, (self.soonest[at], *key))

    def _put(self, at: int) -> None:
        self.jobs.add(at)
        self._as_bits |= 1 << at
        if self._all:
            return
        if at in self._patient:
            insort(self._waiting, (self.soonest[at], at))
        for later in (self._later, self._later_at[self.net.place[at]]):
            insort(later, (self.soonest[at], -self._tail[at], at))

    def waited(self, at: int, time: int) -> bool:
        """Tell whether the wait before a job is over, one that must not be left too long."""
        return at in self.jobs and at in self._patient and self.soonest[at] <= time

    def among(self, jobs: int) -> frozenset[int]:
        """Give those that may come next of some jobs, told as bits."""
        return frozenset(bits(jobs & self._as_bits))

    def choice(self, now: Now, serving: Collection[int]) -> Iterable[int]:
        """Give the jobs to choose from; never none while any may come next.

        Args:
            now: how things stand.
            serving: those of them on the way to close what is open.
        """
        net = self.net
        if len(self.jobs) <= FEW:
            return [at for at in self.jobs if not net.foreign[at] & now.opened]
        self._come_due(now)
        here = chain(self._begun_at[now.place], self._later_at[now.place])
        found = {one[-1] for one in islice(here, _AT_PLACE)}
        found.update(at for _, at in self._waiting[:_OF_A_SORT])
        found.update(serving)
        found.update(self._first(self._begun, now))
        found.update(at for _, _, at in self._later[:_OF_A_SORT])
        if not now.opened:
            found.update(self._first(self._openers, now))
        free = [at for at in found if not net.foreign[at] & now.opened]
        return free or [at for at in self.jobs if not net.foreign[at] & now.opened]

    def _come_due(self, now: Now) -> None:
        """Move what can start by now from the lists of what comes later."""
        for _, tail, at in _taken(self._later, now.time):
            insort(self._openers if self.net.foreign[at] else self._begun, (tail, at))
        for _, tail, at in _taken(self._later_at[now.place], now.time):
            insort(self._begun_at[now.place], (tail, at))

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


def _taken(later: list[tuple[int, int, int]], time: int) -> list[tuple[int, int, int]]:
    """Take out of a sorted list what can start by a time."""
    many = bisect_left(later, (time + 1,))
    found = later[:many]
    del later[:many]
    return found


def _drop(jobs: list[_Key], key: _Key) -> None:
    """Take a key out of a sorted list, if it is there."""
    place = bisect_left(jobs, key)
    if jobs[place : place + 1] == [key]:
        del jobs[place]
