"""What is known of an error on a day: bounds against scipy and simulation; worse is never less."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from shopboard.metrology.spread import Spread
from shopboard.prep.present import present, time_until
from tests.in_turn import part
from tests.prep.parts import wander_of

SIZES = st.floats(0.0, 5.0)
WIDE = st.floats(1e-3, 3.0)
PARTS = st.lists(
    st.tuples(st.floats(0.05, 1.0), st.floats(-1.0, 1.0), st.floats(0.0, 0.2), st.floats(0.0, 0.2)),
    min_size=1,
    max_size=5,
).map(lambda parts: [(w / sum(one[0] for one in parts), r, v, g) for w, r, v, g in parts])
LEVELS = st.sampled_from([0.9, 0.95, 0.975, 0.99])


@given(SIZES, WIDE, LEVELS)
def test_the_bound_of_a_normal_error_is_that_of_the_folded_normal(
    error: float, sigma: float, level: float
) -> None:
    """scipy.stats.foldnorm: the distribution of the size of a normal value."""
    wanted = stats.foldnorm(error / sigma, scale=sigma).ppf(level)
    assert present(Spread(-error, (), sigma)).bound(level) == pytest.approx(wanted, rel=1e-4)


@given(WIDE, LEVELS)
def test_the_bound_of_an_even_error_around_nought_is_its_share(half: float, level: float) -> None:
    """Evenly spread from -h to h: a share of the sizes lies below that share of h."""
    assert present(Spread(0.0, (half,), 0.0)).bound(level) == pytest.approx(level * half, rel=1e-4)


def test_what_is_known_exactly_is_its_own_bound() -> None:
    found = present(Spread(-0.3))
    assert found.bound(0.99) == pytest.approx(0.3, rel=1e-5)
    assert found.likely == 0.3


def test_a_size_is_as_large_folded_as_unfolded() -> None:
    """A run-out is never below 0: what would lie there is folded over, and as large."""
    folded, plain = Spread(0.2, (0.3,), 0.1, size=True), Spread(0.2, (0.3,), 0.1)
    bound = present(folded).bound(0.95)
    assert bound == present(plain).bound(0.95)
    assert folded.cdf(bound) == pytest.approx(0.95, abs=1e-5)


@settings(deadline=None, max_examples=part(30))
@given(SIZES, WIDE, PARTS, st.floats(0.1, 5.0), LEVELS)
def test_no_more_than_said_passes_the_bound_when_the_point_wanders(
    error: float, sigma: float, parts: list[tuple[float, ...]], time: float, level: float
) -> None:
    """Errors drawn part by part: rate, random walk and what was not known add up."""
    rng = np.random.default_rng(7)
    count = 20_000
    which = rng.choice(len(parts), count, p=[part[0] for part in parts])
    _, rate, variance, growth = (np.array(column)[which] for column in zip(*parts, strict=True))
    then = error + rng.normal(0, sigma, count) + rng.normal(rate, np.sqrt(variance)) * time
    then += rng.normal(0, 1, count) * np.sqrt(growth * time)
    bound = present(Spread(error, (), sigma), wander_of(parts), time).bound(level)  # type: ignore[arg-type]
    assert np.mean(np.abs(then) <= bound) > level - 4 * math.sqrt(level * (1 - level) / count)


@settings(deadline=None, max_examples=part(300))
@given(
    st.tuples(SIZES, st.floats(0.0, 2.0), WIDE, st.floats(0.0, 5.0)),
    *(PARTS, LEVELS, st.integers(0, 3), st.floats(0.0, 5.0), st.sampled_from([-1.0, 1.0])),
)
def test_nothing_that_makes_it_worse_lowers_the_bound(
    known: tuple[float, float, float, float],
    parts: list[tuple[float, float, float, float]],
    level: float,
    which: int,
    more: float,
    sign: float,
) -> None:
    """A larger error, less certain, evenly or not, or older: against its wander, too."""

    def bound(error: float, half: float, sigma: float, time: float) -> float:
        spread = Spread(sign * error, (half,), sigma)
        return present(spread, wander_of(parts), time).bound(level)

    worse = list(known)
    worse[which] += more
    assert bound(*worse) >= bound(*known) * (1 - 1e-4)


def test_while_no_wander_shows_the_interval_is_relied_on() -> None:
    spread = Spread(0.1, (), 0.05)
    quiet = wander_of([(1.0, 0.5, 0.1, 0.1)])._replace(shows=False)
    assert present(spread, quiet, 30.0) == present(spread)
    assert present(spread, quiet._replace(shows=True), 30.0).bound(0.95) > 1


def test_the_likely_error_follows_the_wander() -> None:
    """On the whole; the bound goes by where it may still be."""
    wander = wander_of([(0.5, -0.1, 0.0, 0.0), (0.5, -0.2, 0.0, 0.0)])
    found = present(Spread(1.0, (), 0.01), wander, 4.0)
    assert found.likely == pytest.approx(1.0 - 0.6)
    assert found.bound(0.95) >= 1.0


def test_time_goes_by_days_or_by_running() -> None:
    """Running to come is taken as it was; a day that is over counts as now."""
    now = datetime(2026, 6, 1, 8, tzinfo=UTC)
    made, day = now - timedelta(days=10), now + timedelta(days=5)
    by_days = wander_of([(1.0, 0.1, 0.0, 0.0)])
    assert time_until(by_days, made, day, now, (600.0, 60.0)) == 15
    assert time_until(by_days._replace(clock="minutes"), made, day, now, (600.0, 60.0)) == 900
    assert time_until(by_days, made, made, now, (0.0, 0.0)) == 10
    assert time_until(by_days, now + timedelta(days=1), now, now, (0.0, 0.0)) == 0
