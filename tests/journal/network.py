"""A network between a bench and its server, which can be cut where a test wants it."""

from __future__ import annotations

import select
import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Thread
from typing import Literal

Cut = Literal["unsent", "unanswered", "silent, unsent", "silent, unanswered"]
"""What becomes of a commit: it never comes to the server, or its answer never to the bench; and
whether both are told that the line is cut, or wait."""

_COMMIT = b"COMMIT\0"
"""How a connection that is new sends it (PostgreSQL's documentation, 55.7: Query and Parse)."""


class Network:
    """Carries whatever is sent from a port of this computer to a server's socket, and back."""

    def __init__(self, server: Path) -> None:
        self._server = str(server / ".s.PGSQL.5432")
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._door.getsockname()[1]
        self.cut: Cut | None = None
        """What is to befall the next commit."""
        self.is_down = False
        """Whether nobody new gets through."""
        self.goes_down = False
        """Whether the next cut leaves it down."""
        self._held: list[socket.socket] = []
        self._carrying: list[Thread] = []
        Thread(target=self._take_in, daemon=True).start()

    def _take_in(self) -> None:
        with suppress(OSError):
            while True:
                client, _ = self._door.accept()
                if self.is_down:
                    client.close()
                    continue
                server = socket.socket(socket.AF_UNIX)
                server.connect(self._server)
                self._held += [client, server]
                carrying = Thread(target=self._carry, args=(client, server), daemon=True)
                carrying.start()
                self._carrying.append(carrying)

    def _carry(self, client: socket.socket, server: socket.socket) -> None:
        with suppress(OSError):
            while True:
                for one in select.select([client, server], [], [])[0]:
                    piece = one.recv(65536)
                    if one is client and self.cut is not None and _COMMIT in piece:
                        self._strike(self.cut, piece, server)
                        if self.cut.startswith("silent"):
                            self.cut = None
                            return
                        self.cut, piece = None, b""
                    if not piece:
                        raise ConnectionResetError
                    (server if one is client else client).sendall(piece)
        with suppress(OSError):
            client.close()
            server.close()

    def _strike(self, cut: Cut, piece: bytes, server: socket.socket) -> None:
        self.is_down = self.goes_down
        if cut.endswith("unanswered"):
            server.sendall(piece)
            assert b"COMMIT" in server.recv(65536)  # done there

    def clear(self) -> None:
        """Let go of every line that is open, also of those on which nothing comes through.

        Closed is a socket only once nobody carries for it: its number may be another's by then.
        """
        for one in self._held:
            with suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)
        for carrying in self._carrying:
            carrying.join()
        for one in self._held:
            one.close()
        self._held.clear()
        self._carrying.clear()

    def close(self) -> None:
        """Take it down for good."""
        with suppress(OSError):
            self._door.shutdown(socket.SHUT_RDWR)
        self._door.close()
        self.clear()


@contextmanager
def network(server: Path) -> Iterator[Network]:
    """Give a network to the server of a folder."""
    made = Network(server)
    try:
        yield made
    finally:
        made.close()
