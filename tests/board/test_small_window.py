"""A window too small for the board says what it needs, whole, as long as there is room for it."""

from __future__ import annotations

import pytest

from shopboard.board.frame import too_small
from shopboard.board.paint import plain


@pytest.mark.parametrize(("width", "height"), [(20, 5), (12, 8), (59, 1), (30, 19)])
def test_the_hint_is_not_cut(width: int, height: int) -> None:
    lines = [plain(line) for line in too_small(width, height)]
    assert " ".join(" ".join(lines).split()) == "Make the window larger: 60 x 20 at least."
    assert len(lines) == height
    assert all(len(line) <= width for line in lines)


@pytest.mark.parametrize(("width", "height"), [(1, 1), (5, 2), (3, 30)])
def test_even_less_room_is_filled_and_no_more(width: int, height: int) -> None:
    lines = [plain(line) for line in too_small(width, height)]
    assert len(lines) == height
    assert all(len(line) <= width for line in lines)
