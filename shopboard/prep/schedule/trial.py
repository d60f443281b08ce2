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

_Stand = tuple[int, int, int, list[int], int, float]
"""How things stand before a place in the order: now, bars, place, mode of each body, worst
lateness, cost. (A plain tuple: there are very many.) The bars are the jobs still to be done and,
above them, the stretches that are open, as bits."""


class Tried(NamedTuple):
    """An order from some place on, and what the whole costs."""

    order: list[int]
    stands: list[_Stand]
    ends: list[int]
    """Of each job."""
    cost: float


class Trial:
    """An order that keeps all constraints; how things stand before each place of it is kept.

    `used` counts the work done: about the jobs that were put in their place.
    """

    def __init__(self, net: Net, aim: Aim, order: Sequence[int]) -> None:
        self.net = net
        self.aim = aim
        self.used = 0
        self._is_late = aim.is_late
        self._target = aim.target if aim.is_late else _NEVER
        self._closed = _CLOSED if aim.is_late else 0.0
        size = len(net.ids)
        self._lags = net.lags
        self._barred_by = [a | b << size for a, b in zip(net.need, net.foreign, strict=True)]
        patient = {job: (patience, aim.left, 1) for job, patience, _ in net.patient if aim.left}
        strict = {job: (patience, aim.harm, _HARM) for job, patience, _ in net.strict}
        waits = patient | strict
        ends = zip(net.opens, net.closes, strict=True)
        self._jobs = [
            *zip(
                net.work,
                aim.tail,
                net.ready,
                self._lags,
                net.body,
                net.closes,
                [1 << at | (opens | closes) << size for at, (opens, closes) in enumerate(ends)],
                _frees(net),
                map(waits.get, range(size)),
                strict=True,
            )
        ]
        """All that is asked of each job that is placed, side by side; what it changes of the bars,
        and the patience and price of its waits among it."""
        self.restart(order)

    def restart(self, order: Sequence[int]) -> None:
        """Go on from another order.

        Raises:
            ValueError: It finishes after the cap.
        """
        net = self.net
        self.order: list[int] = []
        size = len(net.ids)
        bars = (1 << size) - 1 | net.open_now << size
        self._stands: list[_Stand] = [(0, bars, net.here, list(net.modes), 0, 0.0)]
        self._ends = [0] * size
        tried = self.tried(list(order), 0, float("inf"))
        if tried is None:
            raise ValueError("the order to start from finishes after the cap")
        self.accept(0, tried)

    def accept(self, at: int, tried: Tried) -> None:
        """Take what was tried from a place on."""
        self.order = [*self.order[:at], *tried.order]
        self._stands = [*self._stands[:at], *tried.stands]
        self._ends, self.cost = tried.ends, tried.cost

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
        net, cap, walk, is_late = self.net, self.aim.cap, self.aim.walk, self._is_late
        target, closed, jobs, barred_by = self._target, self._closed, self._jobs, self._barred_by
        now, bars, place, modes, worst, cost = self._stands[at]
        ends = self._ends[:]
        rest = order[at:]
        rest.reverse()
        passed: list[int] = []  # these cannot come next yet, and are looked at again once freed
        are_passed = freed = 0
        found: list[int] = []
        stands: list[_Stand] = []
        while rest or passed:
            stands.append((now, bars, place, modes, worst, cost))
            job = self._first_free(passed, bars) if freed & are_passed else NOWHERE
            if job == NOWHERE:
                freed = 0
                job = rest.pop()
                while barred_by[job] & bars:
                    passed.append(job)
                    are_passed |= 1 << job
                    job = rest.pop()
            else:
                are_passed ^= 1 << job
            work, tail, soon, lags, body, closes, change, frees, wait = jobs[job]
            for one, lag in lags:
                if soon < ends[one] + lag:
                    soon = ends[one] + lag
            if is_late and soon > now:
                rest += reversed(passed)
                passed, are_passed = [], 0
                job, soon = self._within_wait(job, soon, rest, stands[-1], ends)
                work, tail, _, _, body, closes, change, frees, wait = jobs[job]
            if body != NOWHERE and modes[body] != net.mode[job]:
                if modes[body] != NOWHERE:
                    now += net.change[job]
                modes = [*modes[:body], net.mode[job], *modes[body + 1 :]]
            if now < soon:
                now = soon
            if wait and now - soon > wait[0]:
                cost += wait[1] + (now - soon - wait[0]) * wait[2]
            if walk:
                if net.first[job]:
                    cost += now
                if net.place[job] not in (NOWHERE, place):
                    cost += walk if place != NOWHERE else 0
                    place = net.place[job]
            now += work
            late = now + tail
            if late > cap:
                break
            if closes:
                cost += now * closed
            if late > target:
                late -= target
                cost += late
                if late > worst:
                    cost += _WORST * (late - worst)
                    worst = late
            if cost > limit:
                break
            bars ^= change
            freed |= frees
            ends[job] = now
            found.append(job)
        else:
            self.used += _FIXED + len(found)
            return Tried(found, stands, ends, cost)
        self.used += _FIXED + len(found)
        return None

    def _first_free(self, passed: list[int], bars: int) -> int:
        """Take out the first job that can be done now; NOWHERE: there is none."""
        for at, job in enumerate(passed):
            if not self._barred_by[job] & bars:
                return passed.pop(at)
        return NOWHERE

    def _soonest(self, job: int, ends: Sequence[int]) -> int:
        """Give when the waits of a job are over, all that begins them being done."""
        waits = (ends[one] + lag for one, lag in self._lags[job])
        return max((self.net.ready[job], *waits))

    def _within_wait(
        self, job: int, soon: int, rest: list[int], stand: _Stand, ends: Sequence[int]
    ) -> tuple[int, int]:
        """Take out what fits into the wait before a job, and give that; else the job itself.

        Also when its own waits are over.
        """
        net, (now, _, _, modes, _, _) = self.net, stand
        while soon > now:
            body = net.body[job]
            change = body != NOWHERE and modes[body] not in (net.mode[job], NOWHERE)
            fits = self._fitting(rest, soon - (net.change[job] if change else 0), stand, ends)
            if fits is None:
                break
            rest.append(job)
            job = rest.pop(fits)
            soon = self._soonest(job, ends)
        return job, soon

    def _fitting(
        self, rest: Sequence[int], until: int, stand: _Stand, ends: Sequence[int]
    ) -> int | None:
        """Give the place of the first job that can be done before a time and costs nothing."""
        net, work, ready, barred_by = self.net, self.net.work, self.net.ready, self._barred_by
        now, bars, _, modes, _, _ = stand
        self.used += 1 + len(rest) // _LOOKS
        room = until - now
        for at in range(len(rest) - 1, -1, -1):
            job = rest[at]
            if (
                work[job] <= room
                and ready[job] + work[job] <= until
                and not barred_by[job] & bars
                and not net.opens[job]
                and (net.body[job] == NOWHERE or modes[net.body[job]] == net.mode[job])
                and self._soonest(job, ends) + work[job] <= until
            ):
                return at
        return None


def _frees(net: Net) -> list[int]:
    """Give what may be let go by the end of each job, as bits: what follows, what was shut out."""
    found = [sum(1 << follower for follower, _ in followers) for followers in net.afters]
    for at, closes in enumerate(net.closes):
        if closes:
            shut_out = (1 << job for job, foreign in enumerate(net.foreign) if foreign & closes)
            found[at] |= sum(shut_out)
    return found
