"""The table of results on the command line."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from tests.cli.program import BLADE_TRUE, FENCE_OUT, FENCE_TRUE, Program, process


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


@pytest.fixture
def filled(program: Program) -> Program:
    """A shop with results at all three points, one of them withdrawn."""
    program.check("jointer.fence", FENCE_OUT)
    program.check("saw.blade", BLADE_TRUE)
    program.check("saw.fence", FENCE_TRUE)
    program.check("jointer.fence", FENCE_TRUE)
    name = program("history", "jointer.fence").out.split()[0]
    program("void", "jointer.fence", name, "--reason", "=1+1")
    return program


def test_all_machines_one_machine_one_point(filled: Program) -> None:
    """One row a result, oldest first within a machine, the voided one marked and defused."""
    everything = rows(filled("export", "all", "--csv").out)
    places = [f"{one['machine']}.{one['point']}" for one in everything]
    assert places == ["saw.blade", "saw.fence", "jointer.fence", "jointer.fence"]
    assert [one["void"] for one in everything] == ["no", "no", "no", "yes"]
    assert everything[-1]["why void"] == "'=1+1"
    assert rows(filled("export", "saw", "--csv").out) == everything[:2]
    assert rows(filled("export", "saw.fence", "--csv").out) == everything[1:2]


def test_the_same_numbers_as_history(filled: Program) -> None:
    (told, *_) = filled("history", "saw.blade", "--json").json["results"]
    (row,) = rows(filled("export", "saw.blade", "--csv").out)
    assert row["result"] == told["uid"]
    assert float(row["angle error [thou/ft]"]) == pytest.approx(told["error"]["thou_per_ft"])
    assert float(row["angle U 95 % [thou/ft]"]) == pytest.approx(told["expanded"]["thou_per_ft"])
    assert row["tools"] == "Square, 6 in, Feeler set"


def test_what_the_shop_file_no_longer_has_is_in_all(filled: Program) -> None:
    """Even where every result of it was withdrawn."""
    text = filled.shop.read_text(encoding="utf-8")
    filled.write("shop.toml", text.replace('id = "jointer"', 'id = "planer"'))
    names = [one["machine"] for one in rows(filled("export", "all", "--csv").out)]
    assert names == ["saw", "saw", "jointer", "jointer"]
    assert len(rows(filled("export", "jointer", "--csv").out)) == 2


def test_nothing_recorded_gives_the_headings(program: Program) -> None:
    ran = program("export", "saw", "--csv")
    assert ran.code == 0
    assert len(ran.out.splitlines()) == 1


@pytest.mark.parametrize(
    ("what", "says"), [("saww", "did you mean saw"), ("saw.blad", "did you mean saw.blade")]
)
def test_what_is_nowhere_is_refused(program: Program, what: str, says: str) -> None:
    ran = program("export", what, "--csv")
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_the_form_must_be_named(program: Program) -> None:
    ran = program("export", "all")
    assert ran.code == 2
    assert "--csv" in ran.err


def test_stdout_is_utf_8_with_its_own_line_ends_whatever_the_terminal(filled: Program) -> None:
    text = filled.shop.read_text(encoding="utf-8").replace("Table saw", "Kreissäge 鋸")
    filled.write("shop.toml", text)
    places = ("--shop", str(filled.shop), "--journal", str(filled.journal))
    ran = process("export", "all", "--csv", *places, env={"PYTHONIOENCODING": "ascii"})
    assert ran.returncode == 0
    assert "Kreissäge 鋸" in ran.stdout.decode("utf-8")
    assert ran.stdout.count(b"\r\n") == ran.stdout.count(b"\n") == 5


def test_to_a_file_never_over_another_unless_told(filled: Program, tmp_path: Path) -> None:
    target = tmp_path / "all.csv"
    ran = filled("export", "all", "--csv", "--to", str(target))
    assert (ran.code, ran.out) == (0, "")
    first = target.read_bytes()
    assert len(rows(first.decode())) == 4
    target.write_text("mine")
    again = filled("export", "all", "--csv", "--to", str(target))
    assert again.code == 2
    assert "--replace" in again.err
    assert target.read_text() == "mine"
    assert filled("export", "all", "--csv", "--to", str(target), "--replace").code == 0
    assert target.read_bytes() == first
    assert sorted(path.name for path in tmp_path.iterdir() if "part" in path.name) == []


@pytest.mark.parametrize("end", ["shop", "journal", "journal-journal"])
@pytest.mark.parametrize("link", [False, True])
def test_never_over_the_shop_file_or_the_journal(
    filled: Program, tmp_path: Path, end: str, link: bool
) -> None:
    """By whatever name, asked or not."""
    kept = filled.shop if end == "shop" else filled.journal
    target = kept.with_name(f"{kept.name}-journal") if end.endswith("-journal") else kept
    before = kept.read_bytes()
    if link:
        alias = tmp_path / "alias.csv"
        alias.symlink_to(target)
        target = alias
    ran = filled("export", "all", "--csv", "--to", str(target), "--replace")
    assert ran.code == 2
    assert "choose another name" in ran.err
    assert kept.read_bytes() == before


@pytest.mark.parametrize("target", [".", "/dev/null", "nowhere/all.csv", "a\0b", "x" * 300])
def test_what_cannot_be_written_is_said(filled: Program, tmp_path: Path, target: str) -> None:
    """A folder, a device, a folder that is not there, names that cannot be."""
    path = target if target.startswith("/") else str(tmp_path / target)
    ran = filled("export", "all", "--csv", "--to", path, "--replace")
    assert ran.code in (2, 6)
    assert len(ran.err.splitlines()) == 1


def test_a_full_disk_leaves_nothing_half_written(
    filled: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was there stays, no part is left behind, and the exit code says so."""
    import errno
    import os

    target = tmp_path / "all.csv"
    target.write_text("mine")

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("shopboard.commands.saving.os.fsync", full)
    ran = filled("export", "all", "--csv", "--to", str(target), "--replace")
    assert ran.code == 6
    assert "cannot write" in ran.err
    assert target.read_text() == "mine"
    assert not list(tmp_path.glob(".all.csv*"))


def test_a_stick_without_links_is_written_all_the_same(
    filled: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import errno

    def none(*_: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr("shopboard.commands.saving.os.link", none)
    target = tmp_path / "all.csv"
    assert filled("export", "all", "--csv", "--to", str(target)).code == 0
    assert len(rows(target.read_bytes().decode())) == 4
    assert filled("export", "all", "--csv", "--to", str(target)).code == 2
