"""Uncertainty through a formula, against an independent GUM library and Monte Carlo."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

import GTC
import numpy as np
import pytest
from GTC import reporting
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.carry import height_of
from shopboard.metrology.propagate import Input, even, propagate, repeated, steepest
from shopboard.metrology.uncertainty import Source

gtc: Any = GTC  # has no types
gtc_reporting: Any = reporting

FORMULAS: dict[str, tuple[Callable[[Mapping[str, Any]], Any], Callable[[Any, Any, Any], Any]]] = {
    # Ours, and the same in terms of GTC.
    "gap over a lever": (
        lambda v: math.atan((v["a"] - v["b"]) / v["c"]),
        lambda a, b, c: gtc.atan((a - b) / c),
    ),
    "diagonals": (
        lambda v: math.asin((v["a"] ** 2 - v["b"] ** 2) / (4 * v["c"] * 900)),
        lambda a, b, c: gtc.asin((a**2 - b**2) / (4 * c * 900)),
    ),
    "a product": (lambda v: v["a"] * v["b"] / v["c"], lambda a, b, c: a * b / c),
}


@pytest.mark.parametrize("name", FORMULAS)
def test_budget_and_degrees_of_freedom_agree_with_gtc(name: str) -> None:
    """Three inputs of 3, 8 and unlimited degrees of freedom."""
    ours, theirs = FORMULAS[name]
    given = {"a": (1084.0, 0.2, 3.0), "b": (1081.0, 0.3, 8.0), "c": (620.0, 0.4, math.inf)}
    found = propagate(
        ours, {key: Input(x, (Source(key, key, u, dof),)) for key, (x, u, dof) in given.items()}
    )
    result = theirs(*(gtc.ureal(x, u, dof) for x, u, dof in given.values()))
    assert found.error == pytest.approx(gtc.value(result), rel=1e-12)
    assert found.budget.u == pytest.approx(gtc.uncertainty(result), rel=1e-5)
    assert found.budget.dof == pytest.approx(gtc.dof(result), rel=1e-4)
    assert found.budget.k == pytest.approx(gtc_reporting.k_factor(gtc.dof(result)), rel=1e-5)


@given(st.floats(-3, 3), st.floats(0.01, 1))
def test_a_bend_adds_its_part(x: float, u: float) -> None:
    """Derived: the square of a normal value has the variance 4 x² u² + 2 u^4."""
    found = propagate(lambda v: v["x"] ** 2, {"x": Input(x, (Source("x", "x", u),))})
    assert found.budget.u == pytest.approx(math.sqrt(4 * x**2 * u**2 + 2 * u**4), rel=1e-6)


@pytest.mark.parametrize("carry", [0.0, 0.2, 0.4, 1.0, 3.2])
def test_a_short_carry_is_not_known_exactly(carry: float) -> None:
    """JCGM 101: carries read with a rule, drawn; at 0 the sagitta has no slope, yet it bends."""
    found = propagate(
        lambda v: height_of(v["carry"], 76.2),
        {"carry": even(carry, "rule", "carry, the rule", 0.5)},
    )
    rng = np.random.default_rng(15)
    drawn = [height_of(float(one), 76.2) for one in carry + rng.uniform(-0.5, 0.5, 20_000)]
    u = float(np.std(drawn))
    assert 0.98 * u <= found.budget.u <= 1.6 * u
    assert carry < 1 or found.budget.u == pytest.approx(u, rel=0.02)


def test_a_straight_formula_has_no_bend() -> None:
    """Nothing is added but rounding."""
    found = propagate(
        lambda v: 3 * v["x"] - 2 * v["y"],
        {"x": Input(1e3, (Source("x", "x", 1e-3),)), "y": Input(7.0, (Source("y", "y", 2e-3),))},
    )
    assert found.budget.u == pytest.approx(5e-3, rel=1e-9)


def test_an_exact_value_and_one_without_influence_add_nothing() -> None:
    found = propagate(
        lambda v: 2 * v["x"],
        {"x": Input(4.0), "y": Input(1.0, (Source("y", "y", 1.0),)), "z": even(0.0, "z", "z", 0.0)},
        (Source("more", "more", 0.3),),
    )
    assert found.error == 8.0
    assert found.budget.u == pytest.approx(0.3)


def test_the_steeper_side_of_a_corner_counts() -> None:
    """The larger of two readings that are alike: by a plain difference half of either was lost."""
    values = {"a": 5.0, "b": 5.0}

    def largest(read: Mapping[str, float]) -> float:
        return max(read.values())

    inputs = {name: Input(value, (Source(name, name, 0.3),)) for name, value in values.items()}
    found = propagate(steepest(largest, values), inputs)
    assert [source.u for source in found.budget.sources] == pytest.approx([0.3, 0.3])
    apart = {"a": 5.0, "b": 4.0}  # farther apart than two standard uncertainties
    inputs = {name: Input(value, (Source(name, name, 0.3),)) for name, value in apart.items()}
    found = propagate(steepest(largest, apart), inputs)
    assert [source.u for source in found.budget.sources] == pytest.approx([0.3, 0.0])


def test_the_scatter_of_repeated_results() -> None:
    """GUM 4.2.3, by GTC: mean, u of the mean, n - 1; three readings have k = 4.30."""
    results = [3.011, 3.125, 2.995]
    mean, source = repeated(results)
    by_gtc = gtc.type_a.estimate(results)
    assert mean == pytest.approx(gtc.value(by_gtc), rel=1e-12)
    assert source.u == pytest.approx(gtc.uncertainty(by_gtc), rel=1e-12)
    assert source.dof == gtc.dof(by_gtc) == 2
    found = propagate(lambda v: v["x"], {"x": Input(mean, (source,))})
    assert found.budget.k == pytest.approx(4.30, abs=5e-3)
    with pytest.raises(ValueError, match="two results"):
        repeated([1.0])
