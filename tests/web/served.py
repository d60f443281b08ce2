"""A small server behind the guard, for tests: what it would answer to whom it lets in."""

from __future__ import annotations

import asyncio
import ssl
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from aiohttp import web

from shopboard.web.devices import Devices
from shopboard.web.door import Door
from shopboard.web.guard import DEVICE, Guard
from shopboard.web.listening import listening

ANSWERED = "inside"


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.at = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.at

    def on(self, **much: float) -> None:
        self.at += timedelta(**much)


class Served(NamedTuple):
    port: int
    guard: Guard
    devices: Devices
    clock: Clock
    faults: list[BaseException]

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.port}"

    async def raw(self, sent: bytes, *, within: float = 8.0) -> bytes:
        """Send bytes and give all that comes back until the server closes."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        writer.write(sent)
        try:
            return await asyncio.wait_for(reader.read(), within)
        finally:
            writer.close()

    async def asked(self, target: str = "/", *headers: str, method: str = "GET") -> bytes:
        """Ask with headers as given, and a right host unless one is named."""
        named = any(one.lower().startswith("host:") for one in headers)
        lines = [f"{method} {target} HTTP/1.1", *headers, "Connection: close"]
        lines += [] if named else [f"Host: {self.host}"]
        return await self.raw("\r\n".join((*lines, "", "")).encode("utf-8", "surrogateescape"))


async def _inside(request: web.Request) -> web.StreamResponse:
    device = request[DEVICE]
    return web.Response(text=device.name if device else ANSWERED)


async def _fails(_: web.Request) -> web.StreamResponse:
    raise RuntimeError("of the program's own")


async def _echo(request: web.Request) -> web.StreamResponse:
    socket = web.WebSocketResponse(max_msg_size=65_536)
    await socket.prepare(request)
    async for message in socket:
        if message.data == "flood":
            while True:
                await socket.send_bytes(bytes(60_000))
        await socket.send_str(str(message.data))
    return socket


@asynccontextmanager
async def serving(
    folder: Path, door: Door, tls: ssl.SSLContext | None = None
) -> AsyncIterator[Served]:
    """Serve on a free port."""
    clock, faults = Clock(), list[BaseException]()
    devices = Devices(folder / "state" / "devices.sqlite3", clock)
    application = web.Application()
    for path in ("/", "/glance", "/status.json"):
        application.router.add_get(path, _inside)
    application.router.add_get("/fails", _fails)
    application.router.add_get("/socket", _echo)
    one = Guard(door._replace(port=0), devices, faults.append)
    one.stand_before(application)
    async with listening(application, door._replace(port=0), tls) as port:
        one.door = door._replace(port=port)
        yield Served(port, one, devices, clock, faults)
