"""The memory outside of the journals: whole or nothing, private, bounded, never an error."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shopboard.journal.remembered import (
    MOST_JOURNALS,
    LastSeen,
    had_entries,
    memory_file,
    recall,
    remember,
)

KNOWN = LastSeen("first", 340, "ab" * 32, "2026-03-02T08:00:00+00:00", 300, "cd" * 32, "2026-03-01")


def test_nothing_is_known_of_a_journal_that_was_never_open(tmp_path: Path) -> None:
    assert recall(tmp_path / "journal") is None
    assert not memory_file().parent.exists()


def test_each_journal_is_remembered_by_its_path(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    remember(tmp_path / "one", KNOWN)
    remember(tmp_path / "two", KNOWN._replace(last=7))
    assert recall(tmp_path / "one") == KNOWN
    monkeypatch.chdir(tmp_path)
    assert recall(Path("two")) == KNOWN._replace(last=7)


def test_a_path_of_any_bytes_is_remembered(tmp_path: Path) -> None:
    path = tmp_path / os.fsdecode(b'caf\xe9 \x01 "quoted"')
    remember(path, KNOWN)
    assert recall(path) == KNOWN


@pytest.mark.skipif(os.name != "posix", reason="rights of POSIX")
def test_it_is_for_the_owner_alone(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        remember(tmp_path / "one", KNOWN)
    finally:
        os.umask(before)
    assert stat.S_IMODE(memory_file().stat().st_mode) == 0o600
    assert stat.S_IMODE(memory_file().parent.stat().st_mode) == 0o700
    assert [each.name for each in memory_file().parent.iterdir()] == [memory_file().name]


@pytest.mark.parametrize(
    "broken",
    [
        b"",
        b"{",
        b"\xff\xfe\x00",
        b"[" * 100_000,
        b"[]",
        b'{"journals": 3}',
        b'{"journals": {"%s": 3}}',
        b'{"journals": {"%s": {"last": "340"}}}',
        b'{"journals": {"%s": {"last": true}}}',
        b'{"journals": {"%s": {"last": -1}}}',
        b'{"journals": {"%s": {"first_uid": null}}}',
        b" " * 4_000_001,
    ],
)
def test_what_is_broken_knows_nothing_and_is_written_anew(tmp_path: Path, broken: bytes) -> None:
    path = tmp_path / "journal"
    memory_file().parent.mkdir(parents=True)
    memory_file().write_bytes(broken.replace(b"%s", os.fsencode(path)))
    assert recall(path) is None
    remember(path, KNOWN)
    assert recall(path) == KNOWN


def test_what_a_later_version_adds_is_passed_over(tmp_path: Path) -> None:
    remember(tmp_path / "one", KNOWN)
    stored = json.loads(memory_file().read_text())
    stored["more"] = [1]
    stored["journals"][str(tmp_path / "one")]["colour"] = "blue"
    memory_file().write_text(json.dumps(stored))
    assert recall(tmp_path / "one") == KNOWN


def test_where_it_cannot_be_written_nothing_is_said(tmp_path: Path) -> None:
    memory_file().parent.parent.mkdir(parents=True)
    memory_file().parent.write_text("a file stands where the folder goes")
    remember(tmp_path / "one", KNOWN)
    assert recall(tmp_path / "one") is None


def test_the_least_lately_open_ones_are_forgotten(tmp_path: Path) -> None:
    for number in range(MOST_JOURNALS + 3):
        known = KNOWN._replace(when=f"2026-03-02T08:00:00.{number:06d}+00:00")
        remember(tmp_path / str(number), known)
    kept = [n for n in range(MOST_JOURNALS + 3) if recall(tmp_path / str(n)) is not None]
    assert kept == list(range(3, MOST_JOURNALS + 3))


_WRITER = """
import sys
from pathlib import Path
from shopboard.journal.remembered import LastSeen, remember
while True:
    for number in range(50):
        remember(Path(sys.argv[1]), LastSeen("first", number, "ab" * 32, "2026-03-02"))
"""


def test_a_killed_writer_leaves_a_whole_memory(tmp_path: Path) -> None:
    path = tmp_path / "journal"
    for _ in range(5):
        writer = subprocess.Popen([sys.executable, "-c", _WRITER, str(path)])
        while recall(path) is None and writer.poll() is None:
            time.sleep(0.01)
        writer.kill()
        writer.wait()
        assert recall(path) is not None


def test_of_a_journal_that_was_never_seen_nothing_is_remembered() -> None:
    assert tuple(LastSeen()) == ("", 0, "", "", 0, "", "", "", 0, "")


def test_what_was_looked_through_is_taken_over_and_nothing_else() -> None:
    before = LastSeen("a", 9, "ff", "then", 7, "ee", "file", "day", 5, "abcd")
    now = LastSeen("b", 12, "dd", "now", 1, "cc", "other", "week", 2, "ef01")
    assert now.looked_at_as(before) == LastSeen(
        "b", 12, "dd", "now", 7, "ee", "file", "day", 5, "ef01"
    )


def test_a_journal_held_something_where_an_entry_of_it_was_seen(tmp_path: Path) -> None:
    path = tmp_path / "journal"
    assert not had_entries(path)
    for last in (0, 1):
        remember(path, LastSeen("first" * last, last, when="2026-03-02T08:00:00+00:00"))
        assert had_entries(path) is bool(last)
