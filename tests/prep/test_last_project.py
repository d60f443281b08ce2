"""What the last project used is serviced, though the next one does not need it.

That a machine is cleaned and waxed after the work that it was used for is common practice, no
source; which machines a project was cut on is told by its joints in the shop file of the test.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import kinds
from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.last_project import last_project, to_come_first
from shopboard.prep.plan import DayPlan
from shopboard.prep.plan_words import detail
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import record_tag
from shopboard.upkeep.task_marks import record_task
from tests.journal.helpers import Clock
from tests.prep.workshop import SHOP

TOP = """
[[project]]
id = "board"
name = "Cutting board"

[[project.joint]]
id = "top"
name = "Top"
kind = "panel"
pieces = 3
width = "4 in"
length = "16 in"
thickness = "3/4 in"
"""
"""A project that is cut on the jointer alone; the chest is cut on the saw alone."""

TEXT = (
    SHOP.replace('name = "Jointer fence"', 'name = "Jointer fence"\nshows_in = "edge angle"')
    .replace('every = "2 weeks"', 'every = ["2 weeks", "1 project"]')
    .replace("[[project]]", f"{TOP}\n[[project]]", 1)
)
GREASE = """
[[machine.task]]
id = "grease"
name = "Grease the bearings"
every = "6 months"

[[machine]]
id = "edges"
"""


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    path = tmp_path / "shop.toml"
    path.write_text(TEXT.replace('[[machine]]\nid = "edges"', GREASE.strip()), encoding="utf-8")
    return path


@pytest.fixture
def open_shop(shop_file: Path, tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    with closing(OpenShop(shop_file, tmp_path / "journal.sqlite3", clock, 0.05)) as opened:
        yield opened


def finished(open_shop: OpenShop, project: str = "") -> None:
    shop = open_shop.shop
    which = shop.projects_by_id.get(project)
    record_happening(open_shop.journal, "", "project finished", shop=shop, project=which)


def plan_for(open_shop: OpenShop, project: str) -> DayPlan:
    open_shop.poll()
    open_shop.refresh()
    planner = Planner(open_shop)
    planner.choose(project)
    return planner.plan()


def ids(plan: DayPlan) -> list[str]:
    return [line.piece.id for line in plan.lines]


def test_its_joints_tell_which_machines_were_used(open_shop: OpenShop) -> None:
    finished(open_shop, "board")
    found = last_project(open_shop.journal, open_shop.shop)
    assert (found.name, {*found.machines}) == ("Cutting board", {"jointer", "edges"})
    finished(open_shop, "chest")
    assert last_project(open_shop.journal, open_shop.shop).machines == {"saw", "edges"}


def test_what_was_said_of_them_goes_before_what_tells_of_them(open_shop: OpenShop) -> None:
    """Also before use that is on record: that was for something else."""
    shop, journal = open_shop.shop, open_shop.journal
    record_happening(journal, "jointer", "hours run", 30.0, shop=shop)
    which = shop.projects_by_id["board"]
    record_happening(journal, "", "project finished", shop=shop, project=which, machines=["saw"])
    assert last_project(journal, shop).machines == {"saw"}


def test_what_was_used_beside_its_joints_counts_too(open_shop: OpenShop) -> None:
    record_happening(open_shop.journal, "saw", "hours run", 30.0, shop=open_shop.shop)
    finished(open_shop, "board")
    found = last_project(open_shop.journal, open_shop.shop)
    assert found.machines == {"jointer", "saw", "edges"}


def test_a_project_of_no_name_is_told_by_use_as_it_was_before(open_shop: OpenShop) -> None:
    """An entry of before names none; nor does one of something that the shop file never had."""
    record_happening(open_shop.journal, "saw", "hours run", 30.0, shop=open_shop.shop)
    finished(open_shop)
    (entry,) = open_shop.journal.recent(kinds.HAPPENING.name, "", "project finished", 1)
    assert not {"project", "machines"} & entry.body.keys()
    found = last_project(open_shop.journal, open_shop.shop)
    assert (found.used_it("saw"), *found.machines) == ("used in the last project", "saw")


def test_it_is_known_after_it_left_the_shop_file(open_shop: OpenShop, shop_file: Path) -> None:
    """And its machine was called otherwise: ``was`` leads to it."""
    finished(open_shop, "board")
    text = shop_file.read_text(encoding="utf-8").replace(TOP, "")
    text = text.replace('id = "jointer"', 'id = "planing"\nwas = "jointer"')
    shop_file.write_text(text, encoding="utf-8")
    open_shop.poll()
    assert not open_shop.problems
    found = last_project(open_shop.journal, open_shop.shop)
    assert (found.name, {*found.machines}) == ("board", {"planing", "edges"})


def test_what_it_made_due_is_planned_though_the_next_one_does_not_need_it(
    open_shop: OpenShop,
) -> None:
    """Only that: nothing is checked there, and grease by the calendar has time."""
    before = plan_for(open_shop, "chest")
    assert "task jointer.dust 0" not in ids(before)
    named = "Jointer fence, Empty the chip bag, Grease the bearings"
    assert f"Not for this project (Jointer): {named}." in before.left_out
    finished(open_shop, "board")
    plan = plan_for(open_shop, "chest")
    of_jointer = [line for line in plan.lines if line.piece.machine == "jointer"]
    assert [line.piece.id for line in of_jointer] == ["task jointer.dust 0"]
    assert detail(of_jointer[0], plan.now, {}) == "7 min; used for Cutting board"
    assert {*ids(plan)} == {*ids(before), "task jointer.dust 0"}
    assert "Not for this project (Jointer): Jointer fence, Grease the bearings." in plan.left_out
    record_task(open_shop.journal, "jointer", "dust")
    assert {*ids(plan_for(open_shop, "chest"))} == {*ids(before)}


def test_what_a_project_before_it_left_dirty_stays_due_until_it_is_serviced(
    open_shop: OpenShop,
) -> None:
    """A layer of dust does not go away by making something else."""
    finished(open_shop, "board")
    finished(open_shop, "chest")
    plan = plan_for(open_shop, "chest")
    (dust,) = (line for line in plan.lines if line.piece.machine == "jointer")
    assert detail(dust, plan.now, {}) == "7 min; used for Cutting board"
    record_task(open_shop.journal, "jointer", "dust")
    assert "task jointer.dust 0" not in ids(plan_for(open_shop, "chest"))


def test_use_alone_tells_of_a_project_before_it_too(open_shop: OpenShop) -> None:
    shop, journal = open_shop.shop, open_shop.journal
    record_happening(journal, "jointer", "hours run", 30.0, shop=shop)
    finished(open_shop)
    finished(open_shop, "chest")
    last = last_project(journal, shop)
    assert last.used_it("jointer") == "used in a project before"
    entries = journal.recent(kinds.HAPPENING.name, "", "project finished", 2)
    assert last.used("jointer", entries[1].seq - 1)
    assert not last.used("jointer", entries[1].seq + 1)
    journal.void(entries[1].uid, "it was another one")
    assert not last_project(journal, shop).before


def test_a_machine_that_is_needed_anyway_says_nothing_of_it(open_shop: OpenShop) -> None:
    finished(open_shop, "chest")
    plan = plan_for(open_shop, "chest")
    assert not any(line.piece.serviced for line in plan.lines)


def test_a_tag_keeps_its_service_out_and_is_said(open_shop: OpenShop) -> None:
    finished(open_shop, "board")
    record_tag("jointer", "guard is off", open_shop.journal)
    plan = plan_for(open_shop, "chest")
    assert "task jointer.dust 0" not in ids(plan)
    assert [one.target for one in plan.stays_open if one.sort == "machine"] == ["jointer"]


@pytest.mark.parametrize(
    ("start", "first"),
    [("", "chest"), ("start = 2020-02-15\n", "chest"), ("start = 2090-02-15\n", "board")],
)
def test_what_is_finished_comes_after_what_is_to_come(
    tmp_path: Path, clock: Clock, start: str, first: str
) -> None:
    """One that begins later than it was finished is to be made again; a mistake finishes none."""
    path = tmp_path / "shop.toml"
    path.write_text(TEXT.replace('name = "Cutting board"\n', f'name = "Cutting board"\n{start}'))
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as open_shop:
        shop, journal = open_shop.shop, open_shop.journal
        assert to_come_first(journal, shop) == shop.projects
        entry = record_happening(
            journal, "", "project finished", shop=shop, project=shop.projects_by_id["board"]
        )
        assert to_come_first(journal, shop)[0].id == first
        assert sorted(one.id for one in to_come_first(journal, shop)) == ["board", "chest"]
        journal.void(entry.uid, "it was another one")
        assert to_come_first(journal, shop) == shop.projects
