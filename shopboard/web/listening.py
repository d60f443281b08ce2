"""The server listens: to so many connections, and to no sender that keeps it waiting."""

from __future__ import annotations

import asyncio
import logging
import ssl
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from aiohttp import web

from shopboard.web.door import CONNECTIONS, CONNECTIONS_OF_ONE, Door

_WITHIN = 10.0
"""Seconds in which a request's head must have come, after the connection or the last answer."""

_TOO_MANY = b"too many connections at once: try again in a moment\n"
_FULL = (
    b"HTTP/1.1 503 Service Unavailable\r\nContent-Type: text/plain\r\nRetry-After: 5\r\n"
    b"Connection: close\r\nContent-Length: %d\r\n\r\n%s" % (len(_TOO_MANY), _TOO_MANY)
)

_quiet = logging.getLogger("shopboard.web")
"""What comes from outside is no fault of the server: nothing is written on its terminal."""
_quiet.addHandler(logging.NullHandler())
_quiet.propagate = False


@asynccontextmanager
async def listening(
    application: web.Application, door: Door, tls: ssl.SSLContext | None = None
) -> AsyncIterator[int]:
    """Listen where the door says, and give the port.

    Raises:
        OSError: when that cannot be, as when another program has the port.
    """
    runner = web.AppRunner(
        application,
        access_log=None,
        logger=_quiet,
        keepalive_timeout=_WITHIN,
        lingering_time=1.0,
        max_line_size=2_048,
        max_field_size=4_096,
        max_headers=64,
        shutdown_timeout=2.0,
        handler_cancellation=True,
    )
    await runner.setup()
    try:
        server = runner.server
        if server is None:
            raise OSError("the server did not begin")
        of_one = CONNECTIONS if door.behind_proxy else CONNECTIONS_OF_ONE
        socket = await asyncio.get_running_loop().create_server(
            lambda: _Doorstep(server, of_one),
            door.address,
            door.port,
            ssl=tls,
            ssl_handshake_timeout=_WITHIN if tls else None,
        )
        try:
            yield int(socket.sockets[0].getsockname()[1])
        finally:
            socket.close()
    finally:
        await runner.cleanup()


class _Doorstep(asyncio.Protocol):
    """Lets a connection in, or says that there are too many."""

    def __init__(self, server: web.Server, of_one: int) -> None:
        self._server = server
        self._of_one = of_one

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Count, and hand it on."""
        if not isinstance(transport, asyncio.Transport):
            transport.close()
            return
        there = [_peer(one.transport) for one in self._server.connections]
        if len(there) >= CONNECTIONS or there.count(_peer(transport)) >= self._of_one:
            transport.write(_FULL)
            transport.close()
            return
        handler = self._server()
        transport.set_protocol(handler)
        handler.connection_made(transport)


def _peer(transport: asyncio.BaseTransport | None) -> str:
    return str((transport.get_extra_info("peername") or ("",))[0]) if transport else ""
