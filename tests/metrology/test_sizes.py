"""Sizes, which are never below 0: what is known of them, and what a tolerance means for them."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from shopboard.metrology.adjuster import Slot, correct
from shopboard.metrology.conformity import Tolerance, probability_within, verdict
from shopboard.metrology.spread import Spread
from shopboard.metrology.uncertainty import Budget, Estimate, Source

ONE_THOU = Tolerance(0.0, 1.0, "0 to 1 thou", "length")


def by_bayes(read: float, u: float, limit: float) -> float:
    """Probability that a size is below a limit, by Bayes' rule and scipy's quadrature.

    Before reading, any size is as likely. What is read is a size as well: the absolute value of
    the size with a normal error.
    """

    def likelihood(size: float) -> float:
        return float(stats.norm.pdf(read - size, scale=u) + stats.norm.pdf(read + size, scale=u))

    far = read + 12 * u
    corners = sorted({0.0, min(limit, far), min(read, far), far})
    parts = [integrate.quad(likelihood, *piece, epsabs=1e-12)[0] for piece in pairwise(corners)]
    below = [part for part, end in zip(parts, corners[1:], strict=True) if end <= limit]
    return float(sum(below) / sum(parts))


@pytest.mark.parametrize("read", [0.0, 0.1, 0.5, 0.9, 1.4])
@pytest.mark.parametrize("u", [0.1, 0.4, 1.0])
def test_what_is_known_of_a_size_follows_from_bayes_rule(read: float, u: float) -> None:
    """JCGM 106:2012, 6 and 7: the distribution is that after measuring, with all that is known."""
    spread = Spread(read, (), u, size=True)
    assert probability_within(spread, ONE_THOU) == pytest.approx(by_bayes(read, u, 1.0), abs=1e-9)


def test_half_of_the_spread_is_not_cut_off() -> None:
    """The trap: run-out of 0 with u of 0.5 thou in "0 to 1 thou" is 95 % sure, not 48 %."""
    size, signed = Spread(0.0, (), 0.5, size=True), Spread(0.0, (), 0.5)
    assert probability_within(size, ONE_THOU) == pytest.approx(0.9545, abs=5e-5)
    assert probability_within(signed, ONE_THOU) == pytest.approx(0.47725, abs=5e-5)


def test_no_light_is_a_gap_from_nothing_to_the_leaf() -> None:
    """Derived: evenly 1.5 thou either way of 0 is, for a size, evenly from 0 to 1.5 thou."""
    spread = Spread(0.0, (1.5,), size=True)
    for limit in (0.3, 0.75, 1.35):
        tolerance = Tolerance(0.0, limit, "", "length")
        assert probability_within(spread, tolerance) == pytest.approx(limit / 1.5, abs=1e-12)


@given(st.floats(0, 3), st.floats(0.01, 2), st.floats(0, 1), st.floats(0.1, 3))
def test_nothing_to_a_limit_is_the_same_as_the_limit_alone(
    centre: float, sigma: float, even: float, limit: float
) -> None:
    """Whoever writes "0 to 1 thou" of a run-out means what "1 thou" says."""
    spread = Spread(centre, (even,), sigma, size=True)
    one, other = Tolerance(0.0, limit), Tolerance(-limit, limit)
    assert probability_within(spread, one) == pytest.approx(probability_within(spread, other))
    wider = probability_within(spread, one._replace(high=limit + 0.1))
    assert probability_within(spread, one) <= wider + 1e-12  # both may be all but 1
    assert one.as_it_counts(size=True) == other
    assert one.as_it_counts(size=False) == one


def test_a_band_below_nothing_keeps_its_width() -> None:
    """Turned over about 0 it would have none (derived)."""
    assert Tolerance(-3.0, 0.0).as_it_counts(size=True) == Tolerance(-3.0, 0.0)


def test_a_lowest_gap_above_nothing_limits_a_size() -> None:
    """2 to 5 thou beside a band: 1.9 read, known to 0.5, is within with 42 in 100."""
    limits = Tolerance(2.0, 5.0, "", "length")
    assert limits.as_it_counts(size=True) == limits
    p = probability_within(Spread(1.9, (), 0.5, size=True), limits)
    assert p == pytest.approx(float(stats.norm.sf(0.2)), abs=1e-9)


def test_a_size_is_aimed_at_nothing_and_uses_its_tolerance_from_there() -> None:
    """Half of the highest is not what one would set a run-out to."""
    counts = ONE_THOU.as_it_counts(size=True)
    assert (counts.middle, counts.used(0.25)) == (0.0, 0.25)
    found = Estimate(1.2, Budget((Source("u", "u", 0.1),)), size=True)
    moved = correct(Slot(100.0), found, ONE_THOU, "out", direct=True)
    assert moved.move == pytest.approx(1.2)
    assert correct(Slot(100.0), found._replace(size=False), ONE_THOU, "out", direct=True).move == (
        pytest.approx(0.7)
    )


@pytest.mark.parametrize(("value", "within"), [(0.0, 1.0), (0.4, 1.0), (1.0, 1.0), (1.1, 0.0)])
@pytest.mark.parametrize("size", [True, False])
def test_a_value_that_is_known_is_within_its_limits_or_not(
    value: float, within: float, size: bool
) -> None:
    """The limits themselves are within: exact heights on one line are straight to 0."""
    assert probability_within(Spread(value, size=size), ONE_THOU) == within


@pytest.mark.parametrize("u", [0.15, 0.3, 0.5])
def test_of_the_sizes_that_are_called_true_95_in_100_are(u: float) -> None:
    """Simulated: sizes of any size, read as sizes, judged against "0 to 1 thou"."""
    rng = np.random.default_rng(14)
    sizes = rng.uniform(0, 4, 6000)
    read = np.abs(sizes + rng.normal(0, u, sizes.size))
    true = np.array(
        [
            verdict(probability_within(Spread(float(one), (), u, size=True), ONE_THOU)) == "true"
            for one in read
        ]
    )
    assert true.sum() > 80
    wrong = float((sizes[true] > 1.0).mean())
    assert wrong <= 0.05
    at_limit = np.abs(1.0 + rng.normal(0, u, 3000))
    passed = [
        probability_within(Spread(float(one), (), u, size=True), ONE_THOU) >= 0.95
        for one in at_limit
    ]
    assert np.mean(passed) <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / 3000)
