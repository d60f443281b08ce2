"""The inspection sheet on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.program import BLADE_TRUE, FENCE_OUT, FENCE_TRUE, Program
from tests.reports.sheets import Page


def test_the_sheet_of_a_machine(program: Program) -> None:
    """Both points of the saw, the one that was set with both runs."""
    program.check(
        "saw.blade",
        f'unplugged = "plug out"\n{FENCE_OUT}next = "adjust"\n'
        f'[left]\nunplugged = "plug out"\n{FENCE_TRUE}',
    )
    program("happened", "saw", "blade changed")
    ran = program("sheet", "saw", "--who", "  The  owner ")
    assert ran.code == 0
    page = Page(ran.out)
    blade, fence = page.rows
    assert page.words["h1"] == ["Inspection sheet: Table saw"]
    assert "The owner" in page.words["b"]
    assert blade[0] == ["Blade at 90", "square"]
    assert blade[1] == ["Square, 6 in, Feeler set"]
    assert blade[2] == ["20.9 thou/ft (0.1 deg)"]
    assert "thou/ft" in blade[3][0]
    assert blade[3][1].endswith("out")
    assert blade[4][1].endswith("true")
    assert blade[7][0] == "due"
    assert blade[7][1].startswith("blade changed ")
    assert fence[5] == ["no result"]


def test_to_a_file(program: Program, tmp_path: Path) -> None:
    program.check("saw.blade", BLADE_TRUE)
    target = tmp_path / "saw.html"
    assert program("sheet", "saw", "--to", str(target)).code == 0
    assert len(Page(target.read_text(encoding="utf-8")).rows) == 2
    assert program("sheet", "saw", "--to", str(target)).code == 2
    assert program("sheet", "saw", "--to", str(target), "--replace").code == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["saww"], "did you mean saw"),
        (["saw", "--who", "x" * 61], "60 at the most"),
        (["saw", "--who", "\x1b[2J"], "plain letters"),
        ([], "MACHINE"),
    ],
)
def test_what_is_wrong_is_said(program: Program, words: list[str], says: str) -> None:
    ran = program("sheet", *words)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_a_sheet_to_fill_in(program: Program) -> None:
    """A machine, one point, another method, a paper; what does not go together is said."""
    ran = program("sheet", "saw", "--blank")
    assert ran.out.count("<h2>") == 2
    assert "size: letter portrait" in ran.out
    one = program("sheet", "saw.blade", "--blank", "--paper", "a4").out
    assert one.count("<h2>") == 1
    assert "size: A4 portrait" in one
    lines = program("sheet", "saw.blade", "--blank", "--text").out.split("\n")
    assert max(map(len, lines)) <= 78
    for words, says in (
        (("saw.blde", "--blank"), "did you mean saw.blade"),
        (("saw.blade",), "machine"),
        (("saw.blade", "--blank", "--method", "runout"), "--method runout: square"),
        (("saw", "--blank", "--method", "square"), "name one MACHINE.POINT"),
        (("saw", "--method", "square"), "goes with --blank"),
        (("saw", "--paper", "a5"), "a4"),
    ):
        ran = program("sheet", *words)
        assert (ran.code, ran.out) == (2, "")
        assert says in ran.err
    program("tag", "saw", "guard is off")
    assert "DO NOT USE: guard is off" in program("sheet", "saw.blade", "--blank").out
