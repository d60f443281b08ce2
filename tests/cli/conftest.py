"""Fixtures of the command line's tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.program import SHOP, Program


@pytest.fixture
def program(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Program:
    """The program, at a shop of three points and a journal in which nothing is yet."""
    made = Program(tmp_path, capsys, monkeypatch)
    made.write("shop.toml", SHOP)
    return made
