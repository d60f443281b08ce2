"""A journal carried over by the command: said, gone on with, and no secret in any word of it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.program import Program
from tests.journal.helpers import check, opened
from tests.server import OWNER, Server, database, the_server

SECRET = "hunter2-of-the-bench"


@pytest.fixture
def empty(server: Server) -> Iterator[str]:
    """The URL of a database in which nothing is, with a password that the server does not want."""
    with database("template0") as name:
        yield server.url(name, OWNER, SECRET)


def test_over_and_back_and_both_tell_the_same(program: Program, empty: str) -> None:
    program("happened", "saw", "knocked")
    program("tag", "saw", "guard is off")
    ran = program.bare("move", str(program.journal), empty)
    assert ran.code == 0
    assert "holds 3 entries, each as in" in ran.err  # the bench's own name is one
    assert SECRET not in ran.out + ran.err
    there = program.bare("status", "--shop", str(program.shop), "--journal", empty, "--json")
    assert there.json["machines"] == program("status", "--json").json["machines"]
    assert SECRET not in there.out + there.err
    back = program.folder / "back.sqlite3"
    again = program.bare("move", empty, str(back), "--json").json
    assert (again["entries"], again["were_there"]) == (3, 0)
    with closing(opened(program.journal)) as old, closing(opened(back)) as new:
        assert again["last_seal"] == old.seal_of(3) == new.seal_of(3)
    assert program.bare("verify", "--journal", empty).code == 0


def test_what_cannot_be_moved_is_said_in_one_line(program: Program, empty: str) -> None:
    same = program.bare("move", str(program.journal), str(program.journal))
    assert same.code == 2
    assert "the same place" in same.err
    nothing = program.bare("move", str(program.folder / "none.sqlite3"), empty)
    assert nothing.code == 4
    assert "There is no journal at" in nothing.err
    bad = program.bare("move", str(program.journal), "postgres:/bench/shop")
    assert bad.code == 2
    assert "postgresql://HOST/DATABASE" in bad.err
    folder = program.bare("move", str(program.journal), str(program.folder))
    assert folder.code in (4, 6)
    assert program.bare("move", str(program.journal)).code == 2


def test_a_journal_that_differs_is_not_moved_and_no_secret_is_named(
    program: Program, empty: str, server: Server
) -> None:
    program("happened", "saw", "knocked")
    program.bare("move", str(program.journal), empty)
    name = empty.rpartition("/shop")[0] and empty.split("?")[0].rpartition("/")[2]
    server.sql("DROP SCHEMA shopboard CASCADE", name)
    ran = program.bare("move", str(program.journal), empty)
    assert ran.code == 4
    assert "Nothing was moved" in ran.err
    assert "verify --as-it-is --journal postgresql://" in ran.err
    assert SECRET not in ran.err


def test_one_that_is_killed_is_gone_on_with(program: Program, empty: str) -> None:
    """Killed while entries are on their way, however far it is by then."""
    with closing(opened(program.journal)) as journal:
        for _ in range(12):
            journal.append([check() for _ in range(1_000)])
    command = [sys.executable, "-m", "shopboard", "move", str(program.journal), empty]
    root = Path(__file__).parents[2]
    env = {**os.environ, "PYTHONPATH": str(root)}
    moving = subprocess.Popen(command, env=env, stdout=subprocess.DEVNULL)
    held, end = 0, time.monotonic() + 60
    while not held:
        assert time.monotonic() < end
        assert moving.poll() is None, "it was over before it could be killed"
        held = _count(the_server(), empty)
    moving.send_signal(signal.SIGKILL)
    moving.wait(60)
    held = _count(the_server(), empty)
    assert 0 < held < 12_000
    assert held % 1_000 == 0
    ran = program.bare("move", str(program.journal), empty)
    assert ran.code == 0
    assert f"has the first {held} entries of it" in ran.err
    assert "holds 12000 entries" in ran.err


def _count(server: Server, url: str) -> int:
    import psycopg

    name = url.split("?")[0].rpartition("/")[2]
    try:
        return int(server.sql("SELECT count(*) FROM shopboard.entries", name)[0][0])
    except psycopg.errors.UndefinedTable:
        return 0
