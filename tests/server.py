"""A PostgreSQL server of the tests' own: one for each process, in memory, reached by a socket."""

from __future__ import annotations

import atexit
import itertools
import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from shopboard.base.server_place import ServerPlace
from shopboard.journal import open_journal
from tests.journal.helpers import Clock
from tests.once import made_once

OWNER = "owner"
"""The user who makes the journals, and may do all on this server."""

TEMPLATE = "as_made"
"""A database that holds an empty journal."""

_NUMBERS = itertools.count(1)

_SETTINGS = """
listen_addresses = ''
shared_buffers = 16MB
min_wal_size = 4MB
max_wal_size = 64MB
autovacuum = off
max_connections = 60
"""
"""Durable as it is by default (fsync, full_page_writes, synchronous_commit); it lies in memory."""


def need_psycopg() -> None:
    """Skip, with the reason, where nothing speaks to a server."""
    pytest.importorskip("psycopg", reason="not installed: psycopg (shopboard[benches])")


def _program(name: str) -> str:
    found = shutil.which(name) or next(
        (str(one) for one in sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))), None
    )
    if found is None:
        pytest.skip(f"not installed: {name}, of the PostgreSQL server")
    return os.path.realpath(found)


def _user() -> dict[str, Any]:
    """Give who runs the server: it refuses root."""
    if os.geteuid() != 0:
        return {}
    import pwd

    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


def own_folder() -> Path:
    """Make a folder whose path is short enough for a socket, and in which the server may write."""
    memory = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(prefix="shopboard-pg-", dir=memory if memory.is_dir() else None))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return owned(folder)


def owned(folder: Path) -> Path:
    """Give a folder, made where it is not there, to the user who runs the server."""
    folder.mkdir(exist_ok=True)
    if user := _user():
        os.chown(folder, user["user"], user["group"])
    return folder


def _make_data(place: Path) -> None:
    """Fill a folder with the files of a new server."""
    folder = own_folder()
    made = [_program("initdb"), "-D", str(folder / "data"), "-U", OWNER, "--auth=trust"]
    made += ["--encoding=UTF8", "--locale=C", "--no-sync", "--wal-segsize=1"]
    subprocess.run(made, check=True, capture_output=True, cwd=folder, **_user())
    with (folder / "data" / "postgresql.conf").open("a") as file:
        file.write(_SETTINGS)
    access = folder / "data" / "pg_hba.conf"
    access.write_text(f"local all locked scram-sha-256\n{access.read_text()}")
    subprocess.run(["cp", "-a", folder / "data", place / "data"], check=True)
    shutil.rmtree(folder)


def _runs(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


class Server:
    """A server that can be stopped, killed and started again."""

    def __init__(self, folder: Path | None = None) -> None:
        """Start one; `folder`: in which it is to lie, in the place of one in memory."""
        _program("postgres")
        made, _ = made_once("server", _make_data)
        self.folder = own_folder() if folder is None else folder
        subprocess.run(["cp", "-a", made / "data", self.folder / "data"], check=True)
        self._process: subprocess.Popen[bytes] | None = None
        atexit.register(self.stop, signal.SIGQUIT)
        self.start()
        self.sql(f"CREATE DATABASE {TEMPLATE}", "postgres")
        open_journal(self.place(TEMPLATE), Clock()).close()

    def start(self, *settings: str) -> None:
        """Start it; wait until it takes connections."""
        command = [_program("postgres"), "-D", str(self.folder / "data"), "-k", str(self.folder)]
        command += [word for one in settings for word in ("-c", one)]
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                command, stdout=log, stderr=log, cwd=self.folder, **_user()
            )
        end = time.monotonic() + 60.0
        while not self._answers():
            assert time.monotonic() < end, (self.folder / "log").read_text()
            time.sleep(0.02)

    def _answers(self) -> bool:
        import psycopg

        try:
            psycopg.connect(self.url("postgres")).close()
        except psycopg.Error:
            return False
        return True

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop it, by default as its administrator does who does not wait for the benches."""
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(60)
            self._process = None

    def _all_of_it(self) -> list[int]:
        """Give the numbers of its processes, the first one at the front."""
        assert self._process is not None
        main = self._process.pid
        children = Path(f"/proc/{main}/task/{main}/children")
        if not children.exists():
            pytest.skip("no /proc: whom the server has working for it cannot be found")
        return [main, *map(int, children.read_text().split())]

    @contextmanager
    def frozen(self) -> Iterator[None]:
        """Have it and all that serve for it stand still for a while."""
        ids = self._all_of_it()
        for one in ids:
            os.kill(one, signal.SIGSTOP)
        try:
            yield
        finally:
            for one in ids:
                os.kill(one, signal.SIGCONT)

    def kill(self) -> None:
        """Kill it and all that it started; give back when none of them is left."""
        ids = [] if self.has_ended() else self._all_of_it()
        for one in ids:
            with suppress(ProcessLookupError):
                os.kill(one, signal.SIGKILL)
        self.stop()
        end = time.monotonic() + 60.0
        while any(_runs(one) for one in ids):
            assert time.monotonic() < end
            time.sleep(0.005)

    def has_ended(self) -> bool:
        """Tell whether it ended by itself."""
        return self._process is not None and self._process.poll() is not None

    def start_if_stopped(self) -> None:
        """Start it where a test left it stopped."""
        if self._process is None or self.has_ended():
            self.start()

    def url(self, database: str, user: str = OWNER, password: str = "") -> str:
        """Give the URL of a database on it."""
        secret = f":{password}" if password else ""
        return f"postgresql://{user}{secret}@/{database}?host={self.folder}"

    def place(self, database: str, user: str = OWNER) -> ServerPlace:
        """Give the place of a journal on it."""
        return ServerPlace(self.url(database, user))

    def sql(self, statement: str, database: str, user: str = OWNER) -> list[Any]:
        """Do something past the journal, as any other program could; give the rows."""
        import psycopg

        options = "-c default_transaction_read_only=off"  # a test may have set it
        url = self.url(database, user)
        with psycopg.connect(url, autocommit=True, options=options) as plain:
            done = plain.execute(statement.encode())
            return done.fetchall() if done.description else []

    def reload(self, setting: str, value: str) -> None:
        """Have it read its settings anew; wait until one of them is so."""
        self.sql("SELECT pg_reload_conf()", "postgres")
        end = time.monotonic() + 20.0
        while self.sql(f"SHOW {setting}", "postgres") != [(value,)]:
            assert time.monotonic() < end
            time.sleep(0.01)

    def new_database(self, template: str = TEMPLATE, more: str = "") -> str:
        """Make a database, with an empty journal in it unless another one is copied."""
        name = f"shop{next(_NUMBERS)}"
        self.sql(f"CREATE DATABASE {name} TEMPLATE {template} {more}", "postgres")
        return name

    def drop(self, database: str) -> None:
        """Remove a database, whoever is still connected."""
        self.sql(f"DROP DATABASE IF EXISTS {database} WITH (FORCE)", "postgres")


@cache
def the_server() -> Server:
    """Give the server of this process; skip, with the reason, where there can be none."""
    need_psycopg()
    if os.name != "posix":
        pytest.skip("the tests' own server listens on a socket in a folder")
    return Server()


@contextmanager
def database(template: str = TEMPLATE) -> Iterator[str]:
    """Give a database of its own for a while."""
    server = the_server()
    name = server.new_database(template)
    try:
        yield name
    finally:
        server.start_if_stopped()
        server.drop(name)
