"""`prep`: the plan as lines and as JSON, begun, ended, printed."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime, timedelta
from itertools import pairwise

import pytest

from tests.cli.program import Program
from tests.prep.workshop import SHOP
from tests.two_shops import COMBINATION, METRIC
from tests.whole_shop import WHOLE_SHOP


@pytest.fixture
def loft(program: Program) -> Program:
    """The program at a small workshop with a project."""
    program.write("shop.toml", SHOP)
    return program


def test_the_plan_as_lines(loft: Program) -> None:
    lines = loft("prep", "chest").out.splitlines()
    assert lines[0] == "The loft: prep day for Blanket chest, not begun"
    assert lines[1].startswith("Done by ")
    assert lines[1].endswith("41 min of work.")
    assert lines[2].startswith("now ")
    assert "Table saw" in lines[2]
    assert "Blade off, into the tub (Clean the pitch off the blade, steps 1 to 2 of 4" in lines[2]
    assert "then a 20 min wait, until " in lines[2]
    assert lines[3].startswith("next ")
    assert lines[-2] == "Not for this project (Jointer): Jointer fence, Empty the chip bag."
    assert lines[-1].endswith("follow the cautions at each step.")


def test_the_plan_as_json(loft: Program) -> None:
    told = loft("prep", "--json").json
    assert told["project"] is None
    assert told["begun"] is None
    assert told["shortest_minutes"] == 59
    assert len(told["plan"]) == 9
    first = told["plan"][0]
    assert (first["machine"], first["target"], first["steps"]) == ("saw", "pitch", [1, 2])
    assert (first["minutes"], first["wait_minutes"]) == (4, 20)
    ends = [datetime.fromisoformat(one["end"]) for one in told["plan"]]
    assert ends == sorted(ends)
    assert datetime.fromisoformat(told["done_by"]) == ends[-1]


def test_it_begins_nothing_unless_told(loft: Program) -> None:
    loft("prep", "chest")
    assert loft("prep", "--json").json["begun"] is None
    assert loft("prep", "chest", "--begin").code == 0
    told = loft("prep", "--json").json
    assert told["begun"] is not None
    assert told["project"] == "chest"
    assert told["later_minutes"] == 0
    assert told["first_said"] is not None
    assert loft("prep", "--begin").err.endswith("a prep day is in progress; --end ends it\n")
    assert loft("prep", "--end").code == 0
    assert loft("prep", "--json").json["begun"] is None
    assert loft("prep", "--end").err.endswith("no prep day is in progress\n")


def test_a_day_that_is_not_begun_says_whether_two_may_be_open(loft: Program) -> None:
    assert loft("prep", "--json").json["allow_two_open"] is False
    assert loft("prep", "--json", "--allow-two-open").json["allow_two_open"] is True


def test_two_open_stands_in_the_record(loft: Program) -> None:
    loft("prep", "--begin", "--allow-two-open")
    assert loft("prep", "--json").json["allow_two_open"] is True


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("chset",), "no project 'chset'; did you mean chest?"),
        (("--begin", "--end"), "only one of --begin, --end, --change-time and --withdraw"),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence(
    loft: Program, words: tuple[str, ...], said: str
) -> None:
    told = loft("prep", *words)
    assert (told.code, told.err) == (2, f"shopboard: {said}\n")


def test_another_project_than_that_under_way(loft: Program) -> None:
    loft("prep", "--begin")
    told = loft("prep", "chest")
    assert told.code == 2
    assert "a prep day for all that is due is in progress; --end ends it" in told.err


def test_a_project_under_way_may_be_renamed(loft: Program) -> None:
    loft("prep", "chest", "--begin")
    loft.write("shop.toml", SHOP.replace('id = "chest"', 'id = "trunk"\nwas = "chest"'))
    assert loft("prep", "trunk", "--json").json["project"] == "trunk"
    assert loft("prep", "chest").code == 2


def test_a_shop_without_projects(program: Program) -> None:
    assert (
        "there is no project in the shop file; [[project]] begins one" in program("prep", "x").err
    )
    assert program("prep").code == 0


def test_the_page(loft: Program) -> None:
    page = loft.folder / "day.html"
    assert loft("prep", "chest", "--sheet", str(page)).code == 0
    assert "Prep day for Blanket chest" in page.read_text(encoding="utf-8")
    again = loft("prep", "chest", "--sheet", str(page))
    assert "is there already; --replace writes over it" in again.err
    assert loft("prep", "chest", "--sheet", str(page), "--replace").code == 0


@pytest.fixture
def boathouse(program: Program) -> Program:
    """The program at a shop with a little of everything."""
    program.write("shop.toml", WHOLE_SHOP.read_text(encoding="utf-8"))
    return program


@pytest.mark.parametrize("project", [(), ("chart-cabinet",), ("deck-bucket",)])
def test_no_wait_of_a_whole_shop_is_left_too_long(
    boathouse: Program, project: tuple[str, ...]
) -> None:
    """Wax that hazes ten minutes is buffed off before it is hard: other work fits around.

    A wait may be left ten minutes longer than it says, or by half of it (our choice). It
    costs no later finish: the person has no pause.
    """
    told = boathouse("prep", *project, "--json").json
    of_task = defaultdict(list)
    for one in told["plan"]:
        of_task[one["machine"], one["target"]].append(one)
    waits = 0
    for pieces in of_task.values():
        for one, following in pairwise(pieces):
            minutes = one["wait_minutes"]
            left = datetime.fromisoformat(following["start"]) - datetime.fromisoformat(one["end"])
            assert left >= timedelta(minutes=minutes)
            assert left <= timedelta(minutes=minutes + max(10, minutes / 2)), one["words"]
            waits += minutes > 0
    assert waits >= 3
    assert not any(one["idle_minutes"] for one in told["plan"])


def test_more_than_a_day_s_work_is_said(boathouse: Program) -> None:
    told = boathouse("prep").out.splitlines()
    assert "More than one day's work: naming a project plans only what that needs." in told
    assert boathouse("prep", "--json").json["more_than_a_day"] is True
    short = boathouse("prep", "deck-bucket")
    assert "More than one day" not in short.out
    assert boathouse("prep", "deck-bucket", "--json").json["more_than_a_day"] is False


@pytest.mark.parametrize("shop", [SHOP, METRIC, COMBINATION])
def test_an_ended_day_says_what_is_left_and_goes_on_when_that_is_withdrawn(
    program: Program, shop: str
) -> None:
    """All that was planned stands there, a task once, and again under what the day cost."""
    program.write("shop.toml", shop)
    begun = program("prep", "--begin", "--json").json
    told = program("prep", "--end")
    assert told.code == 0
    plan = {(one["machine"], one["target"]): one for one in reversed(begun["plan"])}
    assert f"Left undone: {len(plan)} jobs, " in told.err
    rows = [one for one in told.err.splitlines() if one.startswith("  ")]
    assert len(rows) == len(plan)
    assert any("; stays unproven" in one for one in rows)
    left = program("cost", "--json").json["day"]["left_undone"]
    for one in left:
        assert any(
            piece["words"] in one["words"] or piece["name"] == one["words"]
            for piece in plan.values()
        )
    assert rows == [one for one in program("cost").out.splitlines() if one in rows]

    back = program("prep", "--withdraw", "a slip", "--uid", "slip1")
    assert "Withdrawn: the prep day goes on, as the shop's hours go." in back.err
    again = program("prep", "--withdraw", "a slip", "--uid", "slip1")
    assert "Nothing was recorded twice" in again.err
    assert program("prep", "--json").json["begun"] == begun["begun"]
    back = program("prep", "--withdraw", "the wrong day")
    assert "Withdrawn: no prep day is in progress." in back.err
    assert program("prep", "--json").json["begun"] is None
    told = program("prep", "--withdraw", "again")
    assert (told.code, told.err) == (2, "shopboard: nothing that was said of a prep day stands\n")
