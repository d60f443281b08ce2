"""An order of jobs that is tried with changes: what it costs, worked out from the change on."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.network import NOWHERE, UNIT, Net

_WORST, _CLOSED = 30, 0.3
"""What a minute of the latest job and of a machine closed later weighs against one of any job: the
latest alone makes the finish, but where only it counted, most changes would change nothing; a
machine that is closed lets the next be opened. (our choice, no source)"""

_FIXED, _LOOKS = 6, 5
"""The work of any try, and how many looks at a job that might fit are as much as placing one."""


class Aim(NamedTuple):
    """What makes an order cheap."""

    tail: Sequence[int]
    """Least time from the end of each job to the finish."""
    target: int
    """The finish wished for: each job is late by what leads past it; unused where walks count."""
    cap: float = math.inf
    """The finish not to be passed."""
    walk: int = 0
    """The price of a walk, beside the starts of the jobs wanted early; 0: lateness is counted."""
    left: int = 0
    """The price of a wait left too long, beside how long; 0: waits may be left."""
    harm: int = 1000 * UNIT
    """The same of one that it harms to leave: more than all else of a plan, and so is how long."""

    @property
    def is_late(self) -> bool:
        """Whether lateness is counted."""
        return not self.walk and not self.left


_HARM = 1000
"""Minutes of a day that a minute more is worth which a wait is left although it harms."""

_NEVER = 2**62
"""Later than any job ends, in parts of a minute."""

_Stand = tuple[int, int, int, int, list[int], list[int], int, float]
"""How things stand before a place in the order: now, done and open as bits, place, soonest start
of each job and then the end of the waits of each with patience, mode of each body, worst
lateness, cost. (A plain tuple: there are very many.)"""


class Tried(NamedTuple):
    """An order from some place on, and what the whole costs."""

    order: list[int]
    stands: list[_Stand]
    cost: float


class Trial:
    """An order that keeps all constraints; how things stand before each place of it is kept.

    `used` counts the work done: about the jobs that were put in their place.
    """

    def __init__(self, net: Net, aim: Aim, order: Sequence[int]) -> None:
        self.net = net
        self.aim = aim
        self.used = 0
        self._target = aim.target if aim.is_late else _NEVER
        self._closed = _CLOSED if aim.is_late else 0.0
        self._waits_of = [NOWHERE] * len(net.ids)
        self._patience = [0] * len(net.ids)
        self._price = [0] * len(net.ids)
        self._rate = [1] * len(net.ids)
        self._afters = net.afters
        self._ready = list(net.ready)
        self._count(net.strict, net.strict_begins, aim.harm)
        for job, _, _ in net.strict:
            self._rate[job] = _HARM
        if aim.left:
            self._count(net.patient, net.begins, aim.left)
        self._counts = any(self._price)
        self.restart(order)

    def _count(
        self,
        waits: Sequence[tuple[int, int, int]],
        begins: Sequence[Sequence[tuple[int, int]]],
        price: int,
    ) -> None:
        """Let waits that are left too long cost a price."""
        size = len(self._ready)
        for place, (job, patience, _) in enumerate(waits, size):
            self._waits_of[job], self._patience[job], self._price[job] = place, patience, price
        self._afters = tuple(
            (*after, *((size + place, lag) for place, lag in mine))
            for after, mine in zip(self._afters, begins, strict=True)
        )
        self._ready += [self.net.ready[job] for job, _, _ in waits]

    def restart(self, order: Sequence[int]) -> None:
        """Go on from another order.

        Raises:
            ValueError: It finishes after the cap.
        """
        net = self.net
        self.order: list[int] = []
        self._stands: list[_Stand] = [
            (0, 0, net.open_now, net.here, self._ready, list(net.modes), 0, 0.0)
        ]
        tried = self.tried(list(order), 0, float("inf"))
        if tried is None:
            raise ValueError("the order to start from finishes after the cap")
        self.accept(0, tried)

    def accept(self, at: int, tried: Tried) -> None:
        """Take what was tried from a place on."""
        self.order = [*self.order[:at], *tried.order]
        self._stands = [*self._stands[:at], *tried.stands]
        self.cost = tried.cost

    # branches: one loop, run for each job of every order that is tried; with a call for each of its
    # parts a prep day took a third longer to plan
    def tried(self, order: list[int], at: int, limit: float) -> Tried | None:
        """Work out what a changed order costs; None: more than the limit, or past the cap.

        A job that cannot come next lets the first that can go before it, so that every order is
        possible. While lateness is counted, a wait before a job is filled with what fits into it.

        Args:
            order: all jobs, the same as now before the place.
            at: the first place where it differs.
            limit: what it may cost.
        """
        net, (tail, _, cap, walk, *_) = self.net, self.aim
        target, closed = self._target, self._closed
        is_late, waits_of, patience = self.aim.is_late, self._waits_of, self._patience
        counts, price, rate = self._counts, self._price, self._rate
        need, foreign, opens, closes = net.need, net.foreign, net.opens, net.closes
        work, afters, bodies, mode_of = net.work, self._afters, net.body, net.mode
        now, done, opened, place, soonest, modes, worst, cost = self._stands[at]
        soonest, modes = soonest[:], modes[:]
        rest = order[at:]
        rest.reverse()
        found: list[int] = []
        stands: list[_Stand] = []
        while rest:
            stands.append((now, done, opened, place, soonest[:], modes[:], worst, cost))
            job = rest.pop()
            if need[job] & ~done or foreign[job] & opened:
                rest.append(job)
                job = self._first_free(rest, stands[-1])
            if is_late and soonest[job] > now:
                job = self._within_wait(job, rest, stands[-1])
            body = bodies[job]
            if body != NOWHERE and modes[body] != mode_of[job]:
                if modes[body] != NOWHERE:
                    now += net.change[job]
                modes[body] = mode_of[job]
            if now < soonest[job]:
                now = soonest[job]
            if counts and waits_of[job] != NOWHERE:
                too_long = now - soonest[waits_of[job]] - patience[job]
                if too_long > 0:
                    cost += price[job] + too_long * rate[job]
            if walk:
                if net.first[job]:
                    cost += now
                if net.place[job] not in (NOWHERE, place):
                    cost += walk if place != NOWHERE else 0
                    place = net.place[job]
            now += work[job]
            late = now + tail[job]
            if late > cap:
                break
            if closes[job]:
                opened &= ~closes[job]
                cost += now * closed
            if late > target:
                late -= target
                cost += late
                if late > worst:
                    cost += _WORST * (late - worst)
                    worst = late
            if cost > limit:
                break
            opened |= opens[job]
            done |= 1 << job
            for follower, lag in afters[job]:
                if soonest[follower] < now + lag:
                    soonest[follower] = now + lag
            found.append(job)
        else:
            self.used += _FIXED + len(found)
            return Tried(found, stands, cost)
        self.used += _FIXED + len(found)
        return None

    def _first_free(self, rest: list[int], stand: _Stand) -> int:
        """Take out the first job that can be done now."""
        net, (_, done, opened, *_) = self.net, stand
        at = -1
        while net.need[rest[at]] & ~done or net.foreign[rest[at]] & opened:
            at -= 1
        return rest.pop(at)

    def _within_wait(self, job: int, rest: list[int], stand: _Stand) -> int:
        """Take out what fits into the wait before a job, and give that; else the job itself."""
        net, (now, _, _, _, soonest, modes, _, _) = self.net, stand
        while soonest[job] > now:
            body = net.body[job]
            change = body != NOWHERE and modes[body] not in (net.mode[job], NOWHERE)
            fits = self._fitting(rest, soonest[job] - (net.change[job] if change else 0), stand)
            if fits is None:
                break
            rest.append(job)
            job = rest.pop(fits)
        return job

    def _fitting(self, rest: Sequence[int], until: int, stand: _Stand) -> int | None:
        """Give the place of the first job that can be done before a time and costs nothing."""
        net, work = self.net, self.net.work
        now, done, opened, _, soonest, modes, _, _ = stand
        self.used += 1 + len(rest) // _LOOKS
        for at in range(len(rest) - 1, -1, -1):
            job = rest[at]
            if (
                soonest[job] + work[job] <= until
                and now + work[job] <= until
                and not net.need[job] & ~done
                and not net.opens[job]
                and not net.foreign[job] & opened
                and (net.body[job] == NOWHERE or modes[net.body[job]] == net.mode[job])
            ):
                return at
        return None
