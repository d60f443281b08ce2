"""Another id, and what goes: every mention follows, held by the shop's own reader."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from itertools import groupby
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks.registry import facts, names
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.writing.order import ORDER
from shopboard.writing.rewrite import rewritten
from shopboard.writing.things import KEPT_BY_WAS, Thing, rename, take_out, things
from tests.in_turn import examples, few
from tests.writing.spellings import Speller, unmarked
from tests.writing.test_any_spelling import DATA, read, shops

NEW = "quite-new"


def shop_of(text: str) -> Shop:
    return read_shop_text(text, "shop.toml", names(), facts()).shop


REFER = {
    "id",
    "rests_on",
    "undoes",
    "spare_for",
    "serves",
    "proves",
    "also_on",
    *ORDER["project.joint.made_on"],
}
"""Keys whose values are ids, as the sample shop explains them."""


def swapped(value: Any, thing: Thing, new: str, key: str = "") -> Any:
    """Give data as it would be with another id, found by the word alone: no other has it."""
    if isinstance(value, str):
        parts = (new if part == thing.id else part for part in value.split("."))
        return ".".join(parts) if key in REFER else value
    if isinstance(value, dict):
        return {name: swapped(one, thing, new, name) for name, one in value.items()}
    return [swapped(one, thing, new, key) for one in value] if isinstance(value, list) else value


def one_word(data: dict[str, Any]) -> Iterator[Thing]:
    """Give the things whose id is no other's."""
    found = [one for one in things(data) if one.sort in KEPT_BY_WAS]
    ids = [one.id for one in things(data)]
    return (thing for thing in found if ids.count(thing.id) == 1)


def some_of_each_sort(data: dict[str, Any]) -> list[Thing]:
    """Give the things of a shop; where not all is tried, the first of each sort and each sixth."""
    found = sorted(things(data), key=lambda one: one.sort)
    return [one for _, sort in groupby(found, lambda one: one.sort) for one in few([*sort], 6)]


@shops
@examples(2)
@given(st.integers(0, 2**32).map(Random))
def test_another_id_is_followed_by_every_mention(shop: str, chance: Random) -> None:
    data = DATA[shop]
    thing = chance.choice([*one_word(data)])
    text = unmarked(Speller(chance).text(data))
    new = read(rewritten(text, rename(data, thing, NEW)).text)
    wanted = swapped(data, thing, NEW)
    here = wanted
    for part in thing.path:
        here = here[part]
    here["was"] = thing.id
    assert new == wanted


@shops
def test_the_reader_takes_every_other_id(shop: str) -> None:
    data = DATA[shop]
    text = Speller(Random(1), plain=True).text(data)
    before = shop_of(text)
    for thing in some_of_each_sort(data):
        if thing.sort not in KEPT_BY_WAS:
            continue
        after = shop_of(rewritten(text, rename(data, thing, NEW)).text)
        assert len(after.points) == len(before.points)
        assert [len(point.rests_on) for point in after.points.values()] == [
            len(point.rests_on) for point in before.points.values()
        ]
        was = [one.was for one in named(after) if one.id == NEW]
        assert was == [(thing.id,)]


def named(shop: Shop) -> Iterator[Any]:
    """Give all of a shop that can have an older id."""
    for machine in shop.machines:
        yield from (machine, *machine.points, *machine.tasks, *machine.cutters)
    for project in shop.projects:
        yield from (project, *project.joints)
    yield from (*shop.drawer.squares, *shop.drawer.feelers, *shop.drawer.others)


@shops
def test_what_goes_is_mentioned_nowhere(shop: str) -> None:
    """The one thing that the reader may refuse then: a cut that a project names and none shows."""
    data = DATA[shop]
    text = Speller(Random(2), plain=True).text(data)
    for thing in some_of_each_sort(data):
        if (
            thing.sort in ("shop", "machine") and len(data["machine"]) == 1
        ) or thing.sort == "shop":
            continue
        new = rewritten(text, take_out(data, thing)).text
        gone = Speller(Random(3)).text(read(new))
        assert thing not in things(read(gone))
        if thing.name != "mitre.blade-fence":
            shop_of(new)


CHAIN = """\
[shop]
name = "Loft"
unit = "mm"

[[machine]]
id = "a"
name = "A"
{was}
[[machine.point]]
id = "p"
name = "P"
check = "note"
"""


@pytest.mark.parametrize(
    ("was", "new", "wanted"),
    [
        ("", "b", "a"),
        ('was = "o"', "b", ["o", "a"]),
        ('was = ["o", "n"]', "b", ["o", "n", "a"]),
        ('was = "b"', "b", "a"),
        ('was = ["b", "n"]', "b", ["n", "a"]),
    ],
)
def test_every_older_id_is_kept_but_the_one_that_comes_back(
    was: str, new: str, wanted: object
) -> None:
    text = CHAIN.format(was=was)
    data = tomllib.loads(text)
    thing = next(one for one in things(data) if one.name == "a")
    result = rewritten(text, rename(data, thing, new)).text
    assert read(result)["machine"][0]["was"] == wanted
    assert shop_of(result).machines[0].id == new


ORDERED = """
[[machine]]
id = "up"
[[machine.task]]
id = "wax"
before = ["dust", "down.bed", "down.head"]
[[machine.task]]
id = "dust"
[[machine]]
id = "down"
[[machine.task]]
id = "bed"
[[machine.cutter]]
id = "head"
before = "up.wax"
"""


@pytest.mark.parametrize(
    ("sort", "name", "before"),
    [
        ("machine", "down", [["dust", "quite-new.bed", "quite-new.head"], "up.wax"]),
        ("machine", "up", [["dust", "down.bed", "down.head"], "quite-new.wax"]),
        ("task", "down.bed", [["dust", "down.quite-new", "down.head"], "up.wax"]),
        ("cutter", "down.head", [["dust", "down.bed", "down.quite-new"], "up.wax"]),
        ("task", "up.dust", [["quite-new", "down.bed", "down.head"], "up.wax"]),
    ],
)
def test_what_comes_before_what_on_another_machine_follows_another_id(
    sort: str, name: str, before: list[object]
) -> None:
    data = tomllib.loads(ORDERED)
    thing = next(one for one in things(data) if (one.sort, one.name) == (sort, name))
    after = tomllib.loads(rewritten(ORDERED, rename(data, thing, NEW)).text)
    up, down = after["machine"]
    assert [up["task"][0]["before"], down["cutter"][0]["before"]] == before
