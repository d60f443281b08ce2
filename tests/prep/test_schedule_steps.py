"""Steps of the searches: a partial plan is what its times say, a move changes what it says.

What the exact search prunes cannot be seen in what it finds, but in how much it looks at.
"""

from __future__ import annotations

from random import Random

import pytest

from shopboard.prep.schedule.bounds import least_finish, tails
from shopboard.prep.schedule.exact import _AmongSoonest, _Soonest, among_soonest
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.layers import Part
from shopboard.prep.schedule.list_rules import by_rules
from shopboard.prep.schedule.network import UNIT, Net, network
from shopboard.prep.schedule.search import _moved, _moved_together, _stretches, search, search_walks
from shopboard.prep.schedule.timetable import worth
from shopboard.prep.schedule.waits import none_left
from tests.prep.days import SHAPES, day_of, patient
from tests.prep.test_schedule_waits import hard_day

SEEN = {
    "loose": (1580, 1622),
    "waits": (466, 228),
    "heads and tails": (1938, 226),
    "open": (90, 97),
    "modes": (5944, 977),
    "shop": (194, 71),
}
"""Partial plans that the two exact searches look at, of three days of eight jobs and the same with
patience, from the worst order by a rule: as counted here. More of them is a worse bound."""


@pytest.mark.parametrize("shape", SHAPES)
def test_no_more_partial_plans_are_looked_at_than_have_to_be(shape: str) -> None:
    first = second = 0
    for seed in range(100, 103):
        for day in (day_of(shape, 8, seed), patient(day_of(shape, 8, seed))):
            net = network(day)
            begin = max(worth(net, order) for order in by_rules(net, tails(net)))
            best, used = _Soonest(net, begin, least_finish(net)).run(10**6)
            _, used_then = _AmongSoonest(net, best).run(10**6)
            first, second = first + used, second + used_then
    most, most_then = SEEN[shape]
    assert first <= most
    assert second <= most_then


def test_a_wanted_job_that_has_to_wait_hides_no_better_order() -> None:
    """By hand: b at 0 and a at 30, where the plan that is known has them at 3 and 33.

    Were the shorter one put first in the sum, though it is ready at 25 only, none seemed better.
    """
    jobs = (
        Job("a", 20, ready=25, first=True),
        Job("b", 30, first=True),
        Job("c", 22),
        Job("d", 3),
    )
    net = network(Workday(jobs))
    known = worth(net, (3, 1, 0, 2))
    assert (known.finish, known.firsts) == (75 * UNIT, 36 * UNIT)
    assert among_soonest(net, known, 10**6).firsts == 30 * UNIT


def begun(net: Net) -> Part:
    return Part(
        0, net.open_now, net.modes, net.here, 0, net.ready, 0, none_left(net), 0, 0, -1, None
    )


@pytest.mark.parametrize("seed", range(30))
def test_a_partial_plan_is_worth_what_its_order_is(seed: int) -> None:
    """And what is said that no plan beats that goes on from it, is beaten by none."""
    rng, day = Random(seed), hard_day(seed) if seed % 2 else day_of(SHAPES[seed % 6], 9, seed)
    net = network(day)
    some = max(worth(net, order) for order in by_rules(net, tails(net)))
    layers, among = _Soonest(net, some, 0), _AmongSoonest(net, some)
    part, parts = begun(net), []
    for _ in net.ids:
        start, at = rng.choice(among.can_follow(part))
        part = among.step(part, start, at)
        parts.append(part)
        found = worth(net, part.order())
        assert (part.finish, part.walks, part.firsts) == (found.finish, found.walks, found.firsts)
        assert part.waits.left >= found.left
        assert part.now == start + net.work[at]
        for other in range(len(net.ids)):
            done = part.done >> other & 1
            assert part.soonest[other] >= (0 if done else part.now)
            assert not (done and part.soonest[other])
    last = worth(net, part.order())
    assert sorted(part.order()) == [*range(len(net.ids))]
    for one in parts:
        assert layers.least(one) <= last.finish
        assert among.cost(one) <= (last.left, last.walks, last.firsts)
    assert layers.least(part) == last.finish
    assert among.cost(part) == (last.left, last.walks, last.firsts)
    assert not part.opened & ~sum(1 << n for n, one in enumerate(net.stretches) if one[1] < 0)


@pytest.mark.parametrize("seed", range(6))
def test_a_move_changes_the_order_from_where_it_says(seed: int) -> None:
    """No job is lost; all before the place stays; of the moves each sort comes up."""
    rng = Random(seed)
    day = day_of("open", 20, seed)
    net = network(day)
    together = _stretches(net)
    order = next(iter(by_rules(net, tails(net))))
    how: set[str] = set()
    for _ in range(200):
        changed, at = _moved(order, rng, together)
        assert sorted(changed) == sorted(order)
        assert changed[:at] == order[:at]
        moved = [place for place in range(len(order)) if changed[place] != order[place]]
        if moved:
            assert moved[0] <= at + 15
            one, other = moved[0], moved[-1]
            is_swap = len(moved) == 2 and other - one > 1
            is_single = changed[one:other] == order[one + 1 : other + 1] or (
                changed[one + 1 : other + 1] == order[one:other]
            )
            how.add("swap" if is_swap else "one" if is_single else "more")
    assert how == {"swap", "one", "more"}


@pytest.mark.parametrize("seed", range(6))
def test_a_stretch_is_gathered_where_it_goes(seed: int) -> None:
    """With all between its opening and its closing; the others keep their order."""
    rng = Random(seed)
    net = network(day_of("open", 24, seed))
    together = _stretches(net)
    assert len(together) == sum(0 <= a != b >= 0 for a, b, _ in net.stretches)
    order = [*net.topological]

    def before(at: int) -> set[int]:
        firsts = [one for one in range(len(net.ids)) if net.need[at] >> one & 1]
        return {at}.union(*(before(one) for one in firsts))

    ways = [
        {at for at in before(end) if begin in before(at)}
        for begin, end, _ in net.stretches
        if 0 <= begin != end >= 0
    ]
    assert [{at for at in order if jobs >> at & 1} for jobs in together] == ways
    to: set[int] = set()
    for _ in range(100):
        jobs = rng.choice(together)
        mine = {at for at in order if jobs >> at & 1}
        changed, at = _moved_together([*order], rng, jobs)
        assert changed[:at] == order[:at]
        assert [one for one in changed if one not in mine] == [
            one for one in order if one not in mine
        ]
        assert [one for one in changed if one in mine] == [one for one in order if one in mine]
        begin = min(order.index(one) for one in mine)
        shift = min(changed.index(one) for one in mine) - begin
        to.add((shift > 0) - (shift < 0))
        assert -15 <= shift <= 15
        if shift < 0:
            first = changed.index(next(one for one in changed if one in mine))
            assert first == at
            assert {*changed[first : first + len(mine)]} == mine
    assert to == {-1, 0, 1}


def test_the_same_search_finds_what_a_little_of_it_does_not() -> None:
    """More steps find no worse, and on some of these days better; none is worse than by a rule."""
    better = 0
    for shape in ("shop", "open", "modes", "heads and tails"):
        net = network(day_of(shape, 30, 5))
        least = least_finish(net)
        ruled = min(worth(net, order) for order in by_rules(net, tails(net)))
        found = search(net, least, 20_000)
        assert found <= ruled
        assert found.finish >= least
        walks = search_walks(net, found, 10_000)
        assert walks <= found
        assert walks.finish <= found.finish
        better += (found < ruled) + (walks < found)
    assert better >= 4
