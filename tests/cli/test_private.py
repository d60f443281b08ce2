"""What the program makes is its owner's alone, whatever the umask; what is there keeps its rights.

0700 for folders is what the XDG base directory specification asks of those that are made.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from tests.cli.program import FENCE_TRUE, SHOP, process
from tests.in_turn import few

pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights as POSIX has them")


def rights(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.parametrize("umask", few([0o000, 0o022, 0o077], 3))  # 0 takes nothing away
def test_what_is_made_is_for_the_owner_alone(tmp_path: Path, umask: int) -> None:
    """Journal, its rollback file, copies, sheet, export, what is remembered: each, and its folder.

    Every file below the empty home after a day's commands is looked at, not a list of names.
    """
    home = tmp_path / "home"
    home.mkdir(mode=0o755)
    home.chmod(0o755)
    shop, answers = tmp_path / "shop.toml", tmp_path / "answers.toml"
    shop.write_text(SHOP, encoding="utf-8")
    answers.write_text(FENCE_TRUE, encoding="utf-8")
    names = ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME")
    env = {"HOME": str(home), **{name: str(home / name / "deep") for name in names}}
    files = ("--shop", str(shop))
    for words in (
        ("check", "jointer.fence", "--answers", str(answers)),
        ("happened", "saw", "hours run", "1h"),
        ("sheet", "saw", "--to", str(home / "saw.html")),
        ("export", "all", "--csv", "--to", str(home / "all.csv")),
        ("prep", "--sheet", str(home / "prep.html")),
        ("backup", str(home / "copy.sqlite3")),
    ):
        done = process(*words, *files, env=env, umask=umask)
        assert done.returncode == 0, done.stderr
    made = list(home.rglob("*"))
    assert {"saw.html", "all.csv", "prep.html", "copy.sqlite3"} <= {path.name for path in made}
    assert "journal.sqlite3" in {path.name for path in made}
    wrong = {
        str(path.relative_to(home)): oct(rights(path))
        for path in made
        if rights(path) != (0o700 if path.is_dir() else 0o600)
    }
    assert wrong == {}
    assert rights(home) == 0o755


def test_what_is_there_keeps_its_rights(tmp_path: Path) -> None:
    """A journal that a second user may read, and a sheet that is written over."""
    shop, journal, sheet = (tmp_path / name for name in ("shop.toml", "journal", "saw.html"))
    shop.write_text(SHOP, encoding="utf-8")
    files = ("--shop", str(shop), "--journal", str(journal))
    folder = rights(tmp_path)
    assert process("happened", "saw", "knocked", "--new-journal", *files).returncode == 0
    assert process("sheet", "saw", "--to", str(sheet), *files).returncode == 0
    journal.chmod(0o640)
    sheet.chmod(0o664)
    assert process("happened", "saw", "knocked", *files).returncode == 0
    assert process("sheet", "saw", "--to", str(sheet), "--replace", *files).returncode == 0
    assert (rights(journal), rights(sheet), rights(tmp_path)) == (0o640, 0o664, folder)
