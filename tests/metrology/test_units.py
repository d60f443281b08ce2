"""Units and kinds of values stand in one table each: nothing else knows them by heart."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

from shopboard.metrology.kind import KINDS, Kind, in_units, main_unit, measure, own_units
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.number import QuantityError
from shopboard.metrology.units import NEWTON_PER_LBF, PSI_PER_MPA, UNITS, Unit, by_unit, in_unit
from shopboard.metrology.wording import own_words
from tests.metrology.pint_units import registry

PACKAGE = Path(__file__).parents[2] / "shopboard"


def nodes(*words: str) -> Iterator[tuple[str, ast.AST]]:
    """Give what stands in the code of each file in which one of some words does."""
    for path in PACKAGE.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        if any(word in text for word in words):
            name = path.relative_to(PACKAGE).as_posix()
            yield from ((name, node) for node in ast.walk(ast.parse(text)))


def test_the_inch_is_known_in_one_place() -> None:
    """25.4 mm, and what follows from it: 304.8 mm a foot, 0.0254 mm a thousandth."""
    found = [
        (name, node.value)
        for name, node in nodes("25.4", "304.8")
        if isinstance(node, ast.Constant) and node.value in (25.4, 304.8)
    ]
    assert found == [("metrology/units.py", 25.4)]


def test_nothing_else_asks_whether_a_shop_works_in_inches() -> None:
    """It is asked in `by_unit` alone: there a third system would have its place."""
    asked = [
        name
        for name, node in nodes(*(f'"{unit}"' for unit in get_args(Unit)))
        if isinstance(node, ast.Compare)
        for one in (node.left, *node.comparators)
        if isinstance(one, ast.Constant) and one.value in get_args(Unit)
    ]
    life = [
        "demo/upkeep.py",
        "upkeep/cutter_words.py",
    ]  # told in minutes, cuts, mm of wood or projects
    assert sorted(asked) == sorted(["metrology/units.py", *life])


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


INSIDE = {"angle": "rad", "length": "mm", "stress": "MPa", "time": "s", "speed": "mm/s"}
"""What a value of each kind is inside, as a general library of units spells it."""


@pytest.mark.parametrize(
    ("name", "ours", "theirs", "kind"),
    [
        ("deg", 1.0, "deg", "angle"),
        ("in", 1.0, "inch", "length"),
        ("thou", 1.0, "thou", "length"),
        ("mm", 1.0, "mm", "length"),
        ("psi", 1.0, "psi", "stress"),
        ("MPa", 1.0, "MPa", "stress"),
        ("s", 1.0, "s", "time"),
        ("ft_per_min", 1.0, "foot/minute", "speed"),
        ("m_per_s", 1.0, "m/s", "speed"),
        ("m_per_min", 1.0, "m/minute", "speed"),
        ("mph", 1.0, "mile/hour", "speed"),
    ],
)
def test_a_unit_is_what_it_is_called(name: str, ours: float, theirs: str, kind: str) -> None:
    """Source: pint's table of units, which is NIST SP 811's."""
    by_library = registry().Quantity(ours, INSIDE[kind]).to(theirs).magnitude
    assert UNITS[name].of(ours) == pytest.approx(by_library, rel=1e-9)


def test_a_slope_is_a_rise_over_its_run() -> None:
    """A rise of 1 in 1000, by its tangent: 1 mm in a metre, 12 thou in a foot (derived)."""
    angle = math.atan(1e-3)
    assert UNITS["mm_per_m"].of(angle) == pytest.approx(1.0)
    assert UNITS["thou_per_ft"].of(angle) == pytest.approx(12.0)
    assert UNITS["N"].of(3.0) == 3.0


BOTH, INCH, MM = ("inch", "mm"), ("inch",), ("mm",)


@pytest.mark.parametrize(
    ("name", "sign", "shops", "told"),  # digits, large, limit, exact, beside, span
    [
        ("deg", "deg", BOTH, (3, math.inf, 3, 4, 3, 1.0)),
        ("thou_per_ft", "thou/ft", INCH, (1, math.inf, 1, 2, 1, 0.5)),
        ("mm_per_m", "mm/m", MM, (2, math.inf, 2, 3, 2, 0.05)),
        ("in", "in", (), (0, math.inf, 0, 5, 4, 1.0)),
        ("thou", "thou", INCH, (1, 20.0, 1, 2, 1, 0.5)),
        ("mm", "mm", MM, (3, 0.5, 2, 4, 3, 0.02)),
        ("psi", "psi", INCH, (0, math.inf, 0, 0, 0, 100.0)),
        ("MPa", "MPa", MM, (0, math.inf, 0, 1, 0, 1.0)),
        ("s", "s", BOTH, (1, math.inf, 1, 1, 0, 0.5)),
        ("ft_per_min", "ft/min", INCH, (0, math.inf, 0, 1, 0, 50.0)),
        ("m_per_s", "m/s", MM, (1, math.inf, 0, 1, 0, 0.5)),
        ("m_per_min", "m/min", MM, (0, math.inf, 0, 1, 0, 1.0)),
        ("mph", "mph", INCH, (0, math.inf, 0, 1, 0, 1.0)),
        ("lbf", "lbf", INCH, (0, math.inf, 0, 1, 0, 1.0)),
        ("N", "N", MM, (0, math.inf, 0, 1, 0, 1.0)),
    ],
)
def test_how_a_unit_is_written(
    name: str, sign: str, shops: tuple[str, ...], told: tuple[float, ...]
) -> None:
    """Digits are a choice: about a tenth of what a hand can tell (common practice, no source).

    As large as half a millimetre or 20 thou a length has a digit less.
    """
    row = UNITS[name]
    written = (row.digits, row.large, row.limit, row.exact, row.beside, row.span)
    assert (row.sign, row.shops, written) == (sign, shops, told)


def test_every_unit_is_in_these_tables() -> None:
    of_kinds = {unit for row in KINDS.values() for unit in row.units}
    assert {*UNITS} == of_kinds | {"lbf", "N"}  # forces are told beside a stress, and never kept


def test_a_digit_less_from_where_a_size_is_large() -> None:
    """By hand: just below, and at it."""
    assert [in_unit(size, "mm") for size in (0.499, 0.5)] == ["0.499 mm", "0.50 mm"]
    assert [in_unit(size * 0.0254, "thou") for size in (19.9, 20.1)] == ["19.9 thou", "20 thou"]
    assert in_unit(-0.25, "mm", "-") == "-0.250 mm"


@pytest.mark.parametrize(
    ("kind", "record", "si"),
    [
        ("angle", "nrad", "rad"),
        ("length", "nm", "m"),
        ("stress", "Pa", "Pa"),
        ("time", "us", "s"),
        ("speed", "um per s", "m/s"),
    ],
)
def test_a_record_counts_whole_small_units(kind: Kind, record: str, si: str) -> None:
    """And hands a value on in the SI's own (SI brochure, table 2 and 4); sizes by pint."""
    row, ours = KINDS[kind], registry().Quantity(1.0, INSIDE[kind])
    for (unit, many), named in ((row.record, record), (row.si, si)):
        assert unit == named
        assert many == pytest.approx(ours.to(unit.replace(" per ", "/")).magnitude)


@pytest.mark.parametrize(
    ("kind", "one", "inch", "mm", "beside", "is_so"),
    [
        ("angle", "an angle", "thou_per_ft", "mm_per_m", ("deg",), {"departs", "signed"}),
        ("length", "a length", "thou", "mm", (), {"departs", "signed"}),
        ("stress", "a stress", "psi", "MPa", (), set()),
        ("time", "a time", "s", "s", (), {"signed", "from_nought"}),
        ("speed", "a speed", "ft_per_min", "m_per_s", (), set()),
        ("yes or no", "a yes or no", "", "", (), set()),
        ("note", "a note", "", "", (), set()),
    ],
)
def test_what_a_kind_is(
    kind: Kind, one: str, inch: str, mm: str, beside: tuple[str, ...], is_so: set[str]
) -> None:
    """An error about 0 has a sign; no time is below 0 (trivial); units are common practice."""
    row = KINDS[kind]
    assert (row.one, row.inch, row.mm, row.beside) == (one, inch, mm, beside)
    assert {name for name in ("departs", "signed", "from_nought") if getattr(row, name)} == is_so


def test_what_was_said_is_kept_as_thousandths_without_a_unit() -> None:
    for kind, said in (("yes or no", ("yes", "no")), ("note", ("noted", "noted"))):
        row = KINDS[kind]  # type: ignore[index]
        assert (row.record, row.si, row.said) == (("of 1000", 1000.0), ("", 1.0), said)
        assert row.example == "make it a point of its own"
