"""Which of very many jobs are looked at: held against sets made anew, from all jobs at hand.

Of more than sixty jobs that may come next only these are looked at: fifteen where the person is;
six of the waits that must not be left; what closes what is open; of those that could start by now
six of the longest tails with a change of mode and six without, of the first forty; six that could
start soonest after that; and, while nothing is open, as many of those that open a machine. (Our
choice, no source.)
"""

from __future__ import annotations

import math
from random import Random

import pytest

from shopboard.prep.schedule.at_hand import AtHand, Now
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.network import Net, network

HERE, OF_A_SORT, LOOKED_THROUGH, FEW = 15, 6, 40, 60


def crowded(seed: int) -> Workday:
    """Two hundred jobs, most of them at hand from the beginning; some open a machine."""
    rng = Random(seed)
    jobs: list[Job] = []
    for at in range(150):
        made = Job(
            str(at),
            rng.randint(1, 20),
            rng.choice("AAABCD") if rng.random() < 0.9 else "",
            *rng.choice((("", ""), ("combi", "saw"), ("combi", "plane"))),
            ready=rng.choice((0, 0, rng.randint(1, 900))),
        )
        jobs.append(made)
        if at % 6 == 0:
            lag, patient = rng.randint(1, 60), rng.choice((math.inf, 5.0, 20.0))
            jobs.append(Job(f"{at} then", 3, "B", after=((str(at), lag),), patience=patient))
    for number in range(14):
        name = f"machine {number}"
        jobs += [
            Job(f"{name} off", 2, rng.choice("ABC"), opens=name),
            Job(f"{name} on", 2, after=((f"{name} off", rng.randint(0, 20)),), closes=name),
        ]
    rng.shuffle(jobs)
    return Workday(tuple(jobs), {("combi", "plane"): 5.0, ("combi", "saw"): 5.0})


class Plainly:
    """What is at hand, told from what is done; nothing is kept in any order."""

    def __init__(self, net: Net, tail: list[int]) -> None:
        self.net, self.tail = net, tail
        self.before: dict[int, list[tuple[int, int]]] = {at: [] for at in range(len(net.ids))}
        for one, afters in enumerate(net.afters):
            for at, lag in afters:
                self.before[at].append((one, lag))
        self.ended: dict[int, int] = {}
        self.latest = 0
        """The latest time that was asked for: what could start by then, could since."""

    def soonest(self, at: int) -> int:
        waits = (self.ended[one] + lag for one, lag in self.before[at])
        return max((self.net.ready[at], *waits))

    def at_hand(self) -> list[int]:
        return [
            at
            for at, before in self.before.items()
            if at not in self.ended and all(one in self.ended for one, _ in before)
        ]

    def first_of(self, jobs: list[int], now: Now) -> list[int]:
        jobs = sorted(jobs, key=lambda at: (-self.tail[at], at))[:LOOKED_THROUGH]
        changes = [
            at
            for at in jobs
            if self.net.body[at] >= 0
            and now.modes[self.net.body[at]] not in (-1, self.net.mode[at])
        ]
        rest = [at for at in jobs if at not in changes]
        return [*changes[:OF_A_SORT], *rest[:OF_A_SORT]]

    def choice(self, now: Now, serving: int) -> set[int]:
        net, jobs = self.net, self.at_hand()
        free = {at for at in jobs if not net.foreign[at] & now.opened}
        if len(jobs) <= FEW:
            return free
        self.latest = max(self.latest, now.time)
        soonest = {at: self.soonest(at) for at in jobs}
        here = sorted(
            (at for at in jobs if net.place[at] == now.place),
            key=lambda at: (max(now.time, soonest[at]), -self.tail[at], at),
        )
        patient = sorted(
            (at for at, _, begun_by in net.patient if begun_by and at in jobs),
            key=lambda at: soonest[at],
        )
        later = [at for at in jobs if soonest[at] > self.latest]
        later.sort(key=lambda at: (soonest[at], -self.tail[at], at))
        begun = [at for at in jobs if soonest[at] <= self.latest]
        found = {*here[:HERE], *patient[:OF_A_SORT], *later[:OF_A_SORT]}
        found |= {at for at in jobs if serving >> at & 1}
        found |= {*self.first_of([at for at in begun if not net.foreign[at]], now)}
        if not now.opened:
            found |= {*self.first_of([at for at in begun if net.foreign[at]], now)}
        return found & free or free

    def waited(self, at: int, time: int) -> bool:
        mine = any(at == one and begun_by for one, _, begun_by in self.net.patient)
        return mine and at in self.at_hand() and self.soonest(at) <= time


@pytest.mark.parametrize("seed", range(3))
def test_of_very_many_jobs_those_are_looked_at_that_a_rule_could_want(seed: int) -> None:
    rng, net = Random(seed), network(crowded(seed))
    tail = [rng.randint(0, 99) * 1000 for _ in net.ids]
    plainly, at_hand = Plainly(net, tail), AtHand(net, tail)
    time, opened = 0, 0
    assert len(at_hand.jobs) > 2 * FEW
    while len(at_hand.jobs) > FEW - 5:
        assert at_hand.jobs == {*plainly.at_hand()}
        place, modes = rng.choice((-1, *{*net.place})), (rng.choice((-1, *{*net.mode})),)
        now = Now(time, opened, modes, place)
        serving = sum(1 << at for at in range(len(net.ids)) if net.closes[at] & opened)
        chosen = {*at_hand.choice(now, at_hand.among(serving))}
        assert chosen == plainly.choice(now, serving)
        for at in at_hand.jobs if len(at_hand.jobs) % 8 == 0 else ():
            assert at_hand.waited(at, time) == plainly.waited(at, time)
        at = rng.choice(sorted(chosen))
        time = max(time, at_hand.soonest[at]) + net.work[at] if rng.random() < 0.5 else time
        # a thousandth of a minute, the least there is, before something could start
        later = [one - 1 for one in at_hand.soonest if one > time]
        time = min(later) if later and rng.random() < 0.3 else time
        opened = opened & ~net.closes[at] | net.opens[at]
        at_hand.done(at, time)
        plainly.ended[at] = time


def test_where_nothing_of_that_may_be_done_all_is_looked_at() -> None:
    """Machine 0 stands open; what could start soonest would open others, and one job comes late."""
    openers = tuple(
        Job(f"{at} off", 1, "A", opens=str(at), closes=str(at) if at else "", ready=10 * (at > 0))
        for at in range(70)
    )
    on = Job("0 on", 1, "A", closes="0", after=(("0 off", 90),))
    plain = (Job("plain", 1, "A", ready=20), Job("plain too", 1, "A", ready=20))
    net = network(Workday((*openers, on, *plain)))
    at_hand = AtHand(net, [0] * len(net.ids))
    at_hand.done(0, 1)
    now = Now(1, net.opens[0], (), -1)
    assert {net.ids[at] for at in at_hand.choice(now, ())} == {"0 on", "plain", "plain too"}
