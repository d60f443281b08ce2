"""How much a machine was used, typed and in words. A foot by the definition of the inch."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.quantity import QuantityError, Unit
from shopboard.shop.machine import NOTE, USES, Cutter, Life, Machine, Task
from shopboard.upkeep.uses import named_first, parse_use, question, use_words
from tests.builders import make_point, make_shop

FOOT = 304.8
"""mm: 12 inches of exactly 25.4 mm."""


@pytest.mark.parametrize(
    ("what", "text", "unit", "amount"),
    [
        ("hours run", "2.5", "inch", 150),
        ("hours run", "90 min", "mm", 90),
        ("cuts made", "40", "inch", 40),
        ("cuts made", "1 cut", "inch", 1),
        ("length cut", "120", "inch", 120 * FOOT),
        ("length cut", "40", "mm", 40_000),
        ("length cut", "120 ft", "mm", 120 * FOOT),
        ("length cut", "40 m", "inch", 40_000),
        ("length cut", "40 metres", "inch", 40_000),
        ("length cut", "12'", "inch", 12 * FOOT),
        ("length cut", "1 1/2", "inch", 1.5 * FOOT),
    ],
)
def test_a_use_is_read(what: str, text: str, unit: Unit, amount: float) -> None:
    """A bare length is feet in a shop of inches, metres in one of millimetres."""
    assert parse_use(what, text, unit) == pytest.approx(amount)


@pytest.mark.parametrize(
    ("what", "text", "says"),
    [
        ("hours run", "lots", "does not start"),
        ("cuts made", "4.5", "whole number"),
        ("cuts made", "0", "from 1"),
        ("cuts made", "9999999", "from 1 to 1,000,000"),
        ("cuts made", "40 ft", "ft is a length; a count is asked: a count of cuts"),
        ("length cut", "0", "more than 0"),
        ("length cut", "12 yd", "ft or m"),
        ("length cut", "999999 m", "at most"),
        ("length cut", "", "nothing typed"),
    ],
)
def test_what_is_no_use_is_refused(what: str, text: str, says: str) -> None:
    """With the reason, and what would do."""
    with pytest.raises(QuantityError, match=says):
        parse_use(what, text, "inch")


@given(st.sampled_from(USES), st.text(max_size=30), st.sampled_from(["inch", "mm"]))
def test_any_text_is_an_amount_above_zero_or_refused(what: str, text: str, unit: Unit) -> None:
    """Nothing else comes out."""
    try:
        assert parse_use(what, text, unit) > 0
    except QuantityError:
        return


@pytest.mark.parametrize(
    ("what", "amount", "unit", "words"),
    [
        ("hours run", 150, "inch", "2.5 h"),
        ("cuts made", 1, "inch", "1 cut"),
        ("cuts made", 1200, "inch", "1,200 cuts"),
        ("length cut", 120 * FOOT, "inch", "120 ft"),
        ("length cut", 1.5 * FOOT, "inch", "1.5 ft"),
        ("length cut", 40_000, "mm", "40 m"),
        ("project finished", 3, "mm", "3 projects"),
    ],
)
def test_a_use_in_words(what: str, amount: float, unit: Unit, words: str) -> None:
    """With its unit, always."""
    assert use_words(what, amount, unit) == words


@pytest.mark.parametrize("what", USES)
def test_each_use_has_one_question_whose_examples_can_be_typed(what: str) -> None:
    """The last word of each example line is taken as it stands."""
    for unit in ("inch", "mm"):
        for line in question(what, unit).lines:
            example = line.rstrip(".").rpartition(": ")[2].rpartition("Or ")[2]
            assert parse_use(what, example, unit) > 0


def test_what_the_shop_file_names_comes_first_and_what_the_machine_has_not_is_left_out() -> None:
    """Whatever else can happen to any machine follows, each thing once."""
    point = make_point(undone_by=("knocked",))
    tasks = (Task("t", "T", every_minutes=60.0, after=("belt changed",)),)
    blade = Cutter("b", "B", "on the shelf", "sharp", lasts=Life(400, "cuts", "400 cuts"))
    machine = Machine("saw", "Saw", points=(point,), tasks=tasks, cutters=(blade,))
    bare = Machine("m", "M")
    shop = make_shop(machines=(machine, bare))
    assert named_first(shop, machine) == (
        *("blade changed", "belt changed", "knocked", "hours run", "cuts made"),
        *(NOTE, "machine moved", "project finished", "length cut"),
    )
    assert named_first(shop, bare) == (
        *("hours run", NOTE, "machine moved", "knocked", "project finished"),
        *("cuts made", "length cut"),
    )


def test_knives_that_serve_another_mode_are_offered_there() -> None:
    """To be turned only where they have an edge to turn to."""
    head = Cutter("head", "Head", "on the machine", "sharp", kind="knives", serves=("thick",))
    for edges, offered in ((1, {"knives changed"}), (2, {"knives changed", "knives turned"})):
        top = Machine("top", "Top", cutters=(head._replace(edges=edges),), body="both")
        thick, other = Machine("thick", "Thick", body="both"), Machine("saw", "Saw", body="both")
        shop = make_shop(machines=(top, thick, other))
        changes = {"blade changed", "knives changed", "knives turned"}
        for machine in (top, thick):
            assert changes & {*named_first(shop, machine)} == offered
        assert not changes & {*named_first(shop, other)}
