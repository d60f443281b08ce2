"""Several dull cutters on one machine: each is planned, or stays open; told by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from shopboard.prep.due_changes import due_changes, planned_changes
from shopboard.prep.job_list import KnownNow, ToDo
from shopboard.prep.stays_open import StaysOpen
from shopboard.prep.work import to_do
from shopboard.shop.machine import Cutter, Machine
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import MachineStanding, Past
from shopboard.upkeep.changing import Changing
from tests.builders import make_point, make_shop
from tests.prep.test_stopped import NOW, RIP, SPARE, standing_of
from tests.upkeep.cutter_shop import KNIVES

GOING = Changing("blade change", "a", "blade")
BIT = RIP._replace(id="slot", name="Slot cutter", kind="bit")
BIT_2 = SPARE._replace(id="slot-2", name="Second slot cutter", kind="bit", spare_for="slot")


def changes(*cutters: Cutter, **more: Any) -> tuple[list[str], list[StaysOpen]]:
    one: MachineStanding = standing_of(Machine("a", "A", cutters=cutters)).machines[0]
    opens: list[StaysOpen] = []
    found = due_changes(one._replace(**more), ["a"], opens)
    return [f"{piece.act} {piece.target}".strip() for piece in found], opens


def planned(*cutters: Cutter) -> ToDo:
    shop = make_shop(
        make_point("saw.blade", undone_by=("blade changed",), cutter_near=True),
        make_point("saw.slot", undone_by=("bit changed",), cutter_near=True),
    )
    saw = shop.machines[0]._replace(cutters=cutters)
    shop = replace(shop, machines=(saw, *shop.machines[1:]))
    return to_do(KnownNow(shop, shop_standing(shop, Past(), NOW), NOW, lambda _: 6.0))


def test_a_blade_and_a_bit_are_both_changed() -> None:
    assert changes(RIP, SPARE, BIT, BIT_2) == (["put on spare", "put on slot-2"], [])


def test_what_has_no_sharp_one_stays_open_wherever_it_stands() -> None:
    for cutters in ((RIP, SPARE, BIT), (BIT, RIP, SPARE)):
        found, opens = changes(*cutters)
        assert found == ["put on spare"]
        assert [one.target for one in opens] == ["slot"]


def test_one_spare_goes_on_once() -> None:
    """Two planes share it: the second one stays open."""
    plane = Cutter("plane", "Plane", "on the machine", "dull", "hand tool")
    block = plane._replace(id="block", name="Block plane", spare_for="plane")
    iron = plane._replace(id="iron", where="on the shelf", state="sharp", spare_for="plane")
    found, opens = changes(plane, block, iron)
    assert found == ["put on iron"]
    assert [one.target for one in opens] == ["block"]
    two = iron._replace(id="iron-2")
    assert changes(plane, block, iron, two) == (["put on iron", "put on iron-2"], [])


def test_a_change_under_way_comes_before_another_one() -> None:
    standing = standing_of(Machine("a", "A", cutters=(RIP, SPARE, BIT, BIT_2))).machines[0]
    for kind, expected in (("blade", [" ", "put on slot-2"]), (None, [" "])):
        going = GOING._replace(kind=kind)
        found = due_changes(standing._replace(changing=going), ["a"], [])
        assert [f"{one.act} {one.target}" for one in found] == expected


@pytest.mark.parametrize(
    ("act", "happened"),
    [
        ("turn", "knives turned"),
        ("put on", "knives changed"),
        ("take off", ""),
        ("", "knives changed"),
    ],
)
def test_what_is_under_way_undoes_what_it_will_once_it_is_done(act: str, happened: str) -> None:
    standing = standing_of(Machine("a", "A", cutters=(KNIVES,))).machines[0]
    going = GOING._replace(kind="knives", act=act, cutter="knives")
    (found,) = planned_changes(standing._replace(changing=going), ["a"], [])
    assert found.happened == happened


def test_each_brings_the_checks_that_it_undoes() -> None:
    todo = planned(RIP, SPARE, BIT, BIT_2)
    after = {job.id: {*dict(job.after)} for job in todo.jobs}
    both = {"cutter saw.spare", "cutter saw.slot-2"}
    assert both <= after["check saw.blade"]
    assert both <= after["check saw.slot"]
    whole = {job.id: (job.opens, job.closes) for job in todo.jobs if job.id in both}
    assert {*whole.values()} == {("saw", "saw")}
