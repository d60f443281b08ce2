"""The sockets that are open: not too many, none of a device that was withdrawn, none that is stuck.

They are cut at their connection, so whoever serves them need not know of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from aiohttp import web

from shopboard.web.devices import Device, Devices
from shopboard.web.door import SOCKETS, SOCKETS_OF_ONE

TAKES_WITHIN = 10.0
"""Seconds in which a socket takes what it is sent."""


class OpenSocket:
    """A socket that is open."""

    def __init__(self, request: web.Request, device: Device | None) -> None:
        self.request = request
        self.device = device
        self.full_since: float | None = None
        """Since when it did not take what it was sent."""

    def cut(self) -> None:
        """Close it at once, without waiting for what it still has to take."""
        if self.request.transport is not None:
            self.request.transport.abort()


class Sockets:
    """Those that are open."""

    def __init__(self, devices: Devices, monotonic: Callable[[], float]) -> None:
        """Begin with none."""
        self._devices = devices
        self._monotonic = monotonic
        self._open: list[OpenSocket] = []

    def __len__(self) -> int:
        """Count them."""
        return len(self._open)

    def has_room(self, device: Device | None) -> bool:
        """Tell whether one more may open for that device."""
        ident = device and device.id
        of_one = sum((one.device and one.device.id) == ident for one in self._open)
        return of_one < SOCKETS_OF_ONE and len(self._open) < SOCKETS

    @contextmanager
    def one_more(self, request: web.Request, device: Device | None) -> Iterator[None]:
        """Count one for as long as it is served; where that goes wrong, it is cut."""
        one = OpenSocket(request, device)
        self._open.append(one)
        try:
            yield
        except (ConnectionError, web.HTTPException):
            raise
        except Exception:
            one.cut()  # an answer of another sort has no place in it
            raise
        finally:
            self._open.remove(one)

    def look(self) -> None:
        """Cut those that are stuck, and those whose device was withdrawn.

        Raises:
            DevicesError: when the list of devices cannot be read.
        """
        for one in self._open:
            if self._is_stuck(one):
                one.cut()
        if any(one.device for one in self._open):
            welcome = {one.id: one for one in self._devices.welcome()}
            here = {one.device.id for one in self._open if one.device is not None}
            self._devices.seen_now(welcome[one] for one in here & {*welcome})
            for one in self._open:
                if one.device is not None and one.device.id not in welcome:
                    one.cut()

    def _is_stuck(self, one: OpenSocket) -> bool:
        """Tell whether what it was sent has waited for too long."""
        transport, now = one.request.transport, self._monotonic()
        if transport is None or not transport.get_write_buffer_size():
            one.full_since = None
        elif one.full_since is None:
            one.full_since = now
        return one.full_since is not None and now - one.full_since >= TAKES_WITHIN
