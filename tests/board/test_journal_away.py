"""Every screen while the journal cannot be read, as on a server that is away: none ends the board.

Each is gone to while it can, and stands there while it cannot; then each of its keys is struck, and
whatever that brings up stands there, too.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from types import MethodType
from typing import Any

import pytest

from shopboard.journal import JournalCannotRead
from tests.board.conftest import Board
from tests.in_turn import few
from tests.pictures.camera import standing_at
from tests.pictures.ways import WAYS

WITHOUT = ("absent", "broken-file", "first-run", "describe")
"""No journal is open at these."""

ONES = [
    *("tag", "tag-clear", "help-point", "set-up-square"),
    *(one for one in WAYS if not one.startswith((*WITHOUT, "help-", "set-up-", "tag"))),
]


@contextmanager
def away(board: Board) -> Iterator[None]:
    """Let the journal that is open answer nothing for a while."""
    held = board.app.open_shop._file._held  # type: ignore[attr-defined]

    def fails(*_: Any, **__: Any) -> Any:
        raise JournalCannotRead("The server does not answer.", "Nothing is recorded until it does.")

    with pytest.MonkeyPatch.context() as patched:
        for name in ("read", "writable_db"):
            patched.setattr(held, name, MethodType(fails, held))
        yield


async def back_to(board: Board, depth: int) -> None:
    """Take off what a key brought up."""
    while len(board.app.screen_stack) > depth:
        board.app.pop_screen()
        await board.settle()


@pytest.mark.parametrize("name", few(ONES, 8))
async def test_no_screen_ends_the_board_while_the_journal_is_away(name: str) -> None:
    async with standing_at(name, "whole", (80, 24)) as board:
        top = board.app.top
        assert top is not None
        depth = len(board.app.screen_stack)
        with away(board):
            await board.look()
            await board.resize(81, 25)  # all is drawn anew
            keys = [one.names[0] for one in top.keys if one.action not in ("quit", "leave", "back")]
            for key in [*keys, *"123456789"]:
                await board.press(key)
                assert board.app.is_running, key
                await board.look()
                await board.resize(80, 24)
                if len(board.app.screen_stack) < depth or board.app.top is None:
                    break  # it has gone back by itself
                await back_to(board, depth)
                await board.resize(81, 25)
        await board.look()
        assert board.app.is_running
