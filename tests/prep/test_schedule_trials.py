"""The searches by trial: how dear a change may be, and how near they come to the exact search."""

from __future__ import annotations

import math
from itertools import permutations
from random import Random

import pytest

from shopboard.prep.schedule.bounds import least_finish, tails
from shopboard.prep.schedule.exact import among_soonest, soonest
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.list_rules import by_rules, in_turn
from shopboard.prep.schedule.network import Net, network
from shopboard.prep.schedule.search import (
    _anneal,
    _turns,
    by_rule_alone,
    search_waits,
    search_walks,
)
from shopboard.prep.schedule.timetable import Ordering, worth
from shopboard.prep.schedule.trial import Aim, Trial, Tried
from tests.prep.days import SHAPES, day_of, patient


def test_a_dearer_order_is_taken_by_the_usual_chance() -> None:
    """exp(-d / T) for one dearer by d: what it may cost more is exponential, of mean T.

    T falls from hot to cold in equal parts as the work is done (S. Kirkpatrick, C. D. Gelatt,
    M. P. Vecchi, Science 220 (1983) 671-680).
    """
    net = network(day_of("shop", 20, 3))
    hot, cold, steps = 5e4, 5e2, 60_000
    over: list[tuple[float, float]] = []

    class Heard(Trial):
        def tried(self, order: list[int], at: int, limit: float) -> Tried | None:
            if math.isfinite(limit):
                heat = hot * (cold / hot) ** (self.used / steps)
                over.append(((limit - self.cost) / heat, self.used / steps))
            return super().tried(order, at, limit)

    order = max(worth(net, one) for one in by_rules(net, tails(net))).order
    trial = Heard(net, Aim(tails(net), 0), order)
    found = _anneal(trial, Random(5), steps, hot, cold)
    assert found < worth(net, order)
    assert len(over) > 2000
    assert over[0][1] == 0
    assert 0.95 < over[-1][1] < 1
    assert steps <= trial.used < steps + 1000
    assert min(one for one, _ in over) >= 0
    for share in (0.0, 0.5):
        part = [one for one, used in over if share <= used < share + 0.5]
        mean = sum(part) / len(part)
        assert mean == pytest.approx(1, abs=4 / math.sqrt(len(part)))
        above = sum(one > math.log(2) for one in part) / len(part)
        assert above == pytest.approx(0.5, abs=2 / math.sqrt(len(part)))


@pytest.mark.parametrize("seed", range(24))
def test_what_cannot_come_next_lets_the_first_go_that_can(seed: int) -> None:
    """One after the other, as the list is read anew from its beginning each time."""
    day = day_of(SHAPES[seed % 6], 25, 500 + seed)
    net, rng = network(day), Random(seed)
    for _ in range(5):
        listed = [*range(25)]
        rng.shuffle(listed)
        trial = Trial(net, Aim(tails(net), 0, walk=1), listed)
        done, opened, expected = 0, net.open_now, list[int]()
        while listed:
            job = next(
                one for one in listed if not (net.need[one] & ~done or net.foreign[one] & opened)
            )
            listed.remove(job)
            expected.append(job)
            done |= 1 << job
            opened = opened & ~net.closes[job] | net.opens[job]
        assert trial.order == expected


def small(seed: int) -> tuple[Net, Ordering]:
    """A day of nine jobs, every other one with patience; a plan of the least finish, no better."""
    day = day_of(SHAPES[seed % 6], 9, 300 + seed)
    net = network(patient(day) if seed % 2 else day)
    some = max(worth(net, order) for order in by_rules(net, tails(net)))
    plan, proven, _ = soonest(net, some, least_finish(net), 10**6)
    assert proven
    return net, plan


def test_walks_and_waits_are_those_of_the_exact_search() -> None:
    """Nearly always; what is found is never worse than what it began with."""
    as_good = left_as_good = with_waits = 0
    for seed in range(24):
        net, plan = small(seed)
        best = among_soonest(net, plan, 10**6)
        waits = search_waits(net, plan, 4000)
        assert waits.left <= plan.left
        assert waits.finish == plan.finish
        with_waits += plan.left > best.left
        left_as_good += waits.left == best.left
        walks = search_walks(net, waits, 8000)
        assert best <= walks <= waits
        as_good += walks == best or walks[:4] == best[:4]
    assert (left_as_good, with_waits > 2) == (24, True)
    assert as_good >= 20  # as measured


@pytest.mark.parametrize("seed", range(12))
def test_the_first_rule_that_none_can_beat_is_taken_or_else_the_best(seed: int) -> None:
    """None can beat it that ends no later than any plan, leaves no wait, walks to each place once.

    To one more place there is a walk less where the day begins nowhere.
    """
    day = day_of(SHAPES[seed % 6], 8, 400 + seed)
    day = patient(day) if seed % 2 else day
    if seed > 5:
        day = day._replace(place="")
    net = network(day)
    plans = [worth(net, order) for order in by_rules(net, tails(net), long=True)]
    places = {job.place for job in day.jobs if job.place}
    fewest = len(places - {day.place}) - (not day.place)
    for least in (least_finish(net), min(plans).finish, max(plans).finish):
        perfect = [
            one for one in plans if one.finish <= least and not one.left and one.walks <= fewest
        ]
        assert by_rule_alone(net, least) == (perfect[0] if perfect else min(plans))


def test_the_best_turn_of_four_machines_is_found() -> None:
    """All 24 orders of opening them are tried here."""
    soaks, dries = (30, 10, 45, 20), (0, 90, 5, 50)
    jobs = []
    for at, (soak, dry) in enumerate(zip(soaks, dries, strict=True)):
        name = str(at)
        jobs.append(Job(f"{name} off", 5, name, opens=name))
        on = Job(f"{name} on", 5, name, after=((f"{name} off", soak),), closes=name, tail=dry)
        jobs.append(on)
    net = network(Workday(tuple(jobs), place="0"))
    tail = tails(net)

    def best(turns: tuple[int, ...]) -> Ordering:
        return min(worth(net, order) for order in in_turn(net, tail, turns))

    every = [best(turns) for turns in permutations(range(4))]
    (found,) = _turns(net, tail, 0, 60 * 8000)
    assert found.finish == min(every).finish < best((0, 1, 2, 3)).finish
    (soon,) = _turns(net, tail, max(every).finish, 60 * 8000)
    assert soon.finish <= max(every).finish
    assert _turns(net, tail, 0, 7999) == []


@pytest.mark.parametrize(
    ("other", "fits"),
    [
        (Job("other", 9), True),
        (Job("other", 9.1), False),
        (Job("other", 4, ready=11), True),
        (Job("other", 4, ready=12), False),
        (Job("other", 4, body="combi", mode="saw"), True),
        (Job("other", 4, body="combi", mode="plane"), False),
        (Job("other", 4, after=(("soaked", 0.0),)), False),
        (Job("other", 4, opens="planer", closes="planer"), True),
        (Job("other", 4, opens="planer"), False),
    ],
)
def test_a_wait_is_filled_with_what_costs_nothing(other: Job, *, fits: bool) -> None:
    """By hand: it soaks from 5 to 15, and the last takes 1 of that; a change comes on top."""
    jobs = (Job("first", 5), Job("soaked", 5, after=(("first", 10.0),)), other, Job("last", 1))
    day = Workday(jobs, {("combi", "plane"): 1.0}, {"combi": "saw"})
    net = network(day)
    found = [net.ids[at] for at in Trial(net, Aim(tails(net), 0), [0, 1, 3, 2]).order]
    assert found[:2] == ["first", "last"]
    assert found[2:] == (["other", "soaked"] if fits else ["soaked", "other"])


@pytest.mark.parametrize("turns", [*permutations(range(3))])
def test_machines_are_opened_in_the_turn_that_is_wanted(turns: tuple[int, ...]) -> None:
    """Where nothing stands against it; the first job of the day has its turn, too."""
    names = ("saw", "planer", "shaper")
    jobs = []
    for name in names:
        jobs += [Job(f"{name} off", 5, name, opens=name)]
        jobs += [Job(f"{name} on", 5, name, after=((f"{name} off", 10),), closes=name)]
    net = network(Workday(tuple(jobs), place="saw"))
    opening = [net.stretches[turn][0] for turn in turns]
    for order in in_turn(net, tails(net), turns):
        assert [at for at in order if net.opens[at]] == opening
