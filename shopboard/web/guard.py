"""Everything that is asked of the server passes here first."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Callable
from contextlib import suppress

from aiohttp import web
from aiohttp.typedefs import Handler

from shopboard.web.answers import COOKIE, HEADERS, led, pair, plain, wants_page
from shopboard.web.devices import Device, Devices, DevicesError
from shopboard.web.door import LOOKS, REQUESTS, Allowance, Door, Refusal, RequestHead
from shopboard.web.sockets import Sockets

LOOK_EVERY = 1.0
"""Seconds between two looks whether a device was withdrawn."""

TOO_MANY_WAIT = 1.0
"""Seconds until one who asks too often is told: at once it would be asked again, for ever."""

DEVICE: web.RequestKey[Device | None] = web.RequestKey("device", object)  # type: ignore[arg-type]
"""Who asks; None where nobody needs a secret."""


class Guard:
    """The rules of the door, with what they are counted by."""

    def __init__(
        self,
        door: Door,
        devices: Devices,
        told: Callable[[BaseException], object],
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        """Count from nothing.

        Args:
            door: the rules.
            devices: who may come in.
            told: is told of a fault of the program's own.
            monotonic: seconds of a clock that only goes on.
        """
        self.door = door
        self.devices = devices
        self.sockets = Sockets(devices, monotonic)
        self._told = told
        self._monotonic = monotonic
        self._requests = Allowance(*REQUESTS)

    def stand_before(self, application: web.Application) -> None:
        """Stand before everything that an application answers."""

        @web.middleware
        async def first(request: web.Request, handler: Handler) -> web.StreamResponse:
            return await self._answer(request, handler)

        application.middlewares.insert(0, first)
        application.router.add_get("/pair", self._pair)
        application.router.add_post("/pair", self._pair)
        application.cleanup_ctx.append(self._watched)

    async def _pair(self, request: web.Request) -> web.Response:
        return await pair(request, self.devices, secure=self.door.secure)

    async def _answer(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Let a request through, or refuse it; whatever goes wrong, the answer is plain."""
        try:
            response = await self._let_in(request, handler)
        except web.HTTPException as error:
            response = plain(request, Refusal(error.status, error.reason.lower()))
            for name in {"Allow", "Location"} & {*error.headers}:
                response.headers[name] = error.headers[name]
        except DevicesError as error:
            response = plain(request, Refusal(503, str(error).partition(":")[0]))
        except ConnectionError:  # it is gone: nobody waits for an answer
            raise
        except Exception as error:  # noqa: BLE001 - the last net: a plain answer, never a traceback
            self._told(error)
            response = plain(request, Refusal(500, "a fault of the program's own"))
        if not response.prepared:
            for name, value in HEADERS.items():
                response.headers.setdefault(name, value)
        return response

    async def _let_in(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        here, peer = _end(request, "sockname"), _end(request, "peername")
        headers = list(request.headers.items())
        head = RequestHead(request.method, request.raw_path, headers, here)
        refusal = self.door.refuses(head)
        if not self._requests.take(self.door.address_of(head, peer), self._monotonic()):
            await asyncio.sleep(TOO_MANY_WAIT)
            refusal = Refusal(429, "too many requests: wait a moment")
        if refusal is not None:
            return plain(request, refusal, closes=True)
        request[DEVICE] = None
        if self.door.needs_secret and request.path != "/pair":
            refused = self._by_secret(request)
            if refused is not None:
                return refused
        if not head.opens_socket:
            return await handler(request)
        if not self.sockets.has_room(request[DEVICE]):
            return plain(request, Refusal(503, "too many are open: close one"), closes=True)
        with self.sockets.one_more(request, request[DEVICE]):
            return await handler(request)

    def _by_secret(self, request: web.Request) -> web.Response | None:
        """Find the device by its secret; say why it may not come in here."""
        kind, _, token = request.headers.get("Authorization", "").partition(" ")
        bears = kind.lower() == "bearer"
        secret = token.strip() if bears else request.cookies.get(COOKIE, "")
        device = self.devices.known_by(secret) if secret else None
        if device is None:
            if not bears and wants_page(request):
                return led("/pair")
            response = plain(request, Refusal(401, "this device is not paired: see /pair"))
            response.headers["WWW-Authenticate"] = "Bearer"
            return response
        request[DEVICE] = device
        if device.looks_only and request.path not in LOOKS:
            if wants_page(request):
                return led("/glance")
            return plain(request, Refusal(403, "this device only shows how all stands"))
        return None

    async def _watched(self, _: web.Application) -> AsyncIterator[None]:
        """Look at the sockets as long as the server runs."""
        watching = asyncio.create_task(self._watch())
        yield
        watching.cancel()
        with suppress(asyncio.CancelledError):
            await watching

    async def _watch(self) -> None:
        while True:
            await asyncio.sleep(LOOK_EVERY)
            with suppress(DevicesError):
                self.sockets.look()


def _end(request: web.Request, which: str) -> str:
    """Give the address of an end of the connection."""
    told = request.transport.get_extra_info(which) if request.transport else None
    return str(told[0]) if told else ""
