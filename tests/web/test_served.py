"""What the page's server answers to what no page of its own would send."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from pathlib import Path

import aiohttp
import pytest
from aiohttp.test_utils import TestClient, TestServer

from shopboard.web.served import MOST_SENT, Serving
from tests.two_shops import METRIC

TAB = "0123456789abcdef" * 2
ASKED = {"width": "80", "height": "24", "tab": TAB, "at": ""}


@pytest.fixture
async def client(tmp_path: Path) -> AsyncIterator[TestClient]:  # type: ignore[type-arg]
    (tmp_path / "shop.toml").write_text(METRIC, encoding="utf-8")
    files = ("--shop", str(tmp_path / "shop.toml"), "--journal", str(tmp_path / "j"))
    async with TestClient(TestServer(Serving((*files, "--new-journal")).application())) as client:
        yield client


async def opened(client: TestClient) -> aiohttp.ClientWebSocketResponse:  # type: ignore[type-arg]
    """A socket that has been told what is shown."""
    socket = await client.ws_connect("/socket", params=ASKED)
    async with asyncio.timeout(30):
        async for message in socket:
            if message.type == aiohttp.WSMsgType.TEXT and "SAW" in message.data:
                return socket
    raise AssertionError("no board came up")


@pytest.mark.parametrize(
    "other",
    [
        {"tab": ""},
        {"tab": TAB.upper()},
        {"tab": "../../etc"},
        {"at": "x" * 201},
        {"at": "check\x1b[2J"},
        {"width": "-1"},
        {"width": "9999999"},
        {"height": "²"},
        {"height": ""},
    ],
    ids=str,
)
async def test_a_socket_that_no_page_asks_for_is_refused(
    client: TestClient,  # type: ignore[type-arg]
    other: dict[str, str],
) -> None:
    with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
        await client.ws_connect("/socket", params={**ASKED, **other})
    assert refused.value.status == 400


NO_MESSAGES = (
    *("", "{", "[]", "null", "17", '"press"', "[[]]", '["press"]', '["press", 1]', '["no"]'),
    *('["ping"]', '["at"]', '["at", 1]', '["at", "1", "press", 1, "q"]', '["press", 1, "q", 7]'),
    *('["press", "1", "q"]', '["press", 1, 7]', '["press", 1, "\\u001b"]', '["press", 1, "#x"]'),
    *('["stdin", 1]', '["stdin"]', '["resize", 80]', '["resize", {"width": 1}]', "[" * 60_000),
    '["resize", {"width": 1e999, "height": 1}]',
    json.dumps(["stdin", "x" * MOST_SENT]),
)


async def test_what_no_page_would_send_closes_its_socket_and_nothing_else(
    client: TestClient,  # type: ignore[type-arg]
) -> None:
    """Each in turn; the board behind it is there for the next one, and shows the same."""
    for message in NO_MESSAGES:
        socket = await opened(client)
        await socket.send_str(message)
        async with asyncio.timeout(10):
            async for _ in socket:
                pass
        assert socket.closed, message[:40]
    socket = await opened(client)
    await socket.send_bytes(b"\x00")
    async with asyncio.timeout(10):
        async for _ in socket:
            pass


async def test_nothing_but_its_own_files_is_sent_and_no_page_runs_anything_else(
    client: TestClient,  # type: ignore[type-arg]
) -> None:
    """Content-Security-Policy: CSP 3; neither inline script nor another host."""
    page = await client.get("/")
    policy = page.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy
    text = await page.text()
    assert "<script>" not in text
    assert "://" not in text
    for path in ("/page/", "/page/../served.py", "/page/served.py", "/terminal/xterm", "/static/"):
        assert (await client.get(path)).status == 404
