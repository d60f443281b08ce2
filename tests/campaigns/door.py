"""Requests and messages by sockets that no browser should send, to the door of the server.

Each try sends bytes over a connection of its own: requests put together of parts, most of them
right, some damaged, or noise; and, once a socket is open, frames of any sort (RFC 9112; RFC 6455,
section 5.2). Whatever comes: an answer is a plain one, nobody without a secret is shown what is
inside, nothing is told as a fault of the program's own, and the next right request is answered.
"""

from __future__ import annotations

import asyncio
import re
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from shopboard.web.door import Door
from tests.campaigns.frame import Campaign, Try, chance
from tests.web.served import Served, serving

_WITHIN = 5.0
"""Seconds for an answer that has to come."""

_MOMENT = 0.03
"""Seconds for one that may not: half a request is waited for longer than that."""

_NAME = "inside-is-shown-to-a-friend"

_METHODS = (*("GET",) * 12, "HEAD", "POST", "PUT", "OPTIONS", "CONNECT", "TRACE", "G\x00T", "")
_TARGETS = (
    *("/", "/glance", "/status.json", "/socket", "/pair", "/pair?code=1") * 4,
    *("/../", "/%2e%2e/", "//", "*", "http://shop.example/", "/\x00", "/\\", "/fails/..", ""),
    "/" + "a" * 3_000,
)
_HEADERS = (
    *("Connection: close", "Accept: text/html", "Cookie: shopboard=", "Cookie: shopboard=guessed"),
    *("Cookie: ;;=;\x01=\x02; shopboard", "Authorization: Bearer x", "Authorization: Bearer"),
    *("Authorization: Basic eDp4", "Content-Length: 7", "Content-Length: -1", "Content-Length: x"),
    *("Content-Length: 99999999999999999999", "Transfer-Encoding: chunked", "Expect: 100-continue"),
    *("Transfer-Encoding: gzip, chunked", "X-Forwarded-For: 127.0.0.1", "Forwarded: for=x"),
    *("Upgrade: websocket", "Connection: Upgrade", "Sec-WebSocket-Version: 13", "Range: bytes=0-"),
    *("Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==", "Content-Encoding: gzip", "X: " + "y" * 5_000),
    *("Origin: null", "Origin: http://shop.example", "Host: shop.example", " folded", "no colon"),
    *("Content-Type: multipart/form-data; boundary=x", "Accept-Encoding: gzip;q=nan", ": empty"),
)
_BODIES = (b"", b"code=12345678&name=thief", b"code=&name=" + b"%ff" * 50, b"a=1&" * 2_000)
_LINE = re.compile(rb"HTTP/[01]\.[019] (101|200|303|[45][0-9][0-9]) [ -~]*\r\n")


def request(draw: Random, served: Served, secret: str) -> bytes:
    """Draw a request, of which most parts are right."""
    method, version = draw.choice(_METHODS), draw.choice("11111111110x")
    lines = [f"{method} {draw.choice(_TARGETS)} HTTP/1.{version}"]
    if draw.random() < 0.95:
        lines.append(f"Host: {served.host}")
    if draw.random() < 0.6:
        lines.append(f"Origin: http://{served.host}")
    if secret and draw.random() < 0.7:
        lines.append(f"Cookie: shopboard={secret}")
    lines += draw.sample(_HEADERS, draw.choice((0, 0, 0, 1, 2, 5)))
    body = draw.choice(_BODIES) if method == "POST" or draw.random() < 0.1 else b""
    if body and draw.random() < 0.7:
        lines.append(f"Content-Length: {len(body)}")
    sent = "\r\n".join((*lines, "", "")).encode() + body
    return damaged(draw, sent) if draw.random() < 0.25 else sent


def damaged(draw: Random, sent: bytes) -> bytes:
    """Change, leave out or put in a few bytes."""
    changed = bytearray(sent)
    for _ in range(draw.randint(1, 4)):
        at = draw.randrange(len(changed) + 1)
        changed[at : at + draw.randint(0, 3)] = draw.randbytes(draw.randint(0, 3))
    return bytes(changed)


def opening(served: Served, secret: str) -> bytes:
    """Give the request that opens a socket."""
    return "\r\n".join(
        (
            *("GET /socket HTTP/1.1", f"Host: {served.host}", f"Origin: http://{served.host}"),
            *("Upgrade: websocket", "Connection: Upgrade", "Sec-WebSocket-Version: 13"),
            *("Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==", f"Cookie: shopboard={secret}", "", ""),
        )
    ).encode()


def frames(draw: Random) -> bytes:
    """Draw frames, or what is none."""
    sent = b""
    for _ in range(draw.randint(1, 5)):
        body = draw.randbytes(draw.choice((0, 1, 125, 126, 4_000, 70_000)))
        length = draw.choice((len(body), draw.randrange(2**16), draw.randrange(2**63)))
        head = bytes((draw.choice((0x81, 0x82, 0x88, 0x89, 0x8A, 0x01, 0x00, 0xF1, 0x83)),))
        if length < 126:
            head += bytes((0x80 | length,))
        elif length < 2**16:
            head += bytes((0xFE,)) + length.to_bytes(2, "big")
        else:
            head += bytes((0xFF,)) + length.to_bytes(8, "big")
        sent += head + draw.randbytes(4) + body
    return sent if draw.random() < 0.7 else damaged(draw, sent)


def answered(port: int, sent: bytes, draw: Random, within: float) -> bytes:
    """Send it in two pieces and give what comes back, until nothing comes for so many seconds."""
    with socket.create_connection(("127.0.0.1", port), timeout=_WITHIN) as line:
        found, cut = b"", draw.randrange(len(sent) + 1)
        with suppress(ConnectionError, TimeoutError):
            line.sendall(sent[:cut])
            line.sendall(sent[cut:])
            line.settimeout(within)
            while piece := line.recv(65_536):
                found += piece
        return found


def wrong_with(answer: bytes, *, known: bool) -> str:
    """Say what is wrong with an answer; nothing where nothing is."""
    answer = answer.removeprefix(b"HTTP/1.1 100 Continue\r\n\r\n")
    if answer and not _LINE.match(answer):
        return f"no plain answer: {answer[:200]!r}"
    # to an Expect that is no ASCII aiohttp itself answers 500, plainly, before anybody is asked
    own = b"Server got itself in trouble" not in answer or b"text/plain" not in answer
    if b"Traceback" in answer or (b" 500 " in answer[:16] and own):
        return f"a fault is told: {answer[:2000]!r}"
    if not known and (_NAME.encode() in answer or answer.startswith(b"HTTP/1.1 101")):
        return f"a stranger is let in: {answer[:500]!r}"
    return ""


class _Running:
    """The server, in a thread of its own."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._ready, self._done = threading.Event(), asyncio.Event()
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_until_complete, args=(self._serve(),))
        self.served: Served
        self._thread.start()
        self._ready.wait(20)

    async def _serve(self) -> None:
        async with serving(self._folder, Door(on=True)) as self.served:
            ticks = count(0, 60)  # a minute goes by at each look: nobody asks too often
            self.served.guard._monotonic = lambda: float(next(ticks))
            self._ready.set()
            await self._done.wait()

    def end(self) -> None:
        self._loop.call_soon_threadsafe(self._done.set)
        self._thread.join(20)
        self._loop.close()


@contextmanager
def doors(seed: int) -> Iterator[Try]:
    """Serve once, and knock at each index."""
    with TemporaryDirectory() as folder:
        running = _Running(Path(folder))
        served = running.served
        secret = served.devices.add(_NAME, looks_only=False)

        def attempt(index: int) -> str | None:
            draw = chance(seed, index)
            known = draw.random() < 0.4
            if known and draw.random() < 0.5:
                sent = opening(served, secret) + frames(draw)
            else:
                sent = request(draw, served, secret if known else "")
            found = wrong_with(answered(served.port, sent, draw, _MOMENT), known=known)
            head = f"GET / HTTP/1.1\r\nHost: {served.host}\r\nConnection: close\r\n"
            after = answered(
                served.port, f"{head}Cookie: shopboard={secret}\r\n\r\n".encode(), draw, _WITHIN
            )
            if not after.endswith(_NAME.encode()):
                found += f"; after it: {after[:300]!r}"
            if served.faults:
                found += f"; told: {served.faults.pop()!r}"
            if len(served.devices.welcome()) != 1:
                found += "; another device was let in"
            return f"{sent[:500]!r}: {found}" if found else None

        try:
            yield attempt
        finally:
            running.end()


CAMPAIGN = Campaign(doors, count=20_000, in_ci=150)
