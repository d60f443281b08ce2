"""Even and normal spreads added, against published factors, convolution, quadrature and chance."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from shopboard.metrology.spread import Spread
from tests.in_turn import part


def inside(spread: Spread, half_width: float) -> float:
    return spread.cdf(spread.centre + half_width) - spread.cdf(spread.centre - half_width)


def by_quadrature(spread: Spread, x: float) -> float:
    """Weigh the normal distribution with the density of one or two even parts, by scipy."""
    wide, *others = sorted(spread.even, reverse=True)
    narrow = others[0] if others else 0.0

    def below(shift: float) -> float:
        density = 1 / (2 * wide)
        if narrow:  # a trapezoid
            density *= min(1.0, (wide + narrow - abs(shift)) / (2 * narrow))
        return density * float(stats.norm.cdf(x - spread.centre - shift, scale=spread.sigma))

    reach, middle, far = wide + narrow, x - spread.centre, 9 * spread.sigma
    corners = [narrow - wide, wide - narrow, middle - far, middle, middle + far]
    ends = [-reach, *sorted(at for at in corners if -reach < at < reach), reach]
    return float(sum(integrate.quad(below, *piece, epsabs=1e-11)[0] for piece in pairwise(ends)))


def test_two_rectangles_make_a_trapezoid_with_k_of_1_83() -> None:
    """EA-4/02 M:2013 example S10, vernier calliper, from memory: 25 and 50 um, k = 1.83 at 95 %."""
    trapezoid = Spread(0.0, (25.0, 50.0))
    assert inside(trapezoid, 1.834 * trapezoid.u) == pytest.approx(0.95, abs=5e-5)
    beta = (50 - 25) / (50 + 25)
    k = (1 - math.sqrt(0.05 * (1 - beta**2))) / math.sqrt((1 + beta**2) / 6)
    assert round(k, 2) == 1.83
    assert inside(trapezoid, k * trapezoid.u) == pytest.approx(0.95, abs=1e-12)


def test_the_whole_calliper_budget_covers_95_percent_within_60_micrometres() -> None:
    """EA-4/02 M:2013 example S10, from memory: u = 33 um, U = 0.06 mm with k = 1.83."""
    calliper = Spread(0.0, (25.0, 50.0), math.hypot(1.7 * 1.15, 0.46))
    assert calliper.u == pytest.approx(32.34, abs=0.01)
    assert inside(calliper, 1.834 * calliper.u) == pytest.approx(0.95, abs=2e-4)
    assert round(1.83 * calliper.u / 1000, 2) == 0.06


def test_one_and_two_equal_rectangles_cover_95_percent_at_1_645_and_1_902() -> None:
    """Derived: 0.95 sqrt 3 for one; for two the triangle's 1.902."""
    one, two = Spread(2.0, (3.0,)), Spread(2.0, (3.0, 3.0))
    assert inside(one, 0.95 * math.sqrt(3) * one.u) == pytest.approx(0.95, abs=1e-14)
    assert inside(two, 1.902 * two.u) == pytest.approx(0.95, abs=5e-5)


def test_three_equal_rectangles_follow_the_exact_sum_of_three_even_values() -> None:
    """Derived (Irwin and Hall): the sum of three values even on 0 to 1 is below 1 in 1/6."""
    three = Spread(1.5, (0.5, 0.5, 0.5))
    assert three.cdf(1.0) == pytest.approx(1 / 6, abs=1e-15)
    assert three.cdf(0.5) == pytest.approx(0.5**3 / 6, abs=1e-15)
    assert three.cdf(1.5) == pytest.approx(0.5, abs=1e-15)
    assert three.cdf(2.0) == pytest.approx(5 / 6, abs=1e-15)


def test_without_even_parts_it_is_the_normal_distribution() -> None:
    for x in np.linspace(-5, 9, 57):
        exact = stats.norm.cdf(x, 2.0, 1.3)
        assert Spread(2.0, (), 1.3).cdf(x) == pytest.approx(exact, abs=1e-14)


def test_a_value_that_is_known_is_a_step() -> None:
    known = Spread(2.0)
    assert known.u == 0
    assert (known.cdf(1.999), known.cdf(2.0), known.cdf(2.001)) == (0.0, 1.0, 1.0)
    assert Spread(2.0, (0.0, 0.0)).cdf(1.999) == 0.0


@pytest.mark.parametrize(
    ("even", "sigma"),
    [
        ((1.0,), 0.1),
        ((1.0,), 1.0),
        ((0.06,), 1.0),
        ((1.0,), 0.001),
        ((1.0, 1.0), 0.2),
        ((1.0, 0.3), 0.05),
        ((1.0, 0.049), 0.01),
        ((1.0, 0.04), 0.001),
        ((1.0, 1e-3), 1e-3),
        ((0.06, 0.06), 1.0),
    ],
)
def test_the_closed_form_agrees_with_quadrature(even: tuple[float, ...], sigma: float) -> None:
    spread = Spread(0.3, even, sigma)
    for z in (-2.1, -1.5, -0.9, -0.2, 0.0, 0.7, 1.3, 1.8):
        x = spread.centre + z * spread.u
        assert spread.cdf(x) == pytest.approx(by_quadrature(spread, x), abs=1e-8)


@pytest.mark.parametrize(
    ("even", "sigma"),
    [
        ((1.0, 0.9), 0.0),
        ((1.0, 1.0, 1.0), 0.1),
        ((1.0, 0.5, 0.25), 0.3),
        ((1.0, 0.6, 0.3), 0.0),
        ((1.0, 0.03, 0.02), 0.0),
        ((0.8, 0.8, 0.8, 0.8), 0.1),
        ((1.0, 0.2, 0.2, 0.2), 0.05),
    ],
)
def test_the_closed_form_agrees_with_a_convolution_on_a_grid(
    even: tuple[float, ...], sigma: float
) -> None:
    """Densities put on a grid of 1/500 and convolved by numpy; good to 1e-5."""
    step = 1 / 500
    density = np.array([1.0])
    for half in even:
        cells = round(2 * half / step)
        density = np.convolve(density, np.full(cells, 1 / cells))
    if sigma:
        z = np.arange(-round(8 * sigma / step), round(8 * sigma / step) + 1) * step
        weights = stats.norm.cdf(z + step / 2, scale=sigma) - stats.norm.cdf(
            z - step / 2, scale=sigma
        )
        density = np.convolve(density, weights)
    edges = (np.arange(density.size) - (density.size - 1) / 2 + 0.5) * step
    spread = Spread(0.0, even, sigma)
    found = np.array([spread.cdf(float(x)) for x in edges])
    assert np.abs(found - np.cumsum(density)).max() < 1e-5


def test_the_closed_form_agrees_with_chance() -> None:
    """400,000 draws (seeded) of bracket + square + lever + normal; 4 standard errors allowed."""
    rng = np.random.default_rng(20240)
    even, sigma, draws = (1.0, 0.7, 0.4), 0.25, 400_000
    total = sum(rng.uniform(-half, half, draws) for half in even) + rng.normal(0, sigma, draws)
    spread = Spread(0.0, even, sigma)
    for x in (-1.5, -0.8, -0.2, 0.4, 1.1):
        p = spread.cdf(x)
        assert abs(np.mean(total < x) - p) < 4 * math.sqrt(p * (1 - p) / draws)


@pytest.mark.parametrize(
    ("spread", "plain"),
    [
        (Spread(0.0, (1.0, 1e-12)), Spread(0.0, (1.0,))),
        (Spread(0.0, (1.0, 1e-300)), Spread(0.0, (1.0,))),
        (Spread(0.0, (1.0,), 1e-13), Spread(0.0, (1.0,))),
        (Spread(0.0, (1.0,), 1e-300), Spread(0.0, (1.0,))),
        (Spread(0.0, (1e-9,), 1.0), Spread(0.0, (), 1.0)),
        (Spread(0.0, (2e-4, 2e-4, 2e-4, 2e-4), 1.0), Spread(0.0, (), 1.0)),
        (Spread(0.0, (1e-300, 1e-300), 1.0), Spread(0.0, (), 1.0)),
        (Spread(0.0, (1.0, 0.0, 0.0), 0.5), Spread(0.0, (1.0,), 0.5)),
        (Spread(0.0, (1.0, 1e-7, 1e-7, 1e-7)), Spread(0.0, (1.0,))),
    ],
)
def test_a_part_far_narrower_than_another_makes_no_difference(
    spread: Spread, plain: Spread
) -> None:
    for x in np.linspace(-3, 3, 121):
        assert spread.cdf(x) == pytest.approx(plain.cdf(x), abs=1e-6)


@pytest.mark.parametrize("share", [0.9e-4, 1.1e-4, 0.01, 0.049, 0.051])
def test_pooling_a_narrow_even_part_costs_less_than_a_millionth(share: float) -> None:
    """Derived: for two rectangles alone, the trapezoid near its corner."""
    spread = Spread(0.0, (1.0, share))
    for t in np.linspace(-1.2, 1.2, 97):
        d = share * t  # distance from the corner of the wide rectangle
        tail = max(min((share + d) ** 2 / (4 * share), math.inf), 0.0) if abs(d) < share else None
        exact = tail / 2 if tail is not None else max(d, 0.0) / 2
        assert spread.cdf(d - 1.0) == pytest.approx(exact, abs=1.01e-6)


sizes = st.one_of(st.just(0.0), st.floats(1e-12, 1e3), st.floats(1e-200, 1e-190))


def test_rounding_never_makes_a_probability_above_1_or_below_0() -> None:
    """The corners of the closed form nearly cancel far out: without a clamp they give 1 + 3e-15."""
    spread = Spread(0.0, (1.0, 0.5, 0.25), 0.05)
    found = [spread.cdf(float(x)) for x in np.linspace(-2.2, 2.2, 4001)]
    assert min(found) >= 0
    assert max(found) <= 1


@given(st.lists(sizes, max_size=5), sizes, st.floats(-1e3, 1e3), st.lists(st.floats(-5, 5)))
@settings(deadline=None, max_examples=part(300))
def test_it_is_a_distribution_whatever_the_widths(
    even: list[float], sigma: float, centre: float, places: list[float]
) -> None:
    """Within 0 and 1, never falling, 0 far below and 1 far above."""
    spread = Spread(centre, tuple(even), sigma)
    found = [spread.cdf(centre + z * spread.u) for z in sorted(places)]
    assert all(0 <= p <= 1 for p in found)
    assert all(q >= p - 1e-6 for p, q in pairwise(found))
    beyond = sum(even) * 1.01 + 13 * sigma + 1e-9 * abs(centre) + 1e-9
    assert spread.cdf(centre - beyond) == 0
    assert spread.cdf(centre + beyond) == 1


@given(st.lists(st.floats(1e-6, 1), min_size=1, max_size=4), st.floats(0, 1), st.floats(-3, 3))
@example([0.5, 6.103515625e-05, 6.103515625e-05, 6.103515625e-05], 0.0, 1.0)
@settings(deadline=None)
def test_it_is_symmetric_about_its_centre_and_free_of_the_unit(
    even: list[float], sigma: float, z: float
) -> None:
    spread = Spread(0.0, tuple(even), sigma)
    x = z * spread.u
    assert spread.cdf(x) + spread.cdf(-x) == pytest.approx(1, abs=1e-6)
    small = Spread(0.0, tuple(half * 1e-9 for half in even), sigma * 1e-9)
    assert small.cdf(x * 1e-9) == pytest.approx(spread.cdf(x), abs=1e-6)


def test_the_standard_deviation_is_that_of_the_parts() -> None:
    """GUM 4.3.7: an even part of half-width a has the variance a squared over 3."""
    assert Spread(9.0, (3.0, 6.0), 2.0).u == pytest.approx(math.sqrt(3 + 12 + 4))
