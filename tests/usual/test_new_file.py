"""A shop file is written of plain data: read again it says that data, and a person may edit it.

Held against the writer of a general library (tomli-w), which knows no order and no remarks.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from typing import Any, get_args

import pytest
import tomli_w
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks.registry import facts, names
from shopboard.metrology.quantity import Unit
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.usual.build import NewCutter, NewMachine, NewPoint, NewShop, NewTask, NewTool, build
from shopboard.usual.lookup import KINDS, machine
from shopboard.usual.parts import Fineness
from shopboard.usual.tools import tools
from shopboard.writing.edits import Put
from shopboard.writing.new_file import NotWritableError, text
from shopboard.writing.order import ORDER
from shopboard.writing.remarks import BEHIND
from shopboard.writing.rewrite import rewritten
from tests.usual.shops import UNITS, whole_shop

NAMES = st.text(st.sampled_from("abcXYZ 019#\"'\\[]=.,{}äß½″-"), min_size=1, max_size=50).filter(
    lambda word: word == word.strip()
)
LENGTHS = st.sampled_from(["3 in", "2 1/2 in", "75 mm", "90 mm", "2.75 in"])
CHOSEN = st.sampled_from(get_args(Fineness))


def subset(values: list[Any]) -> st.SearchStrategy[list[Any]]:
    """Some of a list, in its order."""
    picked = st.lists(st.booleans(), min_size=len(values), max_size=len(values))
    return picked.map(lambda keep: [one for one, is_in in zip(values, keep, strict=True) if is_in])


@st.composite
def machines(draw: st.DrawFn, kind: str) -> NewMachine:
    """A machine with some of what is usual, and what a person may change of it."""
    usual = machine(kind)
    points = []
    for one in draw(subset(list(usual.points))):
        says = {"lever": draw(LENGTHS)} if "lever" in one.says and draw(st.booleans()) else {}
        sets = draw(st.sampled_from([None, *one.sets]))
        adjuster = None if sets is None else {"kind": sets}
        if adjuster and sets == "screw":
            adjuster["clockwise"] = draw(st.sampled_from(["toward", "away"]))
        points.append(NewPoint(one.id, draw(CHOSEN), says, adjuster))
    cutters = [
        NewCutter(one.id, "on the shelf", draw(st.sampled_from(["sharp", "dull"])))
        for one in draw(subset(list(usual.cutters)))
    ]
    names = {one.id for one in cutters}
    for at, one in enumerate(cutters):
        known = usual.cutter(one.id)
        if known and known.says.get("spare_for", one.id) not in names:
            cutters[at] = one._replace(id="knives", where="on the machine")
    tasks = [NewTask(one.id) for one in draw(subset(list(usual.tasks)))]
    alone = {task.id for task in tasks}
    tasks = [
        task
        for task in tasks
        if all(
            one in alone for one in (usual.task(task.id) or usual.tasks[0]).says.get("undoes", ())
        )
    ]
    return NewMachine(kind, usual.id, draw(NAMES), points, tasks, cutters)


@st.composite
def shops(draw: st.DrawFn) -> NewShop:
    """A shop that somebody describes."""
    unit: Unit = draw(st.sampled_from(UNITS))
    drawer = []
    for one in draw(subset(list(tools(unit)))):
        promise = draw(st.integers(0, max(0, len(one.promises) - 1)))
        size = draw(st.integers(0, max(0, len(one.sizes) - 1)))
        says = {**one.table(unit, size, promise), "name": draw(NAMES)}
        first = bool(one.promises) and one.promises[promise].prove_first
        drawer.append(NewTool(one.sort, says, first))
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=3, unique=True))
    return NewShop(draw(NAMES), unit, [draw(machines(one)) for one in kinds], drawer)


def read(made: str) -> Shop:
    return read_shop_text(made, "shop.toml", names(), facts()).shop


@given(shops())
def test_it_is_read_as_what_was_wanted(new: NewShop) -> None:
    data = build(new)
    made = text(data)
    assert tomllib.loads(made) == data
    shop = read(made)
    assert shop == read(tomli_w.dumps(data))
    assert (shop.name, shop.unit) == (new.name, new.unit)
    assert [one.name for one in shop.machines][: len(new.machines)] == [
        one.name for one in new.machines
    ]
    chosen = {f"{one.id}.{point.id}" for one in new.machines for point in one.points}
    proven = {tool.says["id"] for tool in new.tools if tool.prove_first}
    assert {name for name, one in shop.points.items() if not one.proves} == chosen
    assert {one.proves for one in shop.points.values()} - {""} == proven
    edited = rewritten(made, [Put(("shop", "name"), "Another")])
    assert [line.old for line in edited.lines] in ([], [(made.split("\n")[7],)])


@pytest.mark.parametrize("unit", UNITS)
def test_each_remark_stands_once_and_no_line_is_too_long(unit: Unit) -> None:
    lines = text(whole_shop(unit)).splitlines()
    assert [one for one in lines if len(one) > 100] == []
    assert [one for one in lines if one != one.rstrip()] == []
    behind = Counter(line.partition("  # ")[2] for line in lines if "  # " in line)
    repeated = {one for one, often in Counter(BEHIND.values()).items() if often > 1}
    assert {one for one, often in behind.items() if often > 1} <= repeated
    assert len(behind) > 35
    assert sum(line.startswith("# ---") for line in lines) == 1 + len(KINDS)


def test_every_remark_speaks_of_a_setting() -> None:
    known = {name for table, keys in ORDER.items() for name in (f"{table}.{key}" for key in keys)}
    assert {*BEHIND} <= known


def test_what_no_file_says_is_refused() -> None:
    for bad in (
        {"shop": {"name": None}},
        {"shop": {"name": object()}},
        {"drawer": {"square": [1]}},
    ):
        with pytest.raises(NotWritableError):
            text(bad)


def test_one_body_in_two_modes() -> None:
    """What moves one mode moves both; each takes its own time to be changed over into."""
    modes = [
        NewMachine(
            "jointer",
            "jointer",
            "Tables down",
            [NewPoint("fence")],
            body="five in one",
            change="8 min",
            cutters=[NewCutter("knives", says={"serves": ["planer"]})],
        ),
        NewMachine(
            "planer", "planer", "Tables up", [NewPoint("bed")], body="five in one", change="6 min"
        ),
    ]
    shop = read(text(build(NewShop("The tram shed", "mm", modes))))
    assert [one.name for one in shop.happens_to("planer", "machine moved")] == [
        "Tables up",
        "Tables down",
    ]
    assert [one.id for one in shop.cutters_at("planer")] == ["knives"]
    assert [one.change_minutes for one in shop.machines] == [8, 6]
