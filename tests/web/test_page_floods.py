"""What a page of ours would never send, to a server as it runs."""

from __future__ import annotations

import asyncio
from urllib.parse import urlsplit

import pytest
from aiohttp import ClientSession, WSMsgType

from tests.web.serving import ServedShop


@pytest.mark.parametrize(
    ("sent", "times"),
    [
        ('["ping", 1]', 3_000),
        ('["stdin", "%s"]' % ("x" * 100_000), 1),
        ("[" * 60_000, 1),
        ('["press", 1e999, "1"]', 1),
        ('["resize", {"width": "\\u001b", "height": -1}]', 1),
        ("\x00\ud7ff", 1),
    ],
    ids=["often", "much", "deep", "vast", "escape", "none"],
)
async def test_a_page_that_sends_what_none_would_is_let_go(
    only_asked: ServedShop, sent: str, times: int
) -> None:
    """Each behind the one before: the board behind it, and the server, go on."""
    where = urlsplit(only_asked.url)
    url = f"ws://{where.netloc}/socket?width=80&height=24&tab={'b' * 32}&at="
    async with ClientSession() as session:
        async with session.ws_connect(url, origin=f"http://{where.netloc}") as socket:
            try:
                for _ in range(times):
                    await socket.send_str(sent)
            except ConnectionError:
                pass  # it is let go before all is sent
            async with asyncio.timeout(20):
                while (await socket.receive()).type not in (
                    *(WSMsgType.CLOSE, WSMsgType.CLOSING, WSMsgType.CLOSED, WSMsgType.ERROR),
                ):
                    pass
        async with session.get(f"{only_asked.url}status.json") as answer:
            assert answer.status == 200
