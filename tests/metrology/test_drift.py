"""How a point wanders, learnt from simulated histories whose truth is known."""

from __future__ import annotations

import math
import random
import time
from statistics import median

import pytest
from scipy import stats

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.drift import FEW, Change, learn
from shopboard.metrology.due import holds
from shopboard.metrology.spread import Spread
from tests.in_turn import part
from tests.metrology.wandering import (
    HALF,
    INTERVAL,
    TOLERANCE,
    Wanderer,
    as_taken,
    least,
    spacings,
)

POINTS = 200
SOME = part(POINTS)
"""So many are tried where more would tell no more."""


@pytest.mark.parametrize(
    ("count", "alone"), [(1, False), (2, True), (3, False), (10, True), (30, False)]
)
def test_the_interval_holds_the_rate_as_often_as_it_says(count: int, alone: bool) -> None:
    """95 %, for points that use up to a half-width within the interval, as was taken."""
    chance = random.Random(count)
    inside = 0
    for _ in range(POINTS):
        wanderer = as_taken(chance)
        times = spacings(chance, count)
        changes = wanderer.left_alone(times) if alone else wanderer.set_each_time(times)
        found = learn(changes, TOLERANCE, INTERVAL)
        assert found is not None
        assert found.low <= found.rate <= found.high
        inside += found.low <= wanderer.rate <= found.high
    assert least(0.95, POINTS) <= inside / POINTS < 0.995


@pytest.mark.parametrize("steady", [-0.9, 0.4])
@pytest.mark.parametrize("count", [5, 15])
def test_a_planted_rate_is_in_the_interval(steady: float, count: int) -> None:
    chance = random.Random(count)
    inside, middles = 0, []
    for _ in range(SOME):
        wanderer = Wanderer(chance, steady, 0.2)
        found = learn(wanderer.set_each_time(spacings(chance, count)), TOLERANCE, INTERVAL)
        assert found is not None
        inside += found.low <= wanderer.rate <= found.high
        middles.append(found.rate * INTERVAL / HALF)
    assert inside / SOME >= least(0.95, SOME)
    assert median(middles) == pytest.approx(steady, abs=0.08)


def test_a_planted_step_hardly_moves_the_rate() -> None:
    chance = random.Random(4)
    inside = 0
    for _ in range(SOME):
        wanderer = Wanderer(chance, 0.3, 0.1)
        changes = wanderer.set_each_time(spacings(chance, 10))
        changes[4] = changes[4]._replace(change=changes[4].change + 4 * HALF, sudden="knocked")
        found = learn(changes, TOLERANCE, INTERVAL)
        assert found is not None
        (step,) = (step for step in found.steps if step.number == 4)
        assert step.cause == "knocked"
        assert step.excess == pytest.approx(4 * HALF, abs=1.2 * HALF)
        if found.quickening is None:
            assert found.changes == 10 - len(found.steps)
        inside += found.low <= wanderer.rate <= found.high
    assert inside / SOME >= least(0.95, SOME)


def with_running(
    chance: random.Random, wanderer: Wanderer, count: int, by_running: bool
) -> list[Change]:
    """Let it run 20 minutes a day on average, between half and twice as much; wander by either."""
    changes = []
    for days in spacings(chance, count):
        minutes = 20 * days * math.exp(chance.uniform(-0.8, 0.8))
        u = math.sqrt(2) * wanderer.u
        drift = wanderer.drifts(minutes / 20 if by_running else days)
        changes.append(Change(days, minutes, drift + chance.gauss(0, u), u))
    return changes


@pytest.mark.parametrize(
    ("by_running", "steady", "count", "share"),
    [
        (True, 0.8, 6, 0.6),
        (True, 0.8, 12, 0.85),
        (True, 0.4, 20, 0.7),
        (False, 0.8, 6, 0.05),
        (False, 0.8, 20, 0.05),
        (False, 0.0, 6, 0.1),
        (False, 0.0, 20, 0.1),
    ],
)
def test_what_goes_by_running_is_told_from_what_goes_by_time(
    by_running: bool, steady: float, count: int, share: float
) -> None:
    chance = random.Random(count)
    running, points = 0, part(150 if count < 10 else 60)
    for _ in range(points):
        wanderer = Wanderer(chance, chance.choice((-1, 1)) * steady, 0.1)
        found = learn(with_running(chance, wanderer, count, by_running), TOLERANCE, INTERVAL)
        assert found is not None
        assert (found.odds >= 3) if found.clock == "minutes" else (found.odds > 1 / 3)
        running += found.clock == "minutes"
    assert running / points > share if by_running else running / points < share


def test_a_rate_by_running_is_per_minute() -> None:
    chance = random.Random(2)
    changes = with_running(chance, Wanderer(chance, 0.8, 0.05, u=0.05), 20, by_running=True)
    found = learn(changes, TOLERANCE, INTERVAL)
    assert found is not None
    assert found.clock == "minutes"
    assert found.rate == pytest.approx(0.8 * HALF / INTERVAL / 20, rel=0.15)
    assert found.seen == pytest.approx(sum(one.minutes or 0 for one in changes))


def test_no_running_but_over_a_sudden_move_is_taken() -> None:
    """The machine stood still from check to check, then ran and was moved: no rate by running."""
    still = Change(90, 0.0, 0.1 * HALF, 0.1 * HALF)
    moved = Change(90, 500.0, 1000 * HALF, 0.1 * HALF)
    found = learn([*[still] * 5, moved], TOLERANCE, INTERVAL)
    assert found is not None
    assert found.clock == "days"
    assert [step.number for step in found.steps] == [5]


def test_running_that_was_not_recorded_at_first_is_still_compared_fairly() -> None:
    """Only changes with known running speak for either; those without still count by days."""
    chance = random.Random(3)
    changes = with_running(chance, Wanderer(chance, 0.8, 0.05, u=0.05), 20, by_running=True)
    half = [one._replace(minutes=None) for one in changes[:10]] + changes[10:]
    found = learn(half, TOLERANCE, INTERVAL)
    assert found is not None
    assert (found.clock, found.changes) == ("minutes", 10)
    chance = random.Random(4)
    changes = with_running(chance, Wanderer(chance, 0.8, 0.05, u=0.05), 20, by_running=False)
    half = [one._replace(minutes=None) for one in changes[:10]] + changes[10:]
    found = learn(half, TOLERANCE, INTERVAL)
    assert found is not None
    assert (found.clock, found.changes) == ("days", 20)


@pytest.mark.parametrize("minutes", [None, 0.0])
def test_without_running_only_days_count(minutes: float | None) -> None:
    chance = random.Random(1)
    plain = Wanderer(chance, 0.5, 0.1).set_each_time(spacings(chance, 6))
    found = learn([one._replace(minutes=minutes) for one in plain], TOLERANCE, INTERVAL)
    assert found is not None
    assert (found.clock, found.odds) == ("days", 1.0)


def test_running_that_goes_with_time_tells_nothing() -> None:
    chance = random.Random(1)
    plain = Wanderer(chance, 0.5, 0.1).set_each_time(spacings(chance, 6))
    found = learn([one._replace(minutes=one.days * 20) for one in plain], TOLERANCE, INTERVAL)
    assert found is not None
    assert found.clock == "days"
    assert found.odds == pytest.approx(1, rel=1e-6)


def test_a_rate_that_grows_is_told_and_the_older_half_left_out() -> None:
    chance = random.Random(6)
    told = 0
    for _ in range(60):
        slow, fast = Wanderer(chance, 0.1, 0.1, u=0.05), Wanderer(chance, 0.8, 0.1, u=0.05)
        times = [chance.uniform(60, 120) for _ in range(24)]
        changes = slow.set_each_time(times[:12]) + fast.set_each_time(times[12:])
        found = learn(changes, TOLERANCE, INTERVAL)
        assert found is not None
        if found.quickening is not None:
            told += 1
            assert found.changes <= 12
            assert found.quickening.slope > 0
            assert found.rate == pytest.approx(fast.rate, rel=0.3)
    assert told > 50


def test_a_rate_that_never_changes_is_seldom_called_changed() -> None:
    """Stated: once in a hundred."""
    chance = random.Random(7)
    told = 0
    for _ in range(300):
        wanderer = as_taken(chance)
        found = learn(wanderer.set_each_time(spacings(chance, 12)), TOLERANCE, INTERVAL)
        assert found is not None
        told += found.quickening is not None
    assert told <= 300 * 0.01 + 3.5 * math.sqrt(3)


@pytest.mark.parametrize("order", ["01245637", "02315647", "310245687", "012573648"])
def test_a_rate_is_called_changed_below_a_level_of_one_in_a_hundred(order: str) -> None:
    """The chance of so clear an order by scipy.stats.kendalltau, exactly: 0.0055 to 0.0141."""
    rates = [int(figure) for figure in order]
    changes = [Change(90, None, (2 + one) * 0.02 * HALF, 0.02 * HALF) for one in rates]
    found = learn(changes, TOLERANCE, INTERVAL)
    assert found is not None
    chance = stats.kendalltau(range(len(rates)), rates, method="exact").pvalue
    assert (found.quickening is not None) == (chance < 0.01)


def test_few_changes_are_called_few() -> None:
    chance = random.Random(1)
    for count in (1, FEW - 1, FEW, 12):
        found = learn(Wanderer(chance, 0, 0).set_each_time([90.0] * count), TOLERANCE, INTERVAL)
        assert found is not None
        assert found.few == (count < FEW)


def test_only_the_newest_changes_count_and_steps_keep_their_number() -> None:
    chance = random.Random(5)
    changes = Wanderer(chance, 0.5, 0.1).set_each_time([90.0] * 200)
    changes[190] = changes[190]._replace(change=5 * HALF)
    other = Wanderer(chance, -3, 0.1).set_each_time([90.0] * 150)
    found, same = (learn(one, TOLERANCE, INTERVAL) for one in (changes, [*other, *changes[150:]]))
    assert found is not None
    assert found == same
    assert 190 in [step.number for step in found.steps]


def test_a_change_that_took_no_time_is_left_out() -> None:
    good = Change(90, 1800.0, 0.1 * HALF, 0.1 * HALF)
    found = learn([good._replace(days=0), good, good._replace(days=-3)], TOLERANCE, INTERVAL)
    assert found is not None
    assert found.changes == 1
    assert learn([good._replace(days=0)], TOLERANCE, INTERVAL) is None
    assert learn([good._replace(days=0.5)], TOLERANCE, INTERVAL) is not None
    assert learn([], TOLERANCE, INTERVAL) is None


def test_what_is_said_and_not_measured_does_not_wander() -> None:
    good = Change(90, None, 0.0, 0.1)
    assert learn([good], Tolerance(-0.5, 0.5, kind="yes or no"), INTERVAL) is None
    assert learn([good], Tolerance(-0.5, 0.5, kind="note"), INTERVAL) is None


@pytest.mark.parametrize("size", [0.0, 1e-9, 1.0, 1e6])
def test_any_change_is_taken(size: float) -> None:
    """Absurd readings and readings that are all the same give numbers, not errors."""
    for count in (1, 2, 8):
        changes = [Change(1.0, 5.0, (-1) ** i * size * HALF, 0.0) for i in range(count)]
        found = learn(changes, TOLERANCE, INTERVAL)
        assert found is not None
        assert all(map(math.isfinite, (found.rate, found.low, found.high, found.odds)))
        holds(found, Spread(0.0, (0.1 * HALF,), 0.1 * HALF), TOLERANCE, INTERVAL)


def test_a_point_with_200_results_takes_no_time_to_speak_of() -> None:
    """5 ms of the processor, the quickest of several; a computer may be five times slower."""
    chance = random.Random(3)
    today = Spread(0.1 * HALF, (0.2 * HALF, 0.1 * HALF, 0.05 * HALF), 0.1 * HALF)
    taken = []
    for _ in range(21):
        wanderer = Wanderer(chance, chance.uniform(-1, 1), 0.2)
        changes = with_running(chance, wanderer, 199, by_running=True)
        begun = time.process_time()
        holds(learn(changes, TOLERANCE, INTERVAL), today, TOLERANCE, INTERVAL)
        taken.append(time.process_time() - begun)
    assert min(taken) < 5 * 0.005
