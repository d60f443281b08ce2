"""Feeler leaves: what a set can make, what the tries prove, and how few tries it takes."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.metrology.feeler import (
    Bracket,
    ContradictionError,
    Stack,
    Try,
    bracket_of,
    next_stack,
    stacks,
    thickest,
)
from shopboard.metrology.instruments import FeelerSet
from tests.in_turn import part

INCH = 25.4
HALF_THOU = 0.0005 * INCH

# 26 leaves in half-thousandths: .0015 .002 .0025 .003, then by .001 to .025 (from memory).
INCH_LEAVES = (3, 4, 5, 6, *range(8, 51, 2))
INCH_SET = FeelerSet("inch", "26 leaves", tuple(n * HALF_THOU for n in INCH_LEAVES))

# 13 leaves, mm (from memory).
METRIC_LEAVES = (5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100)
METRIC_SET = FeelerSet("metric", "13 leaves", tuple(n / 100 for n in METRIC_LEAVES))

leaf_sets = st.builds(
    lambda parts, most: FeelerSet("f", "f", tuple(n / 100 for n in sorted(parts)), 0.003, most),
    st.sets(st.integers(2, 120), min_size=1, max_size=14),
    st.integers(1, 3),
)


def measure(gap: float, made: tuple[Stack, ...], first: float | None) -> list[Try]:
    """Try stacks in a gap until none is left to try."""
    tries: list[Try] = []
    while (stack := next_stack(made, bracket_of(tries), len(tries), first)) is not None:
        tries.append(Try(stack.thickness, goes=stack.thickness < gap))
    return tries


def most_tries(made: tuple[Stack, ...]) -> int:
    return math.ceil(math.log2(len(made))) + 1


def test_the_inch_set_makes_every_thickness_that_two_leaves_can() -> None:
    """Common practice, no source: counted in whole half-thousandths, by brute force."""
    singles = set(INCH_LEAVES)
    pairs = {a + b for a, b in combinations(INCH_LEAVES, 2)}
    made = stacks(INCH_SET)
    assert [round(stack.thickness / HALF_THOU) for stack in made] == sorted(singles | pairs)
    assert len(INCH_LEAVES) == 26
    for stack in made:
        alone = round(stack.thickness / HALF_THOU) in singles
        assert len(stack.leaves) == (1 if alone else 2)


def test_two_leaves_of_the_inch_set_bridge_its_gaps() -> None:
    """Derived: no single leaf between .003 and .004, but .0015 with .002 is .0035."""
    thou = {round(s.thickness / INCH * 1000, 2): s for s in stacks(INCH_SET)}
    assert len(thou[4.0].leaves) == 1
    assert thou[3.5].leaves == pytest.approx((0.0015 * INCH, 0.002 * INCH))
    assert min(thou) == 1.5
    assert max(thou) == 49.0


def test_no_more_leaves_are_stacked_than_the_set_allows() -> None:
    leaves = (0.05, 0.1, 0.2)
    assert [s.thickness for s in stacks(FeelerSet("f", "f", leaves, most_leaves=1))] == list(leaves)
    three = stacks(FeelerSet("f", "f", leaves, most_leaves=3))
    assert three[-1].leaves == leaves
    assert [round(s.thickness, 2) for s in three] == [0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35]


@given(leaf_sets)
@settings(deadline=None)
def test_stacks_are_distinct_ascending_and_each_of_different_leaves(feelers: FeelerSet) -> None:
    made = stacks(feelers)
    thicknesses = [round(stack.thickness, 4) for stack in made]
    assert thicknesses == sorted(set(thicknesses))
    for stack in made:
        assert len(set(stack.leaves)) == len(stack.leaves) <= feelers.most_leaves
        assert set(stack.leaves) <= set(feelers.leaves)
        assert stack.thickness == pytest.approx(sum(stack.leaves))


def test_nothing_tried_is_a_bracket_without_an_upper_end() -> None:
    bracket = bracket_of([])
    assert bracket == Bracket(0.0, None)
    assert bracket.width == math.inf


def test_the_bracket_is_the_thickest_that_goes_and_the_thinnest_that_will_not() -> None:
    tries = [Try(0.10, True), Try(0.30, False), Try(0.05, True), Try(0.40, False), Try(0.15, True)]
    assert bracket_of(tries) == Bracket(0.15, 0.30)
    assert bracket_of(tries).width == pytest.approx(0.15)


@pytest.mark.parametrize(("goes", "refused"), [(0.10, 0.10), (0.15, 0.10), (0.10, 0.10005)])
def test_a_leaf_that_goes_cannot_be_as_thick_as_one_that_will_not(
    goes: float, refused: float
) -> None:
    """A tenth of a micrometre apart is the same thickness."""
    for tries in ([Try(goes, True), Try(refused, False)], [Try(refused, False), Try(goes, True)]):
        with pytest.raises(ContradictionError, match="try both again"):
            bracket_of(tries)


def test_leaves_a_micrometre_apart_are_no_contradiction() -> None:
    assert bracket_of([Try(0.100, True), Try(0.101, False)]) == Bracket(0.100, 0.101)


@given(leaf_sets, st.floats(0.001, 4), st.one_of(st.none(), st.floats(0, 4)))
@settings(deadline=None, max_examples=part(300))
def test_the_true_gap_is_inside_the_bracket_and_soon_found(
    feelers: FeelerSet, gap: float, first: float | None
) -> None:
    """At most ceil(log2(stacks)) + 1 tries from any start, none twice, no stack left inside."""
    made = stacks(feelers)
    tries = measure(gap, made, first)
    bracket = bracket_of(tries)
    assert bracket.goes < gap or bracket.goes == 0
    assert bracket.refused is None or gap <= bracket.refused
    assert len({one.thickness for one in tries}) == len(tries) <= most_tries(made)
    top = math.inf if bracket.refused is None else bracket.refused
    assert not [s for s in made if bracket.goes + 2e-4 < s.thickness < top - 2e-4]


@pytest.mark.parametrize("feelers", [INCH_SET, METRIC_SET], ids=["inch", "metric"])
def test_every_gap_of_a_real_set_is_bracketed_within_the_promised_tries(
    feelers: FeelerSet,
) -> None:
    """Every interval between stacks, from no start and from starts all over the set."""
    made = stacks(feelers)
    edges = [0.0, *(stack.thickness for stack in made), made[-1].thickness + 1]
    gaps = [(low + high) / 2 for low, high in pairwise(edges)]
    for first in (None, 0.0, made[0].thickness, made[len(made) // 3].thickness, 9.0):
        longest = max(len(measure(gap, made, first)) for gap in gaps)
        assert longest <= most_tries(made)
    halving = max(len(measure(gap, made, None)) for gap in gaps)
    assert halving == math.floor(math.log2(len(made))) + 1


def test_the_first_try_is_the_thickest_not_above_the_limit_of_the_tolerance() -> None:
    """If it won't go, one try has shown that the gap is within the limit."""
    made = stacks(INCH_SET)
    stack = next_stack(made, Bracket(0.0, None), first=0.0052 * INCH)
    assert stack is not None
    assert stack.thickness == pytest.approx(0.005 * INCH)
    leaf = next_stack(made, Bracket(0.0, None), first=0.0205 * INCH)  # .0205 is 2 leaves, 1.5 + 19
    assert leaf is not None
    assert leaf.leaves == pytest.approx((0.020 * INCH,))
    thinnest = next_stack(made, Bracket(0.0, None), first=0.001 * INCH)
    assert thinnest == made[0]
    after = next_stack(made, Bracket(0.0, 0.005 * INCH), first=0.0052 * INCH)
    assert after is not None
    assert after.thickness < 0.005 * INCH


def test_of_two_stacks_that_halve_equally_the_one_of_fewer_leaves_is_tried() -> None:
    """Each leaf adds its own tolerance."""
    made = (Stack((0.05, 0.06)), Stack((0.2,)))
    assert next_stack(made, Bracket(0.0, None)) == made[1]
    made = (Stack((0.1,)), Stack((0.05, 0.15)))
    assert next_stack(made, Bracket(0.0, None)) == made[0]


def test_the_search_ends_when_no_stack_lies_between() -> None:
    made = stacks(METRIC_SET)
    assert next_stack(made, Bracket(0.10, 0.15)) is None
    assert next_stack(made, Bracket(0.0, 0.05)) is None
    assert next_stack(made, Bracket(made[-1].thickness, None)) is None


@pytest.mark.parametrize("most", [1, 2, 3])
def test_the_thickest_is_that_of_all_stacks(most: int) -> None:
    feelers = FeelerSet("leaves", "Leaves", (0.1, 0.2, 0.35, 0.5, 0.7), most_leaves=most)
    assert thickest(feelers) == pytest.approx(max(one.thickness for one in stacks(feelers)))
