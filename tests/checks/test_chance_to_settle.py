"""How likely one more reading settles what is near: said beforehand, and as often as said."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import norm

from shopboard.checks.outcome import Outcome
from shopboard.checks.settle import chance_to_settle, what_would_settle
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.own_hand import BRACKET, LEAF
from shopboard.metrology.sources import FEEL, GAP_BRACKET
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.checks.cuts import calliper, cut_job, cut_test, read
from tests.checks.test_five_cut import five_cuts
from tests.checks.test_repeat_or_not import STRIP, asked, limit
from tests.in_turn import part

METHOD = cut_test("five-cut")


def near(error: float, *sources: Source) -> Outcome:
    """An error against a limit of 1 either way."""
    limits = Tolerance(-1.0, 1.0, "1 mm", "length")
    return Outcome("x", Estimate(error, Budget(sources)), limits, kind="length")


def test_what_reading_again_does_not_lessen_is_settled_by_no_reading() -> None:
    """The square's own error is the same in every reading."""
    lasting = Source("square", "square, its own error", 0.3, lasting=True)
    assert near(0.9, lasting).verdict == "near"
    assert chance_to_settle(near(0.9, lasting), 1) == 0.0


def test_what_is_proven_needs_none() -> None:
    scatter = Source("repeats", "how well it repeats", 0.3)
    assert near(0.0, scatter).verdict == "true"
    assert chance_to_settle(near(0.0, scatter), 1) == 0.0


def test_what_the_work_asks_is_settled_by_its_own_limits() -> None:
    """True within 1, but 0.5 is wanted: as likely as with all numbers halved."""
    true = near(0.4, Source("repeats", "how well it repeats", 0.15))
    assert true.verdict == "true"
    half = Tolerance(-0.5, 0.5, "0.5 mm", "length")
    twice = near(0.8, Source("repeats", "how well it repeats", 0.3))
    assert chance_to_settle(true, 1) == 0.0
    assert chance_to_settle(true, 1, half) == pytest.approx(chance_to_settle(twice, 1))


def test_the_chance_worked_by_hand() -> None:
    """Scatter 0.3, normal, one reading at 0.8 of 1; derived, by normal tables.

    u after two is 0.3 / root 2 = 0.2121, and the mean of both lies about 0.8 with as much. True
    below 1 - 1.645 x 0.2121 = 0.6511: P(z < -0.7017) = 0.2414; out above 1.3489: P(z > 2.5875) =
    0.0048.
    """
    chance = chance_to_settle(near(0.8, Source("repeats", "how well it repeats", 0.3)), 1)
    assert chance == pytest.approx(0.2414 + 0.0048, abs=0.03)  # steps of a fifth of a deviation


@pytest.mark.parametrize(
    ("error", "half", "feel"),
    [(0.9, 0.1, 0.06), (-1.06, 0.1, 0.06), (-0.9, 0.15, 0.04), (1.08, 0.05, 0.08)],
)
def test_the_chance_leaf_by_leaf_is_that_of_a_simulation(
    error: float, half: float, feel: float
) -> None:
    """Simulated: a gap read between two leaves by a hand that feels as finely, and once more.

    Any gap was as likely before, so it is that reading, evenly within the leaves, give or take the
    hand; the next time it is felt between any two leaves of such a ladder. Near, by scipy.
    """
    bracket = Source.within(GAP_BRACKET, "between the leaves", half, hand=BRACKET)
    outcome = near(error, bracket, Source(FEEL, "feel", feel, hand=LEAF))
    assert outcome.verdict == "near"
    rng = np.random.default_rng(8)
    gaps = error + rng.uniform(-half, half, 200_000) + rng.normal(0, feel, 200_000)
    steps = np.round((gaps + rng.normal(0, feel, gaps.size) - error) / (2 * half))
    spread = np.linspace(-half, half, 401)[:, None]
    places, times = np.unique(steps, return_counts=True)
    means = error + half * places  # half of the way to the next reading, which is two halves away
    lasting = feel / math.sqrt(2)
    inside = norm.cdf((1 - means - spread) / lasting) - norm.cdf((-1 - means - spread) / lasting)
    within = inside.mean(axis=0)
    settled = times[(within >= 0.95) | (within <= 0.05)].sum() / gaps.size
    assert chance_to_settle(outcome, 1) == pytest.approx(settled, abs=0.02)


@pytest.mark.parametrize("before", [1, 3])
def test_as_often_as_said_in_strips_that_are_cut_in_coordinates(before: int) -> None:
    """Simulated: five cuts of a sled whose true error lies anywhere.

    Those that are near are cut once more, and as many as said are settled by it, within what so
    many trials can tell.
    """
    rng = np.random.default_rng(20261128 + before)
    job = cut_job(tolerance=limit(1.2))
    said: list[float] = []
    settled = 0
    for _ in range(part(1500 if before == 1 else 2500, 4)):
        error, taken = rng.uniform(-3e-4, 3e-4), []
        for _ in range(before + 1):
            a, b, length, _ = five_cuts(error, list(rng.normal(0, 0.02 / 400, 5)))
            values = {"a": calliper(rng, a), "b": calliper(rng, b), "length": length}
            taken.append(read(METHOD, job, values))
        first = METHOD.evaluate(job, taken[:before])
        if first.verdict != "near":
            continue
        said.append(chance_to_settle(first, before))
        settled += METHOD.evaluate(job, taken).verdict != "near"
    assert len(said) > part(150, 4)
    spread = math.sqrt(sum(one * (1 - one) for one in said)) / len(said)
    assert settled / len(said) == pytest.approx(sum(said) / len(said), abs=4 * spread + 0.06)


def test_the_question_tells_the_chance_and_enter_reads_again() -> None:
    """A five-cut strip that is near: once more has a fair chance."""
    step = asked("five-cut", cut_job(tolerance=limit(0.9)), {**STRIP, "b": "1.0085 in"}, "repeat1")
    said = " ".join(step.lines)
    assert step.default == "yes"
    told = said.partition("once more has a ")[2].split()[0]
    assert 1 < float(told) < 99
    job = cut_job(tolerance=limit(0.9))
    values = {"a": 1.0120 * 25.4, "b": 1.0085 * 25.4, "length": 16 * 25.4}
    outcome = METHOD.evaluate(job, [read(METHOD, job, values)])
    assert f"once more has a {told}" in what_would_settle(outcome)


def test_so_near_the_limit_that_no_reading_tells_none_is_proposed() -> None:
    """At the limit itself more readings tell one side from the other by chance alone."""
    job = cut_job(tolerance=limit(0.7))  # a and b 3.5 thou apart over 16 in, in four cuts: 0.66
    step = asked("five-cut", job, {**STRIP, "b": "1.0085 in"}, "repeat1")
    assert step.default == "no"
    assert "would help little: once more has a" in " ".join(step.lines)
    values = {"a": 1.0120 * 25.4, "b": 1.0085 * 25.4, "length": 16 * 25.4}
    outcome = METHOD.evaluate(job, [read(METHOD, job, values)])
    assert outcome.verdict == "near"
    assert chance_to_settle(outcome, 1) < 0.1
    assert "would hardly settle it" in what_would_settle(outcome)
