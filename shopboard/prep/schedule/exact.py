"""The best order for certain: of the least finish, and among those of all else that counts."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopboard.prep.schedule.layers import Layers, Part
from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.timetable import Ordering
from shopboard.prep.schedule.waits import at_worst, still_to_begin


def soonest(net: Net, best: Ordering, least: int, nodes: int) -> tuple[Ordering, bool, int]:
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
    return found, used <= nodes and not found.harm, used


def among_soonest(net: Net, best: Ordering, nodes: int) -> Ordering:
    """Among orders that finish as soon, look for the best.

    That is the fewest waits left too long, then the fewest walks, then the wanted jobs early.
    """
    found, _ = _AmongSoonest(net, best).run(nodes)
    return found


class _Soonest(Layers):
    """Least finish."""

    def __init__(self, net: Net, best: Ordering, least: int) -> None:
        super().__init__(net, best)
        self.bound = least
        self.limit = math.inf if best.harm else best.finish

    def no_walk(self, part: Part, at: int) -> bool:  # noqa: ARG002
        return True

    def later_may_be_better(self, part: Part) -> bool:  # noqa: ARG002
        return False

    def steps(self, part: Part) -> Iterator[Part]:
        for start, at in self.can_follow(part):
            after = self.after(part, start, at)
            if after is not None and max(self.least(after), self.bound) < self.limit:
                yield after

    def key(self, part: Part) -> tuple[object, ...]:
        return (part.done, part.modes)

    def beats(self, one: Part, other: Part) -> bool:
        return (
            one.now <= other.now
            and max(one.finish, self.bound) <= max(other.finish, self.bound)
            and all(a <= b for a, b in zip(one.soonest, other.soonest, strict=True))
        )


class _AmongSoonest(Layers):
    """Fewest waits left too long, then walks, then wanted starts, finishing as soon as the best."""

    def __init__(self, net: Net, best: Ordering) -> None:
        super().__init__(net, best)
        self.places = [
            (place, sum(1 << at for at, one in enumerate(net.place) if one == place))
            for place in dict.fromkeys(net.place)
            if place != NOWHERE
        ]
        self.wanted = sorted((net.work[at], at) for at in range(len(net.ids)) if net.first[at])

    def steps(self, part: Part) -> Iterator[Part]:
        for start, at in self.can_follow(part):
            after = self.after(part, start, at)
            if (
                after is not None
                and self.cost(after) < (self.best.left, self.best.walks, self.best.firsts)
                and self.least(after) <= self.best.finish
            ):
                yield after

    def key(self, part: Part) -> tuple[object, ...]:
        return (part.done, part.modes, part.place)  # here walks count, and so where one stands

    def later_may_be_better(self, part: Part) -> bool:
        return still_to_begin(self.net, part.waits, part.done)

    def beats(self, one: Part, other: Part) -> bool:
        if (
            one.now > other.now
            or (one.waits.left, one.walks, one.firsts)
            > (other.waits.left, other.walks, other.firsts)
            or any(a > b for a, b in zip(one.soonest, other.soonest, strict=True))
        ):
            return False
        same_times = one.now == other.now and one.soonest == other.soonest
        left = at_worst(self.net, one.waits, other.waits, one.done, same_times=same_times)
        return (left, one.walks, one.firsts) <= (other.waits.left, other.walks, other.firsts)

    def cost(self, part: Part) -> tuple[int, int, int]:
        """Give what no plan which goes on from here can beat: waits left, walks, wanted starts."""
        todo = self.full & ~part.done
        walks = sum(1 for place, jobs in self.places if place != part.place and jobs & todo)
        if part.place == NOWHERE and walks:
            walks -= 1
        # the shortest of them first, as if none had to wait; or each alone, as soon as it can
        in_row = alone = 0
        now = part.now
        for work, at in self.wanted:
            if todo >> at & 1:
                in_row += now
                alone += part.soonest[at]
                now += work
        return part.waits.left, part.walks + walks, part.firsts + max(in_row, alone)
