"""What is done on a page, handed on to its board."""

from __future__ import annotations

import json
import re
import time
from collections.abc import Awaitable, Callable
from typing import Any

from aiohttp import WSMsgType, web

from shopboard.base.served import bounded
from shopboard.web.door import Allowance
from shopboard.web.page_board import PageBoard

MESSAGES = (50.0, 400)
"""Messages of a page in a second, and how many at once: a gauge types thirty in a burst."""

IN_TIME = 5.0
"""Seconds within which what is done on a page arrives: later it would answer by surprise."""


async def listen(socket: web.WebSocketResponse, board: PageBoard) -> None:
    """Hand on what is done on the page; what no page of ours would send ends it."""
    heard = Allowance(*MESSAGES)
    async for message in socket:
        if message.type != WSMsgType.TEXT or not heard.take("", time.monotonic()):
            break
        try:
            sort, *rest = json.loads(message.data)
            if sort == "ping":
                (asked,) = rest
                await socket.send_json({"type": "pong", "asked": asked, "now": time.time()})
                continue
            if sort == "at":  # by this computer's clock, as its last answer told it to the page
                at, sort, *rest = rest
                if abs(time.time() - at) > IN_TIME:
                    await socket.send_json({"type": "late"})
                    continue
            await _HEARD[sort](board, *rest)
        except ConnectionError:
            break
        except (ValueError, KeyError, TypeError, OverflowError, RecursionError):
            break
    await socket.close()


async def _typed(board: PageBoard, text: str) -> None:
    if not isinstance(text, str):
        raise TypeError
    await board.type(text)


async def _resized(board: PageBoard, size: dict[str, int]) -> None:
    columns, rows = bounded(int(size["width"]), int(size["height"]))
    await board.tell({"type": "resize", "width": columns, "height": rows})


async def _pressed(board: PageBoard, turn: int, key: str, words: str = "") -> None:
    """Press a key; the words are those of the field that it gives."""
    if not isinstance(turn, int) or not isinstance(key, str) or not re.fullmatch(_KEY, key):
        raise ValueError
    if not isinstance(words, str):
        raise TypeError
    await board.tell({"type": "press", "turn": turn, "key": key, "words": words})


async def _shown_anew(board: PageBoard) -> None:
    await board.tell({"type": "show"})


async def _nothing(_: PageBoard, *__: Any) -> None:
    """Do nothing: the terminal says more than a board asks."""


_KEY = r"[#=][0-9]{1,6}|[a-z0-9_+]{2,20}|[!-~]"
"""What a button can be: a line of a list, a key by its name, a character."""

_HEARD: dict[str, Callable[..., Awaitable[None]]] = {
    "stdin": _typed,
    "resize": _resized,
    "press": _pressed,
    "show": _shown_anew,
    **dict.fromkeys(("focus", "blur"), _nothing),
}
