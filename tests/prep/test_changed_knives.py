"""What a change of cutter undoes is measured before a joint is GO, and planned behind the change.

Knives are set; a blade has its place by its arbor (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of, needs_of
from shopboard.prep.day import Planner
from shopboard.prep.needs_words import needed_words
from shopboard.shop.machine import PROJECT_FINISHED
from shopboard.upkeep.happenings import record_happening
from tests.journal.helpers import Clock
from tests.prep.test_whole_joints import add
from tests.two_shops import COMBINATION

KNIVES = """
[[machine.cutter]]
id = "knives"
name = "Knives"
where = "on the machine"
state = "{state}"
kind = "knives"
serves = "planer"
edges = 2
"""
RIVING = """
[[machine.point]]
id = "riving"
name = "Riving knife behind the blade"
check = "seating"
undone_by = ["blade changed"]
cutter_near = true

[[machine.cutter]]
id = "cross"
name = "Crosscut blade"
where = "on the shelf"
state = "sharp"
spare_for = "rip"
"""


def shop_with(state: str = "sharp") -> str:
    """The combination shop, whose tables show in the work and whose knives can be turned."""
    tables = 'undone_by = ["machine moved"]\ncutter_near = true\n\n[[machine.point]]\nid = "carry"'
    shown = tables.replace("true\n", 'true\nshows_in = "edge line"\n', 1)
    planer = '[[machine]]\nid = "planer"'
    assert tables in COMBINATION
    made = COMBINATION.replace(tables, shown)
    return made.replace(planer, KNIVES.format(state=state) + planer)


def opened(folder: Path, clock: Clock, text: str) -> OpenShop:
    (folder / "shop.toml").write_text(text, encoding="utf-8")
    made = OpenShop(folder / "shop.toml", folder / "journal.sqlite3", clock)
    for name in made.shop.points:
        add(made, name)
    made.refresh()
    return made


@pytest.fixture
def all_true(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    with closing(opened(tmp_path, clock, shop_with())) as made:
        yield made


def seat(open_shop: OpenShop) -> tuple[bool, set[str]]:
    """Whether the seat goes, and what holds it up."""
    (found,) = answers_of(open_shop, open_shop.shop.projects[0].joints)
    return found.go, {one.about for one in found.reasons}


def planned(open_shop: OpenShop) -> list[str]:
    planner = Planner(open_shop)
    planner.choose("stool")
    return [f"{one.piece.sort} {one.piece.target}" for one in planner.plan().lines]


@pytest.mark.parametrize("what", ["knives changed", "knives turned"])
def test_a_joint_waits_for_the_knives_of_its_machine(all_true: OpenShop, what: str) -> None:
    assert seat(all_true) == (True, set())
    record_happening(all_true.journal, "jointer", what)
    all_true.refresh()
    assert seat(all_true) == (False, {"jointer.seated", "jointer.carry"})
    assert planned(all_true) == ["check jointer.seated", "check jointer.carry"]


def test_knives_that_are_out_hold_up_what_they_cut(all_true: OpenShop) -> None:
    """Also where their error is said to show in no cut: what it adds is not known then."""
    add(all_true, "jointer.carry", 0.3)  # mm above the table, of at most 3 thou
    all_true.refresh()
    assert seat(all_true) == (False, {"jointer.carry"})
    (told,) = [
        needed_words(one, "inch")
        for one in needs_of(all_true, all_true.shop.projects[0]).points
        if one.known.full_name == "jointer.carry"
    ]
    assert told == "set with the knives: must be known, and not out; shop file 0 to 3 thou"


def test_what_a_planned_turn_undoes_is_measured_after_it(tmp_path: Path, clock: Clock) -> None:
    """Not the planer's bed, which it undoes too: the project planes nothing."""
    with closing(opened(tmp_path, clock, shop_with("dull"))) as made:
        assert planned(made) == ["cutter knives", "check jointer.seated", "check jointer.carry"]


def test_on_a_machine_that_a_project_says_it_runs_on_it_is_measured_and_serviced(
    tmp_path: Path, clock: Clock
) -> None:
    """No joint tells of boards planed to thickness; with other knives the bed is measured first."""
    text = shop_with("dull").replace(
        'name = "Three stools"\n', 'name = "Three stools"\nalso_on = "planer"\n'
    )
    with closing(opened(tmp_path, clock, text)) as made:
        assert {*planned(made)} == {
            *("cutter knives", "check jointer.seated", "check jointer.carry"),
            *("check planer.bed", "task oil"),
        }


def test_a_riving_knife_is_looked_at_behind_a_new_blade(tmp_path: Path, clock: Clock) -> None:
    """It shows in no joint and holds none up; a project that does not saw leaves it."""
    rip, jointer = '[[machine.cutter]]\nid = "rip"', '[[machine]]\nid = "jointer"'
    text = (
        shop_with()
        .replace(rip, RIVING + rip)
        .replace('state = "sharp"\nlasts', 'state = "dull"\nlasts')
    )
    with closing(opened(tmp_path, clock, text)) as made:
        assert planned(made) == []
    ends = text.replace(
        'kind = "panel"\npieces = 4', 'kind = "panel"\nmade_on = { edge_angle = "saw" }\npieces = 4'
    )
    assert jointer in ends
    guards = text.replace(
        'check = "seating"\nundone_by = ["blade',
        'guards = true\ncheck = "seating"\nundone_by = ["blade',
    )
    sawn = ends.partition("[[project]]")[2].replace('"stool"', '"shelf"', 1)
    with closing(opened(tmp_path, clock, f"{guards}\n[[project]]{sawn}")) as made:
        shelf = made.shop.projects_by_id["shelf"]
        record_happening(made.journal, "", PROJECT_FINISHED, shop=made.shop, project=shelf)
        made.refresh()
        assert planned(made) == [
            "cutter cross",
            "check saw.riving",
        ]  # of a guard it never leaves it
    with closing(opened(tmp_path, clock, ends)) as made:
        assert planned(made)[:3] == ["cutter cross", "check saw.blade", "check saw.riving"]
        assert not any(
            one.about == "saw.riving"
            for one in answers_of(made, made.shop.projects[0].joints)[0].reasons
        )
