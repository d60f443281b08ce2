"""The chair maker's shop on the board: a check of its own, an edge held by hand, a glue-up."""

from __future__ import annotations

import pytest

from shopboard.board.screens.glue_up import GlueUpScreen
from tests.board.conftest import Place
from tests.chair_shop import SHOP

SIZES = [(80, 24), (160, 48)]


@pytest.mark.parametrize(("width", "height"), SIZES)
async def test_two_dents_by_the_number_pad(bare: Place, width: int, height: int) -> None:
    """From the board to the result: where the dents lie is drawn, and the point told from it."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open(width, height) as board:
        await board.press("2", "1", "1", "1", "1", "enter", "enter")
        text = await board.press("enter")
        assert board.asks("Which side of the first dent is the fresh one?")
        assert "fresh dent: where the point is" in text
        (drawn,) = (line for line in text.split("\n") if "you " in line and "○" in line)
        assert drawn.index("you ") < drawn.index("○")
        await board.press("2")
        await board.press(*("full_stop", "0", "6", "enter"), "1")
        await board.press(*("full_stop", "0", "8", "enter"), "1")
        small = height < 30  # above that the finding stands in block letters
        assert board.says("tail point 30 thou away from you, 40 thou too high") == small
        assert board.says("The tail point must move 30 thou toward")
        assert "…" not in board.text


async def test_an_edge_held_by_hand_is_changed_without_a_plug(bare: Place) -> None:
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open() as board:
        await board.press("2", "c")
        text = await board.press("2")
        assert "Spindle gouge, 3/8 in" in text
        assert "it was sharpened here" in text  # though it lies ready
        (offered,) = (line for line in text.split("\n") if "take it off" in line)
        await board.press(offered.split()[0].lstrip("►"))
        assert "gouge change" in board.lines[0]
        assert board.says("Lay it down: edge away from you")
        await board.press("1", "enter", "enter")
        assert "plug" not in board.text.lower()


async def test_the_legs_hold_until_their_jig_is_proven(bare: Place) -> None:
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open() as board:
        await board.press("u", "1")
        assert isinstance(board.app.screen, GlueUpScreen)
        assert board.says("Leg jig, along the line of sight is unproven: never checked.")
        assert board.says("check first Drill press: Bit runs true")
