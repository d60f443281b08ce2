"""Where things go and where they come from: standard output, the usual folders, a span of days."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.cli.program import SHOP, Program, process
from tests.journal.helpers import plainly


@pytest.mark.parametrize(
    "words",
    [
        ("prep", "--sheet", "-"),
        ("sheet", "saw", "--to", "-"),
        ("export", "all", "--csv", "--to", "-"),
    ],
)
def test_a_dash_is_standard_output(
    program: Program, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    """As POSIX has it (Utility Syntax Guidelines, 13); no file of that name is made."""
    monkeypatch.chdir(program.folder)
    program("happened", "saw", "knocked")
    ran = program(*words)
    assert ran.code == 0
    assert ran.out.startswith("<!DOCTYPE html>" if words[0] != "export" else "result,")
    assert not (program.folder / "-").exists()


def test_folders_that_are_not_absolute_are_passed_over_and_it_is_said(tmp_path: Path) -> None:
    """XDG base directory specification: such a path is to be considered invalid and ignored."""
    shop = tmp_path / "shop.toml"
    shop.write_text(SHOP, encoding="utf-8")
    home = {"HOME": str(tmp_path), "XDG_DATA_HOME": "data", "XDG_CONFIG_HOME": "config"}
    done = process("happened", "saw", "knocked", "--shop", str(shop), env=home, cwd=tmp_path)
    assert done.returncode == 0
    said = done.stderr.decode()
    assert said.count("XDG_DATA_HOME is 'data', no absolute path, and is not heeded") == 1
    assert "XDG_CONFIG_HOME" not in said  # the shop file was named
    found = re.search(r"the journal is (\S+)\.\n", said)
    assert found is not None
    assert Path(found[1]).is_file()
    assert not (tmp_path / "data").exists()
    named = ("--shop", str(shop), "--journal", str(tmp_path / "journal"))
    done = process("happened", "saw", "knocked", *named, env=home, cwd=tmp_path)
    assert b"heeded" not in done.stderr
    state = {**home, "XDG_STATE_HOME": "state"}
    done = process("status", *named, env=state, cwd=tmp_path)
    assert done.stderr.decode().count("XDG_STATE_HOME is 'state', no absolute path") == 1
    assert not (tmp_path / "state").exists()
    done = process("status", *named, env={**home, "XDG_CACHE_HOME": "c"}, cwd=tmp_path)
    assert done.stderr.decode().count("XDG_CACHE_HOME is 'c', no absolute path") == 1


def test_a_span_that_ends_after_today_ends_now(program: Program) -> None:
    """Its beginning must be past; its end may be any day."""
    program("happened", "saw", "knocked")
    ahead = f"{datetime.now() + timedelta(days=40):%Y-%m-%d}"  # noqa: DTZ005 - local day is meant
    ran = program("changes", "3", ahead)
    assert ran.code == 0, ran.err
    assert " to now: " in ran.err
    assert program("changes", "3", "no day").code == 2
    ran = program("changes", ahead, ahead)
    assert ran.code == 2
    assert "still to come" in ran.err


def test_damage_is_told_once_with_its_full_stop(program: Program) -> None:
    """Its entry is named once."""
    for _ in range(3):
        program("happened", "saw", "knocked")
    db = plainly(program.journal)
    db.execute("DROP TRIGGER IF EXISTS entries_never_change")
    for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type='trigger'").fetchall():
        db.execute(f"DROP TRIGGER {name}")
    db.execute("UPDATE entries SET body = '{\"v\":2}' WHERE seq = 3")
    db.close()
    ran = program("verify")
    assert ran.code == 4
    assert ran.err.count("entry 3") == 1
    assert "is damaged: entry 3 is not what was recorded.\n" in ran.err


@pytest.mark.parametrize("words", [("backup",), ("salvage",), ("restore",), ("salvage", "", "TO")])
@pytest.mark.parametrize("below", [False, True])
def test_a_place_that_cannot_be_looked_at_is_said(
    program: Program, words: tuple[str, ...], below: bool
) -> None:
    """Such as one that is too long, or lies in a folder that lets nobody in."""
    program("happened", "saw", "knocked")
    place = str(program.folder / ("a" * 300) / "x") if below else str(program.folder / ("a" * 300))
    named = (str(program.journal), place) if len(words) > 1 else (place,)
    ran = program(words[0], *named)
    assert ran.code == 6
    assert "File name too long" in ran.err
    assert "Traceback" not in ran.err


def test_a_folder_for_copies_that_cannot_be_looked_at_is_not_there(program: Program) -> None:
    text = program.shop.read_text(encoding="utf-8")
    copies = f'unit = "inch"\ncopies = "{"a" * 300}"'
    program.shop.write_text(text.replace('unit = "inch"', copies, 1), encoding="utf-8")
    program("happened", "saw", "knocked")
    ran = program("proofread")
    assert ran.code == 0
    assert "there is no folder" in ran.err
    assert program("backup").code == 6
