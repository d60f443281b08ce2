"""Partial plans, layer by layer, each kept only if none beats it.

Partial plans with the same jobs done, the same modes and (where walks count) the same place are
compared: one that is nowhere later and nowhere dearer makes the other needless; what waits it may
come to leave too long where the other does not make it dearer. What cannot beat the best known plan
is dropped by a bound. (Dynamic programming over sets: M. Held, R. M. Karp 1962; dominance and
bounds as usual in branch and bound.)
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.bounds import tails
from shopboard.prep.schedule.held import held_back
from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.timetable import Ordering, worth
from shopboard.prep.schedule.waits import Waits, left_with, none_left


class Part(NamedTuple):
    """A plan as far as it goes."""

    done: int
    opened: int
    modes: tuple[int, ...]
    place: int
    now: int
    soonest: tuple[int, ...]
    """Of each job; no less than now, and 0 for a job that is done."""
    finish: int
    waits: Waits
    walks: int
    firsts: int
    last: int
    before: Part | None
    due: tuple[int, ...] = ()
    """Of each wait that it harms to leave, when it is left too long; 0: it is not begun."""

    def order(self) -> tuple[int, ...]:
        """Give the jobs in the order done."""
        found: list[int] = []
        part: Part | None = self
        while part is not None and part.last != NOWHERE:
            found.append(part.last)
            part = part.before
        return tuple(reversed(found))


class Layers:
    """Partial plans by the number of jobs done."""

    def __init__(self, net: Net, best: Ordering) -> None:
        self.net = net
        self.best = best
        self.tails = tails(net)
        self.full = (1 << len(net.ids)) - 1
        self.load = self._load()
        due = (
            0 if begun_by else net.ready[job] + patience for job, patience, begun_by in net.strict
        )
        begin = (0, net.open_now, net.modes, net.here, 0, net.ready, 0, none_left(net))
        self.begin = Part(*begin, 0, 0, NOWHERE, None, tuple(due))
        self.strict = {job: wait for wait, (job, _, _) in enumerate(net.strict)}

    def run(self, nodes: int) -> tuple[Ordering, int]:
        """Go through the layers; more than the allowance used means that it was not finished."""
        net = self.net
        used = 0
        layer = [self.begin]
        for _ in net.ids:
            kept: dict[tuple[object, ...], list[Part]] = {}
            for part in layer:
                for after in self.steps(part):
                    same = kept.setdefault(self._key(after), [])
                    used += 1 + len(same) // 8  # eight compared count as one made: it is work, too
                    if any(self.beats(one, after) for one in same):
                        continue
                    same[:] = [one for one in same if not self.beats(after, one)]
                    same.append(after)
                if used > nodes:
                    return self.best, used
            layer = [one for same in kept.values() for one in same]
        for part in layer:
            plan = worth(net, part.order())
            self.best = min(self.best, plan)
        return self.best, used

    def after(self, part: Part, start: int, at: int) -> Part | None:
        """Give the partial plan with a job more; None: a wait is left too long although it harms.

        What begins such a wait is held back where that helps: then all is timed anew.
        """
        after = self.step(part, start, at)
        if at not in self.strict or start <= part.due[self.strict[at]]:
            return after
        order = after.order()
        held = held_back(self.net, order)
        if held.harm:
            return None
        after = self.begin
        for one, begin in held.timed.starts.items():
            after = self.step(after, begin, one)
        return after

    def _key(self, part: Part) -> tuple[object, ...]:
        """While a wait is on that it harms to leave, no two plans are compared.

        What began it can still be held back, and what that moves is in no other number.
        """
        for job, _, begun_by in self.net.strict:
            if begun_by & part.done and not part.done >> job & 1:
                return part.order()
        return self.key(part)

    def steps(self, part: Part) -> Iterator[Part]:
        """Give the partial plans with one job more that may still beat the best."""
        raise NotImplementedError

    def key(self, part: Part) -> tuple[object, ...]:
        """Give what must be the same for two partial plans to be compared."""
        raise NotImplementedError

    def beats(self, one: Part, other: Part) -> bool:
        """Tell whether the first makes the second needless."""
        raise NotImplementedError

    def can_follow(self, part: Part) -> list[tuple[int, int]]:
        """Give (start, job) of all that may come next.

        Left out is what would start only when another could have been done before it (and before
        the change of mode for it), one that costs nothing to do now: without a change of mode, a
        walk or a machine opened. Nothing is while a wait is to come, or on, that it harms to leave:
        what begins it may be held back into the time that would be filled.
        """
        net = self.net
        free: list[tuple[int, int, int]] = []
        soon: float | None = None
        for at in self._free(part):
            start, body = part.soonest[at], net.body[at]
            change = body != NOWHERE and part.modes[body] != net.mode[at]
            begin = start
            if change and part.modes[body] != NOWHERE:
                start = max(start, part.now + net.change[at])
                begin = start - net.change[at]
            free.append((begin, start, at))
            costs = change or net.opens[at] or not self.no_walk(part, at)
            if net.work[at] and not costs and (soon is None or start + net.work[at] < soon):
                soon = start + net.work[at]
        if soon is None or self._may_hold_back(part) or self.later_may_be_better(part):
            soon = math.inf
        return [(start, at) for begin, start, at in free if begin < soon]

    def _may_hold_back(self, part: Part) -> bool:
        """Tell whether a wait is to come, or on, that it harms to leave."""
        strict = self.net.strict
        return any(begun_by and not part.done >> job & 1 for job, _, begun_by in strict)

    def _free(self, part: Part) -> Iterator[int]:
        """Give the jobs whose forerunners are done, and that no open machine forbids."""
        for at, need in enumerate(self.net.need):
            if part.done >> at & 1 or need & ~part.done or self.net.foreign[at] & part.opened:
                continue
            yield at

    def later_may_be_better(self, part: Part) -> bool:
        """Tell whether what starts sooner may be worth less."""
        raise NotImplementedError

    def no_walk(self, part: Part, at: int) -> bool:
        """Tell whether a job is done where the person is."""
        return self.net.place[at] in (NOWHERE, part.place)

    def step(self, part: Part, start: int, at: int) -> Part:
        """Give the partial plan with a job more."""
        net = self.net
        now = start + net.work[at]
        done = part.done | 1 << at
        waits = [0 if done >> one & 1 else max(now, soon) for one, soon in enumerate(part.soonest)]
        for follower, lag in net.afters[at]:
            waits[follower] = max(waits[follower], now + lag)
        due = part.due
        if net.strict_begins[at]:
            begun = {wait: now + lag + net.strict[wait][1] for wait, lag in net.strict_begins[at]}
            due = tuple(max(one, begun.get(wait, 0)) for wait, one in enumerate(due))
        modes, body = part.modes, net.body[at]
        if body != NOWHERE and modes[body] != net.mode[at]:
            modes = (*modes[:body], net.mode[at], *modes[body + 1 :])
        walks, place = part.walks, part.place
        if not self.no_walk(part, at):
            walks += place != NOWHERE
            place = net.place[at]
        return Part(
            done,
            part.opened & ~net.closes[at] | net.opens[at],
            modes,
            place,
            now,
            tuple(waits),
            max(part.finish, now + net.tail[at]),
            left_with(net, part.waits, at, now, done),
            walks,
            part.firsts + (start if net.first[at] else 0),
            at,
            part,
            due,
        )

    def _load(self) -> list[tuple[int, int, int, int, int]]:
        """Give what is to be done, longest tail first: (tail, work, jobs, body, mode).

        A job, or a change that is due as long as one of the jobs is left and the mode is not
        there.
        """
        net = self.net
        load = [
            (self.tails[at], net.work[at], 1 << at, NOWHERE, NOWHERE) for at in range(len(net.ids))
        ]
        for group in dict.fromkeys(zip(net.body, net.mode, strict=True)):
            if group[0] != NOWHERE:
                mine = [at for at in range(len(net.ids)) if (net.body[at], net.mode[at]) == group]
                tail = min(net.work[at] + self.tails[at] for at in mine)
                load.append((tail, net.change[mine[0]], sum(1 << at for at in mine), *group))
        return sorted(load, reverse=True)

    def least(self, part: Part) -> int:
        """Give a finish that no plan which goes on from here can beat."""
        todo = self.full & ~part.done
        now, least = part.now, part.finish
        # whatever the order, one of those with the longest tails comes last, and its tail after it
        for tail, work, jobs, body, mode in self.load:
            if jobs & todo and (body == NOWHERE or part.modes[body] not in (mode, NOWHERE)):
                now += work
                if now + tail > least:
                    least = now + tail
        for at, soon in enumerate(part.soonest):
            if soon > part.now:
                end = soon + self.net.work[at] + self.tails[at]
                if end > least:
                    least = end
        return least
