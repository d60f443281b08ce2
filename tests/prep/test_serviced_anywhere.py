"""What the last project used is serviced for one that does not need it: on three whole shops.

That tables are cleaned and waxed, and a dirty blade gives way to the sharp one, once the work is
done, is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan
from shopboard.prep.plan_words import detail
from shopboard.upkeep.cutter_journal import record_act, standings_now
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.task_marks import record_task
from tests.journal.helpers import Clock
from tests.two_shops import SHOPS

SERVICE = """
[[machine.task]]
id = "sweep"
name = "Sweep it out"
every = "1 project"
leaves = "dirt"

[[machine.task]]
id = "coat"
name = "Wax what slides"
every = "1 year"

[[machine.cutter]]
id = "turn-about"
name = "The other blade"
where = "on the shelf"
state = "sharp"
spare_for = "{blade}"
"""
NEXT = """
[[machine]]
id = "press"
name = "Pillar drill"
kind = "drill press"

[[machine.point]]
id = "jig"
name = "Leg jig"
check = "square"
datum = "table"
face = "jig"
lever = "{lever}"
tolerance = "{tolerance}"
cutter_near = true
shows_in = "leg angle"

[[project]]
id = "next"
name = "Milking stool"

[[project.joint]]
id = "legs"
name = "Legs"
kind = "leg"
depth = "{depth}"
length = "{length}"
"""
INCH = {"lever": "4 in", "tolerance": "0.2 deg", "depth": "1 in", "length": "12 in"}
MM = {"lever": "100 mm", "tolerance": "3 mm/m", "depth": "25 mm", "length": "300 mm"}
FIRST = {"sample": "desk", "metric": "shelf", "combination": "stool"}
BLADE = {"sample": "rip-20", "metric": "rip", "combination": "rip"}


@pytest.fixture(params=SHOPS)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def open_shop(name: str, tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    saw, second, rest = SHOPS[name].partition('[[machine]]\nid = "jointer"')
    if not second:
        saw, second, rest = saw.partition('[[machine]]\nid = "planer"')
    service = SERVICE.format(blade=BLADE[name])
    text = f"{saw}{service}\n{second}{rest}{NEXT.format(**(MM if name == 'metric' else INCH))}"
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock, 0.05)) as opened:
        assert not opened.problems
        yield opened


def on_the_saw(open_shop: OpenShop) -> tuple[DayPlan, dict[str, str]]:
    """The day before the next project, and what it has to do on the saw, with why."""
    open_shop.poll()
    open_shop.refresh()
    planner = Planner(open_shop)
    planner.choose("next")
    plan = planner.plan()
    here = [line for line in plan.lines if line.piece.machine == "saw"]
    return plan, {line.piece.id: detail(line, plan.now, {}) for line in here}


def finish(open_shop: OpenShop, project: str, *ran: str) -> None:
    shop = open_shop.shop
    which = shop.projects_by_id[project]
    record_happening(
        *(open_shop.journal, "", "project finished"), shop=shop, project=which, machines=ran
    )


def test_its_cleaning_and_wax_are_planned_and_say_what_it_was_used_for(
    open_shop: OpenShop, name: str
) -> None:
    first = open_shop.shop.projects_by_id[FIRST[name]]
    assert on_the_saw(open_shop)[1] == {}
    finish(open_shop, first.id, "saw")
    plan, found = on_the_saw(open_shop)
    assert {"task saw.sweep 0", "task saw.coat 0"} <= {*found}
    assert all(f"used for {first.name}" in why for why in found.values())
    order = [line.piece.id for line in plan.lines]
    assert order.index("task saw.sweep 0") < order.index("task saw.coat 0")
    for task in open_shop.shop.machines_by_id["saw"].tasks:
        record_task(open_shop.journal, "saw", task.id)
    assert on_the_saw(open_shop)[1] == {}


def test_what_one_before_left_is_planned_until_it_is_serviced(
    open_shop: OpenShop, name: str
) -> None:
    """The last one did not run there: it is as dirty as the one before left it, and says so."""
    first = open_shop.shop.projects_by_id[FIRST[name]]
    finish(open_shop, first.id, "saw")
    finish(open_shop, "next", "press")
    _, found = on_the_saw(open_shop)
    assert {"task saw.sweep 0", "task saw.coat 0"} <= {*found}
    assert all(f"used for {first.name}" in why for why in found.values())
    for task in open_shop.shop.machines_by_id["saw"].tasks:
        record_task(open_shop.journal, "saw", task.id)
    finish(open_shop, "next", "press")
    assert on_the_saw(open_shop)[1] == {}


def test_a_dirty_blade_gives_way_to_the_sharp_one_and_is_cleaned(
    open_shop: OpenShop, name: str
) -> None:
    """Cleaned, it is the next to go on."""
    shop, journal = open_shop.shop, open_shop.journal
    blade = next(one for one in standings_now(shop, "saw", journal) if one.mounted)
    assert blade.id == BLADE[name]
    for task in shop.machines_by_id["saw"].tasks:
        record_task(journal, "saw", task.id)
    record_act(blade, "dirty", open_shop.now(), journal)
    assert on_the_saw(open_shop)[1] == {}
    finish(open_shop, FIRST[name], "saw")
    _, found = on_the_saw(open_shop)
    assert {"cutter saw.turn-about", f"clean saw.{blade.id}"} <= {*found}
    assert all(f"used for {shop.projects_by_id[FIRST[name]].name}" in one for one in found.values())
