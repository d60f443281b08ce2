"""Plans that are worked out once and looked up when the same day is asked for again. Pure.

While a day is shared out in several ways, most of its windows come to the same jobs again and
again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.bounds import least_finish
from shopboard.prep.schedule.job import Schedule, Workday
from shopboard.prep.schedule.network import in_turn, network
from shopboard.prep.schedule.search import by_rules_alone
from shopboard.prep.schedule.shortest_day import schedule, timed_plan
from shopboard.prep.schedule.timetable import worth

_Key = tuple[object, ...]


class Quick(NamedTuple):
    """What is known of a day without a search."""

    least: int
    """A time before which no order has all jobs done, in parts of a minute."""
    plans: list[Schedule]
    """By rules, those that were asked for already."""
    more: Iterator[Schedule]
    """The others, the next rule's first."""

    def by_rules(self, most: int) -> Iterator[Schedule]:
        """Give the plans by so many rules at the most."""
        for at in range(most):
            if at == len(self.plans):
                found = next(self.more, None)
                if found is None:
                    return
                self.plans.append(found)
            yield self.plans[at]


class KeptPlans:
    """Plans of the windows of one day; None where two machines would have to be open at once."""

    def __init__(self) -> None:
        self._quick: dict[_Key, Quick | None] = {}
        self._searched: dict[_Key, Schedule | None] = {}

    def quick(self, workday: Workday) -> Quick | None:
        """Give what is known without a search."""
        key = _key(workday)
        if key not in self._quick:
            self._quick[key] = _quick(workday)
        return self._quick[key]

    def searched(self, workday: Workday, seconds: float) -> Schedule | None:
        """Give the plan that is found with an allowance; see `schedule`."""
        key = (*_key(workday), seconds)
        if key not in self._searched:
            try:
                self._searched[key] = schedule(workday, seconds)
            except ValueError:
                self._searched[key] = None
        return self._searched[key]


def followed_by(workday: Workday, order: Sequence[str]) -> Schedule | None:
    """Give the plan in which some jobs stay in their order, and the others follow.

    None: they cannot, as one of these must come before one of those, or while a machine is open.
    """
    try:
        net = network(workday)
    except ValueError:
        return None
    place = {name: at for at, name in enumerate(order)}
    jobs = sorted(net.topological, key=lambda at: place.get(net.ids[at], len(place)))
    if not in_turn(net, jobs):
        return None
    return timed_plan(workday, net, worth(net, jobs), 0)


def _key(workday: Workday) -> _Key:
    """Give all that differs between the windows of one day."""
    return workday.jobs, tuple(workday.modes.items()), workday.open_now, workday.place


def _quick(workday: Workday) -> Quick | None:
    try:
        net = network(workday)
    except ValueError:
        return None
    least = least_finish(net._replace(tail=(0,) * len(net.ids)))
    return Quick(least, [], (timed_plan(workday, net, one, 0) for one in by_rules_alone(net)))
