"""One board behind a page: a program of its own, kept for a while when its page is gone."""

from __future__ import annotations

import asyncio
import json
import os
import sys
from asyncio.subprocess import PIPE, Process
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, Protocol

from shopboard.base.served import DATA, HEAD, TOLD, Served, environment_of, packet, told_packet
from shopboard.base.text import harmless

SLOW = 10.0
"""Seconds that a page may take to hear what it is sent: one that takes longer is let go."""

LEFT = 5.0
"""Seconds in which a board ends once it is told to."""

MOST_WORDS = 2000
"""Characters that are kept of what a board says as it ends."""

GOING, ELSEWHERE, ENDED = 1001, 4001, 4002
"""Why a page is let go (RFC 6455, 7.4; 4000 to 4999 are free): the server ends; another page took
its board; the board was left."""

_ROOT = Path(__file__).parent.parent.parent
"""Folder that the package is found in."""


class Socket(Protocol):
    """What a board uses of a page's connection."""

    async def send_bytes(self, data: bytes) -> None:
        """Send what is drawn."""

    async def send_str(self, data: str) -> None:
        """Send words."""

    async def close(self, *, code: int = 1000) -> Any:
        """Let the page go."""


class PageBoard:
    """A board that runs, whether or not a page shows it."""

    def __init__(self, files: Sequence[str], who: str) -> None:
        """Hold what it is begun with.

        Args:
            files: words of the command line that name shop file and journal.
            who: name of the device, said with what it records; empty: this computer's.
        """
        self._files = files
        self._who = who
        self._process: Process | None = None
        self._socket: Socket | None = None
        self._reading: asyncio.Task[None] | None = None
        self.over = asyncio.Event()
        """Set once it has ended."""

    @property
    def is_shown(self) -> bool:
        """Whether a page shows it."""
        return self._socket is not None

    async def begin(self, shown: Served) -> None:
        """Start the program.

        Raises:
            OSError: when it cannot be started.
        """
        environment = environment_of(shown, os.environ)
        if self._who:
            environment["SHOPBOARD_WHO"] = self._who
        paths = (str(_ROOT), environment.get("PYTHONPATH", ""))
        environment["PYTHONPATH"] = os.pathsep.join(filter(None, paths))
        self._process = await asyncio.create_subprocess_exec(
            *(sys.executable, "-m", "shopboard", *self._files),
            stdin=PIPE,
            stdout=PIPE,
            stderr=PIPE,
            env=environment,
            start_new_session=True,  # Ctrl+C is for the server, which ends its boards in order
        )
        self._reading = asyncio.create_task(self._read(self._process))

    async def show(self, socket: Socket, size: tuple[int, int]) -> None:
        """Hand it to a page; one that showed it before is told."""
        before, self._socket = self._socket, socket
        if before is not None:
            await before.close(code=ELSEWHERE)
        await self.tell({"type": "resize", "width": size[0], "height": size[1]})
        await self.tell({"type": "show"})

    def hide(self, socket: Socket) -> None:
        """Take it from a page that is gone."""
        if self._socket is socket:
            self._socket = None

    async def type(self, text: str) -> None:
        """Type on it."""
        await self._write(packet(DATA, text.encode("utf-8", "replace")))

    async def tell(self, told: dict[str, Any]) -> None:
        """Tell it something about its page."""
        await self._write(told_packet(told))

    async def _write(self, data: bytes) -> None:
        if self._process is None or self._process.stdin is None:
            return
        with suppress(OSError, RuntimeError):  # it has ended: who reads from it says so
            self._process.stdin.write(data)
            await self._process.stdin.drain()

    async def end(self) -> None:
        """End it in order; within seconds in any case. All that it acknowledged is on disk.

        Its page is let go before that, and tries again: only a person who leaves it closes it.
        """
        socket, self._socket = self._socket, None
        if socket is not None:
            with suppress(OSError, RuntimeError):
                await socket.close(code=GOING)
        if self._process is not None and self._process.returncode is None:
            if self._process.stdin is not None:
                self._process.stdin.close()
            try:
                await asyncio.wait_for(self._process.wait(), LEFT)
            except TimeoutError:
                self._process.kill()
        if self._reading is not None:
            await self._reading

    async def _read(self, process: Process) -> None:
        """Hand on what it draws until it ends."""
        stdout, stderr = process.stdout, process.stderr
        if stdout is None or stderr is None:
            return
        words = asyncio.create_task(_newest(stderr))
        with suppress(asyncio.IncompleteReadError):
            while head := await stdout.readexactly(HEAD):
                payload = await stdout.readexactly(int.from_bytes(head[1:], "big"))
                if head[:1] == TOLD and json.loads(payload)["type"] == "exit":
                    break
                await self._hand_on(head[:1], payload)
        said = [await _newest(stdout), await words]
        await process.wait()
        self.over.set()
        told = "\n".join(harmless(one) for one in "\n".join(said).splitlines() if one.strip())
        await self._hand_on(TOLD, json.dumps({"type": "ended", "words": told}).encode())
        if self._socket is not None:
            await self._socket.close(code=ENDED)

    async def _hand_on(self, letter: bytes, payload: bytes) -> None:
        """Send something to the page, if one listens; let go of one that does not."""
        socket = self._socket
        if socket is None:
            return
        try:
            async with asyncio.timeout(SLOW):
                if letter == DATA:
                    await socket.send_bytes(payload)
                else:
                    await socket.send_str(payload.decode())
        except (OSError, RuntimeError, TimeoutError):
            self.hide(socket)
            with suppress(OSError, RuntimeError, TimeoutError):
                async with asyncio.timeout(SLOW):
                    await socket.close()


async def _newest(stream: asyncio.StreamReader) -> str:
    """Read to the end, and give the end of it."""
    held = b""
    while came := await stream.read(4096):
        held = (held + came)[-MOST_WORDS:]
    return held.decode("utf-8", "replace")
