"""List scheduling: of what may come next, do what is first by a rule."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from shopboard.prep.schedule.at_hand import AtHand, Now
from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.precedence import all_before


class _Choice(NamedTuple):
    """A job that may come next; times in parts of a minute."""

    start: int
    change: int
    """Time to change the mode for it."""
    tail: int
    walk: bool
    late: int
    """How much it would hold up the closing of a machine that is open."""
    out_of_turn: bool
    """Whether it opens a machine before one that was wanted sooner."""
    leads: bool
    """Whether it is on the way to close a machine, open already or not."""
    waited: bool
    """Whether its wait is over and must not be left too long."""


_RULES: tuple[Callable[[_Choice], tuple[int, ...]], ...] = (
    lambda one: (one.start, -one.tail, one.walk),
    lambda one: (one.start + one.change, -one.tail, one.walk),
    lambda one: (-one.tail, one.walk),
    lambda one: (one.start + one.change - one.tail,),
    lambda one: (one.walk, one.start + one.change, -one.tail),
    lambda one: (one.change > 0, one.start, -one.tail, one.walk),
    lambda one: (one.late, one.start, not one.leads, -one.tail),
    lambda one: (one.late, one.start + one.change, -one.tail, one.walk),
)
"""What is least goes first."""

_OF_LONG_DAYS = (_RULES[4], _RULES[7], _RULES[1])
"""Those of them that come nearest in a day of hundreds of jobs, each in its own way."""

_WHERE_WAITS_COUNT: tuple[Callable[[_Choice], tuple[int, ...]], ...] = (
    lambda one: (one.late, not one.waited, one.start + one.change, -one.tail, one.walk),
    lambda one: (one.late, not one.waited, one.start + one.change, one.walk, -one.tail),
)
"""And these, where waits must not be left too long: what was waited for comes first."""

_WHERE_MODES_CHANGE = (_RULES[5], _RULES[3])
"""And these, where a machine is changed over."""

_IN_TURN: tuple[Callable[[_Choice], tuple[int, ...]], ...] = (
    lambda one: (one.out_of_turn, one.late, one.start, not one.leads, -one.tail),
    lambda one: (one.out_of_turn, one.late, one.start, -one.tail),
)


def by_rules(net: Net, tail: Sequence[int], *, long: bool = False) -> Iterator[list[int]]:
    """Give an order of all jobs by each rule; each keeps all constraints.

    Args:
        net: the day.
        tail: least time from the end of each job to the finish.
        long: whether there are so many jobs that a few rules have to do.
    """
    ways = {
        at: all_before(net.need, end) | 1 << end
        for at, (_, end, _) in enumerate(net.stretches)
        if end != NOWHERE
    }
    leads = _leads(ways)
    few = (
        *_OF_LONG_DAYS,
        *(_WHERE_WAITS_COUNT if net.patient else ()),
        *(_WHERE_MODES_CHANGE if any(net.change) else ()),
    )
    for rule in few if long else _RULES:
        yield _by_rule(net, tail, rule, ways, leads, ())


def in_turn(net: Net, tail: Sequence[int], turns: Sequence[int]) -> Iterator[list[int]]:
    """Give orders in which machines are opened in turn, as far as the jobs allow.

    Args:
        net: the day.
        tail: least time from the end of each job to the finish.
        turns: the stretches, by number, in the order wanted.
    """
    ways = {
        at: all_before(net.need, end) | 1 << end
        for at, (_, end, _) in enumerate(net.stretches)
        if end != NOWHERE
    }
    for rule in _IN_TURN:
        yield _by_rule(net, tail, rule, ways, _leads(ways), turns)


def _leads(ways: dict[int, int]) -> int:
    """Give all jobs that lead to the closing of a machine, as bits."""
    leads = 0
    for way in ways.values():
        leads |= way
    return leads


def _by_rule(
    net: Net,
    tail: Sequence[int],
    rule: Callable[[_Choice], tuple[int, ...]],
    ways: dict[int, int],
    leads: int,
    turns: Sequence[int],
) -> list[int]:
    """Give the order by one rule.

    Args:
        net: the day.
        tail: least time from the end of each job to the finish.
        rule: what is least goes first.
        ways: of each stretch, the jobs that lead to its closing, as bits.
        leads: all of these.
        turns: stretches in the order wanted.
    """
    order: list[int] = []
    at_hand, modes = AtHand(net, tail), list(net.modes)
    now, done, opened, place = 0, 0, net.open_now, net.here
    while at_hand.jobs:
        begins = (net.stretches[one][0] for one in turns)
        turn = next((one for one in begins if one != NOWHERE and not done >> one & 1), NOWHERE)
        serving = 0
        for stretch, way in ways.items() if opened else ():
            if opened >> stretch & 1:
                serving |= way
        free: list[tuple[int, int, int]] = []
        next_on_way = None
        for at in at_hand.choice(Now(now, opened, modes, place), serving):
            body, change = net.body[at], 0
            if body != NOWHERE and modes[body] not in (net.mode[at], NOWHERE):
                change = net.change[at]
            start = max(now + change, at_hand.soonest[at])
            free.append((start, change, at))
            if serving >> at & 1 and (next_on_way is None or start < next_on_way):
                next_on_way = start
        best: tuple[tuple[int, ...], int, int] | None = None
        for start, change, at in free:
            late = 0
            if next_on_way is not None and not serving >> at & 1:
                late = max(0, start + net.work[at] - next_on_way)
            walk = net.place[at] not in (NOWHERE, place)
            early = bool(turns and net.opens[at] and at != turn)
            waited = at_hand.waited(at, now)
            choice = _Choice(
                *(start, change, tail[at], walk, late, early, bool(leads >> at & 1), waited)
            )
            key = (rule(choice), at, start)
            if best is None or key < best:
                best = key
        assert best is not None, "forced orders leave no dead end"  # noqa: S101
        _, at, start = best
        order.append(at)
        now = start + net.work[at]
        done |= 1 << at
        opened = opened & ~net.closes[at] | net.opens[at]
        if net.body[at] != NOWHERE:
            modes[net.body[at]] = net.mode[at]
        if net.place[at] != NOWHERE:
            place = net.place[at]
        at_hand.done(at, now)
    return order
