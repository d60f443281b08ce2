"""`shopboard demo`: a shop of its own, DEMO wherever it shows, nothing else touched."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopboard.base.locations import demo_folder
from shopboard.demo import folder as folders
from tests.cli.program import Program
from tests.demo.lived import lived


@pytest.fixture(autouse=True)
def _metric(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folders, "sample_path", lambda: lived("metric").folder / "shop.toml")


def bare(program: Program, *words: str) -> tuple[int, str, str]:
    """Run the program on no shop file and no journal that are named."""
    from shopboard.cli import main

    code = main(words)
    told = program.capsys.readouterr()
    return code, told.out, told.err


def test_any_command_is_run_on_it_and_says_that_it_is_a_demo(program: Program) -> None:
    before = program.shop.read_bytes()
    code, out, err = bare(program, "demo", "status", "--json")
    assert (code, json.loads(out)["demo"]) == (0, True)
    assert "DEMO" in err
    assert demo_folder().is_dir()
    code, out, _ = bare(program, "demo", "sheet", "saw")
    assert "DEMO, made-up records" in out
    code, out, _ = bare(program, "demo", "prep", "--sheet", "-")
    assert "DEMO, made-up records" in out
    assert json.loads(program("status", "--json").out)["demo"] is False
    assert "DEMO" not in program("sheet", "saw").out
    assert program.shop.read_bytes() == before


def test_it_brings_its_own_files(program: Program, tmp_path: Path) -> None:
    for option in (("--shop", "x"), ("--journal", "y"), ("--new-journal",)):
        code, _, err = bare(program, "demo", *option)
        assert code == 2
        assert option[0] in err
    assert bare(program, "demo", "--seed", "many")[0] == 2
    assert bare(program, "demo", "status", "--shop", "x")[0] == 2
    (tmp_path / "here").mkdir()
    (tmp_path / "here" / "mine.txt").write_text("mine", encoding="utf-8")
    code, _, err = bare(program, "demo", "--to", str(tmp_path / "here"), "status")
    assert code == 2
    assert "mine.txt" in err
    assert not demo_folder().exists()


def test_it_cannot_be_made_where_nothing_can_be_written(program: Program, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    code, _, err = bare(program, "demo", "--to", str(tmp_path / "file" / "demo"), "status")
    assert code == 6
    assert "cannot be made" in err
