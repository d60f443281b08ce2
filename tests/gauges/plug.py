"""A gauge whose plug types: its bytes come to a board as from a terminal, within milliseconds."""

from __future__ import annotations

import asyncio
from contextlib import closing
from pathlib import Path
from time import monotonic

from textual import events

from shopboard.board.app import BoardApp
from shopboard.board.at_once import APART
from shopboard.board.keys_in import KeysIn
from tests.board.conftest import Board
from tests.journal.helpers import plainly

KEYPAD_ENTER = b"\x1b[57414u"
"""By the key codes of terminals that send them as ``CSI number u`` (from memory)."""

INCH = (b"+0012.345\r", b"0.0005in\r\n", b"-00.0120 in\r", b"1.2500 in\r", b".0112\n", b"0.305mm\r")
METRIC = (b"+0000.345\r", b"-00,12 mm\r", b"0,12\r\n", b"000.305mm\r", b"0.0112 in\n")


def readings(unit: str) -> tuple[bytes, ...]:
    """Give what gauges type in a shop by inches, or by mm."""
    return (INCH if unit == "inch" else METRIC) + (b"0.0112 in" + KEYPAD_ENTER,)


async def typed(board: Board, data: bytes, apart: float = 0.0) -> str:
    """Let a gauge type; give what the screen shows once no key is waited for."""
    board.app.waits_for_more = True
    board.seconds.at += 1
    came = list(KeysIn().feed(data, 100.0))
    for message in came:
        message.time = came[0].time + apart * came.index(message)
        board.app.post_message(message)
        if apart:  # else all are there before a busy computer can part them
            await asyncio.sleep(apart)
    await board._seen_to()
    end = monotonic() + 20.0
    while board.app._held and monotonic() < end:
        await asyncio.sleep(APART / 5)
    board.app.waits_for_more = False
    return await board.settle()


def recorded(app: BoardApp) -> int:
    """Give how much is on record."""
    if not app.has_open_shop:
        return 0
    assert isinstance(app.journal_file, Path)
    with closing(plainly(app.journal_file)) as file:
        return int(file.execute("SELECT count(*) FROM entries").fetchone()[0])


def keys_of(data: bytes) -> list[str]:
    """Give the names of its keys."""
    return [one.key for one in KeysIn().feed(data, 100.0) if isinstance(one, events.Key)]


def words_of(data: bytes) -> str:
    """Give the reading, without the end of its line."""
    keys = (one for one in KeysIn().feed(data, 100.0) if isinstance(one, events.Key))
    return "".join(key.character for key in keys if key.character and key.character.isprintable())
