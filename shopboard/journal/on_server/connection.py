"""One connection to the server: asked as a file is, and never waited for without an end."""

from __future__ import annotations

import socket
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from threading import Lock, Timer
from typing import TYPE_CHECKING, Any

import psycopg

from shopboard.journal.on_server.words import server_words

if TYPE_CHECKING:
    from shopboard.base.server_place import ServerPlace
    from shopboard.journal.db import AskedWith, Rows

CHANNEL = "shopboard_entries"
"""On it the server tells everybody who listens that something was recorded."""

_LOST = ("08", "57P", "25P03", "25P04")
"""How the codes begin with which a server lets go of whom it serves (PostgreSQL, appendix A)."""


def lost(error: BaseException) -> bool:
    """Tell whether the connection is gone, and not just a question refused."""
    code = getattr(error, "sqlstate", None)
    if code is None:
        return isinstance(error, psycopg.OperationalError | psycopg.InterfaceError)
    return str(code).startswith(_LOST)


class ServerDb:
    """An open database on a server."""

    Error: type[Exception] = psycopg.Error

    def __init__(self, connection: psycopg.Connection[tuple[Any, ...]], seconds: float) -> None:
        """Take a connection, and how long each answer may take."""
        self._connection = connection
        self.seconds: float | None = seconds
        """How long each answer may take; None: as long as it needs."""
        self.heard = 0
        """How often others have recorded."""
        self.may_have_committed = False
        """Whether a commit was begun of which no answer came."""
        self.answered = time.monotonic()
        """When the newest answer came."""
        self._own = connection.info.backend_pid
        connection.add_notify_handler(self._hear)

    def _hear(self, told: psycopg.Notify) -> None:
        if told.pid != self._own:
            self.heard += 1

    @property
    def in_transaction(self) -> bool:
        """Whether something was begun that is not ended."""
        idle = psycopg.pq.TransactionStatus.IDLE, psycopg.pq.TransactionStatus.UNKNOWN
        return self._connection.info.transaction_status not in idle  # unknown: it is gone

    def execute(self, query: str, values: AskedWith = (), /) -> Rows:
        """Ask, or do, in a file's words."""
        texts = values.values() if isinstance(values, Mapping) else values
        for text in texts:
            if isinstance(text, str) and "\0" in text:  # as a letter that is none in UTF-8
                raise UnicodeEncodeError("utf-8", text, 0, 1, "no text may hold it")
        return self.do(server_words(query), values or None)

    def do(self, statement: str, values: AskedWith | None = None) -> Rows:
        """Ask, or do, in the server's own words."""
        if statement == "COMMIT":
            self.may_have_committed = True
        with _InTime(self._connection.fileno(), self.seconds):
            done: Any = self._connection.execute(statement.encode(), values)
        self.answered = time.monotonic()
        if statement == "COMMIT":
            self.may_have_committed = False
            if done.statusmessage != "COMMIT":  # it was broken before, and is undone
                raise psycopg.DatabaseError("not committed")
        rows: Rows = done
        return rows

    def must_answer(self, seconds: float) -> None:
        """Ask whether the server is there, and wait no longer than so many seconds.

        Raises:
            psycopg.Error: it is not.
        """
        usual, self.seconds = self.seconds, seconds
        try:
            self.do("SELECT 1")
        finally:
            self.seconds = usual

    def hear(self) -> int:
        """Take in what the server has told by itself; give how often others have recorded.

        Raises:
            psycopg.OperationalError: the connection is gone.
        """
        for _ in range(2):  # who is let go of is told so first: the end comes behind that
            self._connection.pgconn.consume_input()
        while (told := self._connection.pgconn.notifies()) is not None:
            if told.be_pid != self._own:
                self.heard += 1
        return self.heard

    def close(self) -> None:
        """Let go of the server."""
        with suppress(psycopg.Error, OSError):
            self._connection.close()


class _InTime:
    """Cuts the connection when no answer has come in time; whoever waits is told that it is gone.

    The server ends a question by itself after that time; this is for one that does not answer.
    """

    def __init__(self, handle: int, seconds: float | None) -> None:
        self._handle = handle
        self._lock = Lock()
        self._over = False
        self._timer = None if seconds is None else Timer(seconds, self._cut)

    def __enter__(self) -> None:
        if self._timer is not None:
            self._timer.daemon = True
            self._timer.start()

    def __exit__(self, *_: object) -> None:
        if self._timer is not None:
            self._timer.cancel()
        with self._lock:
            self._over = True  # from now on the number may be that of something else

    def _cut(self) -> None:
        with self._lock, suppress(OSError):
            if not self._over:
                held = socket.socket(fileno=self._handle)
                try:
                    held.shutdown(socket.SHUT_RDWR)
                finally:
                    held.detach()


def connect(place: ServerPlace, connect_seconds: float, seconds: float) -> ServerDb:
    """Connect.

    Args:
        place: where.
        connect_seconds: how long that may take.
        seconds: how long each answer may take.

    Raises:
        psycopg.Error: there is no connection; its words may hold what nobody is to see.
    """
    opened: Callable[..., psycopg.Connection[tuple[Any, ...]]] = psycopg.connect
    connection = opened(
        place.url,
        autocommit=True,
        application_name="shopboard",
        client_encoding="utf8",
        connect_timeout=max(2, round(connect_seconds)),  # libpq knows no less
        keepalives_idle=5,
        keepalives_interval=1,
        keepalives_count=2,
        tcp_user_timeout=1000,  # milliseconds: a cut cable is noticed at the next question
    )
    return ServerDb(connection, seconds)
