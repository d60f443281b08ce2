"""Ten readings for one's own hand, from the screen of a point."""

from __future__ import annotations

import pytest

from tests.board.conftest import Place
from tests.cli.program import SHOP


@pytest.mark.parametrize(("width", "height"), [(80, 24), (160, 48)])
async def test_the_last_choice_at_a_point_reads_it_ten_times(
    bare: Place, width: int, height: int
) -> None:
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open(width, height) as board:
        for _ in range(2):
            await board.press("1")
            await board.look()
        choice = next(line for line in board.text.split("\n") if "read it ten times" in line)
        await board.press(choice.split()[0])
        await board.look()
        for _ in range(9):
            if "of 10" in board.text:
                break
            await board.press("1")
            await board.look()
        assert "Reading 1 of 10." in board.text
