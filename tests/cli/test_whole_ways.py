"""Every method's whole way from one file of answers, correction included; and its blank file."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any
from zlib import crc32

import pytest
import tomli

from shopboard.checks.registry import names
from tests.checks.readings import GOOD, INFEED, KNIVES, LINES, TOLERANCES, leaves
from tests.cli.program import SHOP, Program
from tests.once import made_once

TOOLS = """
[[drawer.square]]
id = "try-4"
name = "Try square, 4 in"
length = "4 in"
grade = "1"

[[drawer.square]]
id = "combination"
name = "Square that slides"
length = "10 in"
grade = "1"

[[drawer.straightedge]]
id = "edge"
name = "Straightedge, 50 in"
reach = "50 in"
within = "0.02 mm"

[[drawer.straightedge]]
id = "level"
name = "Level, 48 in"
reach = "48 in"
within = "0.05 mm"

[[drawer.straightedge]]
id = "rail"
name = "Rail, 50 in"
reach = "50 in"
within = "0.1 mm"

[[drawer.indicator]]
id = "dial"
name = "Dial"
reach = "3 mm"
within = "0.01 mm"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "0.02 mm"

[[machine]]
id = "all"
name = "All in one"
"""

SLOT = """
[machine.point.adjuster]
kind = "slot"
name = "the bracket"
arm = "10 in"
toward = "in"
away = "out"
"""

PROVES = {
    "three-squares": "square-6",
    "square-flip": "square-6",
    "three-straightedges": "edge",
}
NOT_SET = {*PROVES, "note"}
"""What is not set right in a check: a tool of the drawer, a note."""

TYPED: dict[str, dict[str, str]] = {
    "square": {"light": "none", "both": "neither"},
    "leaf-gap": {"goes": ".003 in", "refused": ".004 in"},
    "go-no-go": {"answer": "yes"},
    "seating": dict.fromkeys(("clean", "pins", "light", "screws", "edges"), "yes"),
    "note": {"text": "a new drive belt put on"},
}
"""Answers of the methods that are led leaf by leaf, or looked at."""

TRUE: dict[str, dict[str, str]] = {
    "blade-tension": {"stretch": "0.0025 in"},
    "centres": {"across": "0", "up": "0"},
    "coplanar": {
        key: text for one in INFEED for key, text in leaves(one, ".015 in", ".016 in").items()
    },
    "drift-angle": {"offset": "0 in"},
    "drilled-angle": {"high": "1 in"},
    "taper": {"head": "1.5 in"},
    "edge-pair": {"open": "none", "gap.goes": "", "gap.refused": ".0015 in"},
    "five-cut": {"b": "1.012 in"},
    "flip": {"open": "none", "gap.goes": "", "gap.refused": ".0015 in"},
    "frame": {"open": "none", "gap.goes": "", "gap.refused": ".0015 in"},
    "runout": {"high": "0.001 in"},
    "snipe": {"lead": ".7495 in", "tail": ".7495 in"},
    "sweep": {"front": "0"},
    "straightness": {"light": "none"},
    "thickness": {"left": ".750 in"},
    "wind": {"high": "none", "raised.goes": "", "raised.refused": ".0015 in"},
    "tram": dict.fromkeys(("near", "right", "far", "left"), "0"),
}
"""What is read where the point is true, else as in a good set; empty: it is not read then."""

SAG = {
    line: (".040 in", ".042 in") if line in ("rising", "falling") else (".020 in", ".022 in")
    for line in LINES
}
"""A round hollow: along its diagonals a table sags twice as much as along its sides (geometry)."""
HOLLOW = {f"{line}_light": "middle" for line in LINES}
HOLLOW |= {key: text for line in LINES for key, text in leaves(line, *SAG[line]).items()}

OUT: dict[str, dict[str, str]] = {
    "blade-tension": {"stretch": "0.001 in"},
    "carry": dict.fromkeys(KNIVES, "3/8 in"),
    "centres": {"across": "120 thou"},
    "coplanar": {
        **leaves("front_end", ".120 in", ".122 in"),
        **leaves("back_end", ".120 in", ".122 in"),
    },
    "diagonals": {"d1": "1085 mm"},
    "drift-angle": {"offset": "1/2 in"},
    "drilled-angle": {"high": "1 3/4 in"},
    "taper": {"head": "1.8 in"},
    "edge-pair": {"open": "fence", **leaves("gap", ".010 in", ".012 in")},
    "five-cut": {"b": ".600 in"},
    "flatness": HOLLOW,
    "flip": {"open": "fence", **leaves("gap", ".060 in", ".062 in")},
    "frame": {"open": "toe", **leaves("gap", ".200 in", ".202 in")},
    "go-no-go": {"answer": "no"},
    "leaf-gap": {"goes": ".040 in", "refused": ".042 in"},
    "runout": {"high": "0.020 in"},
    "seating": {"pins": "no"},
    "snipe": {"lead": ".700 in"},
    "square": {"light": "top", "both": "", "goes": ".040 in", "refused": ".042 in"},
    "straightness": {
        "light": "some",
        **leaves("quarter", ".030 in", ".032 in"),
        **leaves("middle", ".040 in", ".042 in"),
        **leaves("three-quarters", ".030 in", ".032 in"),
    },
    "sweep": {"front": "80 thou"},
    "thickness": {"left": ".800 in"},
    "timed": {"time": "20"},
    "wind": {"high": "right", **leaves("raised", ".120 in", ".122 in")},
    "tram": {"near": "80 thou", "right": "40 thou", "far": "0", "left": "40 thou"},
}
"""What is read where the point is out, else as where it is true."""


def shop() -> str:
    """A shop with a point for every method, each with what sets it right."""
    points = []
    for name in names():
        tolerance = {
            **TOLERANCES,
            "leaf-gap": "0 to 5 thou",
            "drift-angle": "10 mm/m",
            "drilled-angle": "1 deg",
        }.get(name, "2 mm/m")
        said = name in ("go-no-go", "seating", "note")
        lines = [
            "[[machine.point]]",
            f'id = "{name}"',
            f'name = "Point of {name}"',
            f'check = "{name}"',
            *(() if said else (f'tolerance = "{tolerance}"',)),
            *((f'proves = "{PROVES[name]}"',) if name in PROVES else ()),
            *(('datum = "table"', 'face = "face"', 'lever = "4 in"') if name == "square" else ()),
        ]
        points.append("\n".join(lines) + ("" if said or name in NOT_SET else SLOT))
    return "\n\n".join([SHOP.partition("[[machine]]")[0] + TOOLS, *points])


def read(name: str, *, out: bool) -> dict[str, str]:
    """What is read of a point that is true, or out."""
    found = {**{**GOOD, **TYPED}[name], **TRUE.get(name, {}), **(OUT[name] if out else {})}
    if name == "straightness" and not out:
        found = {"light": "none"}
    return {key: text for key, text in found.items() if text}


def table(name: str, answers: dict[str, str]) -> str:
    """Write answers as a table of a file, the dots of their names as they are."""
    head = f"[{name}]\n" if name else ""
    return head + "".join(f'{key} = "{text}"\n' for key, text in answers.items())


def blank_of(program: Program, name: str) -> str:
    """The blank file of a method of this shop: it is the same each time, and takes long."""
    shop = crc32(program.shop.read_bytes())
    _, blank = made_once(
        f"blank {name} {shop}", lambda _: program("check", f"all.{name}", "--blank").out
    )
    return blank


def asks(program: Program, name: str) -> tuple[str, set[str]]:
    """The blank file of a method, and every name in it, taken out of the remarks."""
    blank = blank_of(program, name)
    lines = [line.removeprefix("# ") for line in blank.splitlines()]
    kept = [
        line
        for line in lines
        if " = " in line and not line.startswith(("To ", "then", "readings", "After"))
    ]
    found, within = set(), ""
    for line in lines:
        within = "as_left." if line == "[as_left]" else within
        found |= {within + line.partition(" = ")[0]} if line in kept else set()
    return blank, found


@pytest.fixture(autouse=True)
def _shop(program: Program) -> None:
    program.write("shop.toml", shop())


@pytest.mark.parametrize("name", [one for one in names() if one not in NOT_SET])
def test_a_file_gives_the_whole_way_with_its_correction(program: Program, name: str) -> None:
    """As found it is out; it is set right; as left it is true. A reading may be called `left`."""
    blank, known = asks(program, name)
    first, second = read(name, out=True), read(name, out=False)
    if "care =" in blank:
        first["care"] = "understood"
    if "as_left.unplugged" in known:
        second["unplugged"] = "plug out"
    text = table("", {**first, "next": "adjust"}) + table("as_left", second)
    ran = program.check(f"all.{name}", text, "--json")
    assert ran.code == 0, ran.err
    assert [one["run"] for one in ran.json["findings"]] == ["as-found", "as-left"]
    assert [one["verdict"] for one in ran.json["findings"]] == ["out", "true"]
    used = {*first, "next", *(f"as_left.{key}" for key in second)}
    assert used <= known  # the blank file names them all


@pytest.mark.parametrize("name", sorted(NOT_SET))
def test_a_file_gives_the_whole_way_of_what_is_not_set_right(program: Program, name: str) -> None:
    """A tool of the drawer is proven, a note is kept; there is no second run."""
    _, known = asks(program, name)
    answers = {**GOOD, **TYPED}[name]
    ran = program.check(f"all.{name}", table("", answers), "--json")
    assert ran.code == 0, ran.err
    assert set(answers) <= known
    assert not any(one.startswith("as_left") for one in known)


@pytest.mark.parametrize("name", names())
def test_a_blank_file_is_a_file_of_answers_that_asks_for_them(program: Program, name: str) -> None:
    """As printed it is TOML; the first answer that is needed is named as empty, nothing is kept."""
    blank, known = asks(program, name)
    needed: dict[str, Any] = tomli.loads(blank)
    ran = program.check(f"all.{name}", blank)
    if not needed:  # led leaf by leaf from the first question on
        assert "leaf1 is missing" in ran.err
        return
    assert (ran.code, ran.out) == (2, "")
    assert "it is empty" in ran.err
    assert ran.err.split(": ")[1].split(":")[0].endswith("answers.toml")
    assert known


def test_a_blank_file_says_how_what_is_doubted_is_answered(program: Program) -> None:
    """Its names stand there too, and are taken: two widths of one strip that cannot both be."""
    blank = program("check", "all.five-cut", "--blank").out
    for name in ("doubt1", "[reread1]", "apart1", "[retake1]"):
        assert name in blank
    assert "turned_sure1" not in blank  # nothing is turned there
    wrong = read("five-cut", out=False) | {"care": "understood", "b": "3 in", "doubt1": "again"}
    text = table("", wrong) + table(
        "reread1", {"a": "1.012 in", "b": "1.012 in", "length": "16 in"}
    )
    ran = program.check("all.five-cut", text, "--json")
    assert (ran.code, ran.json["verdict"]) == (0, "true")


def test_no_bracket_is_moved_by_seconds(program: Program) -> None:
    """One that the shop file names for it: 4 s too long are no 4 mm."""
    answers = {"care": "understood", "time": "9 s"}
    ran = program.check("all.timed", table("", answers), "--no-record")
    assert ran.code == 0
    assert "bracket" not in ran.out


def test_a_blank_file_says_how_a_turn_is_kept(program: Program) -> None:
    """Where a screw sets it right."""
    program.write("shop.toml", SHOP)
    blank = program("check", "saw.blade", "--blank").out
    assert 'turned_sure1 = "keep"' in blank
    assert "turned_by2" in blank


@pytest.mark.parametrize("name", ["square", "flip", "tram", "thickness"])
def test_the_old_name_of_the_table_is_read_where_it_can_be(program: Program, name: str) -> None:
    """[left], as files had it, unless a reading of that name stands above it."""
    first, second = read(name, out=True), read(name, out=False)
    if name != "square":
        first["care"] = "understood"
    if name in ("flip", "thickness"):
        second["unplugged"] = "plug out"
    text = table("", {**first, "next": "adjust"}) + table("left", second)
    ran = program.check(f"all.{name}", text, "--json")
    if name in ("square", "flip"):
        assert [one["run"] for one in ran.json["findings"]] == ["as-found", "as-left"]
    else:
        assert ran.code == 2
        assert "answers.toml:" in ran.err
        assert "go in [as_left]" in ran.err


def test_one_answer_under_both_names_is_refused(program: Program) -> None:
    """[left] and [as_left] are the same run."""
    text = table("", {**read("square", out=True), "next": "adjust"})
    text += table("left", {"light": "top"}) + table("as_left", {"light": "none"})
    ran = program.check("all.square", text)
    assert ran.code == 2
    assert "as_left.light: it is answered already, by left.light" in ran.err
    assert f"answers.toml:{text.count(chr(10))}:9:" in ran.err


def test_a_name_is_missed_under_the_name_that_the_file_would_give_it(program: Program) -> None:
    """A reading called `left` is no run after a correction; one after it is `as_left`."""
    answers = read("flatness", out=True)
    del answers["left.goes"]
    assert " left.goes is missing" in program.check("all.flatness", table("", answers)).err
    text = table("", {**read("square", out=True), "next": "adjust"})
    assert " as_left.light is missing" in program.check("all.square", text).err


@pytest.mark.parametrize("how", ["fifo", "device", "folder"])
def test_what_is_no_plain_file_is_refused_at_once(program: Program, how: str) -> None:
    """A FIFO that nobody writes to would wait for ever."""
    place = program.folder / "answers.toml"
    if how == "fifo":
        mkfifo = getattr(os, "mkfifo", None) or pytest.skip("no FIFOs here")
        mkfifo(place)
    elif how == "folder":
        place.mkdir()
    elif not Path("/dev/zero").exists():
        pytest.skip("no devices here")
    ran = program(
        "check", "all.square", "--answers", "/dev/zero" if how == "device" else str(place)
    )
    assert (ran.code, ran.out) == (2, "")
    assert ("a folder" if how == "folder" else "a device or a pipe") in ran.err
