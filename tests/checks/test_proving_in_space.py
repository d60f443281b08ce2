"""Proving tools in space: crooked squares and bowed edges, drawn and felt, come out as planted."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest

from shopboard.checks.asked import Taken
from shopboard.checks.methods.square_flip import EDGE_WITHIN_MM, LINE_U_MM
from shopboard.checks.methods.three_squares import SEAT_U_MM, STOCK_SHARE
from shopboard.checks.outcome import Outcome
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.feeler import stacks
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.uncertainty import Estimate
from tests.builders import FEELERS
from tests.checks.machines import (
    CALLIPER,
    HALF_STEP,
    dial,
    dial_job,
    fed,
    holds,
    measured,
    monte_carlo_u,
    rule,
)

Drawn = npt.NDArray[np.float64]
ANGLE = Tolerance(-0.0005, 0.0005, "6 thou/ft")
BOW = parse_limits("2 thou")


def two_lines(rng: np.random.Generator, error: float, at: float) -> float:
    """Where line 1 crosses a height `at`, less where line 2 does, on a board that is no better.

    A stock bears on a bowed edge at the starting point and at its own far end; the blade stands
    square to it but for its error, by which it leans toward the stock; a knife strays.
    """
    stock, crossings = at / 2, []
    bow = rng.uniform(-EDGE_WITHIN_MM, EDGE_WITHIN_MM)  # over both stocks
    for side in (1.0, -1.0):
        end = np.array([side * stock, bow])
        along = end / np.linalg.norm(end) * side  # the stock, from left to right
        square = np.array([-along[1], along[0]])
        blade = square * math.cos(error) + side * along * math.sin(error)
        start, stray = rng.normal(0, LINE_U_MM, 2)
        crossings.append(start + stray + blade[0] / blade[1] * at)
    return float(crossings[0] - crossings[1])


def line_trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Strike two lines and read between them with calliper and rule."""
    method, job = measured("square-flip"), dial_job(ANGLE)
    error, at = rng.uniform(-1e-3, 1e-3), rng.uniform(140, 300)
    between = two_lines(rng, error, at)
    gap = dial(rng, abs(between), CALLIPER)
    lies = "none" if gap <= 0 else "right" if between > 0 else "left"
    read = {"gap": max(gap, 0.0), "at": rule(rng, at)}
    return error, fed(method, job, read, {"lies": lies}).estimate


def test_line_flip_finds_the_planted_error_of_a_square() -> None:
    holds(line_trial, 5, 800)


def felt(rng: np.random.Generator, pairs: dict[str, float], plus: str, minus: str) -> Taken:
    """Feel the gaps of three pairs, mm: where light shows, and as a hand takes them."""
    thinnest = stacks(FEELERS)[0].thickness
    values, words = {}, {}
    for pair, sum_of_two in pairs.items():
        hand = rng.normal(0, 0.004) + rng.uniform(-FEELERS.leaf_tolerance, FEELERS.leaf_tolerance)
        gap = abs(sum_of_two) + hand
        shut = gap < thinnest
        values[pair] = 0.0 if shut else gap
        words[f"{pair}_light"] = "none" if shut else plus if sum_of_two > 0 else minus
    return Taken({}, {**words, **{k: str(v) for k, v in values.items()}})


def fed_pairs(name: str, taken: Taken, tolerance: Tolerance, **more: float) -> Outcome:
    values = {pair: float(taken.words[pair]) for pair in ("ab", "ac", "bc")} | more
    words = {key: word for key, word in taken.words.items() if key.endswith("light")}
    return fed(measured(name), dial_job(tolerance), values, words)


def squares_trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Two blades stand apart at the top by the tangents of both leans, each on its own seat."""
    errors, length = rng.uniform(-8e-4, 8e-4, 3), rng.uniform(140, 300)
    seats = rng.normal(0, SEAT_U_MM / (STOCK_SHARE * length), (3, 2))
    pairs = {}
    for number, (x, y) in enumerate(((0, 1), (0, 2), (1, 2))):
        lean_x, lean_y = errors[x] + seats[number, 0], errors[y] + seats[number, 1]
        tops = -length * math.tan(lean_x), length * math.tan(lean_y)
        pairs[("ab", "ac", "bc")[number]] = tops[1] - tops[0]
    taken = felt(rng, pairs, "top", "bottom")
    found = fed_pairs("three-squares", taken, ANGLE, length=rule(rng, length))
    return float(errors[0]), found.estimate


def test_three_squares_find_the_planted_error() -> None:
    holds(squares_trial, 6, 800)


def edges_trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Edges as curves, pushed together until they touch; the gap is where they are farthest."""
    across = np.linspace(-1, 1, 41)
    bows = rng.uniform(-0.12, 0.12, 3)
    edges = [bow * (1 - across**2) for bow in bows]  # away from the other edge in the middle
    pairs = {}
    for pair, (x, y) in {"ab": (0, 1), "ac": (0, 2), "bc": (1, 2)}.items():
        apart = edges[x] + edges[y]
        apart -= apart.min()
        pairs[pair] = float(apart[20] if apart[20] > apart[0] else -apart[0])
    found = fed_pairs("three-straightedges", felt(rng, pairs, "middle", "ends"), BOW)
    return float(bows[0]), found.estimate


def test_three_straightedges_find_the_planted_bow() -> None:
    holds(edges_trial, 7, 800)


def test_the_uncertainty_of_a_line_flip_is_that_of_drawn_readings() -> None:
    """JCGM 101: the same model, its inputs drawn."""
    gap, at, count = 0.3, 200.0, 200_000
    rng = np.random.default_rng(8)
    found = fed(measured("square-flip"), dial_job(ANGLE), {"gap": gap, "at": at}, {"lies": "right"})

    def even(half: float) -> Drawn:
        return rng.uniform(-half, half, count)

    drawn = {
        "gap": gap + even(CALLIPER.limit) + even(HALF_STEP),
        "at": at + even(0.5),
        "edge": even(2 * EDGE_WITHIN_MM / at),
        "lines": rng.normal(0, 2 * LINE_U_MM, count),
    }
    u = monte_carlo_u(lambda x: np.arctan((x["gap"] + x["lines"]) / 2 / x["at"]) + x["edge"], drawn)
    assert found.estimate.budget.u == pytest.approx(u, rel=0.02)


def test_the_uncertainty_of_three_squares_is_that_of_drawn_readings() -> None:
    length, count = 200.0, 200_000
    rng = np.random.default_rng(9)
    words = dict.fromkeys(("ab_light", "ac_light", "bc_light"), "top")
    read = dict.fromkeys(("ab", "ac", "bc"), 0.09)
    found = fed(
        measured("three-squares"), dial_job(ANGLE), {**read, "length": length}, words
    ).estimate
    width = next(one for one in found.budget.sources if one.name == "ab, between the leaves")
    half = width.u * math.sqrt(3) * 2 * length

    def pair() -> tuple[Drawn, Drawn]:
        gap = 0.09 + rng.uniform(-half, half, count) + rng.normal(0, 0.004, count)
        seat = rng.normal(0, SEAT_U_MM / (STOCK_SHARE * length), (2, count)).sum(axis=0)
        return gap + rng.uniform(-FEELERS.leaf_tolerance, FEELERS.leaf_tolerance, count), seat

    (ab, s1), (ac, s2), (bc, s3) = pair(), pair(), pair()
    over = length + rng.uniform(-0.5, 0.5, count)
    a = (np.arctan(ab / over) + s1 + np.arctan(ac / over) + s2 - np.arctan(bc / over) - s3) / 2
    assert found.budget.u == pytest.approx(float(np.std(a)), rel=0.03)


def test_the_uncertainty_of_three_straightedges_is_that_of_drawn_readings() -> None:
    """JCGM 101: three gaps drawn, each within its leaves, by leaf and hand; half of each counts."""
    count, rng = 200_000, np.random.default_rng(10)
    words = {"ab_light": "middle", "ac_light": "ends", "bc_light": "middle"}
    read = {"ab": 0.09, "ac": 0.14, "bc": 0.2}
    found = fed(measured("three-straightedges"), dial_job(BOW), read, words).estimate
    assert found.error == pytest.approx((0.0889 - 0.1397 - 0.2159) / 2, abs=0.02)
    a = np.zeros(count)
    for pair in read:
        (width,) = (
            one for one in found.budget.sources if one.name == f"{pair}, between the leaves"
        )
        half = width.u * math.sqrt(3) * 2  # as it is in the gap itself
        limit = FEELERS.leaf_tolerance
        gap = rng.uniform(-half, half, count) + rng.normal(0, 0.004, count)
        a += (gap + rng.uniform(-limit, limit, count)) / 2
    usual = sum(one.u**2 for one in found.budget.sources if one.name == "how well it repeats")
    assert math.sqrt(found.budget.u**2 - usual) == pytest.approx(float(np.std(a)), rel=0.02)
