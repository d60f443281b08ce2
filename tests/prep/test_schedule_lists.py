"""Orders by rules, job by job: each choice is made anew here, from all that may come next."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import pytest

from shopboard.prep.schedule.bounds import tails
from shopboard.prep.schedule.list_rules import by_rules, in_turn
from shopboard.prep.schedule.network import Net, network
from tests.prep.test_schedule_parts import random_day
from tests.prep.test_schedule_waits import hard_day

USUAL = (
    "soonest, longest tail, here",
    "soonest with its change counted twice, longest tail, here",
    "longest tail, here",
    "soonest with its change counted twice and its tail taken off",
    "here, soonest with its change counted twice, longest tail",
    "no change, soonest, longest tail, here",
    "holds up no closing, soonest, leads to a closing, longest tail",
    "holds up no closing, soonest with its change counted twice, longest tail, here",
)
"""What goes first by each rule, in words; our choice, no source."""

LONG = (USUAL[4], USUAL[7])
NO_WAITS = (USUAL[1],)
WAITS = (
    "holds up no closing, waited for, soonest with its change counted twice, longest tail, here",
    "holds up no closing, waited for, soonest with its change counted twice, here, longest tail",
)
MODES = (USUAL[3],)
TURNS = (
    "in turn, holds up no closing, soonest, leads to a closing, longest tail",
    "in turn, holds up no closing, soonest, longest tail",
)


class Plain:
    """A day as it goes, by one rule."""

    def __init__(self, net: Net, tail: Sequence[int], turns: Sequence[int] = ()) -> None:
        self.net, self.tail, self.turns = net, tail, turns
        self.ends: dict[int, int] = {}
        self.now, self.place, self.modes = 0, net.here, [*net.modes]
        self.open = {n for n in range(len(net.stretches)) if net.open_now >> n & 1}

    def before(self, at: int) -> set[int]:
        """All that comes before a job, and itself."""
        firsts = [one for one in range(len(self.net.ids)) if self.net.need[at] >> one & 1]
        return {at}.union(*(self.before(one) for one in firsts))

    def way(self, stretches: Sequence[int]) -> set[int]:
        ends = [self.net.stretches[one][1] for one in stretches]
        return set().union(*(self.before(end) for end in ends if end >= 0))

    def free(self) -> list[int]:
        return [
            at
            for at in range(len(self.net.ids))
            if at not in self.ends
            and self.before(at) - {at} <= self.ends.keys()
            and not any(self.net.foreign[at] >> one & 1 for one in self.open)
        ]

    def soonest(self, at: int) -> int:
        """When its waits are over."""
        waits = [
            end + lag
            for one, end in self.ends.items()
            for follower, lag in self.net.afters[one]
            if follower == at
        ]
        return max([self.net.ready[at], *waits])

    def change(self, at: int) -> int:
        body = self.net.body[at]
        is_due = body >= 0 and self.modes[body] not in (-1, self.net.mode[at])
        return self.net.change[at] if is_due else 0

    def start(self, at: int) -> int:
        return max(self.now + self.change(at), self.soonest(at))

    def key(self, at: int, rule: str, free: Sequence[int]) -> list[int]:
        net = self.net
        serving = self.way([*self.open]) if self.open else set()
        next_on_way = min((self.start(one) for one in free if one in serving), default=None)
        late = 0
        if next_on_way is not None and at not in serving:
            late = max(0, self.start(at) + net.work[at] - next_on_way)
        begins = [net.stretches[one][0] for one in self.turns]
        turn = next((one for one in begins if one >= 0 and one not in self.ends), None)
        waited = any(one == at and by for one, _, by in net.patient)
        twice = self.start(at) + self.change(at)
        said = {
            "soonest": self.start(at),
            "soonest with its change counted twice": twice,
            "soonest with its change counted twice and its tail taken off": twice - self.tail[at],
            "longest tail": -self.tail[at],
            "here": int(net.place[at] not in (-1, self.place)),
            "no change": int(self.change(at) > 0),
            "holds up no closing": late,
            "leads to a closing": int(at not in self.way(range(len(net.stretches)))),
            "waited for": int(not (waited and self.soonest(at) <= self.now)),
            "in turn": int(bool(self.turns) and net.opens[at] > 0 and at != turn),
        }
        return [said[one] for one in rule.split(", ")]

    def order(self, rule: str) -> list[int]:
        net = self.net
        while free := self.free():
            at = min(free, key=lambda one: (self.key(one, rule, free), one))
            self.now = self.ends[at] = self.start(at) + net.work[at]
            stretches = range(len(net.stretches))
            self.open -= {one for one in stretches if net.closes[at] >> one & 1}
            self.open |= {one for one in stretches if net.opens[at] >> one & 1}
            if net.body[at] >= 0:
                self.modes[net.body[at]] = net.mode[at]
            self.place = net.place[at] if net.place[at] >= 0 else self.place
        return [*self.ends]


def net_of(seed: int) -> Net:
    return network(random_day(seed) if seed % 2 else hard_day(seed))


@pytest.mark.parametrize("seed", range(9))
def test_by_each_rule_that_goes_first_which_it_says(seed: int) -> None:
    net = net_of(seed)
    tail = tails(net)
    expected = [Plain(net, tail).order(rule) for rule in USUAL]
    assert [*by_rules(net, tail)] == expected
    few = (*LONG, *(WAITS if net.patient else NO_WAITS), *(MODES if any(net.change) else ()))
    expected = [Plain(net, tail).order(rule) for rule in few]
    assert [*by_rules(net, tail, long=True)] == expected
    turns = [*range(len(net.stretches))]
    Random(seed).shuffle(turns)
    expected = [Plain(net, tail, turns).order(rule) for rule in TURNS]
    assert [*in_turn(net, tail, turns)] == expected
