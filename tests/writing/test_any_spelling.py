"""Whatever way a shop file is written in, an edit changes its own stretch and nothing else.

What the new text says is read by the `tomllib` of Python, which the program does not use.
"""

from __future__ import annotations

import tomllib
from copy import deepcopy
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.shop.report import Path
from shopboard.writing.edits import Add, Drop, Put
from shopboard.writing.rewrite import rewritten
from tests import combination
from tests.in_turn import examples
from tests.two_shops import COMBINATION, METRIC
from tests.whole_shop import WHOLE_SHOP
from tests.writing.spellings import Speller, around, unmarked

DATA: dict[str, dict[str, Any]] = {
    "sample": tomllib.loads(WHOLE_SHOP.read_text(encoding="utf-8")),
    "metric": tomllib.loads(METRIC),
    "combination": tomllib.loads(COMBINATION),
    "one head": tomllib.loads(combination.SHOP),
}
shops = pytest.mark.parametrize("shop", DATA)
chances = st.integers(0, 2**32).map(Random)
HOSTILE = st.one_of(
    st.text(st.characters(codec="utf-8"), max_size=40),
    st.sampled_from(['a "b" \\ c', "it's", "]]", "[[machine]]\n", "# no", "\x1b[31m", "x" * 5000]),
    st.sampled_from(["[bold]", "\U0001f600 \u200d\u202e", "'''", '"""', "\\u0041", "\r\n", "\x7f"]),
)
SCALARS = st.one_of(
    HOSTILE, st.integers(-(10**9), 10**9), st.floats(allow_nan=False), st.booleans()
)


def paths(value: object, path: Path = ()) -> list[tuple[Path, Any]]:
    """Give every path of some data below its top."""
    found: list[tuple[Path, Any]] = []
    inside: list[tuple[Any, Any]] = []
    if isinstance(value, dict):
        inside = list(value.items())
    elif isinstance(value, list):
        inside = list(enumerate(value))
    for key, below in inside:
        found += [((*path, key), below), *paths(below, (*path, key))]
    return found


def read(text: str) -> dict[str, Any]:
    """Read a text of a file, whatever its first mark."""
    return tomllib.loads(text.removeprefix("\ufeff"))


def at(data: Any, path: Path) -> Any:
    for part in path:
        data = data[part]
    return data


def put(data: dict[str, Any], path: Path, value: object) -> dict[str, Any]:
    """Give the data with a value at a path whose table is there."""
    new = deepcopy(data)
    at(new, path[:-1])[path[-1]] = value
    return new


def spelt(shop: str, chance: Random, marked: Path | None = None) -> tuple[str, Speller]:
    speller = Speller(chance, marked, plain=chance.random() < 0.3)
    text = speller.text(DATA[shop])
    assert read(unmarked(text)) == DATA[shop]
    return text, speller


def common(one: str, other: str) -> tuple[int, int]:
    """Give how much two texts have in common at their beginning, and then at their end."""
    head = alike(one, other)
    return head, alike(one[head:][::-1], other[head:][::-1])


def alike(one: str, other: str) -> int:
    pairs = enumerate(zip(one, other, strict=False))
    return next((at for at, (a, b) in pairs if a != b), min(len(one), len(other)))


@shops
@examples(4)
@given(chances, SCALARS)
def test_another_value_stands_where_the_old_one_stood(
    shop: str, chance: Random, value: object
) -> None:
    scalars = [path for path, one in paths(DATA[shop]) if not isinstance(one, dict | list)]
    path = chance.choice(scalars)
    before, _, behind = around(text := spelt(shop, chance, path)[0])
    new = rewritten(unmarked(text), [Put(path, value)]).text
    assert new.startswith(before)
    assert new.endswith(behind)
    assert len(new) > len(before) + len(behind)
    assert read(new) == put(DATA[shop], path, value)


@shops
@examples(4)
@given(chances, SCALARS)
def test_a_list_changes_within_its_brackets_and_keeps_its_remarks(
    shop: str, chance: Random, value: object
) -> None:
    lists = [
        (path, one)
        for path, one in paths(DATA[shop])
        if isinstance(one, list) and not isinstance(one[0], dict)
    ]
    path, old = chance.choice(lists)
    marked, speller = spelt(shop, chance, path)
    before, inside, behind = around(marked)
    wanted = [one for one in old if chance.random() < 0.7]
    for _ in range(chance.randrange(3)):
        wanted.insert(chance.randrange(len(wanted) + 1), value)
    new = rewritten(unmarked(marked), [Put(path, wanted)]).text
    assert new.startswith(before)
    assert new.endswith(behind)
    assert read(new) == put(DATA[shop], path, wanted)
    kept = new[len(before) : len(new) - len(behind)]
    for remark, place in speller.remarks.items():
        of_one = len(place) > len(path) and place[: len(path)] == path
        if remark in inside and not of_one:
            assert remark in kept, "only one behind a member may go with it"


@shops
@examples(4)
@given(chances, SCALARS)
def test_a_new_setting_is_put_in_at_one_place(shop: str, chance: Random, value: object) -> None:
    tables = [path for path, one in paths(DATA[shop]) if isinstance(one, dict)]
    path = (*chance.choice(tables), "motto")
    old = unmarked(spelt(shop, chance)[0])
    new = rewritten(old, [Put(path, value)]).text
    assert sum(common(old, new)) >= len(old)
    assert read(new) == put(DATA[shop], path, value)


@shops
@examples(4)
@given(chances)
def test_a_setting_goes_with_its_line_alone(shop: str, chance: Random) -> None:
    settings = [
        path
        for path, one in paths(DATA[shop])
        if isinstance(path[-1], str) and not isinstance(one, dict | list)
    ]
    path = chance.choice(settings)
    marked, speller = spelt(shop, chance, path)
    old = unmarked(marked)
    new = rewritten(old, [Drop(path)]).text
    without = deepcopy(DATA[shop])
    del at(without, path[:-1])[path[-1]]
    if not at(without, path[:-1]) and isinstance(path[-2], str):
        del at(without, path[:-2])[path[-2]]  # a table of which nothing is left goes as well
        assert read(new) == without
        return
    assert read(new) == without
    head, tail = common(old, new)
    assert head + tail >= len(new)
    gone = old[head : len(old) - tail]
    assert around(marked)[1][1:-1] in old.replace(new[:head], "", 1)
    assert gone.count("\n") <= 1
    assert all(place == path for word, place in speller.remarks.items() if word not in new)


@shops
@examples(4)
@given(chances)
def test_a_block_goes_with_what_is_in_it_and_the_remark_on_top_of_it(
    shop: str, chance: Random
) -> None:
    blocks = [
        path
        for path, one in paths(DATA[shop])
        if isinstance(one, dict) and isinstance(path[-1], int) and "steps" not in path
    ]
    path = chance.choice(blocks)
    old, speller = spelt(shop, chance)
    new = rewritten(old, [Drop(path)]).text
    without = deepcopy(DATA[shop])
    del at(without, path[:-1])[path[-1]]
    if not at(without, path[:-1]):
        del at(without, path[:-2])[path[-2]]
    if len(path) > 2 and not at(without, path[:-2]):
        del without[str(path[0])]
    assert read(new) == without
    old, new = (one.replace(",", "") for one in (old, new))  # one before the last of a list goes
    head, tail = common(old, new)
    assert head + tail >= len(new)
    for word, place in speller.remarks.items():
        if place and place[: len(path)] != path and path[: len(place)] != place:
            assert word in new


@shops
@examples(4)
@given(chances, HOSTILE)
def test_a_new_block_is_put_in_at_one_place_behind_the_others(
    shop: str, chance: Random, words: str
) -> None:
    lists = [("drawer", "square"), ("machine",), ("project",), ("safety",)]
    machines = range(len(DATA[shop]["machine"]))
    lists += [("machine", one, key) for one in machines for key in ("point", "task", "safety")]  # type: ignore[misc]
    path: Path = chance.choice(lists)
    old = unmarked(spelt(shop, chance)[0])
    table = {"name": words, "id": "new", "sizes": {"width": 3}, "steps": ["a", {"do": words}]}
    new = rewritten(old, [Add(path, table)]).text
    head = common(old, new)[0]
    if new[head] == "," and "#" in old[head : old.index("\n", head)]:
        new_but = new[:head] + new[head + 1 :]  # a comma in front of a remark, the rest behind it
    else:
        new_but = new
    assert sum(common(old, new_but)) >= len(old)
    wanted = deepcopy(DATA[shop])
    at(wanted, path[:-1]).setdefault(path[-1], []).append(table)
    assert read(new) == wanted


@shops
@examples(4)
@given(chances)
def test_the_lines_that_are_told_are_those_that_differ(shop: str, chance: Random) -> None:
    settings = [path for path, one in paths(DATA[shop]) if isinstance(one, str)]
    edits = [Put(path, "other") for path in dict.fromkeys(chance.choices(settings, k=3))]
    old = unmarked(spelt(shop, chance)[0]).removeprefix("\ufeff")
    result = rewritten(old, edits)
    lines, shift = old.replace("\r\n", "\n").split("\n"), 0
    for change in result.lines:
        first = change.old_line - 1 + shift
        assert tuple(lines[first : first + len(change.old)]) == change.old
        assert change.new_line - 1 == first
        lines[first : first + len(change.old)] = change.new
        shift += len(change.new) - len(change.old)
    assert "\n".join(lines) == result.text.replace("\r\n", "\n")
    assert all(one.old != one.new for one in result.lines)
