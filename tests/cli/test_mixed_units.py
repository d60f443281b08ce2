"""Inch and millimetre side by side, answer by answer: taken as typed, echoed in both."""

from __future__ import annotations

import pytest

from shopboard.checks import registry
from shopboard.checks.steps import Choice
from shopboard.checks.walk import walk
from shopboard.shop.reader import read_shop_text
from shopboard.sittings.point_job import job_for
from tests.cli.program import SHOP, Program

POINTS = """
[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "8 in"
within = "1 thou"

[[drawer.indicator]]
id = "dial"
name = "Dial indicator"
reach = "1 in"
within = "0.5 thou"

[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "50 in"
within = "1 thou"
"""
CHECKS = {
    "flip": "0.1 deg",
    "five-cut": "5 thou/ft",
    "sweep": "5 thou/ft",
    "runout": "2 thou",
    "snipe": "3 thou",
    "leaf-gap": "2 to 5 thou",
    "diagonals": "0.1 deg",
    "carry": "0 to 3 thou",
}
ANSWERS: dict[str, tuple[dict[str, str], dict[str, str]]] = {
    "flip": (
        {"open": "fence", "width": "6 in", "gap.goes": "0.004", "gap.refused": "0.005 in"},
        {"width": "152.4 mm", "gap.goes": "0.1016 mm", "gap.refused": "5 thou"},
    ),
    "five-cut": (
        {"a": "1.012", "b": "1.008", "length": "16"},
        {"a": "25.7048 mm", "b": "2.56032 cm", "length": "0.4064 m"},
    ),
    "sweep": (
        {"span": "9", "front": "0.002", "back": "-0.001"},
        {"span": "228.6mm", "front": "0,0508 mm", "back": "-0.0254 mm"},
    ),
    "runout": ({"low": "0", "high": "0.003"}, {"low": "0 mm", "high": "76.2 um"}),
    "snipe": (
        {"middle": "3/4", "lead": ".742", "tail": ".747", "lead_length": "2 1/2",
         "tail_length": "2"},
        {"middle": "19.05 mm", "lead": "18.8468 mm", "lead_length": "63.5 mm"},
    ),
    "diagonals": (
        {"d1": "43", "d2": "43 1/16", "width": "24", "other_width": "24", "length": "35 11/16",
         "other_length": "35 11/16"},
        {"d1": "1092.2 mm", "width": "609.6 mm", "other_length": "906.4625 mm"},
    ),
    "carry": (
        {"circle": "3", "knives": "two", "knife1_front": "1/8", "knife1_back": "1/8",
         "knife2_front": "1/8", "knife2_back": "1/8"},
        {"circle": "76.2 mm", "knife1_back": "3.175 mm", "knife2_front": "3.175"},
    ),
}  # fmt: skip
"""By method: every answer in inches, and some of them in another unit."""


def point(method: str) -> str:
    return (
        f'\n[[machine.point]]\nid = "{method}"\nname = "{method}"\ncheck = "{method}"\n'
        f'tolerance = "{CHECKS[method]}"\n'
    )


def shop_text(unit: str) -> str:
    points = "".join(point(method) for method in CHECKS)
    return SHOP.replace('unit = "inch"', f'unit = "{unit}"') + POINTS + points


@pytest.fixture
def inch(program: Program) -> Program:
    program.write("shop.toml", shop_text("inch"))
    return program


def file_of(answers: dict[str, str]) -> str:
    return "".join(f'{key} = "{text}"\n' for key, text in {"care": "understood", **answers}.items())


@pytest.mark.parametrize("method", ANSWERS)
def test_a_file_may_mix_units(inch: Program, method: str) -> None:
    """The same readings in other units: the same result, and the same record but for rounding."""
    plain, other = ANSWERS[method]
    if method == "carry":  # a bare number takes the shop's unit
        other = {**other, "knife2_front": "3.175 mm"}
    one = inch.check(f"jointer.{method}", file_of(plain), "--json").json
    two = inch.check(f"jointer.{method}", file_of({**plain, **other}), "--json").json
    for unit, value in one["error"].items():
        if unit != "dms":
            assert two["error"][unit] == pytest.approx(value, rel=1e-6, abs=1e-9), unit
    assert two["uncertainty"]["k"] == pytest.approx(one["uncertainty"]["k"])


@pytest.mark.parametrize("method", ["five-cut", "sweep", "flip"])
def test_plain_lines_echo_what_was_understood(inch: Program, method: str) -> None:
    """Each typed length comes back in the shop's unit, before the next question."""
    plain, other = ANSWERS[method]
    ran = inch("check", f"jointer.{method}", typed=typed(inch, method, {**plain, **other}))
    assert "Recorded, as-found." in ran.out
    echoed = {
        "five-cut": ("   = 1.012 in\n", "   = 1.008 in\n", "   = 16.000 in"),
        "sweep": ("   = 9.000 in\n", "   = 0.002 in\n",
                  "   = -0.001 in\n"),
        "flip": ("   = 6.000 in\n", "   = 0.004 in\n",
                 "   0.1016 mm (0.004 in) goes."),
    }  # fmt: skip
    for line in echoed[method]:
        assert line in ran.out, line


def typed(program: Program, method: str, answers: dict[str, str]) -> str:
    """Type what each step asks, read off the screen as a person would, one line at a time."""
    loaded = read_shop_text(shop_text("inch"), known_checks=registry.names())
    job = job_for(loaded.shop, loaded.shop.points[f"jointer.{method}"], None)
    given: dict[str, str] = {}
    lines = []
    while (step := walk(registry.method(method), job, given).step) is not None:
        text = "no" if step.key.startswith("repeat") else answers.get(step.key, "")
        if not text and isinstance(step, Choice) and step.default is None:
            text = "1"
        given[step.key] = step.accept(text)
        lines.append(text)
    return "".join(f"{line}\n" for line in lines)


def test_a_millimetre_shop_takes_inches(program: Program) -> None:
    """A bare number is mm there; a fraction needs its unit, since it may be either."""
    program.write("shop.toml", shop_text("mm"))
    answers = {"a": "25.7048", "b": "1.008 inches", "length": "16 in"}
    one = program.check("jointer.five-cut", file_of(answers), "--json").json
    assert one["error"]["thou_per_ft"] == pytest.approx(0.75, rel=1e-4)
    ran = program("check", "jointer.five-cut", typed="1\n\n\n25.7\n3/4\n3/4 in\nleave\n")
    assert "a fraction without a unit: add in, or mm" in ran.err
    assert "   = 25.70 mm\n" in ran.out
    assert "   = 19.05 mm\n" in ran.out


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("3 mil", "write thou or mm"),
        ("3 mmm", "unknown unit"),
        ("3 mm 2", "unknown unit"),
        ("1,012 mm", "can be read two ways"),
        ("1,012", "decimal comma"),
    ],
)
def test_what_has_no_one_meaning_is_asked_again(inch: Program, text: str, why: str) -> None:
    ran = inch("check", "jointer.five-cut", typed=f"1\n\n\n{text}\n1.012\nleave\n")
    assert why in ran.err
    assert ran.err.count("! ") == 1
    assert ran.out.count("   = ") == 1


def test_leaves_typed_in_the_other_unit_are_shown_in_both(inch: Program) -> None:
    """Leaf by leaf, and with the square."""
    ran = inch("check", "jointer.leaf-gap", typed="\n3\n0.05 mm\n0.04 mm\n0.08 mm\nleave\n")
    assert "   0.05 mm (0.00197 in) goes." in ran.out
    assert "0.04 mm: 0.05 mm (0.00197 in) goes, so what won't go must be thicker" in ran.err
    ran = inch("check", "jointer.fence", typed="\n\ntop\n3\n1 mm\n0.9 mm\nleave\n")
    assert "   1 mm (0.03937 in) goes." in ran.out
    assert "must be thicker" in ran.err
