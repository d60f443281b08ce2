"""Run with ``python -m tests.bench.beside``: the board at the bench while strangers knock.

Key to paint of a board of 50 machines in a pseudo-terminal, first alone, then while programs
beside it press on `shopboard serve` of the same shop: 200 connections held open, requests as fast
as they are answered, sockets that are sent megabytes, one that reads nothing. Missed is a target
of all keys (`KEY_MS`) that the board meets alone.
"""

from __future__ import annotations

import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import ExitStack, suppress
from pathlib import Path

from tests.bench.filling import fill_journal, write_shop
from tests.bench.measure import KEY_MS, SIZES, Case, run_case
from tests.terminal import BOARD
from tests.web.serving import free_port

_PRESSES, _MACHINES, _ENTRIES = 10, 50, 2_000
_HELD = 200

_KNOCK = """
import socket, sys
port, sent = int(sys.argv[1]), sys.argv[2].encode().decode("unicode_escape").encode("latin-1")
while True:
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=2) as line:
            line.sendall(sent)
            while sys.argv[3] == "read" and line.recv(65536):
                pass
    except OSError:
        pass
"""


def main() -> int:
    """Measure and print; exit 1 where a target is missed."""
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        place = Path(folder)
        shop, journal, port = place / "shop.toml", place / "journal", free_port()
        write_shop(shop, _MACHINES)
        fill_journal(journal, _MACHINES, _ENTRIES)
        files = ("--shop", str(shop), "--journal", str(journal))
        middles = []
        for beside in (False, True):
            if beside:
                _serve(stack, files, port)
                _knock(stack, port)
            case = Case("beside" if beside else "alone", (*BOARD, *files), SIZES[1], _MACHINES)
            run_case(case, place, _PRESSES)
            middles.append({what: statistics.median(times) for what, times in case.keys.items()})
        alone, beside_it = middles
        missed = [what for what, ms in beside_it.items() if ms > KEY_MS and alone[what] <= KEY_MS]
        for what, ms in beside_it.items():
            told = "  MISSED" if what in missed else ""
            sys.stdout.write(f"{what:<16} alone {alone[what]:6.1f} ms  beside {ms:6.1f} ms{told}\n")
        return int(bool(missed))


def _serve(stack: ExitStack, files: tuple[str, ...], port: int) -> None:
    words = (sys.executable, "-m", "shopboard", *files, "serve", "--port", str(port))
    server = subprocess.Popen(words, stdout=subprocess.PIPE, env=dict(os.environ), text=True)
    stack.callback(_end, server)
    assert server.stdout is not None
    server.stdout.readline()


def _knock(stack: ExitStack, port: int) -> None:
    """Press on the server; the programs that do are behind the board in turn, as a network is."""
    host = f"Host: 127.0.0.1:{port}\\r\\nOrigin: http://127.0.0.1:{port}\\r\\n"
    opens = (
        f"GET /socket?width=80&height=24&tab={'a' * 32}&at= HTTP/1.1\\r\\n{host}"
        "Upgrade: websocket\\r\\nConnection: Upgrade\\r\\nSec-WebSocket-Version: 13\\r\\n"
        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\\r\\n\\r\\n"
    )
    megabytes = opens + "\\x82\\xff" + "\\x00\\x00\\x00\\x00\\x00\\x10\\x00\\x00" + "a" * 100_000
    glance = f"GET /glance HTTP/1.1\\r\\n{host}Connection: close\\r\\n\\r\\n"
    for sent, how in ((glance, "read"), (megabytes, "read"), (opens, "leave")):
        words = ("nice", sys.executable, "-c", _KNOCK, str(port), sent, how)
        stack.callback(_end, subprocess.Popen(words))
    for _ in range(_HELD):
        with suppress(OSError):
            line = stack.enter_context(socket.create_connection(("127.0.0.1", port), timeout=2))
            line.sendall(b"GET / HTTP/1.1\r\nHo")
    time.sleep(1)


def _end(process: subprocess.Popen[str] | subprocess.Popen[bytes]) -> None:
    process.terminate()
    process.wait(20)
    if process.stdout is not None:
        process.stdout.close()


if __name__ == "__main__":
    sys.exit(main())
