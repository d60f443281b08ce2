"""The whole promise, by chance: a planted error is found within U, and "true" is true.

A shop is simulated: every leaf off by its own amount, the square off within its
grade, the lever off within a millimetre, and a hand that feels each try anew.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

import pytest

from shopboard.metrology.conformity import Tolerance, probability_within, verdict
from shopboard.metrology.feeler import Try, bracket_of, next_stack, stacks
from shopboard.metrology.instruments import FeelerSet, grade_limit
from shopboard.metrology.square import (
    FEEL_U_MM,
    LEVER_WITHIN_MM,
    SetUp,
    SquareReading,
    estimate,
)
from shopboard.metrology.uncertainty import Estimate
from tests.metrology.test_feeler import INCH_SET, METRIC_SET

TRIALS = 2000
LEAST = 0.95 - 3 * math.sqrt(0.95 * 0.05 / TRIALS)

SINGLE_LEAVES = FeelerSet("metric", "13 leaves, one at a time", METRIC_SET.leaves, most_leaves=1)


@dataclass
class Hand:
    """Reads gaps with leaves that are not quite what is written on them."""

    chance: random.Random
    feelers: FeelerSet
    most: int = 1
    feel: float = FEEL_U_MM
    """Standard deviation of the hand, mm."""

    def __post_init__(self) -> None:
        off = self.feelers.leaf_tolerance
        self.real = {leaf: leaf + self.chance.uniform(-off, off) for leaf in self.feelers.leaves}

    def read(self, gap: float) -> SquareReading:
        """Halve the bracket until no stack is left between."""
        tries: list[Try] = []
        made = stacks(self.feelers)
        while (stack := next_stack(made, bracket_of(tries))) is not None:
            felt = sum(self.real[leaf] for leaf in stack.leaves) + self.chance.gauss(0, self.feel)
            tries.append(Try(stack.thickness, goes=felt < abs(gap)))
            self.most = max(self.most, len(stack.leaves))
        bracket = bracket_of(tries)
        assert bracket.refused is not None, "the gap was planted thinner than the thickest stack"
        if bracket.goes == 0:
            return SquareReading("none", 0.0, bracket.refused)
        return SquareReading("top" if gap > 0 else "bottom", bracket.goes, bracket.refused)


def check_once(
    chance: random.Random, feelers: FeelerSet, lever: float, limit: float, turn: bool, face: float
) -> Estimate:
    """Check a face whose error is known, as a person would."""
    hand = Hand(chance, feelers)
    square = chance.uniform(-limit, limit)
    real_lever = lever + chance.uniform(-LEVER_WITHIN_MM, LEVER_WITHIN_MM)
    one = hand.read(math.tan(face + square) * real_lever)
    other = hand.read(math.tan(face - square) * real_lever) if turn else None
    setup = SetUp(lever, limit, leaf_tolerance=feelers.leaf_tolerance, leaves=hand.most)
    return estimate(setup, one, other)


@pytest.mark.parametrize(
    ("feelers", "lever", "grade", "turn"),
    [
        pytest.param(INCH_SET, 150.0, "2", False, id="inch set, coarse square"),
        pytest.param(SINGLE_LEAVES, 150.0, "0", True, id="metric leaves, fine square turned over"),
        pytest.param(METRIC_SET, 60.0, "2", True, id="short lever, coarse square turned over"),
    ],
)
def test_a_planted_error_is_within_the_expanded_uncertainty(
    feelers: FeelerSet, lever: float, grade: str, turn: bool
) -> None:
    """GUM 6.2.1: U covers 95 %. And of the points called true, 95 % are within tolerance."""
    chance = random.Random(f"{feelers.name} {lever} {grade} {turn}")
    limit = grade_limit(grade, 150) / 150  # type: ignore[arg-type]
    tolerance = Tolerance(-0.2 / lever, 0.2 / lever)
    within, called_true, wrongly = 0, 0, 0
    for _ in range(TRIALS):
        face = chance.uniform(-0.5, 0.5) / lever
        found = check_once(chance, feelers, lever, limit, turn, face)
        within += abs(found.error - face) <= found.budget.expanded
        if verdict(probability_within(found.spread, tolerance)) == "true":
            called_true += 1
            wrongly += not tolerance.low <= face <= tolerance.high
    assert within / TRIALS >= LEAST
    assert called_true > TRIALS / 10
    assert wrongly / called_true <= 0.05
