"""`shopboard explain`: the settings of the shop file and the checks, told by the program itself."""

from __future__ import annotations

import json
import textwrap
from typing import get_args

import pytest

from shopboard.checks.explained import explained
from shopboard.checks.registry import names
from shopboard.shop.declared import sorts
from shopboard.shop.default_safety import usual, usual_of_shop
from shopboard.shop.machine import MachineKind
from tests.cli.program import Program

TABLES = [name for name in sorts() if name]
KEYS = sorted({key for one in sorts().values() for key in one.keys})


def test_without_a_word_every_table_and_method_is_listed(program: Program) -> None:
    """Whole, within the width of a small terminal; no shop is looked for."""
    ran = program.bare("explain")
    assert (ran.code, ran.err) == (0, "")
    lines = ran.out.split("\n")
    for name in TABLES:
        assert any(line.startswith(f"  {sorts()[name].header}  ") for line in lines)
    for name in names():
        assert any(line.startswith(f"  {name}  ") for line in lines)
    assert "..." not in ran.out
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("word", [*TABLES, *KEYS, *names()])
def test_whatever_can_be_asked_for_is_told_in_80_columns(program: Program, word: str) -> None:
    ran = program.bare("explain", word)
    assert (ran.code, ran.err) == (0, "")
    assert max(map(len, ran.out.split("\n"))) <= 80
    assert word in ran.out
    assert "|" not in ran.out  # a length is written for both shops, and so read


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_told_key_by_key(program: Program, name: str) -> None:
    """Each with whether it must be there and a line that would do; by its brackets, too."""
    lines = program.bare("explain", sorts()[name].header).out.split("\n")
    assert lines[0] == sorts()[name].header
    assert "\n".join(lines) in program.bare("explain", name).out
    for key, one in sorts()[name].keys.items():
        if one.allowed:
            assert any(line.startswith(f"  {key} = ") for line in lines)
        (head,) = [line for line in lines if line.startswith(f"{key}: ")]
        assert head.startswith(f"{key}: required") or not one.required


@pytest.mark.parametrize("name", [one for one in TABLES if one.count(".") == 2])
def test_a_table_within_a_table_is_told_by_all_its_names(program: Program, name: str) -> None:
    """As `point.lever` is a key: `point.sizes`, `joint.fit`."""
    told = program.bare("explain", name).out
    assert told.startswith(sorts()[name].header)
    assert program.bare("explain", name.partition(".")[2]).out == told


def test_a_key_is_told_in_every_table_that_has_it(program: Program) -> None:
    out = program.bare("explain", "every").out
    assert "every in [[machine.point]]: may be left out" in out
    assert "every in [[machine.task]]: may be left out" in out


def test_a_key_of_one_table_is_told_by_both_names(program: Program) -> None:
    for word in ("machine.point.every", "point.every"):
        out = program.bare("explain", word).out
        assert out.startswith("every in [[machine.point]]: ")
        assert "[[machine.task]]" not in out
    assert program.bare("explain", "machine.every").code == 2


def test_the_file_that_it_shows_is_a_whole_one(program: Program) -> None:
    """What somebody who never wrote such a file copies first has nothing to mend."""
    out = program.bare("explain").out
    shown = out[out.index("  [shop]  ", out.index("How the file")) : out.index("Ask for")]
    program.write("shop.toml", textwrap.dedent(shown))
    ran = program("proofread")
    assert (ran.code, "1 machine, 1 point." in ran.err) == (0, True)


def test_what_is_meant_by_its_id_is_told_so(program: Program) -> None:
    out = program.bare("explain", "rests_on").out
    assert 'Allowed: the id of a point, of another machine "machine.point"' in out
    out = program.bare("explain", "made_on.edge_line").out
    assert 'the id of a machine, or of a point as "machine.point"' in out


@pytest.mark.parametrize(
    ("word", "keys"),
    [
        ("tenon", ["kind in [[project.joint]]"]),
        ("Machine moved", ["undone_by in [[machine.point]]", "after in [[machine.task]]"]),
        ("stave ring", ["kind in [[project.joint]]"]),
        ("oily-rags", ["not_asked in [shop]"]),
    ],
)
def test_a_word_is_told_with_every_key_at_which_it_may_stand(
    program: Program, word: str, keys: list[str]
) -> None:
    out = program.bare("explain", word).out
    assert [line.partition(":")[0] for line in out.splitlines() if " in [" in line] == keys


def test_every_usual_safety_question_is_told(program: Program) -> None:
    out = program.bare("explain", "not_asked").out
    for one in usual_of_shop():
        assert f'"{one.id}"' in out
        assert one.ask in out
    for kind in get_args(MachineKind):
        for one in usual(kind):
            where = next(line for line in out.split('    "') if line.startswith(f'{one.id}" '))
            said = " ".join(where.split())
            assert (kind or "one without a kind") in said or "any machine" in said, one.id


def test_the_schema_goes_with_no_word(program: Program) -> None:
    ran = program.bare("explain", "lever", "--schema")
    assert (ran.code, ran.out) == (2, "")
    assert "--schema is of the whole file" in ran.err


def test_what_decides_is_told(program: Program) -> None:
    out = program.bare("explain", "lever").out
    assert "lever in [[machine.point]]: required where check is square" in out
    out = program.bare("explain", "tolerance").out
    assert "required unless check is go-no-go, note or seating" in " ".join(out.split())
    out = program.bare("explain", "arm").out
    assert "required where kind is screw or slot; not where kind is shim" in " ".join(out.split())
    out = program.bare("explain", "other_length").out
    assert out.startswith("other_length in [[project.joint]]: may be left out; only where kind is")
    out = program.bare("explain", "adjuster").out
    assert "One of thread or pitch must be there, but not where kind is slot or shim." in out
    assert "only with body" in program.bare("explain", "change").out


@pytest.mark.parametrize(
    ("word", "meant"),
    [("machine.piont", "machine.point"), ("leaver", "lever"), ("five cut", "five-cut")],
)
def test_what_is_none_is_refused_with_what_was_meant(
    program: Program, word: str, meant: str
) -> None:
    ran = program.bare("explain", word)
    assert (ran.code, ran.out) == (2, "")
    assert f"did you mean {meant}?" in ran.err


def test_as_data_it_says_the_same(program: Program) -> None:
    (table,) = program.bare("explain", "drawer.square", "--json").json["tables"]
    assert table["one_of"] == [["grade", "within", "certified"]]
    keys = {one["key"]: one for one in table["keys"]}
    assert keys["length"]["examples"] == ['"6 in"', '"150 mm"']
    assert (keys["length"]["required"], keys["was"]["required"]) == (True, False)
    (method,) = program.bare("explain", "sweep", "--json").json["methods"]
    assert (method["tools"], method["sizes"], method["needs"]) == (
        *("indicator", ["span"]),
        ["tolerance"],
    )


def test_the_schema_is_one_object_of_json(program: Program) -> None:
    made = json.loads(program.bare("explain", "--schema").out)
    assert made["$schema"].endswith("draft/2020-12/schema")
    assert {*made["$defs"]} == {*TABLES}


@pytest.mark.parametrize("name", ["square", "flip", "leaf-gap", "tram"])
def test_a_check_is_shown_as_it_is_set_up(name: str, program: Program) -> None:
    """Drawn below its words, in any terminal: off to plus, where the drawing shows that."""
    lines = program.bare("explain", name).out.split("\n")
    drawn = [line.strip() for line in explained(name).drawn]
    assert len(drawn) > 5
    assert all(one in [line.strip() for line in lines] for one in drawn)
    assert not explained("note").drawn
