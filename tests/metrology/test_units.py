"""Units and kinds of values stand in one table each: nothing else knows them by heart."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import get_args

import pytest

from shopboard.metrology.kind import KINDS, Kind, in_units, main_unit, measure, own_units
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.number import QuantityError
from shopboard.metrology.units import NEWTON_PER_LBF, PSI_PER_MPA, UNITS, Unit, by_unit
from shopboard.metrology.wording import own_words

PACKAGE = Path(__file__).parents[2] / "shopboard"
TREES = {path: ast.parse(path.read_text(encoding="utf-8")) for path in PACKAGE.rglob("*.py")}


def test_the_inch_is_known_in_one_place() -> None:
    """25.4 mm, and what follows from it: 304.8 mm a foot, 0.0254 mm a thousandth."""
    found = [
        (path.relative_to(PACKAGE).as_posix(), node.value)
        for path, tree in TREES.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and node.value in (25.4, 304.8)
    ]
    assert found == [("metrology/units.py", 25.4)]


def test_nothing_else_asks_whether_a_shop_works_in_inches() -> None:
    """It is asked in `by_unit` alone: there a third system would have its place."""
    asked = [
        path.relative_to(PACKAGE).as_posix()
        for path, tree in TREES.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare)
        for one in (node.left, *node.comparators)
        if isinstance(one, ast.Constant) and one.value in get_args(Unit)
    ]
    life = ["upkeep/cutter_words.py"] * 2  # told in minutes, cuts, mm of wood or projects
    assert sorted(asked) == ["metrology/units.py", *life]


def test_a_shop_has_the_one_of_two() -> None:
    assert (by_unit("inch", "ft", "m"), by_unit("mm", "ft", "m")) == ("ft", "m")


def test_every_kind_has_its_row() -> None:
    assert {*KINDS} == {*get_args(Kind)}
    assert [kind for kind, row in KINDS.items() if bool(row.units) == bool(row.said)] == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_units_of_a_kind_are_in_the_table(kind: Kind) -> None:
    """Each of them, and those of a shop are read in that shop."""
    row = KINDS[kind]
    assert {*row.units, *row.beside} <= {*UNITS}
    for unit in get_args(Unit):
        if row.said is None:
            assert {*own_units(kind, unit)} <= {*row.units} == {*in_units(1.0, kind)}
            assert unit in UNITS[main_unit(kind, unit)].shops
            assert measure(1.0, kind, unit).endswith(f" {UNITS[main_unit(kind, unit)].sign}")


@pytest.mark.parametrize("kind", [kind for kind, row in KINDS.items() if '"' in row.example])
@pytest.mark.parametrize("unit", get_args(Unit))
def test_what_is_shown_as_a_tolerance_of_a_kind_is_one(kind: Kind, unit: Unit) -> None:
    """The example that a refusal gives is read as what it is an example of."""
    example = own_words(KINDS[kind].example, unit).split('"')[1]
    assert parse_limits(example, unit).kind == kind


@pytest.mark.parametrize("kind", [kind for kind, row in KINDS.items() if row.typed])
def test_a_unit_tells_the_kind(kind: Kind) -> None:
    """Each word that tells it, with its number before it, large or small."""
    for word in KINDS[kind].typed.split("|"):
        for text in (f"1 to 20 {word}", f"1 to 20{word.upper()}"):
            found = parse_limits(text)
            assert (found.kind, found.low) == (kind, KINDS[kind].parse(f"1 {word}"))
    with pytest.raises(QuantityError):
        parse_limits("1 to 20 furlongs")


def test_the_numbers_of_the_table() -> None:
    """Sources: NIST SP 811 for psi (6894.757 Pa) and lbf (4.448222 N), from memory; 25.4 exact."""
    assert UNITS["psi"].of(6894.757e-6) == pytest.approx(1, abs=1e-6)
    assert pytest.approx(6894.757e-6, rel=1e-6) == 1 / PSI_PER_MPA
    assert UNITS["lbf"].of(4.448222) == pytest.approx(1, abs=1e-6)
    assert UNITS["thou"].of(0.0254) == pytest.approx(1)
    assert UNITS["mph"].of(1609344 / 3600) == pytest.approx(1)
    assert UNITS["ft_per_min"].of(304.8 / 60) == pytest.approx(1)
    assert pytest.approx(4.448222, abs=1e-6) == NEWTON_PER_LBF
