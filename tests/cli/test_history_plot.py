"""The picture of a point on the command line."""

from __future__ import annotations

import os
import sys

import pytest

from tests.cli.program import BLADE_TRUE, FENCE_OUT, FENCE_TRUE, Program, process


def test_a_picture_of_eighty_columns_when_piped(program: Program) -> None:
    """Name, frame, mark, and the words for the mark."""
    program.check("jointer.fence", FENCE_OUT)
    program.check("jointer.fence", FENCE_TRUE)
    ran = program("history", "jointer.fence", "--plot")
    lines = ran.out.splitlines()
    assert ran.code == 0
    assert lines[0] == " Jointer: Fence at 90"
    assert len(lines) == 23
    assert max(map(len, lines)) == 80
    assert lines[1].split()[0] == "thou/ft"
    assert "(0.2 deg)" in lines[1]
    assert "▞" in ran.out
    assert "▞ out" in lines[-1] + lines[-2]


@pytest.mark.parametrize("more", [["--ascii"], []])
def test_ascii_alone_when_asked_and_where_stdout_can_write_no_more(
    program: Program, more: list[str]
) -> None:
    program.check("jointer.fence", FENCE_OUT)
    encoding = "utf-8" if more else "latin-1"
    places = ("--shop", str(program.shop), "--journal", str(program.journal))
    ran = process(
        "history", "jointer.fence", "--plot", *more, *places, env={"PYTHONIOENCODING": encoding}
    )
    assert ran.returncode == 0
    assert ran.stdout.isascii()
    assert b"/ out" in ran.stdout


@pytest.mark.parametrize(("columns", "rows"), [(160, 48), (50, 20), (20, 5), (400, 100)])
def test_as_wide_as_the_terminal(
    program: Program, monkeypatch: pytest.MonkeyPatch, columns: int, rows: int
) -> None:
    """Within what can be read: 40 to 200 columns, 8 to 60 rows, and a row for the name."""
    program.check("jointer.fence", FENCE_TRUE)
    monkeypatch.setattr(sys.stdout.__class__, "isatty", lambda _: True)
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setenv("LINES", str(rows))
    lines = program("history", "jointer.fence", "--plot").out.splitlines()
    assert max(map(len, lines)) == min(max(columns, 40), 200)
    assert len(lines) == min(max(rows - 2, 8), 60) + 1


def test_the_span_can_be_chosen(program: Program) -> None:
    program.check("jointer.fence", FENCE_TRUE)
    told = {
        span: program("history", "jointer.fence", "--plot", "--span", span).out.splitlines()[1]
        for span in ("all", "year", "quarter")
    }
    assert len(set(told.values())) == 3
    wrong = program("history", "jointer.fence", "--plot", "--span", "week")
    assert wrong.code == 2
    assert "quarter" in wrong.err


def test_a_point_never_checked_and_one_that_is_none(program: Program) -> None:
    ran = program("history", "saw.blade", "--plot")
    assert (ran.code, ran.out, "No result yet" in ran.err) == (0, "", True)
    wrong = program("history", "saw.blad", "--plot")
    assert wrong.code == 2
    assert "did you mean saw.blade" in wrong.err


def test_a_point_that_the_shop_file_no_longer_has(program: Program) -> None:
    """Its results are drawn, without a tolerance."""
    program.check("saw.blade", BLADE_TRUE)
    text = program.shop.read_text(encoding="utf-8")
    without = text.replace('id = "blade"', 'id = "blade-2"').replace('["blade"]', '["blade-2"]')
    program.write("shop.toml", without)
    ran = program("history", "saw.blade", "--plot")
    assert ran.code == 0
    assert ran.out.startswith(" saw: blade\n")
    assert "tolerance" not in ran.out


def test_nothing_of_the_screen_is_loaded(program: Program) -> None:
    """The picture is made without the board and what draws it."""
    program.check("jointer.fence", FENCE_TRUE)
    code = (
        "import sys; from shopboard.cli import main; code = main(sys.argv[1:]);"
        "print(*sorted({'textual', 'rich', 'numpy', 'shopboard.board'} & set(sys.modules)),"
        " file=sys.stderr); sys.exit(code)"
    )
    import subprocess

    ran = subprocess.run(
        [sys.executable, "-c", code, "history", "jointer.fence", "--plot", "--shop",
         str(program.shop), "--journal", str(program.journal)],
        capture_output=True, env={**os.environ, "PYTHONIOENCODING": "utf-8"}, check=False,
    )  # fmt: skip
    assert ran.returncode == 0
    assert ran.stderr.strip() == b""
