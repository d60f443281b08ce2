"""Budgets, against the worked examples of the GUM and an independent GUM library."""

from __future__ import annotations

import math
import statistics
from typing import Any

import GTC
import numpy as np
import pytest
from GTC import reporting
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from shopboard.metrology.conformity import Tolerance, probability_within, verdict
from shopboard.metrology.propagate import repeated
from shopboard.metrology.student import coverage_factor
from shopboard.metrology.uncertainty import Budget, Estimate, Source

gtc: Any = GTC  # has no types
gtc_reporting: Any = reporting


def test_the_calibration_of_an_end_gauge_component() -> None:
    """JCGM 100:2008 H.1, u(d), from copies of it: 5.8, 3.9, 6.7 nm make 9.7 nm, 25.6 dof."""
    budget = Budget((Source("a", "a", 5.8, 24), Source("b", "b", 3.9, 5), Source("c", "c", 6.7, 8)))
    assert round(budget.u, 1) == 9.7
    assert budget.dof == pytest.approx(25.447, abs=5e-4)  # 25.6 from unrounded inputs


def test_the_calibration_of_an_end_gauge() -> None:
    """JCGM 100:2008 H.1, from copies of it: u 32 nm, 16 dof, k 2.92 and U 93 nm at 99 %."""
    budget = Budget(
        (
            Source("standard", "standard", 25, 18),
            Source("difference", "difference", 9.7, 25.6),
            Source("expansion", "expansion", 2.9, 50),
            Source("temperature", "temperature", 16.6, 2),
        )
    )
    assert round(budget.u) == 32
    assert budget.dof == pytest.approx(16.765, abs=5e-4)
    assert math.floor(budget.dof) == 16
    k = coverage_factor(math.floor(budget.dof), 0.99)
    assert round(k, 2) == 2.92
    assert k * budget.u == pytest.approx(93, abs=0.6)


def test_the_divisor_of_an_even_spread() -> None:
    """GUM 4.3.7, from memory: +-0.40e-6 evenly is u = 0.23e-6, u squared 53.3e-15."""
    source = Source.within("bracket", "bracket", 0.40e-6)
    assert source.even
    assert source.u**2 == pytest.approx(53.3e-15, rel=1e-3)
    assert source.u == pytest.approx(0.23094e-6, rel=1e-5)
    assert math.isinf(source.dof)


def test_a_resolution_of_one_step_is_0_29_of_it() -> None:
    """GUM F.2.2.1, from memory: u = 0.29 of the full step."""
    assert Source.within("resolution", "resolution", 0.5).u == pytest.approx(0.288675, abs=5e-7)


@pytest.mark.parametrize(
    ("goes", "refused", "u"),
    [(0.004, 0.005, 0.00028868), (0.10, 0.15, 0.014434), (0.0, 0.0015, 0.00043301)],
)
def test_a_bracket_between_two_leaves_is_an_even_spread(
    goes: float, refused: float, u: float
) -> None:
    """Derived from GUM 4.3.7: the width over the square root of 12."""
    assert Source.within("bracket", "bracket", (refused - goes) / 2).u == pytest.approx(u, rel=2e-5)


@pytest.mark.parametrize(
    ("readings", "u", "k", "expanded"),
    [
        ((3.011, 3.125, 2.995, 3.055, 3.067, 3.101), 0.020494, 2.5706, 0.052681),
        ((2.5, 3.0, 2.0), 0.288675, 4.3027, 1.242069),
        ((0.0040, 0.0045, 0.0035, 0.0040, 0.0050), 0.00025495, 2.7764, 0.00070786),
    ],
)
def test_few_readings_widen_the_coverage_factor(
    readings: tuple[float, ...], u: float, k: float, expanded: float
) -> None:
    """First row: a national laboratory's notebook, 3.059(53) mm, k = 2.6; others derived."""
    n = len(readings)
    budget = Budget(
        (Source("readings", "readings", statistics.stdev(readings) / math.sqrt(n), n - 1),)
    )
    assert budget.u == pytest.approx(u, rel=5e-5)
    assert budget.k == pytest.approx(k, abs=5e-5)
    assert budget.expanded == pytest.approx(expanded, rel=5e-5)


def test_readings_with_a_resolution_and_an_indicator() -> None:
    """Derived: three readings, a step of .0005, +-.0005 evenly: 10.125 dof, k 2.2244."""
    budget = Budget(
        (
            Source("readings", "readings", 0.0005 / math.sqrt(3), 2),
            Source.within("resolution", "resolution", 0.00025),
            Source.within("indicator", "indicator", 0.0005),
        )
    )
    assert budget.u == pytest.approx(0.00043301, rel=2e-5)
    assert budget.dof == pytest.approx(10.125, abs=1e-9)
    assert budget.k == pytest.approx(2.2244, abs=5e-5)
    assert budget.expanded == pytest.approx(0.00096320, rel=1e-5)


def test_an_angle_from_two_lengths() -> None:
    """The same national laboratory's notebook: 0.2429(16) rad with 5.8 degrees of freedom."""
    one, two = 12.3456, 3.059
    square = one**2 + two**2
    budget = Budget(
        (Source("1", "1", 0.0234 * two / square), Source("2", "2", 0.020494 * one / square, 5))
    )
    assert math.atan2(two, one) == pytest.approx(0.24288871, abs=5e-9)
    assert budget.u == pytest.approx(0.00162538, abs=2e-8)
    assert budget.dof == pytest.approx(5.83245, abs=5e-4)


parts = st.lists(
    st.tuples(st.floats(1e-6, 1e-2), st.one_of(st.just(math.inf), st.floats(1, 1e4))),
    min_size=1,
    max_size=6,
)


@given(parts)
@settings(deadline=None)
def test_every_budget_agrees_with_an_independent_gum_library(
    sources: list[tuple[float, float]],
) -> None:
    """GTC combines the same independent inputs: u, Welch-Satterthwaite and k at 95 %."""
    budget = Budget(tuple(Source("s", "s", u, dof) for u, dof in sources))
    other = sum(gtc.ureal(0, u, dof) for u, dof in sources)
    assert budget.u == pytest.approx(gtc.uncertainty(other), rel=1e-12)
    dof = gtc.dof(other)
    assert budget.dof == pytest.approx(dof, rel=1e-9) or min(budget.dof, dof) > 1e6
    k = gtc_reporting.k_factor(dof)  # which takes more than 1e5 degrees of freedom as infinite
    assert budget.k == pytest.approx(k, rel=2e-5)
    assert budget.expanded == pytest.approx(budget.u * k, rel=2e-5)


@given(parts)
@settings(deadline=None)
def test_the_shares_of_a_budget_make_the_whole(sources: list[tuple[float, float]]) -> None:
    budget = Budget(tuple(Source(str(i), str(i), *one) for i, one in enumerate(sources)))
    assert sum(map(budget.share, budget.sources)) == pytest.approx(1)
    widest = max(budget.sources, key=lambda source: source.u)
    assert budget.share(widest) == pytest.approx((widest.u / budget.u) ** 2)


def test_a_budget_of_nothing_is_certain() -> None:
    budget = Budget((Source("a", "a", 0.0, 5), Source.within("b", "b", 0.0)))
    assert (budget.u, budget.expanded, budget.share(budget.sources[0])) == (0, 0, 0)
    assert budget.k == pytest.approx(1.959964, abs=5e-7)


def test_even_sources_keep_their_width_and_the_others_add_to_the_normal_part() -> None:
    sources = (
        Source.within("a", "a", 3.0),
        Source("b", "b", 3.0),
        Source("c", "c", 4.0),
        Source.within("d", "d", 0),
    )
    spread = Estimate(7.0, Budget(sources)).spread
    assert spread.centre == 7.0
    assert spread.even == pytest.approx((3.0,))
    assert spread.sigma == pytest.approx(5.0)
    assert spread.u == pytest.approx(Budget(sources).u)


@pytest.mark.parametrize(
    ("dof", "t"), [(1, 6.31), (2, 2.92), (4, 2.13), (8, 1.86), (20, 1.72), (math.inf, 1.645)]
)
def test_a_limit_is_proven_as_far_off_as_student_asks(dof: float, t: float) -> None:
    """JCGM 100:2008 Table G.2, column 90 % (5 % at either end); JCGM 101, 6.4.9: it is Student's.

    The same 1.645 u for three readings as for any number would prove too much: 2.92 u is needed.
    """
    spread = Budget((Source("scatter", "scatter", 0.7, dof),)).spread_around(0.0)
    assert spread.cdf(t * 0.7) == pytest.approx(0.95, abs=6e-4)
    assert spread.cdf(-t * 0.7) == pytest.approx(0.05, abs=6e-4)


def test_only_what_few_readings_told_is_widened() -> None:
    """An even source has no degrees of freedom to lack, nor does it lend any."""
    few = Budget(
        (
            Source.within("even", "even", 9.0),
            Source("scatter", "scatter", 3.0, 2),
            Source("known", "known", 4.0),
        )
    )
    spread = few.spread_around(0.0)
    assert spread.even == pytest.approx((9.0,))
    dof = 5.0**4 / (3.0**4 / 2)  # Welch-Satterthwaite of the two that are not even
    assert spread.sigma == pytest.approx(5.0 * stats.t.ppf(0.95, dof) / stats.norm.ppf(0.95))


@pytest.mark.parametrize("readings", [3, 4, 9])
def test_a_machine_at_its_limit_is_seldom_called_true_by_a_few_readings(readings: int) -> None:
    """Simulated: just out of tolerance, read so often, judged by mean and own scatter.

    At most 5 of 100 may be called true. With 1.645 u for any number, three readings made it 10.
    """
    rng = np.random.default_rng(readings)
    called, trials = 0, 4000
    tolerance = Tolerance(-1.0, 1.0)
    for _ in range(trials):
        read = rng.normal(1.0, 0.3, readings)
        mean, scatter = repeated([float(one) for one in read])
        found = Estimate(mean, Budget((scatter,)))
        called += verdict(probability_within(found.spread, tolerance)) == "true"
    assert called <= 0.05 * trials + 3 * math.sqrt(trials * 0.05 * 0.95)
    assert called > 0.03 * trials  # nor is it never called so: that would prove nothing


def test_one_degree_of_freedom_is_not_lost_to_rounding() -> None:
    """Two readings: u^4 / (u^4 / 1) may come out a hair below 1, for which there is no factor."""
    for u in (0.1, 0.3, 1 / 3, 0.7, 1e-5, 3.3e-4):
        assert Budget((Source("scatter", "scatter", u, 1),)).k == pytest.approx(12.706, abs=1e-3)


def test_what_lasts_from_reading_to_reading_drops_out_of_a_change() -> None:
    """The square's own error is in both readings, so it is not in their difference."""
    budget = Budget(
        (
            Source.within("square", "square", 9.0, lasting=True),
            Source("a", "a", 3.0),
            Source("b", "b", 4.0),
        )
    )
    assert budget.u_repeat == pytest.approx(5.0)
    assert budget.u == pytest.approx(math.sqrt(25 + 27))
