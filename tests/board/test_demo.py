"""DEMO stands on every screen of a shop whose records are made up, and on no other."""

from __future__ import annotations

import shutil
from importlib import import_module
from pathlib import Path

from shopboard.board.screens.base import ShopScreen
from tests.board.conftest import Place
from tests.demo.lived import lived

SCREENS = Path(import_module("shopboard.board.screens").__file__ or "").parent

WAYS = {
    "the board": (),
    "its help": ("question_mark",),
    "a machine": ("1",),
    "a point": ("1", "1"),
    "a check": ("1", "1", "1"),
    "cutters": ("1", "c"),
    "what happened": ("1", "h"),
    "tasks": ("t",),
    "the prep day": ("n",),
    "projects": ("u",),
    "the daily safety walk": ("s",),
    "another day": ("y",),
}
"""Keys that lead to some."""


async def test_it_stands_on_screen_after_screen(bare: Place) -> None:
    made, place = lived("metric"), bare
    place.clock.now = made.now
    for file in (place.shop_file, place.journal_file):
        shutil.copyfile(made.folder / file.name, file)
    headings = set()
    async with place.open() as board:
        home = board.app.screen
        for where, keys in WAYS.items():
            await board.press(*keys)
            assert "DEMO" in board.lines[0], where
            assert all(len(line) == 80 for line in board.lines), where
            headings.add(board.lines[0])
            while board.app.screen is not home:
                board.app.pop_screen()
                await board.settle()
    assert len(headings) >= len(WAYS) - 1, "each way led to a screen of its own"


async def test_it_stands_on_no_other_shop(place: Place) -> None:
    async with place.open() as board:
        assert "DEMO" not in board.text


def test_no_screen_draws_itself_past_the_mark() -> None:
    """What is drawn, `ShopScreen.paint` puts together for every screen."""
    classes = [
        one
        for file in SCREENS.glob("[a-z]*.py")
        for one in vars(import_module(f"shopboard.board.screens.{file.stem}")).values()
        if isinstance(one, type) and issubclass(one, ShopScreen)
    ]
    assert len({*classes}) > 25
    assert all(one.paint is ShopScreen.paint for one in classes)
