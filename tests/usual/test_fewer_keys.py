"""What goes without saying may be left out of the shop file; whatever is said goes before it."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from shopboard.checks.registry import facts, names
from shopboard.metrology.quantity import Unit
from shopboard.shop.json_schema import schema
from shopboard.shop.machine import Machine
from shopboard.shop.model import Shop
from shopboard.shop.problems import ShopFileError
from shopboard.shop.reader import read_shop_text
from shopboard.usual.called import id_of_name, name_of_id
from shopboard.usual.lookup import KINDS, machine
from shopboard.writing.meant import ReadAs, Rules, settings_put
from shopboard.writing.opened import open_file
from shopboard.writing.rewrite import rewritten
from shopboard.writing.things import things
from tests.shop.plain_data import problems_of
from tests.usual.shops import UNITS, drawer, whole_shop

ID_RULE = "[a-z][a-z0-9_-]{0,39}"
"""As the reader says it: a small letter, then small letters, digits, - and _ (40 at the most)."""


def read(data: dict[str, Any]) -> Shop:
    return read_shop_text(tomli_w.dumps(data), "shop.toml", names(), facts()).shop


def shop_with(unit: Unit, *machines: dict[str, Any]) -> Shop:
    tools: dict[str, list[Any]] = {}
    for one in drawer(unit):
        tools.setdefault(one.sort, []).append(dict(one.says))
    head = {"name": "The weir", "unit": unit}
    return read({"shop": head, "drawer": tools, "machine": list(machines)})


def one_of(kind: str, points: list[dict[str, Any]], unit: Unit = "inch", **more: Any) -> Machine:
    return shop_with(unit, {"id": "m", "kind": kind, "point": points, **more}).machines[0]


@pytest.mark.parametrize(
    ("name", "ident"),
    [
        ("Blade at 90", "blade-at-90"),
        ("  Rip fence / slot ", "rip-fence-slot"),
        ("Tischsäge", "tischsage"),
        ("Großer Winkel, 300 mm", "grosser-winkel-300-mm"),
        ("Ébénisterie", "ebenisterie"),
        ("90 degree stop", "degree-stop"),
        ("X" * 60, "x" * 40),
        ("a" * 39 + " b", "a" * 39),
        ("木工", ""),
        ("1/2 in", "in"),
        ("---", ""),
    ],
)
def test_an_id_is_made_of_a_name_by_hand(name: str, ident: str) -> None:
    """These stand in journals: the rule never changes."""
    assert id_of_name(name) == ident


@given(st.text(max_size=60))
def test_any_id_that_is_made_is_one(name: str) -> None:
    ident = id_of_name(name)
    assert not ident or re.fullmatch(ID_RULE, ident)
    assert id_of_name(name_of_id(ident)) == ident


def test_a_name_is_made_of_an_id_and_an_id_of_a_name_in_every_table() -> None:
    data = whole_shop("mm")
    data["project"] = [{"id": "chest", "joint": [{"id": "lid", "kind": "frame"}]}]
    data["project"][0]["joint"][0] |= {"width": "60 mm", "length": "1 m", "thickness": "20 mm"}
    tables = [one for sort in data["drawer"].values() for one in sort]
    tables += [one for each in data["machine"] for one in (each, *each.get("point", ()))]
    for one in tables[::2]:
        del one["name"]
    for one in tables[1::2]:
        one["name"] = one.pop("id").replace("-", " ").upper()
    shop = read(data)
    assert shop.projects_by_id["chest"].name == "Chest"
    assert shop.projects_by_id["chest"].joints[0].name == "Lid"
    written, made = read(whole_shop("mm")), shop
    assert [*made.points] == [*written.points]
    assert [one.id for one in made.drawer.others] == [one.id for one in written.drawer.others]
    assert {one.split()[0] for one in made.made_ids} == {"machine", "point"}
    some = [one.name for one in made.points.values()]
    assert {"BLADE", "BLADE SLOT", "RIP FENCE"} <= {one.upper() for one in some}
    assert {one.isupper() for one in some} == {True, False}


def test_neither_is_missing_only_once() -> None:
    data = whole_shop("inch")
    del data["machine"][0]["id"], data["machine"][0]["name"]
    told = [one.what for one in problems_of(data) if one.severity == "error"]
    assert told == ["id is missing in [[machine]]"]


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("kind", [one for one in KINDS if one])
def test_a_usual_point_or_task_needs_its_id_alone(kind: str, unit: Unit) -> None:
    """It is the one that is written out in a whole file."""
    usual = machine(kind)
    short = {
        "id": usual.id,
        "kind": kind,
        "point": [{"id": one.id} for one in usual.points],
        "task": [{"id": one.id} for one in usual.tasks],
    }
    written = read(whole_shop(unit)).machines_by_id[usual.id]
    made = shop_with(unit, short).machines[0]
    assert made.points == written.points
    assert made.tasks == written.tasks


def test_the_schema_takes_what_the_reader_takes() -> None:
    """jsonschema, a general library, tells what the schema says."""
    usual = [machine(kind) for kind in KINDS if kind]
    short = [
        {"id": one.id, "kind": one.kind, "point": [{"id": point.id} for point in one.points]}
        for one in usual
    ]
    data = {"shop": {"name": "The weir", "unit": "mm"}, "machine": short}
    assert len(read(data).points) == sum(len(one.points) for one in usual)
    assert list(Draft202012Validator(schema()).iter_errors(data)) == []


@pytest.mark.parametrize("kind", [one for one in KINDS if one])
def test_what_is_said_goes_before_what_is_usual(kind: str) -> None:
    """Every key of every point, set to that of another point where it can stand alone."""
    plain = {"lock": "the knob", "every": "1 week", "undone_by": [], "rests_on": [], "name": "N"}
    for one in machine(kind).points:
        (point,) = one_of(kind, [{"id": one.id, **plain}]).points
        assert (point.lock, point.every, point.undone_by) == ("the knob", "1 week", ())
        assert (point.rests_on, point.name) == ((), "N")
        assert point.checks == one.checks


def test_a_key_that_is_set_takes_along_what_hangs_on_it() -> None:
    (point,) = one_of("table saw", [{"id": "mitre-gauge", "lies": "upright"}]).points
    assert (point.geometry.light_at_top, point.geometry.light_at_bottom) == ("", "")
    (point,) = one_of("table saw", [{"id": "blade", "turn": "no"}]).points
    assert (point.geometry.other_side, point.geometry.turn) == ("", "no")
    (point,) = one_of("table saw", [{"id": "arbor", "cutter_near": False}]).points
    assert (point.cutter_near, point.cutter_off) == (False, False)


def test_a_point_that_says_how_it_is_checked_is_as_it_says() -> None:
    """Files of before mean what they meant, whatever ids they use."""
    told = {"id": "blade", "name": "B", "check": "flip", "tolerance": "0.1 deg"}
    (point,) = one_of("table saw", [told]).points
    assert (point.lock, point.every, point.cutter_near) == ("", "", False)
    task = {"id": "wax-table", "name": "Wax"}
    assert one_of("table saw", [told], task=[task]).tasks[0].steps == ()


def test_it_rests_on_what_is_there_alone() -> None:
    def rests_on(*ids: str) -> tuple[str, ...]:
        points = one_of("table saw", [{"id": one} for one in ids]).points
        return next(one for one in points if one.id == "mitre-gauge").rests_on

    assert rests_on("mitre-gauge") == ()
    assert rests_on("mitre-gauge", "blade") == ("m.blade",)
    assert rests_on("blade-slot", "mitre-gauge", "blade") == ("m.blade", "m.blade-slot")


def test_in_place_of_a_point_that_is_left_out_stands_what_it_rests_on() -> None:
    """Guides are set to a band that runs on wheels in one plane, tension kept or not."""

    def rests_on(*ids: str) -> tuple[str, ...]:
        return one_of("bandsaw", [{"id": one} for one in ids]).points[-1].rests_on

    assert rests_on("wheels", "guides") == ("m.wheels",)
    assert rests_on("wheels", "tension", "guides") == ("m.tension",)
    assert rests_on("thrust", "guides", "drift") == ("m.guides", "m.thrust")
    assert rests_on("wheels", "thrust", "drift") == ("m.wheels", "m.thrust")
    assert rests_on("drift") == ()


@pytest.mark.parametrize(
    ("kind", "point", "told"),
    [
        ("table saw", {"id": "blad"}, "only the usual points of a table saw need none: blade, "),
        ("table saw", {"name": "Blade at 90"}, "usual points of a table saw"),
        ("jointer", {"id": "blade"}, "usual points of a jointer"),
        ("", {"id": "blade"}, 'for example check = ["square", "flip"]'),
    ],
)
def test_another_point_is_not_guessed(kind: str, point: dict[str, Any], told: str) -> None:
    """A point is the usual one by its id, and on its sort of machine; never by its words."""
    more = {"kind": kind} if kind else {}
    with pytest.raises(ShopFileError) as refused:
        shop_with("mm", {"id": "m", **more, "point": [point]})
    (found,) = [one for one in refused.value.problems if one.what.startswith("check is missing")]
    assert told in found.sentence


def test_a_slip_is_told_as_ever() -> None:
    """What the usual fills in is not what the person wrote."""
    data = whole_shop("inch")
    data["machine"] = [{"id": "saw", "kind": "table saw", "point": [{"id": "blade", "chek": "x"}]}]
    (found,) = [one for one in problems_of(data) if one.severity == "error"]
    assert found.hint == 'did you mean "check"?'
    data["machine"][0]["point"][0] = {"id": "blade", "nam": "Blade"}
    (found,) = [one for one in problems_of(data) if one.severity == "error"]
    assert found.hint == 'did you mean "name"?'


def test_any_rubbish_beside_the_usual_is_refused_or_read() -> None:
    rubbish: tuple[Any, ...] = (1, "x", [], {}, [1], True, 2.5, ["blade"])
    for key in ("point", "task", "cutter", "kind", "id", "name"):
        for value in rubbish:
            data = whole_shop("inch")
            data["machine"] = [{"id": "saw", "kind": "table saw", "point": [{"id": "blade"}]}]
            data["machine"][0][key] = value
            problems_of(data)
            data["machine"][0] = {"id": "saw", "kind": "table saw", "point": [{key: value}]}
            problems_of(data)


def test_an_edit_of_the_name_writes_down_the_id_that_was_made_of_it() -> None:
    """So that the records stay; the id is never left out, nor made of another name."""
    text = '[[machine]]\nname = "Old saw"\n\n[[machine.point]]\nname = "Blade"\n'
    data = tomllib.loads(text)
    assert [one.name for one in things(data)] == ["old-saw", "old-saw.blade"]
    for path in (("machine", 0), ("machine", 0, "point", 0)):
        edits = settings_put(data, path, {"name": ReadAs("New")})
        new = tomllib.loads(rewritten(text, edits).text)
        (before,) = [one.name for one in things(data) if one.path == path]
        assert [one.name for one in things(new) if one.path == path] == [before]


def test_what_goes_without_saying_is_shown_to_who_changes_the_file(tmp_path: Path) -> None:
    text = """[shop]
name = "The weir"
unit = "mm"

[[machine]]
id = "saw"
kind = "table saw"

[[machine.point]]
id = "blade"
lever = "90 mm"

[[machine.point]]
id = "rack"
check = "go-no-go"
"""
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    file = open_file(path, Rules(str(path), names(), facts()))
    points = {one.name: file.usual(one) for one in file.things}
    assert points["saw.rack"] == points["saw"] == points["shop"] == {}
    blade = points["saw.blade"]
    assert (blade["tolerance"], blade["sizes.width"]) == ('"0.1 deg"', '"75 mm"')
    assert "lever" not in blade
    written = {key: tomllib.loads(f"v = {value}")["v"] for key, value in blade.items()}
    table = machine("table saw").points[0].table("mm")
    assert written == {
        key: value for key, value in table.items() if key not in ("id", "lever", "sizes")
    } | {"sizes.width": "75 mm"}
