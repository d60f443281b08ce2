"""Shop and journal held open by the server, and looked at for who only wants to know."""

from __future__ import annotations

import asyncio
import json
import time
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor

from aiohttp import web

from shopboard.journal import JournalError, JournalMissing
from shopboard.open_shop import OpenShop
from shopboard.shop.problems import ShopFileError
from shopboard.up_next.known import worked_out
from shopboard.web.glance import MOST_NEXT, Glance, cannot_tell, glance_page

EVERY = 2.0
"""Seconds for which the same answer is given, whoever asks."""

Looked = tuple[str, str, int]
"""The page, the JSON, and the status with which they are given."""


class AtAGlance:
    """Looks at a shop in a thread of its own, so that nobody at a socket waits for it."""

    def __init__(
        self,
        opened: Callable[[], OpenShop],
        data: Callable[[OpenShop], Mapping[str, object]],
        trouble: Callable[[OpenShop], list[str]],
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        """Open nothing yet.

        Args:
            opened: opens shop and journal.
            data: gives how all stands as data.
            trouble: says what is the matter with them, a sentence each.
            monotonic: seconds of a clock that only goes on.
        """
        self._opened = opened
        self._data = data
        self._trouble = trouble
        self._monotonic = monotonic
        self._thread = ThreadPoolExecutor(1, "shown")
        self._shop: OpenShop | None = None
        self._last: tuple[float, Looked] | None = None

    def routes(self, application: web.Application) -> None:
        """Answer `/glance` and `/status.json`."""
        application.router.add_get("/glance", self._page)
        application.router.add_get("/status.json", self._json)
        application.on_cleanup.append(self._close)

    async def trouble(self) -> str:
        """Open shop and journal; say why that cannot be, empty where it can or a board asks."""
        return await asyncio.get_running_loop().run_in_executor(self._thread, self._why_not)

    def _why_not(self) -> str:
        try:
            self._shop = self._shop or self._opened()
        except JournalMissing:
            return ""  # the board asks whether one is to be begun
        except JournalError as error:
            return f"{error.title} {error.advice}"
        except ShopFileError:
            return ""  # the board says what is wrong in it, or has a shop described
        return ""

    async def _page(self, _: web.Request) -> web.Response:
        page, _data, status = await self._seen()
        return web.Response(text=page, content_type="text/html", charset="utf-8", status=status)

    async def _json(self, _: web.Request) -> web.Response:
        _page, data, status = await self._seen()
        return web.Response(text=data, content_type="application/json", status=status)

    async def _seen(self) -> Looked:
        return await asyncio.get_running_loop().run_in_executor(self._thread, self._look)

    def _look(self) -> Looked:
        now = self._monotonic()
        if self._last is None or now - self._last[0] >= EVERY:
            self._last = (now, self._look_anew())
        return self._last[1]

    def _look_anew(self) -> Looked:
        try:
            if self._shop is None:
                self._shop = self._opened()
            if not self._shop.poll():
                self._shop.refresh()  # time goes by, too
            data = json.dumps(self._data(self._shop), indent=2, allow_nan=False)
            return glance_page(_glance(self._shop, self._trouble(self._shop))), f"{data}\n", 200
        except JournalError as error:
            why = f"{error.title} {error.advice}"
        except ShopFileError as error:
            why = f"The shop file cannot be used: {error.problems[0].sentence}"
        name = self._shop.shop.name if self._shop is not None else ""
        return cannot_tell(why, name), f"{json.dumps({'error': why})}\n", 503

    async def _close(self, _: web.Application) -> None:
        def close() -> None:
            if self._shop is not None:
                self._shop.close()

        await asyncio.get_running_loop().run_in_executor(self._thread, close)
        self._thread.shutdown()


def _glance(shop: OpenShop, troubles: list[str]) -> Glance:
    up_next = worked_out(shop, MOST_NEXT)
    return Glance(shop.shop.name, shop.standing, shop.now(), shop.is_demo, troubles, up_next)
