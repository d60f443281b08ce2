"""The board's page and its socket, as an application of aiohttp."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable, Sequence
from importlib.resources import files
from typing import Any

from aiohttp import web

from shopboard.base.served import Served, bounded
from shopboard.base.who import who_is_here
from shopboard.web.guard import DEVICE
from shopboard.web.heard import listen
from shopboard.web.page_board import PageBoard

KEPT = 600.0
"""Seconds that a board waits for a page that was lost; what it was at is on disk in any case."""

MOST_BOARDS = 16
"""Boards at once: each is a program of its own."""

MOST_SENT = 64 * 1024
"""Bytes of a message from a page."""

HEARTBEAT = 15.0
"""Seconds between looks whether a page is still there."""

_OWN = {
    "page.html": "text/html",
    "page.css": "text/css",
    "page.js": "text/javascript",
    "link.js": "text/javascript",
    "icon.svg": "image/svg+xml",
}
_TERMINAL = {"js/textual.js": "text/javascript", "css/xterm.css": "text/css"}
"""Of the terminal, the two files that are needed."""

_HEADERS = {
    # Scripts and all else from here alone; the terminal writes its colours into the page's styles.
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
        "img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'self'; "
        "frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-cache",
}

_TAB = re.compile(r"[0-9a-f]{32}")


class Serving:
    """Pages, sockets, and a board for each tab."""

    def __init__(self, shop_and_journal: Sequence[str], *, kept: float = KEPT) -> None:
        """Hold what boards are begun with.

        Args:
            shop_and_journal: words of the command line that name them.
            kept: seconds that a board waits for its page.
        """
        self._files = shop_and_journal
        self._kept = kept
        self._boards: dict[tuple[str, str], PageBoard] = {}
        """By device and tab."""
        self._leaving: set[asyncio.Task[None]] = set()

    def application(self) -> web.Application:
        """Give the application."""
        application = web.Application(client_max_size=MOST_SENT)
        application.router.add_get("/", _sent("page/page.html", "text/html"))
        for name, sort in _OWN.items():
            application.router.add_get(f"/page/{name}", _sent(f"page/{name}", sort))
        for name, sort in _TERMINAL.items():
            send = _sent(f"static/{name}", sort, "textual_serve")
            application.router.add_get(f"/terminal/{name.rpartition('/')[2]}", send)
        application.router.add_get("/socket", self._socket)
        application.on_shutdown.append(self._end)
        return application

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        """Show a board on a page until one of the two is gone."""
        try:
            shown, tab = _asked(request)
        except ValueError:
            raise web.HTTPBadRequest(text="That is no page of this board.") from None
        device = request.get(DEVICE)
        key = (device.id if device else "", tab)
        if key not in self._boards:
            await self._make_room()
        socket = web.WebSocketResponse(heartbeat=HEARTBEAT, max_msg_size=MOST_SENT)
        await socket.prepare(request)
        board = self._boards.get(key)
        if board is None or board.over.is_set():
            board = await self._begun(key, device, shown)
        await board.show(socket, (shown.columns, shown.rows))
        try:
            await listen(socket, board)
        finally:
            board.hide(socket)
            self._later(self._leave(board))
        return socket

    async def _make_room(self) -> None:
        """End a board that no page shows, where there are as many as there may be."""
        if len(self._boards) < MOST_BOARDS:
            return
        hidden = next((key for key, one in self._boards.items() if not one.is_shown), None)
        if hidden is None:
            raise web.HTTPServiceUnavailable(text="Too many boards are open: close one.")
        await self._boards.pop(hidden).end()

    async def _begun(self, key: tuple[str, str], device: Any, shown: Served) -> PageBoard:
        board = self._boards[key] = PageBoard(self._files, device.name if device else who_is_here())
        try:
            await board.begin(shown)
        except BaseException:
            del self._boards[key]
            raise
        self._later(self._forget(key, board))
        return board

    def _later(self, what: Any) -> None:
        task = asyncio.ensure_future(what)
        self._leaving.add(task)
        task.add_done_callback(self._leaving.discard)

    async def _forget(self, key: tuple[str, str], board: PageBoard) -> None:
        await board.over.wait()
        if self._boards.get(key) is board:
            del self._boards[key]

    async def _leave(self, board: PageBoard) -> None:
        """End a board that no page has come back to."""
        for _ in range(10):
            await asyncio.sleep(self._kept / 10)
            if board.is_shown or board.over.is_set():
                return
        await board.end()

    async def _end(self, _: web.Application) -> None:
        for one in self._leaving:
            one.cancel()
        await asyncio.gather(*(one.end() for one in list(self._boards.values())))


def _asked(request: web.Request) -> tuple[Served, str]:
    """Read what a page asks for.

    Raises:
        ValueError: when no page of ours would ask so.
    """
    asks = request.query
    tab, at = asks.get("tab", ""), asks.get("at", "")
    if not _TAB.fullmatch(tab) or len(at) > 200 or not at.isprintable():
        raise ValueError
    columns, rows = (asks.get(name, "") for name in ("width", "height"))
    if not all(one.isascii() and one.isdigit() and len(one) <= 6 for one in (columns, rows)):
        raise ValueError
    return Served(*bounded(int(columns), int(rows)), at), tab


def _sent(
    name: str, sort: str, package: str = "shopboard.web"
) -> Callable[[web.Request], Awaitable[web.Response]]:
    """Give what sends one file; it is read once."""
    body = files(package).joinpath(name).read_bytes()

    async def send(_: web.Request) -> web.Response:
        return web.Response(body=body, content_type=sort, charset="utf-8", headers=_HEADERS)

    return send
