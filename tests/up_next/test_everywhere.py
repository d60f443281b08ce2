"""What comes next is the same on the board, in the commands and on the page on the wall."""

from __future__ import annotations

import re
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, new_uid
from shopboard.open_shop import OpenShop, utc_now
from shopboard.sittings.check import start
from shopboard.sittings.task import TaskSitting
from shopboard.up_next.items import NextItem, left_words, next_items
from shopboard.up_next.known import worked_out
from shopboard.up_next.under_way import all_under_way
from shopboard.web.glance import Glance, glance_page
from tests.board.workshop import SHOP
from tests.cli.program import Program
from tests.prep.results import result
from tests.shop_head import head

FENCE = "go on with Fence, begun just now (by phone)"
BLADE = "go on with Clean the blade: Soak: 10 min left"


def opened(program: Program) -> closing[OpenShop]:
    return closing(OpenShop(program.shop, program.journal, utc_now, who=lambda: "phone"))


@pytest.fixture
def loft(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Program:
    """A shop in which a point is true, and a check and a task were begun and left."""
    program = Program(tmp_path, capsys, monkeypatch)
    program.write("shop.toml", SHOP)
    with opened(program) as shop:
        true = NewEntry(new_uid(), "check", "saw", "table", result(0.0, 0.0001))
        shop.journal.append([true])
        start(shop.journal, shop.shop, shop.shop.points["saw.fence"])
        clean = next(one for one in shop.shop.machines[0].tasks if one.id == "clean")
        begun = TaskSitting(shop.journal, "saw", clean, None)
        begun.answer("plug out")
        begun.answer("")
        begun.answer("")
    return program


def on_the_board(shop: OpenShop) -> list[NextItem]:
    return next_items(shop.standing, all_under_way(shop))


def test_a_check_and_a_task_in_progress_come_first_everywhere(loft: Program) -> None:
    with opened(loft) as shop:
        items = on_the_board(shop)
        assert [one.said for one in items[:2]] == [FENCE, BLADE]
        assert items == worked_out(shop, 9)
        page = glance_page(Glance("The loft", shop.standing, shop.now(), up_next=items))
    listed = re.findall("<li>(.*?)</li>", page)
    assert listed[:2] == [f"Saw: {FENCE}", f"Saw: {BLADE}"]
    assert len(listed) == len(items)
    lines = loft("status").out.splitlines()
    assert "  in progress: Fence: begun just now (by phone)" in lines
    told = [one for one in lines if one.startswith("next: ")]
    assert told[:2] == [
        "next: go on with Fence (saw.fence), begun just now (by phone)",
        "next: go on with Clean the blade (saw.clean): Soak: 10 min left",
    ]
    data = loft("status", "--json").json
    assert [one["words"] for one in data["next"]] == [one.said for one in items]
    assert data["next"][0]["id"] == "saw.fence"
    assert data["next"][0]["by"] == "phone"
    assert data["next"][0]["begun"]
    assert data["next"][1]["id"] == "saw.clean"


def test_all_that_is_next_is_counted_alike(loft: Program) -> None:
    with opened(loft) as shop:
        items = on_the_board(shop)
    lines = loft("status").out.splitlines()
    named = [one for one in lines if one.startswith("next: ")]
    more = re.findall(r"\d+", lines[-1].partition(";")[0])
    assert len(named) + sum(map(int, more)) == len(items)
    assert loft("status", "--json").json["next_of"] == len(items)


BARE = """
[[machine]]
id = "mill"
name = "Mill"

[[machine.point]]
id = "arbor"
name = "Arbor"
check = "runout"
tolerance = "1 thou"

[[machine.task]]
id = "wax"
name = "Wax the bed"
every = "1 day"
"""


def test_a_shop_of_which_no_check_can_be_run_yet_has_things_to_do(loft: Program) -> None:
    """Nothing is proven and a task is due: that nothing was to be done stood on the wall."""
    loft.write("shop.toml", f"{head('The loft')}{BARE}")
    loft.journal.unlink()
    with opened(loft) as shop:
        items = worked_out(shop, 9)
        page = glance_page(Glance("The loft", shop.standing, shop.now(), up_next=items))
    assert [one.said for one in items] == ["check Arbor", "Wax the bed"]
    assert "Nothing is to be done" not in page


def test_the_first_check_of_a_shop_is_told_once_while_it_is_in_progress(loft: Program) -> None:
    loft.journal.unlink()
    with opened(loft) as shop:
        start(shop.journal, shop.shop, shop.shop.points["saw.table"])
        shop.refresh()
        told = [one.name for one in worked_out(shop, 9)]
    assert told[0] == "saw.table"
    assert len(told) == len({*told}) > 1


def test_a_name_stands_before_its_id_as_it_is(loft: Program) -> None:
    """Be a colon in it or none."""
    named = SHOP.replace('name = "Fence"', 'name = "Fence: square"')
    named = named.replace('name = "Clean the blade"', 'name = "Blade: clean it"')
    assert named != SHOP
    loft.write("shop.toml", named)
    told = [one for one in loft("status").out.splitlines() if one.startswith("next: ")]
    assert told[:2] == [
        "next: go on with Fence: square (saw.fence), begun just now (by phone)",
        "next: go on with Blade: clean it (saw.clean): Soak: 10 min left",
    ]


def test_it_takes_as_long_as_the_prep_day_says(loft: Program) -> None:
    """Whole minutes, and no fewer than it takes."""
    named = SHOP.replace('name = "Stop"', 'name = "Stop"\nminutes = "6.4 min"')
    loft.write("shop.toml", named)
    assert "next: check Stop (saw.stop), 7 min" in loft("status").out.splitlines()
    assert "check Stop (7 min; " in loft("prep").out


def test_what_is_left_is_counted_by_its_sort() -> None:
    def of(*sorts: str) -> str:
        return left_words([NextItem(sort, "saw", "", "") for sort in sorts])  # type: ignore[arg-type]

    assert of() == ""
    assert of("point") == "1 more check"
    assert of(*["point"] * 5, "task") == "5 more checks and 1 task"
    assert of("task", "task", "cutter") == "1 more cutter and 2 tasks"
    assert of("going", "round", "task") == "1 more thing in progress, 1 safety walk and 1 task"
