"""A new shop file is there whole, or it is not; one that is there is never replaced."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from shopboard.shop.files import LARGEST
from shopboard.writing import saving
from shopboard.writing.saving import NotSavedError, create
from tests.journal.calls import CHANGES, calls_of, failed_at, killed_at
from tests.journal.helpers import need

NEW = b"name = 'new'\n" * 300


def test_it_stands_there_with_the_folders_above_it(tmp_path: Path) -> None:
    path = tmp_path / "settings" / "shopboard" / "shop.toml"
    create(path, NEW)
    assert path.read_bytes() == NEW
    assert [one.name for one in path.parent.iterdir()] == ["shop.toml"]


def test_what_is_there_stays(tmp_path: Path) -> None:
    path, loose = tmp_path / "shop.toml", tmp_path / "loose.toml"
    path.write_bytes(b"mine\n")
    loose.symlink_to("nowhere")
    for one in (path, loose):
        with pytest.raises(NotSavedError, match="there already; it is as it was"):
            create(one, NEW)
    assert path.read_bytes() == b"mine\n"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["loose.toml", "shop.toml"]


def test_one_that_came_meanwhile_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, sync = tmp_path / "shop.toml", os.fsync

    def slow(handle: int) -> None:
        sync(handle)
        path.write_bytes(b"an editor's\n")

    monkeypatch.setattr(os, "fsync", slow)
    with pytest.raises(NotSavedError, match="there already"):
        create(path, NEW)
    assert path.read_bytes() == b"an editor's\n"
    assert [one.name for one in tmp_path.iterdir()] == ["shop.toml"]


def test_where_no_file_has_two_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    create(tmp_path / "shop.toml", NEW)
    assert (tmp_path / "shop.toml").read_bytes() == NEW


def test_it_says_why_it_cannot_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(NotSavedError, match="cannot be made"):
        create(tmp_path / "file" / "shop.toml", NEW)
    with pytest.raises(NotSavedError, match="1,000,001 bytes"):
        create(tmp_path / "shop.toml", b"#" * (LARGEST + 1))

    def full(_: Path) -> None:
        raise OSError(28, "no room")

    monkeypatch.setattr(saving, "new_file", full)
    with pytest.raises(NotSavedError, match="cannot be made: the disk is full"):
        create(tmp_path / "shop.toml", NEW)
    assert [one.name for one in tmp_path.iterdir()] == ["file"]


def test_killed_or_let_down_at_any_call_it_is_whole_or_not_there(tmp_path: Path) -> None:
    need("strace")
    (tmp_path / "new").write_bytes(NEW)

    def program(folder: Path) -> list[str]:
        script = str(Path(__file__).with_name("writer.py"))
        return [sys.executable, "-B", script, str(folder / "shop.toml"), str(tmp_path / "new")]

    def ready(name: str) -> Path:
        (tmp_path / name).mkdir()
        return tmp_path / name

    calls = calls_of(program(ready("trace")), tmp_path / "trace")
    touching = [one for one in calls if one.name in CHANGES]
    assert {one.name for one in touching} >= {"write", "fsync", "link"}
    stood = set()
    for number, call in enumerate(touching):
        folder = ready(f"killed-{number}")
        assert killed_at(program(folder), folder, call).code < 0
        path = folder / "shop.toml"
        stood.add(path.exists())
        if path.exists():
            assert path.read_bytes() == NEW
        else:  # what a killed one left does not stand in the way of the next
            create(path, NEW)
            assert [one.name for one in folder.iterdir()] == ["shop.toml"]
        folder = ready(f"failed-{number}")
        fault = f"error=ENOSPC:when={call.number}"
        told = failed_at(program(folder), folder, call.name, fault)
        is_there = (folder / "shop.toml").exists()
        assert "Traceback" not in told.error
        assert told.code == 0 or len(told.said) == 1
        assert not is_there or (folder / "shop.toml").read_bytes() == NEW
        assert is_there == (told.code == 0 or "did not confirm" in told.said[0])
    assert stood == {False, True}
