"""The README shows the board as it is."""

from __future__ import annotations

import pytest

from tests.pictures.readme import PICTURE, taken
from tests.test_imports import PACKAGE

README = PACKAGE.parent / "README.md"


def test_the_readme_shows_the_picture() -> None:
    text = README.read_text(encoding="utf-8")
    assert text.count("](tests/pictures/board.svg)") == 1
    assert len(text.encode()) <= 8192


async def test_the_picture_is_what_the_board_shows_now(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")
    now = await taken()
    assert PICTURE.read_text(encoding="utf-8") == now, (
        "the board looks otherwise now; `python -m tests.pictures.readme` makes the picture anew"
    )
