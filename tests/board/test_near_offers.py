"""A result that is near is read again by Enter where that may settle it, on a real board."""

from __future__ import annotations

import pytest

from tests.board.conftest import Place
from tests.combination import SHOP


@pytest.mark.parametrize(("width", "height"), [(80, 24), (160, 48)])
async def test_enter_reads_again_what_that_may_settle(bare: Place, width: int, height: int) -> None:
    """A combination machine in mm: 0.15 mm goes at the blade's top, 0.16 mm won't."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open(width, height) as board:
        keys = ["1", "1", "1", "enter", "enter", "1", "1"]
        for key in keys:
            await board.press(key)
            await board.look()
        for _ in range(8):
            if board.asks("Take the readings again?"):
                break
            await board.press("2")
            await board.look()
        assert "once more has a" in " ".join(board.text.split())
        await board.press("enter")
        await board.look()
        assert "Reading 2." in board.text
        assert {"Take", "away", "first,", "read", "afresh."} <= {*board.text.split()}


async def test_why_shows_the_working_of_the_readings_so_far(bare: Place) -> None:
    """It is asked whether to read again by what was found: that can be looked at first."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open(100, 40) as board:
        for key in ("1", "1", "1", "enter", "enter", "1", "1"):
            await board.press(key)
            await board.look()
        for _ in range(8):
            if "Take the readings again?" in board.text:
                break
            await board.press("2")
            await board.look()
        shown = await board.press("w")
        assert "Why: " in shown
        assert "U = k u = " in shown
        assert "nothing is worked out" not in shown.lower()
