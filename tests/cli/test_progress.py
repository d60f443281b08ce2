"""How far something long is, on a terminal alone, and taken off again."""

from __future__ import annotations

import io
import sys

import pytest

from shopboard.commands.output import Progress


class _Stream(io.StringIO):
    def __init__(self, *, terminal: bool) -> None:
        super().__init__()
        self.terminal = terminal

    def isatty(self) -> bool:
        return self.terminal


def _told(monkeypatch: pytest.MonkeyPatch, *, terminal: bool) -> str:
    """Give what is written in 2.5 s in which it is told five times."""
    stream, times = _Stream(terminal=terminal), iter([0.0, 0.5, 1.0, 1.0, 1.5, 2.0, 2.0, 2.5])
    monkeypatch.setattr(sys, "stderr", stream)
    progress = Progress(times.__next__)
    for done in range(1, 6):
        progress(1000 * done, 10_000)
    progress.end()
    return stream.getvalue()


def test_it_is_told_once_in_a_second_on_the_same_line(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = _told(monkeypatch, terminal=True).split("\r")
    assert lines[1:3] == ["  2,000 of 10,000 entries", "  4,000 of 10,000 entries"]
    assert lines[3] == " " * len(lines[2])
    assert lines[4] == ""


def test_nothing_of_it_goes_into_a_file(monkeypatch: pytest.MonkeyPatch) -> None:
    assert _told(monkeypatch, terminal=False) == ""
