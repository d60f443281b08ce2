"""The step rule: its false alarms at the stated rate, and steps that were planted."""

from __future__ import annotations

import math
import random

import pytest
import scipy.stats

from shopboard.metrology.drift import Change
from shopboard.metrology.sudden import ALARM, _far_off, _log_step, linked, sort_out
from shopboard.metrology.wander import Scale, TimeSpan, believe
from tests.in_turn import part
from tests.metrology.wandering import HALF, INTERVAL, Wanderer, as_taken, spacings

SCALE = Scale(HALF, INTERVAL)


def spans_of(changes: list[Change]) -> dict[int, TimeSpan]:
    return {i: TimeSpan(one.days, one.change, one.u, one.shared) for i, one in enumerate(changes)}


def test_slow_wander_is_called_a_step_as_seldom_as_stated() -> None:
    """Once in 500 changes, within 3.5 standard deviations of the count, few and many together."""
    chance = random.Random(1)
    found = looked_at = 0
    for count, whole in ((1, 1000), (3, 400), (10, 150), (30, 70)):
        points = part(whole)
        for _ in range(points):
            wanderer = as_taken(chance)
            spans = spans_of(wanderer.set_each_time(spacings(chance, count)))
            found += len(sort_out(spans, SCALE).steps)
        looked_at += count * points
    stated = ALARM * looked_at
    assert found == pytest.approx(stated, abs=3.5 * math.sqrt(stated))


def test_no_step_is_missed_for_having_a_say_in_what_it_is_judged_by() -> None:
    """Every change judged by all the others, one by one, gives the same steps."""
    chance = random.Random(2)
    steps = 0
    for _ in range(100):
        wanderer = as_taken(chance)
        spans = spans_of(wanderer.set_each_time(spacings(chance, chance.randrange(1, 6))))
        i = chance.choice(list(spans))
        spans[i] = spans[i]._replace(change=spans[i].change + chance.choice((0, 2, 4)) * HALF)
        judged = {
            i: believe(linked(spans, [other for other in spans if other != i]), SCALE).surprise(
                span
            )
            for i, span in spans.items()
        }
        wildest = min(judged, key=lambda i: judged[i])
        found = sort_out(spans, SCALE).steps
        assert bool(found) == (judged[wildest] < ALARM)
        steps += bool(found)
    assert 15 < steps < 95


@pytest.mark.parametrize(("count", "size", "share"), [(4, 3, 0.75), (10, 1.5, 0.8), (25, 1, 0.65)])
def test_a_planted_step_is_found(count: int, size: float, share: float) -> None:
    chance = random.Random(count)
    found = wrong = 0
    for _ in range(140):
        wanderer = Wanderer(chance, chance.uniform(-0.5, 0.5), 0.15)
        spans = spans_of(wanderer.set_each_time(spacings(chance, count)))
        i = chance.randrange(count)
        off = chance.choice((-1, 1)) * size * HALF
        spans[i] = spans[i]._replace(change=spans[i].change + off)
        steps = sort_out(spans, SCALE).steps
        found += i in steps
        wrong += len(steps.keys() - {i})
    assert found > share * 140
    assert wrong < 0.005 * 140 * count


def test_steps_do_not_hide_each_other() -> None:
    """Three alike in twelve: one left out at a time, the other two would excuse it."""
    chance = random.Random(7)
    found = 0
    for _ in range(100):
        spans = spans_of(Wanderer(chance, 0.2, 0.1, u=0.1).set_each_time(spacings(chance, 12)))
        for i in (2, 6, 9):
            spans[i] = spans[i]._replace(change=spans[i].change + 3 * HALF)
        found += sort_out(spans, SCALE).steps.keys() == {2, 6, 9}
    assert found >= 90


def test_what_happens_more_often_than_in_a_third_is_no_step() -> None:
    chance = random.Random(9)
    for _ in range(50):
        spans = spans_of(Wanderer(chance, 0, 0.05, u=0.05).set_each_time([90.0] * 12))
        for i in range(0, 12, 2):
            spans[i] = spans[i]._replace(change=chance.choice((-1, 1)) * 3 * HALF)
        assert len(sort_out(spans, SCALE).steps) <= 4


def test_the_span_after_a_step_shares_no_result_with_it() -> None:
    spans = {i: TimeSpan(1, 0.1 * i, 0.1, 0.05) for i in range(4)}
    assert [span.shared for span in linked(spans, [0, 1, 3])] == [0, 0.05, 0]


def test_a_step_makes_what_explains_it_worse_the_less_likely() -> None:
    """A clock that calls a change a step pays for it: the other one, without, is likelier."""
    spans = {i: TimeSpan(90, 0.1 * HALF, 0.1 * HALF) for i in range(8)}
    calm = sort_out(spans, SCALE)
    spans[3] = spans[3]._replace(change=3 * HALF)
    wild = sort_out(spans, SCALE)
    assert wild.steps.keys() == {3}
    assert wild.log_evidence < calm.log_evidence - math.log(100)


def test_five_alike_in_twelve_are_how_it_wanders() -> None:
    """Four of twelve are steps, all of them; where a third is one too few, none is told."""
    chance = random.Random(9)
    for wild, told in ((4, 4), (5, 0)):
        spans = spans_of(Wanderer(chance, 0, 0.05, u=0.05).set_each_time([90.0] * 12))
        for i in chance.sample(range(12), wild):
            spans[i] = spans[i]._replace(change=3 * HALF)
        assert len(sort_out(spans, SCALE).steps) == told


@pytest.mark.parametrize("change", [-4.0, -1.0, 0.0, 0.5, 3.0])
def test_how_likely_a_step_of_a_size_is(change: float) -> None:
    """One in a hundred, and Cauchy by size (scipy): half of them beyond one half-width."""
    by_library = math.log(0.01) + scipy.stats.cauchy.logpdf(change)
    assert _log_step(change) == pytest.approx(by_library)


def test_of_two_a_single_one_can_be_a_step() -> None:
    spans = {i: TimeSpan(90.0, 0.01 * HALF, 0.1 * HALF) for i in range(2)}
    spans[0] = spans[0]._replace(change=40 * HALF)
    assert sort_out(spans, SCALE).steps.keys() == {0}


@pytest.mark.parametrize("wild", [5.0, -5.0, 5.8, 6.1, -7.0, 12.0])
def test_what_lies_far_off_is_so_by_the_middle_scatter(wild: float) -> None:
    """Four times the scatter that the median absolute deviation tells of normal values (scipy).

    Walks of a point whose rate is 0, each over a time of its own.
    """
    calm = (1.0, -1.0, 1.1, -1.1, 0.95, -0.95, 1.0, -1.0)
    walks = [*calm, wild, -math.copysign(1.2, wild)]
    scatter = scipy.stats.median_abs_deviation(walks, center=lambda *_, **__: 0.0, scale="normal")
    spans = {
        at: TimeSpan(90.0 * (1 + at // 2), walk * 0.1 * HALF * math.sqrt(1 + at // 2), 0.0)
        for at, walk in enumerate(walks)
    }
    by_library = [at for at, walk in enumerate(walks) if abs(walk) > 4 * scatter]
    assert by_library == ([8] if abs(wild) > 6 else [])
    assert _far_off(spans, SCALE) == by_library


def test_of_five_changes_no_scatter_is_taken() -> None:
    for count, found in ((5, []), (6, [0])):
        spans = {at: TimeSpan(90.0, (-1) ** at * 0.1 * HALF, 0.0) for at in range(count)}
        spans[0] = spans[0]._replace(change=9 * HALF)
        assert _far_off(spans, SCALE) == found
