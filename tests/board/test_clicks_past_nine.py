"""A line of a list that has no digit just now takes a click as its digit after +."""

from __future__ import annotations

import pytest

from shopboard.board.canvas import Canvas
from tests.board.test_number_pad import lines_of, place_of, reach, struck
from tests.in_turn import few

WHOLE = 3
"""Turn of the shop with the longest lists."""

LISTS = ("tasks", "edit", "edit-point", "help", "prep", "add")


@pytest.mark.parametrize("way", LISTS)
async def test_each_line_past_nine_takes_a_click_as_its_digit(way: str) -> None:
    """Nothing of a list that is drawn can be reached by keys alone."""
    async with place_of(way, WHOLE).open(80, 48) as board:
        screen = await reach(board, way)
        drawn = [(y, hit) for y, hits in enumerate(lines_of(screen)) for hit in hits]
        past = [(y, hit) for y, hit in drawn if hit.key.startswith("=")]
        assert past, board.text
        for y, hit in few(past, 2):
            number = int(hit.key[1:])
            board.seconds.at += 1
            click = board.pilot.click(Canvas, offset=(hit.start + 2, y))
            came = [key for key, _ in await struck(board, screen, click)]
            assert (came, screen._cursor) == ([str(number % 9 + 1)], number)
            screen._cursor = 0
            screen.repaint()
            await board.settle()


async def test_it_opens_what_the_digit_opens() -> None:
    async with place_of("edit", WHOLE).open(80, 24) as board:
        screen = await reach(board, "edit")
        hits = [(y, hit) for y, row in enumerate(lines_of(screen)) for hit in row]
        y, hit = next((y, hit) for y, hit in hits if hit.key == "=11")
        named = board.lines[y].split(": ", 1)[1].strip()
        await board.pilot.click(Canvas, offset=(hit.start + 2, y))
        opened = await board.settle()
        assert named in opened.splitlines()[0]
        await board.press("minus", "1")  # back at the top of the list
        await board.press("minus")
        assert opened.splitlines()[0] != board.lines[0]
