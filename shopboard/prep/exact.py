"""The best order for certain: partial plans, layer by layer, each kept only if none beats it.

Partial plans with the same jobs done, the same modes and (where walks count) the same place are
compared: one that is nowhere later and nowhere dearer makes the other needless. What cannot beat
the best known plan is dropped by a bound. (Dynamic programming over sets: M. Held, R. M. Karp
1962; dominance and bounds as usual in branch and bound.)
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from shopboard.prep.bounds import tails
from shopboard.prep.network import NOWHERE, Net
from shopboard.prep.timetable import Plan, worth


class _Part(NamedTuple):
    """A plan as far as it goes."""

    done: int
    opened: int
    modes: tuple[int, ...]
    place: int
    now: int
    soonest: tuple[int, ...]
    """Of each job; no less than now, and 0 for a job that is done."""
    finish: int
    walks: int
    firsts: int
    last: int
    before: _Part | None

    def order(self) -> tuple[int, ...]:
        """Give the jobs in the order done."""
        found: list[int] = []
        part: _Part | None = self
        while part is not None and part.last != NOWHERE:
            found.append(part.last)
            part = part.before
        return tuple(reversed(found))


def soonest(net: Net, best: Plan, least: int, nodes: int) -> tuple[Plan, bool, int]:
    """Look for the order of the least finish.

    Args:
        net: the day.
        best: the best plan known.
        least: a finish that no plan can beat.
        nodes: how many partial plans may be looked at, roughly.

    Returns:
        The best plan, whether no plan finishes sooner, how many partial plans were looked at.
    """
    layers = _Soonest(net, best, least)
    found, used = layers.run(nodes)
    return found, used <= nodes, used


def fewest_walks(net: Net, best: Plan, nodes: int) -> Plan:
    """Among orders that finish as soon, look for the fewest walks, then the wanted jobs early."""
    found, _ = _FewestWalks(net, best).run(nodes)
    return found


class _Layers:
    """Partial plans by the number of jobs done."""

    def __init__(self, net: Net, best: Plan) -> None:
        self.net = net
        self.best = best
        self.tails = tails(net)
        self.full = (1 << len(net.ids)) - 1
        self.load = self._load()

    def run(self, nodes: int) -> tuple[Plan, int]:
        """Go through the layers; more than the allowance used means that it was not finished."""
        net = self.net
        used = 0
        layer = [_Part(0, net.open_now, net.modes, net.here, 0, net.ready, 0, 0, 0, NOWHERE, None)]
        for _ in net.ids:
            kept: dict[tuple[object, ...], list[_Part]] = {}
            for part in layer:
                for after in self.steps(part):
                    same = kept.setdefault(self.key(after), [])
                    used += 1 + len(same) // 8
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

    def steps(self, part: _Part) -> Iterator[_Part]:
        """Give the partial plans with one job more that may still beat the best."""
        raise NotImplementedError

    def key(self, part: _Part) -> tuple[object, ...]:
        """Give what must be the same for two partial plans to be compared."""
        raise NotImplementedError

    def beats(self, one: _Part, other: _Part) -> bool:
        """Tell whether the first makes the second needless."""
        raise NotImplementedError

    def can_follow(self, part: _Part) -> list[tuple[int, int]]:
        """Give (start, job) of all that may come next.

        Left out is what would start, with its change of mode, only when another could have been
        done before it, one that costs nothing to do now: without a change of mode, a walk or a
        machine opened.
        """
        net = self.net
        free: list[tuple[int, int, int]] = []
        soon = None
        for at, need in enumerate(net.need):
            if part.done >> at & 1 or need & ~part.done or net.foreign[at] & part.opened:
                continue
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
        return [(start, at) for begin, start, at in free if soon is None or begin < soon]

    def no_walk(self, part: _Part, at: int) -> bool:
        """Tell whether a job is done where the person is."""
        return self.net.place[at] in (NOWHERE, part.place)

    def step(self, part: _Part, start: int, at: int) -> _Part:
        """Give the partial plan with a job more."""
        net = self.net
        now = start + net.work[at]
        done = part.done | 1 << at
        waits = [0 if done >> one & 1 else max(now, soon) for one, soon in enumerate(part.soonest)]
        for follower, lag in net.afters[at]:
            waits[follower] = max(waits[follower], now + lag)
        modes, body = part.modes, net.body[at]
        if body != NOWHERE and modes[body] != net.mode[at]:
            modes = (*modes[:body], net.mode[at], *modes[body + 1 :])
        walks, place = part.walks, part.place
        if not self.no_walk(part, at):
            walks += place != NOWHERE
            place = net.place[at]
        return _Part(
            done,
            part.opened & ~net.closes[at] | net.opens[at],
            modes,
            place,
            now,
            tuple(waits),
            max(part.finish, now + net.tail[at]),
            walks,
            part.firsts + (start if net.first[at] else 0),
            at,
            part,
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

    def least(self, part: _Part) -> int:
        """Give a finish that no plan which goes on from here can beat."""
        todo = self.full & ~part.done
        now, least = part.now, part.finish
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


class _Soonest(_Layers):
    """Least finish."""

    def __init__(self, net: Net, best: Plan, least: int) -> None:
        super().__init__(net, best)
        self.bound = least

    def no_walk(self, part: _Part, at: int) -> bool:  # noqa: ARG002
        return True

    def steps(self, part: _Part) -> Iterator[_Part]:
        for start, at in self.can_follow(part):
            after = self.step(part, start, at)
            if max(self.least(after), self.bound) < self.best.finish:
                yield after

    def key(self, part: _Part) -> tuple[object, ...]:
        return (part.done, part.modes)

    def beats(self, one: _Part, other: _Part) -> bool:
        return (
            one.now <= other.now
            and max(one.finish, self.bound) <= max(other.finish, self.bound)
            and all(a <= b for a, b in zip(one.soonest, other.soonest, strict=True))
        )


class _FewestWalks(_Layers):
    """Fewest walks, then the wanted jobs early, of those that finish as soon as the best."""

    def __init__(self, net: Net, best: Plan) -> None:
        super().__init__(net, best)
        self.places = [
            (place, sum(1 << at for at, one in enumerate(net.place) if one == place))
            for place in dict.fromkeys(net.place)
            if place != NOWHERE
        ]
        self.wanted = sorted((net.work[at], at) for at in range(len(net.ids)) if net.first[at])

    def steps(self, part: _Part) -> Iterator[_Part]:
        for start, at in self.can_follow(part):
            after = self.step(part, start, at)
            if (
                self.cost(after) < (self.best.walks, self.best.firsts)
                and self.least(after) <= self.best.finish
            ):
                yield after

    def key(self, part: _Part) -> tuple[object, ...]:
        return (part.done, part.modes, part.place)

    def beats(self, one: _Part, other: _Part) -> bool:
        return (
            one.now <= other.now
            and (one.walks, one.firsts) <= (other.walks, other.firsts)
            and all(a <= b for a, b in zip(one.soonest, other.soonest, strict=True))
        )

    def cost(self, part: _Part) -> tuple[int, int]:
        """Give walks and starts of wanted jobs that no plan which goes on from here can beat."""
        todo = self.full & ~part.done
        walks = sum(1 for place, jobs in self.places if place != part.place and jobs & todo)
        if part.place == NOWHERE and walks:
            walks -= 1
        firsts, now = part.firsts, part.now
        for work, at in self.wanted:
            if todo >> at & 1:
                firsts += max(now, part.soonest[at])
                now += work
        return part.walks + walks, firsts
