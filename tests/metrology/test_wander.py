"""What changes say of a wander, against the same integrals done by brute force, and scipy."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy import stats

from shopboard.metrology.wander import Scale, TimeSpan, believe, shows

ONE = Scale(1.0, 1.0)
"""Half-widths and intervals."""

Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]


def covariance(spans: list[TimeSpan], growth: float) -> Array:
    """Write down what the changes have in common, result by result."""
    full = np.diag([growth * span.time + span.u**2 + 1e-12 for span in spans])
    for i, span in enumerate(spans[1:], 1):
        full[i, i - 1] = full[i - 1, i] = -(span.shared**2)
    return full


def by_brute_force(spans: list[TimeSpan]) -> tuple[Array, Array]:
    """Give rates and how likely each is to be above the true one, over a fine grid of both parts.

    The same model by scipy's multivariate normal: rate with a standard deviation of 1, or 2, 4,
    8 ... at a quarter of the chance each; the walk log-normal around 0.3.
    """
    times, changes = np.array([s.time for s in spans]), np.array([s.change for s in spans])
    rates = np.linspace(-5, 5, 2001)
    sds = [2.0**k for k in range(6)]
    before = sum(0.25**k * stats.norm.pdf(rates, 0, sd) for k, sd in enumerate(sds))
    density = np.zeros_like(rates)
    for k in np.linspace(-4.5, 4.5, 61):
        full = covariance(spans, (0.3 * math.exp(k)) ** 2)
        off = changes[None, :] - rates[:, None] * times[None, :]
        fits = stats.multivariate_normal(np.zeros(len(spans)), full).pdf(off)
        density += fits * before * stats.norm.pdf(k)
    below = np.cumsum(density) - density / 2
    return rates, below / below[-1]


@pytest.mark.parametrize("linked", [False, True], ids=["set each time", "left alone"])
@pytest.mark.parametrize("count", [1, 2, 4, 9])
def test_the_rate_is_as_likely_as_by_brute_force(count: int, linked: bool) -> None:
    chance = random.Random(count)
    for _ in range(4):
        spans = [
            TimeSpan(
                chance.uniform(0.2, 2),
                chance.gauss(0.4, 0.5),
                0.3,
                0.2 if linked and i else 0.0,
            )
            for i in range(count)
        ]
        rates, below = by_brute_force(spans)
        found = believe(spans, ONE)
        for level in (0.025, 0.25, 0.5, 0.9, 0.975):
            there = float(np.interp(found.quantile(level), rates, below))
            assert there == pytest.approx(level, abs=0.012)


def test_units_make_no_difference() -> None:
    chance = random.Random(3)
    plain = [TimeSpan(chance.uniform(0.5, 2), chance.gauss(0.3, 0.3), 0.1, 0.05) for _ in range(6)]
    scaled = [
        TimeSpan(t * 90, change * 2e-4, u * 2e-4, shared * 2e-4) for t, change, u, shared in plain
    ]
    one, other = believe(plain, ONE), believe(scaled, Scale(2e-4, 90))
    assert other.mean * 90 / 2e-4 == pytest.approx(one.mean, rel=1e-9)
    assert other.log_evidence == pytest.approx(one.log_evidence, rel=1e-9)
    assert other.surprise(TimeSpan(90, 2e-4, 0)) == pytest.approx(
        one.surprise(TimeSpan(1, 1, 0)), rel=1e-9
    )


def test_many_changes_leave_nothing_of_what_was_taken_beforehand() -> None:
    """A weighted line through the origin says the same, whatever the interval was."""
    chance = random.Random(5)
    times = [chance.uniform(20, 150) for _ in range(60)]
    spans = [TimeSpan(t, 0.004 * t + chance.gauss(0, 0.02 * math.sqrt(t)), 0.05) for t in times]
    spans = [span._replace(change=span.change + chance.gauss(0, 0.05)) for span in spans]
    weights = [t * t / (0.0004 * t + 0.0025) for t in times]
    ratios = [span.change / span.time for span in spans]
    for interval in (15.0, 90.0, 500.0):
        found = believe(spans, Scale(1.0, interval))
        assert found.mean == pytest.approx(np.average(ratios, weights=weights), rel=0.05)
        walk = sum(part.weight * math.sqrt(part.growth) for part in found.parts)
        assert walk == pytest.approx(0.02, rel=0.25)


@pytest.mark.parametrize("size", [30.0, 1e3, 1e6])
def test_a_point_far_worse_than_taken_is_believed(size: float) -> None:
    found = believe(
        [TimeSpan(1, size, 0.1), TimeSpan(1, size * 1.01, 0.1), TimeSpan(1, size * 0.99, 0.1)], ONE
    )
    assert found.quantile(0.025) <= found.mean <= found.quantile(0.975)
    assert found.mean > 10
    assert math.isfinite(found.log_evidence)


def test_equal_results_without_uncertainty_are_no_trouble() -> None:
    found = believe([TimeSpan(1, 0.0, 0.0)] * 5, ONE)
    assert found.mean == pytest.approx(0, abs=1e-12)
    assert found.surprise(TimeSpan(1, 0.5, 0)) < 0.01
    assert found.surprise(TimeSpan(0, 0, 0)) == pytest.approx(1)


def test_changes_over_no_time_tell_nothing_of_the_rate() -> None:
    """Of the rate as much is known as before; how likely they were is a plain normal density."""
    found = believe([TimeSpan(0, 0.1, 0.2), TimeSpan(0, -0.3, 0.2)], ONE)
    assert found.mean == 0
    assert found.quantile(0.9) == pytest.approx(believe([], ONE).quantile(0.9), rel=1e-9)
    density = stats.norm(0, 0.2).logpdf([0.1, -0.3]).sum()
    assert found.log_evidence - believe([], ONE).log_evidence == pytest.approx(density, rel=1e-6)


def test_before_anything_is_seen_about_half_the_width_is_used_up_within_the_interval() -> None:
    """Steady part alone: two in three within the half-width or little more; the walk about 0.3."""
    found = believe([], ONE)
    assert found.mean == pytest.approx(0, abs=1e-9)
    assert 1.0 < found.quantile(0.5 + 0.6827 / 2) < 1.5
    below = sum(part.weight for part in found.parts if math.sqrt(part.growth) < 0.3)
    assert below == pytest.approx(0.5, abs=0.15)


@pytest.mark.parametrize("count", [1, 2, 5, 20])
def test_measuring_alone_shows_as_wander_once_in_twenty(count: int) -> None:
    """Chi-square at 95 % (scipy); Wilson and Hilferty are good to a few parts in 1000."""
    limit = math.sqrt(stats.chi2.ppf(0.95, count) / count)
    assert shows([TimeSpan(1, 0.1 * limit * 1.02, 0.1)] * count, ONE)
    assert not shows([TimeSpan(1, 0.1 * limit * 0.98, 0.1)] * count, ONE)


def test_results_in_common_are_counted_once() -> None:
    """Left alone, one wild result goes up and down again: by scipy's covariance it is one value."""
    spans = [TimeSpan(1, 0.35, 0.14), TimeSpan(1, -0.35, 0.14, 0.1)]
    chi2 = np.array([0.35, -0.35]) @ np.linalg.solve(covariance(spans, 0), [0.35, -0.35])
    assert stats.chi2.sf(chi2, 2) > 0.01
    assert stats.chi2.sf(2 * (0.35 / 0.14) ** 2, 2) < 0.002
    assert shows([spans[0], spans[1]._replace(shared=0.0)], ONE)
    smaller = [span._replace(change=span.change * 0.75) for span in spans]
    assert not shows(smaller, ONE)
    assert shows([smaller[0], smaller[1]._replace(shared=0.0)], ONE)


def test_nothing_seen_shows_nothing() -> None:
    assert not shows([], ONE)
