"""Small things that a person types or leaves out: what comes back helps on."""

from __future__ import annotations

import pytest

from tests.cli.program import SHOP, Program

SLED = """
[[machine.point]]
id = "sled"
name = "Sled fence"
check = "square"
datum = "blade plate"
face = "fence"
lies = "flat"
lever = "4 in"
light_at_tip = "too far back"
light_at_heel = "too far forward"
tolerance = "0.2 deg"
"""


@pytest.fixture
def flat(program: Program) -> Program:
    """The shop with one more point, where the square lies flat."""
    program.write("shop.toml", SHOP + SLED)
    return program


def test_of_a_square_that_lies_flat_light_is_at_the_tip_or_heel(flat: Program) -> None:
    """As the shop file and the screen call its ends; top and bottom stay right, too."""
    gap = 'goes = ".040"\nrefused = ".042"\n'
    errors = {
        word: flat.check("jointer.sled", f'light = "{word}"\n{gap}', "--json").json["error"]["deg"]
        for word in ("tip", "top", "heel", "bottom")
    }
    assert errors["tip"] == errors["top"] == -errors["heel"] == -errors["bottom"]
    assert errors["tip"] > 0
    typo = flat.check("jointer.sled", f'light = "tpi"\n{gap}').err
    assert "it can be tip, heel, none; did you mean tip?" in typo
    assert "(tip, heel, none)" in flat("check", "jointer.sled", "--blank").out


def test_of_an_upright_square_it_is_not(flat: Program) -> None:
    """Nobody would know which end is meant."""
    ran = flat.check("jointer.fence", 'light = "tip"\n')
    assert ran.code == 2
    assert "it can be top, bottom, none" in ran.err


def test_reckon_knows_tip_and_heel(program: Program) -> None:
    """It has no shop file that says how the square lies."""
    words = ("reckon", "square", "goes=.012in", "refused=.015in", "lever=6in", "--json")
    one, other = (program(*words, f"light={word}").json["error"]["deg"] for word in ("tip", "heel"))
    assert one == -other > 0


def test_a_point_in_capitals_is_the_one_that_is_meant(program: Program) -> None:
    """And where nothing is near, a long list is cut."""
    assert "did you mean saw.blade?" in program("check", "SAW.BLADE").err
    assert "did you mean saw?" in program("tag", "Saw", "guard off").err
    points = "".join(SLED.replace('"sled"', f'"p{number}"') for number in range(40))
    program.write("shop.toml", SHOP + points)
    said = program("check", "zzzzz").err
    assert said.count(", ") < 35
    assert "and 13 more" in said


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("none", "'none' is no number; for none write 0"),
        ("thin one", "'thin one' is no number"),
        ("nan", "not a measurement"),
        ("-1", "thinner than 0"),
    ],
)
def test_words_in_place_of_a_leaf_are_answered_with_what_to_write(
    program: Program, typed: str, says: str
) -> None:
    """A gap in which no leaf goes is 0."""
    ran = program.check("jointer.fence", f'light = "top"\ngoes = "{typed}"\n')
    assert ran.code == 2
    assert says in ran.err


def test_a_project_without_joints_has_no_empty_heading(program: Program) -> None:
    """It says how the first one is put in."""
    program.write("shop.toml", SHOP + '\n[[project]]\nid = "crate"\nname = "Crates"\n')
    out = program("project", "crate").out
    assert "[[project.joint]]" in out
    assert not out.rstrip().endswith(":")


@pytest.mark.parametrize("command", [("status",), (), ("points",)])
def test_without_a_shop_file_it_is_said_how_to_get_one(
    program: Program, command: tuple[str, ...]
) -> None:
    """The file that is missing is named, and what writes one."""
    ran = program.bare(*command, "--shop", str(program.folder / "none.toml"))
    assert ran.code == 3
    assert "none.toml:1:1: there is no such file" in ran.err
    assert "sample shop" in ran.err
    assert "--shop FILE" in ran.err
    assert "to mend" not in ran.err
