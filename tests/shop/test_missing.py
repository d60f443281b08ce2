"""What must be there and is not is said with a line that would do, in the shop's own unit."""

from __future__ import annotations

import re
from copy import deepcopy
from functools import cache

import pytest
import tomli

from shopboard.checks.registry import method
from shopboard.metrology.kind import Kind
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import by_unit
from shopboard.metrology.wording import own_words
from shopboard.shop.declared import sorts
from shopboard.shop.joint_forms import FORMS
from shopboard.shop.sorts import Case
from shopboard.shop.what_for import example_of
from tests.in_turn import in_turn
from tests.shop.plain_data import Data, is_taken, problems_of, tables_in

UNITS: tuple[Unit, ...] = ("inch", "mm")
TOLERANCES: dict[Kind, str] = {
    "length": "[3 thou|0.1 mm]",
    "stress": "[15000 to 20000 psi|100 to 140 MPa]",
    "time": "0 to 10 s",
}
"""Of methods that measure no angle, which the example of a tolerance is."""

ID = ("id", "name")
"""What stands where one of two is enough, of which each is made of the other."""


def example(name: str, key: str, unit: Unit) -> object:
    """The value that is shown at a key."""
    sort = sorts()[name]
    allowed = sort.keys[key].allowed
    assert allowed is not None
    typed = own_words(example_of(sort.header, key, allowed), unit)
    return tomli.loads(f"value = {typed}")["value"]


def filled(name: str, unit: Unit, case: Case | None = None) -> Data:
    """A table with what must be there in a case, each by its example."""
    sort = sorts()[name]
    told: Data = {
        key: example(name, key, unit)
        for key, one in sort.keys.items()
        if one.allowed and (one.required or case in one.needed or (key, one.made_of) == ID)
    }
    told |= case.says if case else {}
    for keys in sort.one_of:
        if not {*keys} & {*told} and not (case and case in sort.keys[keys[0]].barred):
            told[keys[0]] = example(name, keys[0], unit)
    return told


@cache
def _whole(unit: Unit) -> Data:
    drawer: Data = {
        key: [filled(f"drawer.{key}", unit)] for key in sorts()["drawer"].keys if key != "square"
    }
    squares = [filled("drawer.square", unit, case) for case in sorts()["drawer.square"].cases]
    drawer["square"] = [{**one, "id": f"square-{at}"} for at, one in enumerate(squares)]
    points: dict[str, Data] = {}
    for case in sorts()["machine.point"].cases:
        if case.by == "check":
            points[case.value] = {**filled("machine.point", unit, case), "id": f"by-{case.value}"}
            kind = method(case.value).kind
            if kind in TOLERANCES:
                points[case.value]["tolerance"] = own_words(TOLERANCES[kind], unit)
    for at, case in enumerate(sorts()["machine.point.adjuster"].cases):
        point = points["leaf-gap" if case.only else "square"]
        set_by = filled("machine.point.adjuster", unit, case)
        points[f"set-{at}"] = {**point, "id": f"set-{at}", "adjuster": set_by}
    task = {**filled("machine.task", unit), "steps": [filled("machine.task.steps", unit)]}
    machine = {**filled("machine", unit), "point": [*points.values()], "task": [task]}
    machine |= {key: [filled(f"machine.{key}", unit)] for key in ("cutter", "safety")}
    kinds = [case for case in sorts()["project.joint"].cases if not case.only]
    joints = [
        {**filled("project.joint", unit, case), "id": f"joint-{at}"}
        for at, case in enumerate(kinds)
    ]
    return {
        "shop": filled("shop", unit),
        "drawer": drawer,
        "gauge": [filled("gauge", unit)],
        "machine": [machine],
        "safety": [filled("safety", unit)],
        "project": [{**filled("project", unit), "joint": joints}],
    }


def whole(unit: Unit) -> Data:
    """A shop in which every table stands, with what must be there alone, in each of its cases."""
    return deepcopy(_whole(unit))


@pytest.mark.parametrize("unit", UNITS)
def test_a_file_of_what_is_declared_to_be_needed_is_taken(unit: Unit) -> None:
    """Whatever else it is warned of; every table stands in it that must have anything."""
    data = whole(unit)
    assert is_taken(problems_of(data)), [one.sentence for one in problems_of(data)]
    nothing_needed = {"machine.point.sizes", "project.joint.fit", "project.joint.made_on"}
    assert {name for name, _ in tables_in(data)} == {*sorts()} - nothing_needed


@pytest.mark.parametrize(
    ("name", "unit"), in_turn([name for name in dict(tables_in(whole("inch"))) if name], UNITS)
)
def test_what_is_missing_is_told_with_a_line_that_would_do(unit: Unit, name: str) -> None:
    """Put in, that line is not complained of."""
    data, tried = whole(unit), 0
    for table in [one for each, one in tables_in(data) if each == name]:
        for key in [one for one, asked in sorts()[name].keys.items() if asked.allowed]:
            if key not in table:
                continue
            before = table.pop(key)
            found = [one for one in problems_of(data) if _is_missing(one.what, key)]
            for one in found:
                told = re.search(r"for example (\w+) = (.+)$", one.sentence)
                assert told, one.sentence
                typed = tomli.loads(f"value = {told[2]}")["value"]
                if re.search(r"\d (in|thou|mm)", f"{typed}"):
                    assert by_unit(unit, " mm" not in f"{typed}", " mm" in f"{typed}")
                table[told[1]] = typed
                assert not any(_is_missing(each.what, key) for each in problems_of(data))
                del table[told[1]]
                tried += 1
            decides = {case.by for case in sorts()[name].cases}
            assert found or key in {*decides, "steps"}, f"{name} without {key}: nothing is said"
            table[key] = before
    assert tried or name == "drawer"


def _is_missing(what: str, key: str) -> bool:
    return what.startswith(f"{key} is missing in ") or bool(re.match(rf"one of .*{key}.* is", what))


def test_the_sizes_that_a_joint_needs_are_those_of_its_form() -> None:
    """By the table of forms, which the reader goes by; thickness may be told by the project."""
    for case in sorts()["project.joint"].cases:
        form = FORMS[next(kind for kind in FORMS if kind == case.value)]
        told = {*filled("project.joint", "inch", case)} - {"id", "name", "kind", "pieces"}
        assert told == {*form.sizes} - ({"thickness"} if case.only else set())
