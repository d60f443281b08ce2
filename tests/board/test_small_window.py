"""A window too small for the board says what it needs, whole, as long as there is room for it."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.board.field import field_lines
from shopboard.board.frame import too_small
from shopboard.board.paint import plain, width_of
from shopboard.journal import open_journal
from tests.board.conftest import Place
from tests.board.test_happened import key_of


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


async def test_in_a_window_too_small_to_be_read_keys_only_lead_back(place: Place) -> None:
    """A digit twice would record what nobody has seen asked; Esc leaves, and q the board."""
    async with place.open() as board:
        await board.press("1", "h")
        key = key_of(board, "knocked")
        await board.resize(80, 19)
        assert "larger" in await board.press(key, key, "enter", "enter", "v", "v")
        await board.resize(80, 24)
        assert board.says("what happened?")
        await board.resize(59, 24)
        await board.press("escape", "escape", "minus", "q")
        assert not board.app.is_running
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        assert journal.count() == 0


@pytest.mark.parametrize("entry", ["", "9" * 65, "丸" * 200, "a\u0301" * 100])
@pytest.mark.parametrize("understood", ["", "does not start with a number that can be read"])
@pytest.mark.parametrize("width", [1, 20, 60, 80, 200])
def test_what_is_typed_is_seen_to_its_end_at_any_width(
    entry: str, understood: str, width: int
) -> None:
    lines = field_lines(entry, understood, width)
    if width >= 60:
        assert all(width_of(line) <= width for line in lines)
        assert f"{entry[-3:]}_" in plain(lines[0])
        told = " ".join(plain(line).rpartition("   ")[2].strip() for line in lines)
        assert understood in told
