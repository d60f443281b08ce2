"""A good order soon: list scheduling by a few rules, made better by moving jobs about."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shopboard.prep.bounds import tails
from shopboard.prep.network import NOWHERE, Net
from shopboard.prep.timetable import Plan, worth

_Rule = Callable[[int, int, int, bool], tuple[int, ...]]
"""(start, change, tail, walk) -> what is least goes first."""

_RULES: tuple[_Rule, ...] = (
    lambda start, _change, tail, walk: (start, -tail, walk),
    lambda start, change, tail, walk: (start + change, -tail, walk),
    lambda _start, _change, tail, walk: (-tail, walk),
    lambda start, change, tail, _walk: (start + change - tail,),
    lambda start, change, tail, walk: (walk, start + change, -tail),
    lambda start, change, tail, walk: (change > 0, start, -tail, walk),
)


def search(net: Net, least: int, tries: int) -> Plan:
    """Find a good plan: least finish, then fewest walks, then the wanted jobs early.

    Args:
        net: the day.
        least: a finish that no plan can beat.
        tries: how many orders may be looked at.
    """
    tail = tails(net)
    return min(worth(net, by_rule(net, tail, rule)) for rule in _RULES)


def by_rule(net: Net, tail: Sequence[int], rule: _Rule) -> list[int]:
    """Do whatever may come next and is first by a rule, until all is done."""
    order: list[int] = []
    soonest, modes = list(net.ready), list(net.modes)
    now, done, opened, place = 0, 0, net.open_now, net.here
    todo = list(net.topological)
    while todo:
        best: tuple[tuple[int, ...], int, int] | None = None
        for at in todo:
            if net.need[at] & ~done or net.foreign[at] & opened:
                continue
            body = net.body[at]
            change = 0
            if body != NOWHERE and modes[body] not in (net.mode[at], NOWHERE):
                change = net.change[at]
            start = max(now + change, soonest[at])
            walk = net.place[at] not in (NOWHERE, place)
            key = (rule(start, change, tail[at], walk), at, start)
            if best is None or key < best:
                best = key
        assert best is not None, "forced orders leave no dead end"  # noqa: S101
        _, at, start = best
        todo.remove(at)
        order.append(at)
        now = start + net.work[at]
        done |= 1 << at
        opened = opened & ~net.closes[at] | net.opens[at]
        if net.body[at] != NOWHERE:
            modes[net.body[at]] = net.mode[at]
        if net.place[at] != NOWHERE:
            place = net.place[at]
        for follower, lag in net.afters[at]:
            soonest[follower] = max(soonest[follower], now + lag)
    return order
