"""What a new shop's tools can prove, what would help, and what is checked first."""

from __future__ import annotations

import pytest

from shopboard.checks.registry import method
from shopboard.metrology.quantity import Unit
from shopboard.prep.first_look import first_checks, helping, read, unproven, usual_unproven
from shopboard.usual.build import NewMachine, NewPoint, NewShop, NewTool, build
from shopboard.usual.lookup import KINDS, machine
from shopboard.usual.tools import SQUARE, STRAIGHTEDGE, tools
from tests.usual.shops import UNITS


def having(unit: Unit, *sorts: str) -> list[NewTool]:
    return [NewTool(one.sort, one.table(unit)) for one in tools(unit) if one.sort in sorts]


def shop_of(unit: Unit, drawer: list[NewTool], *kinds: str) -> NewShop:
    made = [
        NewMachine(kind, machine(kind).id, kind, [NewPoint(one.id) for one in machine(kind).points])
        for kind in kinds
    ]
    return NewShop("The weir", unit, made, drawer)


@pytest.mark.parametrize("unit", UNITS)
def test_without_a_tool_its_points_are_not_proven_and_it_is_named(unit: Unit) -> None:
    """Each method says what it takes; here by the first word of that."""
    drawer = having(unit, "square", "feeler", "straightedge", "calliper")
    takes = usual_unproven("table saw", drawer, unit)
    by_dial = {
        one.id for one in machine("table saw").points if method(one.checks[0]).tools == "indicator"
    }
    assert {name for name, why in takes.items() if "indicator" in why} == by_dial
    assert {name for name, why in takes.items() if why} == by_dial
    helps = helping(read(build(shop_of(unit, drawer, "table saw", "drill press"))))
    assert [one.tools for one in helps] == [("indicator",)]
    assert {*helps[0].points} == {
        *(f"saw.{one}" for one in by_dial),
        "drill.chuck",
        "drill.table",
    }
    more = [*drawer, *having(unit, "indicator")]
    assert helping(read(build(shop_of(unit, more, "table saw", "drill press")))) == ()


def test_two_tools_that_help_only_together_are_named_together() -> None:
    helps = helping(read(build(shop_of("inch", [], "jointer"))))
    both = next(one for one in helps if "jointer.tables" in one.points)
    assert {*both.tools} == {"feeler", "straightedge"}


def test_a_square_of_no_promise_counts_as_well_as_it_can_be_proven() -> None:
    """By its proof it is known closer than nobody's word; until then what it can prove is less."""
    wide = next(at for at, one in enumerate(SQUARE.promises) if one.prove_first)
    table = SQUARE.table("inch", 4, wide)
    others = having("inch", "feeler", "calliper")
    taken = usual_unproven("table saw", [NewTool("square", table), *others], "inch")
    proven = usual_unproven("table saw", [NewTool("square", table, True), *others], "inch")
    assert taken["rip-fence"]
    assert not proven["rip-fence"]
    without = usual_unproven("table saw", [NewTool("square", table, True), others[0]], "inch")
    assert without["rip-fence"], "the calliper that proves the square is missing"


def test_tools_come_first_then_what_most_rests_on() -> None:
    wide = next(at for at, one in enumerate(STRAIGHTEDGE.promises) if one.prove_first)
    drawer = [
        *having("mm", "square", "feeler", "indicator", "calliper"),
        NewTool("straightedge", STRAIGHTEDGE.table("mm", 0, wide), True),
    ]
    shop = read(build(shop_of("mm", drawer, "table saw", "jointer")))
    first = first_checks(shop, 4)
    assert first[0].point.proves == "straightedge"
    assert first[0].minutes == method("three-straightedges").minutes
    bases = {base for one in shop.points.values() for base in one.rests_on}
    assert all(one.point.full_name in bases for one in first[1:])
    cannot = unproven(shop)
    assert not [one for one in first_checks(shop, 99) if cannot[one.point.full_name]]


@pytest.mark.parametrize("unit", UNITS)
def test_of_the_tools_that_which_takes_least_is_proven_first(unit: Unit) -> None:
    """Three straightedges are not at hand everywhere; a board and a knife are."""
    unsure = [
        NewTool(one.sort, one.table(unit, 0, at), True)
        for one in (STRAIGHTEDGE, SQUARE)
        for at, promise in enumerate(one.promises)
        if promise.prove_first
    ]
    drawer = [*having(unit, "feeler", "calliper"), *unsure]
    first = first_checks(read(build(shop_of(unit, drawer, "table saw"))))
    assert [one.point.proves for one in first] == ["square", "straightedge", ""]
    assert first[0].minutes < first[1].minutes


@pytest.mark.parametrize("kind", KINDS)
def test_without_any_tool_only_what_is_looked_at_is_proven(kind: str) -> None:
    takes = usual_unproven(kind, [], "inch")
    looked_at = {"", "-", "a watch", "rule", "calliper or rule", "rule, leaves"}
    looked_at.add("square or bevel gauge, rule")  # the bevel gauge will do
    for one in machine(kind).points:
        can = any(method(name).tools in looked_at for name in one.checks)
        assert bool(takes[one.id]) != can, one.id
