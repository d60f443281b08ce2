"""What is usual of each sort of machine makes a file that is right, in either unit."""

from __future__ import annotations

import math
import re
from typing import get_args

import pytest

from shopboard.checks.registry import facts, method, names
from shopboard.metrology.instruments import grade_limit
from shopboard.metrology.quantity import Unit
from shopboard.prep.first_look import read, unproven
from shopboard.shop.machine import MachineKind
from shopboard.shop.reader import read_shop_text
from shopboard.usual.lookup import FILES, KINDS, machine
from shopboard.usual.parts import Fineness
from shopboard.writing.new_file import text
from tests.usual.shops import UNITS, whole_shop

FINENESSES: tuple[Fineness, ...] = get_args(Fineness)


def test_every_sort_that_the_file_knows_has_its_usual_things() -> None:
    assert {*KINDS} == {*get_args(MachineKind)}
    assert all(machine(kind).kind == kind for kind in FILES)
    assert all(machine(kind).tasks for kind in FILES)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("fineness", FINENESSES)
def test_the_file_is_read_without_a_warning(unit: Unit, fineness: Fineness) -> None:
    """A circle, a lever beyond the square, a task of no machine would be named by the reader."""
    made = text(whole_shop(unit, fineness))
    loaded = read_shop_text(made, "shop.toml", names(), facts())
    assert loaded.warnings == ()
    assert len(loaded.shop.points) == sum(len(machine(kind).points) for kind in KINDS)


@pytest.mark.parametrize("unit", UNITS)
def test_a_metric_shop_reads_no_inches_and_an_inch_shop_no_millimetres(unit: Unit) -> None:
    """But for a leaf's own tolerance and threads, which are told as their makers tell them."""
    other = r"\d (?:mm|MPa)\b" if unit == "inch" else r"\d (?:in|inch|inches|thou|ft|psi)\b|thou/ft"
    lines = [one for one in text(whole_shop(unit)).splitlines() if "leaf_tolerance" not in one]
    assert [one for one in lines if re.search(other, one)] == []


@pytest.mark.parametrize("unit", UNITS)
def test_the_usual_tools_prove_every_point_for_furniture(unit: Unit) -> None:
    shop = read(whole_shop(unit))
    assert {name: why for name, why in unproven(shop).items() if why} == {}


@pytest.mark.parametrize("unit", UNITS)
def test_a_square_proves_them_by_a_rough_reckoning_of_our_own(unit: Unit) -> None:
    """Half a step of the leaves and half of a leaf's and the square's limit, all at their worst.

    The step of a set in inches is half a thousandth from .0015 to .003 in, of one in mm 0.05 mm
    from 0.05 mm on, two leaves together: the marks on the leaves, counted by hand. What three
    rectangular limits a, b, c add up to at 95 % is about 1.96 hypot(a, b, c) / sqrt(3) (GUM 4.3.7).
    """
    step, leaf = {"inch": 0.0005 * 25.4, "mm": 0.05}[unit], 0.003
    points = [one for one in read(whole_shop(unit)).points.values() if one.checks[0] == "square"]
    assert len(points) > 12
    for one in points:
        lever = one.geometry.lever
        square = grade_limit("0", 150) / 150 * lever
        open_mm = 1.96 * math.hypot(step / 2, leaf, square) / math.sqrt(3)
        allowed = math.tan((one.tolerance.high - one.tolerance.low) / 2) * lever
        assert open_mm < allowed, one.full_name


@pytest.mark.parametrize("unit", UNITS)
def test_every_point_beside_a_cutter_begins_with_the_plug(unit: Unit) -> None:
    """All points of a machine with a cutter, but those looked at while it runs."""
    for one in read(whole_shop(unit)).machines:
        if one.kind not in ("", "hand tools"):
            bare = [point.id for point in one.points if not point.cutter_near]
            assert bare in ([], ["run-down"]), one.id


@pytest.mark.parametrize("unit", UNITS)
def test_finer_work_allows_less(unit: Unit) -> None:
    shops = [read(whole_shop(unit, one)) for one in FINENESSES]
    for name in shops[0].points:
        spans = [one.points[name].tolerance for one in shops]
        wide = [one.high - one.low for one in spans]
        assert wide == sorted(wide, reverse=True)


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_checked_first_stands_first(kind: str) -> None:
    """A point comes behind all that it rests on, and each of its methods measures one thing."""
    seen: set[str] = set()
    for point in machine(kind).points:
        assert {*point.rests_on} <= seen
        seen.add(point.id)
        assert len({method(name).kind for name in point.checks}) == 1


_FIRST: dict[str, list[tuple[str, ...]]] = {
    "bandsaw": [
        ("wheels", "tension", "tracking", "guides", "table-side"),
        ("guides", "drift"),
        ("wheels", "thrust", "drift"),
        ("wheels", "table-front"),
        ("table-side", "fence"),
    ],
    "jointer": [
        ("outfeed-table", "tables", "knives"),
        ("seated", "knives"),
        ("tables", "fence", "fence-infeed"),
    ],
    "planer": [("knives", "bed"), ("knives", "snipe")],
    "drill press": [("chuck", "table-side", "leg-jig"), ("table", "leg-jig")],
    "lathe": [("spindle", "centres"), ("bed", "centres")],
    "router table": [("collet", "bit"), ("plate", "bit")],
    "shaper": [("spindle", "spindle-table")],
    "table saw": [("blade-slot", "fence-line"), ("blade-slot", "mitre-gauge")],
    "mitre saw": [("blade-table", "blade-fence", "stop-45")],
}
"""What a maker sets before what: common practice, no source."""


@pytest.mark.parametrize("kind", _FIRST)
def test_what_a_maker_sets_first_is_checked_first(kind: str) -> None:
    """Of all that is usual, and of what is there where any of it is left out."""
    usual = machine(kind)
    everything = [one.id for one in usual.points]
    mostly = [one.id for one in usual.points if one.common]
    for here in (
        everything,
        mostly,
        *([one for one in everything if one != left] for left in everything),
    ):

        def below(ident: str, here: list[str] = here) -> set[str]:
            bases = usual.rests_on(ident, here)
            return {*bases, *(far for one in bases for far in below(one))}

        for chain in _FIRST[kind]:
            there = [one for one in chain if one in here]
            for at, ident in enumerate(there):
                assert {*there[:at]} <= below(ident), (ident, here)
