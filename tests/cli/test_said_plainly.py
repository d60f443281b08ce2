"""Small things that a person types or leaves out: what comes back helps on."""

from __future__ import annotations

import pytest

from tests.cli.program import FENCE_TRUE, SHOP, Program

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
        ("none", "'none' is not a number; for none write 0"),
        ("thin one", "'thin one' is not a number"),
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
    assert "none.toml:1:1: no such file" in ran.err
    assert "shopboard describe" in ran.err
    assert "--shop FILE" in ran.err
    assert " error" not in ran.err


@pytest.mark.parametrize("limit", ["0", "-3", "\u22123", "2.5", "x", "1e2", "\u00b2", "\u0663"])
def test_a_count_of_results_that_is_none_is_refused(program: Program, limit: str) -> None:
    """Nothing printed and all right said would be read as: there is nothing."""
    ran = program("history", "saw.blade", f"--limit={limit}")
    assert (ran.code, ran.out) == (2, "")
    assert "a count of results, 1 or more" in ran.err


def test_a_count_of_results_is_kept_to(program: Program) -> None:
    """In full-width digits, too."""
    for _ in range(3):
        program.check("jointer.fence", FENCE_TRUE)
    for limit in ("2", "\uff12"):
        assert len(program.results("jointer.fence", "--limit", limit)) == 2


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("happened", "saw", "hours run", "-2h"), "'-2h'"),
        (("void", "saw.blade", "-1", "--reason", "slip"), "begins with '-1'"),
        (("reckon", "angle", "-5"), "shopboard: -5: no unit"),
        (("reckon", "snipe", "-5"), "'-5' is not name=value"),
    ],
)
def test_a_value_below_zero_is_told_as_it_was_typed(
    program: Program, words: tuple[str, ...], says: str
) -> None:
    """Without a blank before it."""
    ran = program(*words)
    assert ran.code == 2
    assert says in ran.err


@pytest.mark.parametrize(
    ("what", "amount", "says"),
    [
        ("hours run", "2h-30", "h or min, as 2.5, 2h30 or 90 min"),
        ("hours run", "2\u201930", "h or min, as 2.5, 2h30 or 90 min"),
        ("cuts made", "2h30", "a count of cuts, as 40"),
        ("length cut", "2h30", "ft or m, as 120 ft or 40 m"),
    ],
)
def test_a_use_in_another_unit_is_told_the_units_of_that_use(
    program: Program, what: str, amount: str, says: str
) -> None:
    """Seconds are asked for nowhere here."""
    ran = program("happened", "saw", what, amount)
    assert ran.code == 2
    assert says in ran.err
    assert "seconds" not in ran.err


@pytest.mark.parametrize(
    "words",
    [
        ("note", "belt squeaks", "--note", "and slips"),
        ("note", "--take-back", "not mine", "--note", "and slips"),
        ("knocked", "3", "--take-back", "not mine"),
    ],
)
def test_no_words_are_dropped_unsaid(program: Program, words: tuple[str, ...]) -> None:
    """What cannot be kept is refused."""
    program("happened", "saw", "note", "oiled")
    program("happened", "saw", "knocked")
    ran = program("happened", "saw", *words)
    assert ran.code == 2
    assert len(ran.err.splitlines()) == 1


def test_today_is_known_now(program: Program) -> None:
    """Nothing "was known at now"."""
    assert "As it is known now;" in program("status", "--on", "today").err


def test_a_question_about_nothing_is_answered(flat: Program) -> None:
    """With a sentence, not with no line at all."""
    assert flat("history", "jointer.sled").err == "No result yet.\n"
    assert flat("history", "jointer.sled", "--json").json["results"] == []
    assert flat("tag", "saw").err == "No tag on record.\n"
    flat("tag", "saw", "guard off")
    assert flat("tag", "saw").err == ""


def test_what_a_tool_proves_stands_in_the_unit_of_the_tolerance(flat: Program) -> None:
    """0.2 degrees are 41.89 thou to the foot; no limit is rounded up."""
    told = flat("points", "--best").out
    line = next(one for one in told.splitlines() if one.startswith("jointer.sled"))
    assert "41.8 thou/ft (0.2 deg)" in line
    plain = flat("points").out
    assert "thou/ft (0.2 deg)" not in plain
