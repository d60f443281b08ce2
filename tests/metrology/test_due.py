"""How long a result can be believed: by simulation, about 5 % of points are out when it is due."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from shopboard.metrology.conformity import RISK, Tolerance, probability_within
from shopboard.metrology.drift import Change, Wander, learn
from shopboard.metrology.due import Due, holds
from shopboard.metrology.spread import Spread
from tests.in_turn import part
from tests.metrology.wandering import (
    HALF,
    INTERVAL,
    TOLERANCE,
    Wanderer,
    as_taken,
    spacings,
)


def proven(chance: random.Random, even: float = 0.1, sigma: float = 0.1) -> Spread:
    """Give what is known of an error after a check that proved it true."""
    while True:
        today = Spread(chance.uniform(-0.7, 0.7) * HALF, (even * HALF,), sigma * HALF)
        if probability_within(today, TOLERANCE) > 0.95:
            return today


def share_out(
    chance: random.Random, count: int, points: int, alone: bool = False
) -> tuple[float, int]:
    """Give the share of points out when they are due by their wander, and how many are."""
    out, due = 0.0, 0
    for _ in range(points):
        wanderer = as_taken(chance)
        times = spacings(chance, count)
        changes = wanderer.left_alone(times) if alone else wanderer.set_each_time(times)
        today = proven(chance)
        found = holds(learn(changes, TOLERANCE, INTERVAL), today, TOLERANCE, INTERVAL)
        if found.by_wander:
            assert found.days is not None
            due += 1
            out += wanderer.out_after(found.days, today)
    return out / due, due


@pytest.mark.parametrize(("count", "alone"), [(1, False), (2, True), (4, False), (20, True)])
def test_about_one_in_twenty_is_out_when_it_is_due(count: int, alone: bool) -> None:
    share, due = share_out(random.Random(count), count, part(450 if count < 3 else 250), alone)
    assert due > 60
    assert 0.03 < share < 0.07


@pytest.mark.parametrize(("steady", "walk"), [(0.8, 0.1), (0.0, 0.6), (-1.5, 0.4), (3.0, 0.3)])
def test_with_a_known_wander_too(steady: float, walk: float) -> None:
    """Twenty changes leave little of what was taken beforehand, even where it was wrong."""
    chance = random.Random(8)
    out, due = 0.0, 0
    for _ in range(part(100)):
        wanderer = Wanderer(chance, steady, walk)
        learnt = learn(wanderer.set_each_time(spacings(chance, 20)), TOLERANCE, INTERVAL)
        today = proven(chance)
        found = holds(learnt, today, TOLERANCE, INTERVAL)
        if found.by_wander:
            due += 1
            out += wanderer.out_after(found.days or 0, today)
    assert due > part(40)
    assert 0.025 < out / due < 0.07


def wander_of(steady: float, walk: float, count: int = 25, u: float = 0.05) -> Wander:
    chance = random.Random(11)
    changes = Wanderer(chance, steady, walk, u).set_each_time([90.0] * count)
    found = learn(changes, TOLERANCE, INTERVAL)
    assert found is not None
    return found


def test_the_day_is_where_the_drawn_futures_say() -> None:
    """Forty thousand futures drawn from what is known: 5 % are out on the day, fewer before."""
    wander = wander_of(1.2, 0.3, count=6, u=0.15)
    today = Spread(0.1 * HALF, (0.3 * HALF,), 0.1 * HALF)
    found = holds(wander, today, TOLERANCE, 365)
    assert found.by_wander
    assert found.days is not None
    chance = random.Random(1)

    def out(days: float) -> float:
        parts = chance.choices(wander.parts, [one.weight for one in wander.parts], k=40_000)
        count = 0
        for one in parts:
            error = today.centre + chance.uniform(-0.3, 0.3) * HALF + chance.gauss(0, 0.1 * HALF)
            error += chance.gauss(one.rate, one.variance**0.5) * days
            error += chance.gauss(0, (one.growth * days) ** 0.5)
            count += not TOLERANCE.low <= error <= TOLERANCE.high
        return count / 40_000

    assert out(found.days) == pytest.approx(0.05, abs=0.004)
    assert out(found.days * 0.8) < 0.04
    assert out(found.days * 1.25) > 0.06


@pytest.mark.parametrize("interval", [INTERVAL, None])
@pytest.mark.parametrize("count", [1, 3, 20])
def test_no_wander_gives_no_date(interval: int | None, count: int) -> None:
    """Measured with what it is measured with and nothing else: the shop file's interval stands."""
    chance = random.Random(count)
    dated = 0
    for _ in range(100):
        changes = Wanderer(chance, 0, 0, u=0.2).set_each_time(spacings(chance, count))
        found = holds(learn(changes, TOLERANCE, interval), proven(chance), TOLERANCE, interval)
        if found.by_wander:
            dated += 1
        else:
            assert found == Due(interval, None, by_wander=False)
    assert dated <= 0.05 * 100 + 3.5 * 5**0.5


def test_nothing_known_leaves_the_shop_files_interval() -> None:
    today = Spread(0.0, (), 0.1 * HALF)
    assert holds(None, today, TOLERANCE, INTERVAL) == Due(INTERVAL, None, by_wander=False)
    assert holds(None, today, TOLERANCE, None) == Due(None, None, by_wander=False)


def test_never_longer_than_the_shop_files_interval() -> None:
    today = Spread(0.0, (), 0.05 * HALF)
    assert holds(wander_of(0.1, 0.02), today, TOLERANCE, INTERVAL).days == INTERVAL
    slow = holds(wander_of(0.4, 0.02), today, TOLERANCE, INTERVAL)  # out after two intervals
    assert slow == Due(INTERVAL, None, by_wander=False)
    fast = wander_of(2, 0.1)
    for interval in (5, 30, 90, 365):
        days = holds(fast, today, TOLERANCE, interval).days
        assert days is not None
        assert days <= interval


def test_without_an_interval_nothing_is_foretold_beyond_what_was_seen() -> None:
    """A tenth of the half-width in 90 days is out after some 800: told after years, not before."""
    today = Spread(0.0, (), 0.05 * HALF)
    early = holds(wander_of(0.1, 0.02, count=2), today, TOLERANCE, None)
    assert early == Due(None, None, by_wander=False)
    days = holds(wander_of(0.1, 0.02, count=30), today, TOLERANCE, None).days
    assert days is not None
    assert 500 < days < 900


def test_the_nearer_to_the_limit_it_goes_for_the_sooner() -> None:
    wander = wander_of(1, 0.1)
    found = [
        holds(wander, Spread(share * HALF, (), 0.05 * HALF), TOLERANCE, INTERVAL).days or 0
        for share in (-0.3, 0.0, 0.3, 0.6, 0.85)
    ]
    assert all(later < sooner for sooner, later in pairwise(found))


def test_a_stricter_risk_is_due_sooner() -> None:
    wander, today = wander_of(1, 0.3), Spread(0.0, (), 0.1 * HALF)
    found = [holds(wander, today, TOLERANCE, 365, risk).days or 0 for risk in (0.2, RISK, 0.01)]
    assert all(later < sooner for sooner, later in pairwise(found))


def test_a_point_just_proven_is_not_due_at_once() -> None:
    today = Spread(0.9 * HALF, (), 0.0601 * HALF)
    assert 0.94 < probability_within(today, TOLERANCE) < 0.96
    assert holds(wander_of(3, 0.1), today, TOLERANCE, INTERVAL) == Due(1, None, by_wander=True)


def by_running(interval: int | None) -> Due:
    """Use up the half-width in 30 h of running, which are 90 days on average, but 30 to 270."""
    chance = random.Random(2)
    changes = []
    for _ in range(20):
        minutes = 1800 * 3 ** chance.uniform(-1, 1)
        error = HALF * minutes / 1800 + chance.gauss(0, 0.1 * HALF)
        changes.append(Change(90, minutes, error, 0.1 * HALF))
    wander = learn(changes, TOLERANCE, interval)
    assert wander is not None
    assert wander.clock == "minutes"
    return holds(wander, Spread(0.0, (), 0.05 * HALF), TOLERANCE, interval)


def test_what_goes_by_running_is_due_by_running_and_by_the_calendar() -> None:
    for interval in (INTERVAL, None):
        found = by_running(interval)
        assert found.days == interval
        assert found.by_wander
        assert found.minutes == pytest.approx(1800 * 0.9, rel=0.08)


def test_a_one_sided_tolerance_is_used_up_on_its_own_side() -> None:
    tolerance = Tolerance(0.0, 2 * HALF)
    today = Spread(0.3 * HALF, (), 0.05 * HALF)
    up, down = wander_of(0.5, 0.05), wander_of(-0.5, 0.05)
    rising, falling = (holds(one, today, tolerance, 400).days or 0 for one in (up, down))
    assert 0.3 * falling < 90 * 0.3 / 0.5 < 1.6 * falling
    assert rising > 3 * falling


def test_no_time_is_too_short() -> None:
    """A time limited to some seconds has no lower limit: what falls is never out."""
    tolerance = Tolerance(0.0, 2 * HALF, kind="time")
    today = Spread(0.3 * HALF, (), 0.05 * HALF)
    assert not holds(wander_of(-0.5, 0.05), today, tolerance, 400).by_wander
