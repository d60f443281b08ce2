"""`shopboard reckon` in plain lines, every number with its unit; and with --json anywhere."""

from __future__ import annotations

import json
import re

import pytest

from shopboard.checks import registry
from shopboard.checks.additions import addition_lines
from tests.cli.program import Program
from tests.cli.reckonings import EXAMPLES

UNIT = r"(?:in|thou|mm|deg|thou/ft|mm/m|psi|MPa|lbf|N|s|ft/min|m/s|m/min|mph|%|turns|to the \w+)"
NUMBER = rf"[+-]?\d+(?:\.\d+)? {UNIT}|-?\d+°\d\d′\d\d″"
VALUES = re.compile(rf"(?:{NUMBER})(?:(?:   |, )(?:{NUMBER}))*(?:   \(95 %, k = [\d.]+\))?")
"""One value in its units, or several of them."""


def test_every_method_and_sum_is_here() -> None:
    assert set(EXAMPLES) == {"angle", *registry.names(), *registry.sum_names()}


@pytest.mark.parametrize("name", EXAMPLES)
def test_plain_lines_are_words_and_numbers_with_units(program: Program, name: str) -> None:
    """No data as a program sees it: no brackets, no quotes, no bare or exponent numbers."""
    ran = program.bare("reckon", name, *EXAMPLES[name])
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines
    for line in lines:
        label, value = (line[:12], line[12:]) if name != "angle" else ("", line)
        if label.startswith(("note", "text", "tolerance", "verdict")):
            continue
        assert not re.search(r"[{}\[\]'\"]|\de[+-]\d|nan|None", line.replace("board's", "")), line
        assert "_" not in line
        numbers = re.search(rf"(?:^|\s)({VALUES.pattern})$", value.rstrip())
        assert numbers or not re.search(r"\d", value), line


@pytest.mark.parametrize("name", EXAMPLES)
def test_json_may_be_asked_for_anywhere(program: Program, name: str) -> None:
    """Before the method, between the values, at the end: the same."""
    values = EXAMPLES[name]
    words = [name, *values]
    told = [
        program.bare("reckon", *words[:place], "--json", *words[place:])
        for place in range(len(words) + 1)
    ]
    assert {ran.code for ran in told} == {0}
    assert len({ran.out for ran in told}) == 1
    assert json.loads(told[0].out)["method"] == name


def test_the_files_may_be_named_anywhere_too(program: Program) -> None:
    shop, journal = ("--shop", str(program.shop)), ("--journal", str(program.journal))
    for words in (
        (*shop, "status", *journal, "--json"),
        ("status", *shop, "--json", *journal),
        (*journal, "history", *shop, "jointer.fence", "--json"),
        ("history", "--json", "jointer.fence", *shop, *journal),
        ("void", "jointer.fence", *shop, "nothing", *journal, "--reason", "x"),
    ):
        ran = program.bare(*words)
        assert "unrecognized" not in ran.err, words
        assert ran.code == (2 if words[0] == "void" else 0), (words, ran)


@pytest.mark.parametrize("words", [("-5thou/ft",), ("-.5", "deg"), ("-5", "--json", "thou/ft")])
def test_an_angle_below_zero_is_no_option(program: Program, words: tuple[str, ...]) -> None:
    ran = program.bare("reckon", "angle", *words)
    assert (ran.code, ran.err) == (0, "")
    assert "-" in ran.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("reckon", "flip", "--jsn", "gap=1"), "unrecognized arguments: --jsn"),
        (("reckon",), "METHOD"),
        (("history", "--json"), "MACHINE.POINT"),
        (("board", "more"), "unrecognized arguments: more"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(
    program: Program, words: tuple[str, ...], says: str
) -> None:
    ran = program.bare(*words)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err
    assert len(ran.err.splitlines()) == 1


def test_help_of_the_program_and_of_a_command(program: Program) -> None:
    assert "usage: shopboard work-out" in program.bare("work-out", "--help").out
    assert "COMMAND" in program.bare("--help").out
    assert program.bare("--version").out.startswith("shopboard ")


def test_a_note_is_shown_as_it_was_written(program: Program) -> None:
    assert program.bare("reckon", "note", "text=belt_is_fine").out.endswith(" belt_is_fine\n")


def test_additions_of_every_shape() -> None:
    """In groups, in lists, in words; a number as it is known by name."""
    lines = addition_lines(
        {
            "force_on_wheel": {"lbf": 290.00000006, "N": 1289.98},
            "heights": {"knife1_front": {"in": 0.001, "mm": 0.0254}},
            "near_far": {"deg": 0.5, "dms": "0°30′00″", "high": "near"},
            "screws": [{"turns": 0.25, "degrees": 90.0}],
            "wrong": ["one", "two"],
            "nothing": [],
            "small": {"in": 0.0000213335, "mm": -0.0000001},
            "speed": {"ft_per_min": 1234567.8},
            "worse": "near_far",
            "strain": 0.0004,
        }
    )
    assert [re.sub(r"\s+", " ", line) for line in lines] == [
        "force on the wheel 290 lbf 1290 N",
        "knife 1, front 0.001 in 0.0254 mm",
        "near against far 0.5 deg 0°30′00″",
        "near against far high near",
        "screw 1 turns 0.25 turns",
        "screw 1 degrees 90 deg",
        "not as it should be one, two",
        "small 0.00002133 in -0.0000001 mm",
        "speed 1235000 ft/min",
        "worse is near against far",
        "stretched by 0.04 %",
    ]


def test_what_is_added_has_two_digits_of_the_uncertainty(program: Program) -> None:
    """JCGM 100:2008, 7.2.6. Height: circle 4 in, half a carry of 1/8 in to either side of the top.

    2 - sqrt(4 - (1/16)^2) = 0.000977 in; the carry is known to 1/32 in or so, the height to 0.0005.
    """
    lines = program.bare("reckon", "carry", "circle=4in", "carry=1/8in").out.splitlines()
    height = next(line for line in lines if line.startswith("height"))
    assert height.split()[1:] == ["0.00098", "in", "0.98", "thou", "0.025", "mm"]
    found = addition_lines({"near": {"in": 0.00110767}}, known={"in": 0.00052})
    assert found[0].split() == ["near", "0.00111", "in"]
    assert addition_lines({"c": {"deg": -1e-17}})[0].split() == ["C", "0", "deg"]


def test_how_far_in_snipe_reaches_is_told_in_inches() -> None:
    """A depth is told in thousandths, a length along the board is not."""
    adds = {
        "lead_length": {"in": 2.0, "thou": 2000.0, "mm": 50.8},
        "lead_depth": {"in": 0.004, "thou": 4.0, "mm": 0.1016},
    }
    length, depth = addition_lines(adds, "inch", {"in": 0.0012, "thou": 1.2})
    assert length.endswith(" 2 in")
    assert depth.endswith(" 4.0 thou")
    assert addition_lines(adds, "mm")[0].endswith(" 50.8 mm")
