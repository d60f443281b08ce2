"""Takes the pictures: each screen of a shop once on the board, in every size."""

from __future__ import annotations

import os
import shutil
import subprocess
import time
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path
from typing import NamedTuple

from shopboard.board.app import BoardApp
from shopboard.board.screens.board import BoardScreen
from shopboard.up_next.items import is_fresh
from shopboard.up_next.known import work_out_next
from tests.board.conftest import Board, Place
from tests.pictures.drawn import svg
from tests.pictures.hand import Hand
from tests.pictures.ways import WAYS, Way

SIZES = ((80, 24), (120, 36), (160, 48), (240, 67))
MAIN = (
    *("board", "machine", "point", "check-leaf", "result-out"),
    *("tasks", "round", "happened", "prep", "glue-up-hold"),
)
"""The main screens: how they look is kept, and held by a test."""

MAIN_SHOP, MAIN_SIZE = "sample", (80, 24)
KEPT = Path(__file__).with_name("kept")

CONVERTER = "rsvg-convert"
"""Makes a PNG of an SVG, where it is installed."""


class Size(NamedTuple):
    """Of a window."""

    columns: int
    rows: int

    def __str__(self) -> str:
        return f"{self.columns}x{self.rows}"


def at_greenwich() -> None:
    """Let local time be UTC: the same picture is taken everywhere."""
    os.environ["TZ"] = "UTC"
    if hasattr(time, "tzset"):
        time.tzset()


@asynccontextmanager
async def standing_at(name: str, shop: str, size: tuple[int, int]) -> AsyncIterator[Board]:
    """Open a board on the way's place, and go the way."""
    way = WAYS[name]
    async with opened(way.place(shop), size, begin=way.begin) as board:
        await way.go(Hand(board))
        await board.settle()
        _is_there(way, board)
        yield board


@asynccontextmanager
async def opened(place: Place, size: tuple[int, int], *, begin: bool) -> AsyncIterator[Board]:
    """Open a board without a terminal."""
    files = (place.shop_file, place.journal_file)
    app = BoardApp(*files, place.clock, place.seconds, begin=begin)
    try:
        async with app.run_test(size=size, notifications=True) as pilot:
            board = Board(app, pilot, place.seconds)
            await board.settle()
            yield board
    finally:
        app.close()


def _is_there(way: Way, board: Board) -> None:
    """Hold that the way led where it says.

    Raises:
        LookupError: when it did not.
    """
    top = type(board.app.screen).__name__
    if top != way.screen:
        raise LookupError(f"the way to {way.screen} led to {top}:\n{board.text}")


async def take(
    name: str,
    shop: str,
    sizes: Sequence[tuple[int, int]],
    themes: Sequence[str],
    folder: Path,
) -> list[Path]:
    """Take the pictures of one screen; give their files."""
    made = []
    async with standing_at(name, shop, sizes[0]) as board:
        for size in sizes:
            await board.resize(*size)
            for theme in themes:
                await _in_colours(board, theme)
                path = folder / f"{shop}-{name}-{Size(*size)}-{theme}.svg"
                path.write_text(picture(board), encoding="utf-8")
                made.append(path)
    return made


async def of_main(name: str) -> str:
    """Draw one of the main screens as it is kept."""
    async with standing_at(name, MAIN_SHOP, MAIN_SIZE) as board:
        await _in_colours(board, "dark")
        return picture(board)


async def _in_colours(board: Board, theme: str) -> None:
    """Let the terminal be one that this theme suits, and the minutes of what is next be known."""
    board.app.told_theme = theme
    top = board.app.top
    assert top is not None
    top.repaint()
    if isinstance(top, BoardScreen):
        fresh = is_fresh(top.open_shop.standing)
        while work_out_next(top.open_shop, top._next, fresh=fresh):
            top.repaint()  # a fresh shop knows what comes next only then
        top.repaint()
    await board.settle()


def picture(board: Board) -> str:
    """Draw what stands on the board."""
    strips = board.app.screen._compositor.render_strips()
    return svg(strips, board.app.screen.size.width)


def as_png(path: Path) -> bool:
    """Make a PNG beside an SVG; tell whether that can be done here."""
    program = shutil.which(CONVERTER)
    if program is None:
        return False
    subprocess.run([program, path, "-o", path.with_suffix(".png")], check=True)
    return True
