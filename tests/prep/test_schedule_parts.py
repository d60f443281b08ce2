"""What the schedule is made of, each held against the same worked out in another, slower way.

The times of an order come from `keeps.py`, which reads the jobs and shares nothing with the search.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

import pytest

from shopboard.prep.schedule.at_hand import FEW, AtHand, Now
from shopboard.prep.schedule.bounds import heads, interrupted, least_changes, least_finish, tails
from shopboard.prep.schedule.job import Job, Schedule, Workday
from shopboard.prep.schedule.list_rules import by_rules, in_turn
from shopboard.prep.schedule.network import UNIT, network
from shopboard.prep.schedule.precedence import all_before, reach, topological
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.schedule.timetable import starts_of, worth
from shopboard.prep.schedule.trial import Aim, Trial
from tests.prep.days import SHAPES, day_of, patient
from tests.prep.keeps import faults, left, told
from tests.prep.test_schedule_waits import hard_day


def by_the_minute(jobs: Sequence[tuple[int, int, int]]) -> int:
    """One worker who at each minute goes on with the longest tail of what is there by then."""
    to_do = {at: work for at, (_, work, _) in enumerate(jobs)}
    now = finish = 0
    while to_do:
        there = [at for at in to_do if jobs[at][0] <= now]
        now += 1
        if there:
            at = max(there, key=lambda one: jobs[one][2])
            to_do[at] -= 1
            if not to_do[at]:
                del to_do[at]
                finish = max(finish, now + jobs[at][2])
    return finish


@pytest.mark.parametrize("seed", range(40))
def test_who_may_be_interrupted_is_done_as_minute_by_minute(seed: int) -> None:
    rng = Random(seed)
    jobs = [
        (rng.randint(0, 30), rng.randint(1, 9), rng.randint(0, 40))
        for _ in range(rng.randint(0, 8))
    ]
    assert interrupted(jobs) == by_the_minute(jobs)


def test_heads_and_tails_of_a_small_day() -> None:
    """By hand: a soaks 10, then b; c and d both after b, in any order; d is left to dry for 20."""
    jobs = (
        Job("a", 5, ready=2),
        Job("b", 3, after=(("a", 10),)),
        Job("c", 4, after=(("b", 0),)),
        Job("d", 6, after=(("b", 0),), tail=20),
        Job("e", 1, after=(("c", 0), ("d", 0))),
    )
    net = network(Workday(jobs))
    assert [one / UNIT for one in heads(net)] == [2, 17, 20, 20, 30]
    assert [one / UNIT for one in tails(net)] == [10 + 3 + 26, 26, 1, 20, 0]
    assert least_finish(net) == 46 * UNIT


COMBI = {("combi", "saw"): 5.0, ("combi", "plane"): 8.0}


@pytest.mark.parametrize(
    ("now", "modes", "chained", "changes"),
    [
        ("saw", "saw saw", False, 0),
        ("saw", "plane plane plane", False, 8),
        ("saw", "saw plane saw plane", False, 8),
        ("plane", "saw plane saw plane", False, 5),
        ("", "saw plane saw plane", False, 5),  # it begins in the dearer of the two
        ("saw", "saw plane saw", True, 13),
        ("", "saw plane saw plane", True, 8 + 5 + 8),
        ("plane", "saw plane saw plane", True, 5 + 8 + 5 + 8),
    ],
)
def test_the_changes_of_mode_that_cannot_be_spared(
    now: str, modes: str, *, chained: bool, changes: float
) -> None:
    """Added up by hand; a day of such jobs alone takes them and its work."""
    words = modes.split()
    jobs = tuple(
        Job(str(at), 10, body="combi", mode=mode)
        ._replace(after=((str(at - 1), 0.0),) if chained and at else ())
        for at, mode in enumerate(words)
    )  # fmt: skip
    net = network(Workday(jobs, COMBI, {"combi": now} if now else {}))
    assert least_changes(net, 0) == changes * UNIT
    assert least_finish(net) == (10 * len(words) + changes) * UNIT


@pytest.mark.parametrize("turned", [False, True])
def test_a_change_of_mode_comes_before_all_that_is_done_in_it(*, turned: bool) -> None:
    """By hand: the head is changed, then the glue-up that sets for 30, then the rest meanwhile."""
    quick, glued = Job("quick", 10, body="combi"), Job("glued", 10, tail=30, body="combi")
    jobs = [one._replace(mode="plane") for one in (quick, glued)]
    jobs = jobs[::-1] if turned else jobs
    other = Job("other", 1, body="lathe", mode="turn")
    change = COMBI | {("lathe", "turn"): 2.0}
    one_known = network(Workday((*jobs, other), change, {"combi": "saw", "lathe": "turn"}))
    assert least_finish(one_known) == (8 + 10 + 30) * UNIT
    all_work = network(Workday((*jobs, other), change, {"combi": "saw", "lathe": "bore"}))
    assert least_finish(all_work) == (8 + 10 + 30) * UNIT
    saw = Job("sawn", 10, body="combi", mode="saw", tail=100)
    free = network(Workday((*jobs, saw), COMBI))  # sawn first, without a change: 10, then 100
    assert least_finish(free) == (10 + 100) * UNIT


@pytest.mark.parametrize("turned", [False, True])
def test_the_longest_time_that_a_machine_stands_open_keeps_the_others_shut(*, turned: bool) -> None:
    """By hand: two soaks of 60 with a minute before and after, one after the other, make 124.

    The saw is also opened for 10, after which something dries for 20: that is no more than a part.
    """
    short = (Job("off", 5, opens="saw"), Job("on", 5, after=(("off", 0),), closes="saw", tail=20))
    soaks = [
        (
            Job(f"{name} off", 1, opens=name),
            Job(f"{name} on", 1, after=((f"{name} off", 60),), closes=name),
        )
        for name in ("saw", "planer")
    ]
    parts = [short, *soaks] if turned else [*soaks, short]
    jobs = tuple(job for part in parts for job in part)
    assert least_finish(network(Workday(jobs))) == 124 * UNIT


def random_day(seed: int) -> Workday:
    """A day of some shape, every other one with waits that must not be left too long."""
    day = day_of(SHAPES[seed % len(SHAPES)], 8 + seed % 9, seed)
    return patient(day) if seed // len(SHAPES) % 2 else day


@pytest.mark.parametrize("seed", range(12))
def test_no_plan_beats_its_heads_and_tails(seed: int) -> None:
    day = random_day(seed)
    net, plan = network(day), schedule(day, 0.02)
    for at, (head, tail) in enumerate(zip(heads(net), tails(net), strict=True)):
        job = day.jobs[at]
        assert head <= UNIT * plan.starts[job.id] + 1e-6
        assert UNIT * (plan.starts[job.id] + job.minutes) + tail <= UNIT * plan.finish + 1e-6


@pytest.mark.parametrize("seed", range(10))
def test_what_comes_before_what_is_as_a_walk_over_all_ways_finds(seed: int) -> None:
    rng = Random(seed)
    afters: list[dict[int, int]] = [
        {b: 0 for b in range(a + 1, 9) if rng.random() < 0.25} for a in range(9)
    ]
    order = topological([str(at) for at in range(9)], afters)
    assert sorted(order) == list(range(9))
    assert all(order.index(a) < order.index(b) for a in range(9) for b in afters[a])

    def after(at: int) -> set[int]:
        return {one for each in afters[at] for one in (each, *after(each))}

    later = reach(afters, order)
    need = [sum(1 << a for a in range(9) if b in afters[a]) for b in range(9)]
    for at in range(9):
        assert {one for one in range(9) if later[at] >> one & 1} == after(at)
        before = {one for one in range(9) if at in after(one)}
        assert {one for one in range(9) if all_before(need, at) >> one & 1} == before


@pytest.mark.parametrize("seed", range(18))
def test_every_order_by_a_rule_keeps_all_and_is_worth_what_its_times_say(seed: int) -> None:
    day = random_day(seed)
    net = network(day)
    tail, turns = tails(net), list(range(len(net.stretches)))
    Random(seed).shuffle(turns)
    orders = [*by_rules(net, tail), *by_rules(net, tail, long=True), *in_turn(net, tail, turns)]
    for order in orders:
        names, starts = tuple(net.ids[at] for at in order), starts_of(day, order)
        assert not faults(day, names, starts)
        finish, waits_left, walks, firsts = told(day, Schedule(starts, names, 0, 0, 0))
        found = worth(net, order)
        assert (found.finish / UNIT, found.left, found.walks) == (finish, waits_left, walks)
        assert found.firsts / UNIT == pytest.approx(firsts)


def cost_of(day: Workday, order: Sequence[int], aim: Aim) -> float:
    """What an order costs by its times: lateness, or walks and waits, as the aim says."""
    starts = starts_of(day, order)
    ends = [UNIT * (starts[job.id] + job.minutes) for job in day.jobs]
    if aim.is_late:
        late = [max(0.0, end + aim.tail[at] - aim.target) for at, end in enumerate(ends)]
        shut = (ends[at] for at, job in enumerate(day.jobs) if job.closes and ends_one(job))
        return sum(late) + 30 * max(late, default=0) + 0.3 * sum(shut)
    cost = 0.0
    if aim.walk:
        plan = Schedule(starts, tuple(day.jobs[at].id for at in order), 0, 0, 0)
        _, _, walks, firsts = told(day, plan)
        cost += aim.walk * walks + UNIT * firsts
    if aim.left:
        by_id = {job.id: job for job in day.jobs}
        for name in left(day, starts):
            job = by_id[name]
            waits = (starts[o] + by_id[o].minutes + lag for o, lag in job.after if lag)
            over = max((job.ready, *waits))
            cost += aim.left + UNIT * (starts[name] - over - job.patience)
    return cost


def ends_one(job: Job) -> bool:
    """A job that opens and closes a machine by itself leaves nothing open."""
    return job.opens != job.closes


def aims(day: Workday, finish: int) -> list[Aim]:
    tail = tails(network(day))
    walk = 10**9
    return [
        Aim(tail, least_finish(network(day))),
        Aim(tail, 0, finish, left=30 * UNIT),
        Aim(tail, 0, finish, walk, 100 * walk),
        Aim(tail, 0, math.inf, walk),
    ]


@pytest.mark.parametrize("seed", range(18))
def test_a_changed_order_costs_what_its_times_say_wherever_the_change_is(seed: int) -> None:
    """Worked out from the change on, it comes to the same as from the beginning."""
    rng, day = Random(seed), hard_day(seed) if seed % 3 == 0 else random_day(seed)
    if day.allow_open or any(stretch_is_split(day)):
        return
    net = network(day)
    begin = min(worth(net, order) for order in by_rules(net, tails(net)))
    for aim in aims(day, begin.finish + 20 * UNIT):
        trial = Trial(net, aim, begin.order)
        for _ in range(12):
            changed, size = trial.order[:], len(trial.order)
            one, other = rng.randrange(size), rng.randrange(size)
            changed.insert(other, changed.pop(one))
            at = min(one, other)
            free = Trial(net, aim._replace(cap=math.inf), changed)
            tried = trial.tried(changed, at, math.inf)
            if tried is None:
                assert worth(net, free.order).finish > aim.cap
                continue
            assert [*trial.order[:at], *tried.order] == free.order
            assert tried.cost == pytest.approx(free.cost)
            assert tried.cost == pytest.approx(cost_of(day, free.order, aim))
            names = tuple(net.ids[each] for each in free.order)
            assert not faults(day, names, starts_of(day, free.order))
            assert trial.tried(changed, at, tried.cost + 1e-3) is not None
            assert trial.tried(changed, at, tried.cost - 1e-3) is None
            trial.accept(at, tried)
            assert (trial.order, trial.cost) == (free.order, tried.cost)


def stretch_is_split(day: Workday) -> list[bool]:
    """Whether a machine is only opened, or only closed: then what is open is not told by jobs."""
    machines = {name for job in day.jobs for name in (job.opens, job.closes) if name}
    return [
        sum(job.opens == name for job in day.jobs) != sum(job.closes == name for job in day.jobs)
        for name in machines
    ]


@pytest.mark.parametrize(
    ("minutes", "order"), [(59.9, "0213"), (60, "0213"), (60.1, "0123"), (61, "0123")]
)
def test_a_wait_is_filled_with_what_fits_into_it(minutes: float, order: str) -> None:
    """An hour's soak: an hour's work and no more is done meanwhile."""
    jobs = (
        Job("0", 10),
        Job("1", 5, after=(("0", 60),)),
        Job("2", minutes),
        Job("3", 70),
    )
    net = network(Workday(jobs))
    trial = Trial(net, Aim(tails(net), 0), [0, 1, 2, 3])
    assert "".join(map(str, trial.order)) == order


def test_a_wait_that_must_not_be_left_too_long_is_over_when_its_time_is_up() -> None:
    """Of a job that waits for nothing, and of one that may be left, none ever was."""
    jobs = (
        Job("wax on", 5),
        Job("buff", 5, after=(("wax on", 10),), patience=15),
        Job("check", 5, after=(("wax on", 0),)),
    )
    net = network(Workday(jobs))
    at_hand = AtHand(net, tails(net))
    assert at_hand.jobs == {0}
    assert not at_hand.waited(0, 99 * UNIT)
    at_hand.done(0, 5 * UNIT)
    assert at_hand.jobs == {1, 2}
    assert [at_hand.waited(1, time * UNIT) for time in (14, 15, 99)] == [False, True, True]
    assert not at_hand.waited(2, 99 * UNIT)
    at_hand.done(1, 20 * UNIT)
    assert not at_hand.waited(1, 99 * UNIT)


def test_of_very_many_jobs_one_that_opens_a_machine_is_offered_while_none_is_open() -> None:
    """More than are all looked at; the blade that comes off has the longest tail of them."""
    plain = tuple(Job(str(at), 5, f"place {at % 3}", tail=100 - at % 50) for at in range(80))
    bare = tuple(
        Job(f"off {name}", 5, name, opens=name, closes=name, tail=500) for name in ("saw", "lathe")
    )
    long = Job("soak", 5, "plane", opens="plane")
    on = Job("on", 5, "plane", after=(("soak", 10),), closes="plane")
    net = network(Workday((*plain, *bare, long, on), place="place 0"))
    at_hand = AtHand(net, tails(net))
    assert len(at_hand.jobs) == 83 > FEW
    found = {net.ids[at] for at in at_hand.choice(Now(0, 0, net.modes, net.here), ())}
    assert {"off saw", "off lathe", "soak"} < found
    opened = net.opens[net.ids.index("soak")]
    meanwhile = {net.ids[at] for at in at_hand.choice(Now(0, opened, net.modes, net.here), ())}
    assert not {"off saw", "off lathe"} & meanwhile
    assert meanwhile
