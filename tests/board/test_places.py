"""A shop file that this account may not look at is said, and ends nothing."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from shopboard.board.app import BoardApp


@pytest.mark.parametrize("number", [errno.EACCES, errno.ENAMETOOLONG, errno.ELOOP, errno.EIO])
async def test_a_shop_file_that_cannot_be_looked_at_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    shop = tmp_path / "shop.toml"

    def refused(path: Path, **_: object) -> os.stat_result:
        if path == shop:
            raise OSError(number, os.strerror(number))
        return os.stat(path)  # noqa: PTH116 - what stands in for it is called by Path.stat

    app = BoardApp(shop, tmp_path / "journal.sqlite3")
    monkeypatch.setattr(Path, "stat", refused)
    monkeypatch.setattr(Path, "lstat", refused)
    for one in (app, BoardApp(shop, tmp_path / "journal.sqlite3")):
        async with one.run_test(size=(80, 24)) as pilot:
            one.look_again()
            await pilot.pause()
            assert "1 error in" in getattr(one.screen, "heading", str)()
            await pilot.press("q")
        assert one.return_code == 3
