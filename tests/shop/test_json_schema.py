"""The JSON Schema of the shop file, held against the reader both ways.

jsonschema (a general library) tells what the schema says, the reader what a shop file may be.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from random import Random
from typing import Any

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from shopboard.metrology.wording import own_words
from shopboard.shop.declared import sorts
from shopboard.shop.json_schema import schema
from shopboard.shop.what_for import example_of
from tests.in_turn import few, part
from tests.shop.plain_data import Data, as_json, is_taken, problems_of, tables_in
from tests.shop.test_missing import UNITS, whole
from tests.two_shops import SHOPS

SPACES = "spaces at the start or end"
"""What the reader leaves out, with this warning, and the schema refuses, as it says."""


@cache
def by_schema() -> Any:
    made = schema()
    Draft202012Validator.check_schema(made)
    return Draft202012Validator(made)


def faults(data: Data) -> list[str]:
    return [f"{one.json_path}: {one.message}" for one in by_schema().iter_errors(as_json(data))]


@pytest.mark.parametrize("name", SHOPS)
def test_whole_shops_hold_by_the_schema(name: str) -> None:
    assert faults(tomli.loads(SHOPS[name])) == []


@pytest.mark.parametrize("unit", UNITS)
def test_a_shop_of_what_must_be_there_holds_by_the_schema(unit: Any) -> None:
    assert faults(whole(unit)) == []


VALUES: tuple[Any, ...] = (
    *("", "x", "saw", "blade", 'a "b"', "½ in", "3", "0.1 deg", "3 thou", "0.05 mm", "6 min"),
    *("40 hours", "10 weeks", "2 PROJECTS", "metric", "M8x1.25", "20 tpi", "1/4 turn", "95 %"),
    *(0, 1, 2, 7, -3, 0.5, 18.5, 1e7, True, False, [], {}, [[]], ["x"], [1, "2 mm"], {"do": "x"}),
)


def change(draw: Random, data: Data) -> None:
    """Change one thing in one table: a value, a key, one alone for a list, a list for one alone."""
    name, table = draw.choice(list(tables_in(data)))
    known = sorts()[name].keys if name in sorts() else {}
    key = draw.choice([*table, *known] or ["x"])
    sort = draw.randrange(6)
    if sort == 0:
        table.pop(key, None)
    elif sort == 1:
        table[key] = draw.choice(VALUES)
    elif sort == 2:
        other = draw.choice(list(tables_in(data)))[1]
        table[key] = deepcopy(draw.choice([*other.values(), "x"]))
    elif sort == 3 and key in known:
        allowed = known[key].allowed
        if allowed is not None:
            typed = example_of(sorts()[name].header, key, allowed)
            table[key] = tomli.loads(f"v = {own_words(typed, 'inch')}")["v"]
    elif sort == 4 and key in table:
        lone = isinstance(table[key], list) and len(table[key]) == 1
        table[key] = table[key][0] if lone else [table[key]]
    else:
        words = [
            one for each in tables_in(data) for one in each[1].values() if isinstance(one, str)
        ]
        table[key] = draw.choice(words)


@given(st.randoms(use_true_random=False), st.sampled_from(list(SHOPS)), st.integers(1, 3))
def test_what_the_reader_takes_holds_by_the_schema(draw: Random, name: str, changes: int) -> None:
    """Any file: what the schema refuses, the reader refuses, too."""
    data = tomli.loads(SHOPS[name])
    for _ in range(changes):
        change(draw, data)
    said = problems_of(data)
    if is_taken(said) and not any(SPACES in one.what for one in said):
        assert faults(data) == []


def spoilt() -> Iterator[tuple[str, Data]]:
    """Files that are wrong in one thing that can be told from one table."""
    good = whole("inch")
    seen = set()
    for at, (name, table) in enumerate(tables_in(good)):
        for key in ("motto", *(sorts()[name].keys)):
            if (name, key) in seen:
                continue
            seen.add((name, key))
            data = whole("inch")
            spot = list(tables_in(data))[at][1]
            spot[key] = [[[]]]
            yield f"{name}.{key} of a wrong type", data
            if key in table and sorts()[name].keys[key].required:
                data = whole("inch")
                del list(tables_in(data))[at][1][key]
                yield f"{name} without {key}", data


def test_what_is_wrong_in_one_table_is_refused_by_both() -> None:
    """A wrong type, a key that is none, a key that is missing: at every key of every table."""
    tried = 0
    for what, data in few([*spoilt()], 5):
        assert faults(data), f"the schema takes {what}"
        assert not is_taken(problems_of(data)), f"the reader takes {what}"
        tried += 1
    assert tried > part(2 * 100, 5)


REFUSED = [
    ("a square of grade and promise", "drawer.square", {"grade": "0", "within": "1 thou/ft"}),
    ("a certificate without its uncertainty", "drawer.square", {"certified_to": ...}),
    ("a check that nobody knows", "machine.point", {"check": "sqare"}),
    ("no lever at a square", "machine.point", {"check": ["flip", "square"], "lever": ...}),
    ("no tolerance of an angle", "machine.point", {"check": ["square"], "tolerance": ...}),
    ("a tolerance of a yes", "machine.point", {"check": "go-no-go", "tolerance": "0.1 deg"}),
    ("top of a square that lies flat", "machine.point", {"lies": "flat", "light_at_top": "x"}),
    ("tip of one that stands", "machine.point", {"light_at_tip": "x"}),
    ("a cutter that is off and not near", "machine.point", {"cutter_off": True}),
    ("a screw with two threads", "machine.point.adjuster", {"pitch": "1 mm", "thread": "M8"}),
    ("a shim with an arm", "machine.point.adjuster", {"kind": "shim", "arm": "3 in"}),
    ("a change without a body", "machine", {"change": "10 min"}),
    ("a machine without id and name", "machine", {"id": ..., "name": ...}),
    ("a tool without id and name", "drawer.feeler", {"id": ..., "name": ...}),
    ("a step that nobody does", "machine.task.steps", {"do": ...}),
    ("a panel without pieces", "project.joint", {"kind": "panel", "pieces": ...}),
    ("a panel with a depth", "project.joint", {"kind": "panel", "depth": "3 in"}),
    ("a cutter of a kind of one's own", "machine.cutter", {"kind": "dado set", "like": ...}),
    ("a ring of no kind", "project.joint", {"kind": "ring"}),
]


@pytest.mark.parametrize(
    ("name", "told"), [one[1:] for one in REFUSED], ids=[o[0] for o in REFUSED]
)
def test_what_belongs_together_in_one_table_is_held_by_both(name: str, told: Data) -> None:
    """The file is right without it; what is wrong is named by both at that key's table."""
    data = whole("inch")
    wanted = {key: value for key, value in told.items() if key in ("kind", "check")}
    first = next(iter(wanted.values()), None)
    alike = [
        one
        for each, one in tables_in(data)
        if each == name
        and (not wanted or first in ("sqare", "ring", "dado set") or _has(one, first))
    ]
    for key, value in told.items():
        spot = alike[-1] if key == "certified_to" else alike[0]
        if value is ...:
            spot.pop(key, None)
        else:
            spot[key] = value
    assert faults(data)
    assert not is_taken(problems_of(data))


def _has(table: Data, word: Any) -> bool:
    words = word if isinstance(word, list) else [word]
    return any(one in words for one in table.values() if isinstance(one, str))


def test_the_schema_tells_what_each_key_is_for_and_shows_values_that_hold() -> None:
    """Each example of it is right by its own rules; an editor may offer it."""
    made = schema()
    tables = [made, *made["$defs"].values()]  # type: ignore[attr-defined]
    shown = 0
    for table in tables:
        assert table["additionalProperties"] is False
        assert table["description"]
        for one in table["properties"].values():
            assert one["description"]
            within = {**one, "$defs": made["$defs"]}
            for value in one.get("examples", ()):
                assert Draft202012Validator(within).is_valid(value), (one, value)
                shown += 1
    assert shown > 100
