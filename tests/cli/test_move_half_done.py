"""A move that is not finished says so, lets nobody in, and goes on by the same command.

What must hold is told by the kill alone: after it either nothing stands at the place, or all of
FROM, seal by seal (held against FROM itself), or the word that it is not all.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import psycopg
import pytest

from shopboard.base.locations import journal_path
from shopboard.commands import move
from shopboard.journal import KeptJournal, SqliteJournal, carry
from shopboard.journal.on_server.server_journal import ServerJournal
from tests.cli.program import Program
from tests.journal.helpers import check, opened
from tests.server import OWNER, database, the_server

NOT_FINISHED = "is not finished"


@pytest.fixture(params=["file", "server"])
def to(request: pytest.FixtureRequest, program: Program) -> Iterator[str]:
    """A place where no journal is."""
    program("happened", "saw", "knocked")
    program("tag", "saw", "guard is off")
    if request.param == "file":
        yield str(program.folder / "new.sqlite3")
        return
    with database("template0") as name:
        yield the_server().url(name, OWNER)


def moved(program: Program, to: str) -> Any:
    return program.bare("move", str(program.journal), to)


def says_so(program: Program, to: str) -> None:
    """Hold that nothing is shown of it as if it were all, and nothing is recorded there."""
    here = ("--shop", str(program.shop), "--journal", to)
    for words in (
        ("status",),
        ("verify",),
        ("tag", "saw", "smells hot"),
        ("status", "--new-journal"),
        ("tasks",),
        ("board",),
        ("backup", str(program.folder / "copy.sqlite3")),
    ):
        ran = program.bare(*words, *here) if words != ("board",) else program.bare(*here)
        assert (words, ran.code, ran.err) == (words, 4, ran.err)
        assert (words, NOT_FINISHED in ran.err, ran.out) == (words, True, "")
        assert "`shopboard move` again goes on" in ran.err


def is_all_there(program: Program, to: str) -> None:
    """Hold it against FROM, and see that it takes records."""
    with closing(opened(program.journal)) as old, closing(opened(journal_path(to))) as new:
        assert new.verify() is None
        last = old.last_seq()
        assert new.sealed(0, last) == old.sealed(0, last)
        assert new.append([check()])[0].seq == last + 1


def test_cut_short_before_its_end_it_says_so_and_goes_on(
    program: Program, to: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All entries are there, only the last word is missing."""

    def cut(*_: object) -> bool:
        raise KeyboardInterrupt

    with monkeypatch.context() as at_first:
        at_first.setattr(ServerJournal, "end_move", cut)
        at_first.setattr(move, "put_in_place", cut)
        moved(program, to)
    says_so(program, to)
    ran = moved(program, to)
    assert (ran.code, "Moved: " in ran.err) == (0, True)
    again = moved(program, to)
    assert again.code == 0
    assert "holds all 3 entries of" in again.err
    assert "There is nothing to move." in again.err
    is_all_there(program, to)


@pytest.mark.parametrize("sort", [SqliteJournal, ServerJournal])
def test_cut_short_before_its_first_entry(
    program: Program, to: str, sort: type[KeptJournal], monkeypatch: pytest.MonkeyPatch
) -> None:
    def cut(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as at_first:
        at_first.setattr(sort, "take_over", cut)
        ran = moved(program, to)
    if ran.code:  # else it was for the other sort of place
        says_so(program, to)
        assert moved(program, to).code == 0
    is_all_there(program, to)


def test_killed_at_any_moment(program: Program, to: str) -> None:
    with closing(opened(program.journal)) as journal:
        for _ in range(6):
            journal.append([check() for _ in range(1_000)])
    command = [sys.executable, "-m", "shopboard", "move", str(program.journal), to]
    env = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    for wanted in (1, 2_000, 4_000):
        with subprocess.Popen(command, env=env, stderr=subprocess.DEVNULL) as moving:
            end = time.monotonic() + 60
            try:
                while (_held(to) or 0) < wanted and moving.poll() is None:
                    assert time.monotonic() < end
            finally:
                moving.kill()
        if moving.returncode:
            says_so(program, to)
    assert moved(program, to).code == 0
    is_all_there(program, to)


def _held(to: str) -> int | None:
    if not to.startswith("postgresql"):
        half = Path(f"{to}.moving")
        with suppress(FileNotFoundError):  # not yet, or it has its name by now
            return half.stat().st_size // 700
        return None
    name = to.split("?", maxsplit=1)[0].rpartition("/")[2]
    try:
        return int(the_server().sql("SELECT count(*) FROM shopboard.entries", name)[0][0])
    except psycopg.errors.UndefinedTable:
        return None


def test_a_second_move_beside_a_running_one_does_no_harm(
    program: Program, to: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    second: list[Any] = []

    def twice(really: Callable[..., Any]) -> Callable[..., Any]:
        def both(*words: Any, **more: Any) -> Any:
            if not second:
                second.append(None)
                second[0] = moved(program, to)
            return really(*words, **more)

        return both

    monkeypatch.setattr(move, "carry", twice(carry.carry))
    first = moved(program, to)
    codes = {first.code, second[0].code}
    assert 0 in codes
    assert codes <= {0, 4, 5, 6}
    is_all_there(program, to)


def test_a_file_that_holds_the_beginning_gets_the_rest_at_once_or_not_at_all(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    to = str(program.folder / "new.sqlite3")
    program("happened", "saw", "knocked")
    moved(program, to)
    with closing(opened(program.journal)) as journal:
        for _ in range(3):
            journal.append([check() for _ in range(1_000)])
    sealed = SqliteJournal.sealed

    def cut(self: SqliteJournal, after: int, upto: int) -> list[tuple[Any, ...]]:
        if after > 2_000:
            raise KeyboardInterrupt
        return sealed(self, after, upto)

    with monkeypatch.context() as at_first:
        at_first.setattr(SqliteJournal, "sealed", cut)
        assert moved(program, to).code
    with closing(opened(journal_path(to))) as new:
        assert new.last_seq() == 2
    assert moved(program, to).code == 0
    is_all_there(program, to)


def test_a_place_that_cannot_be_is_refused_before_anything_is_carried(program: Program) -> None:
    program("happened", "saw", "knocked")
    to = program.folder / "new.sqlite3"
    for half, says in ((f"{to}.moving", "a file that a move fills"), (str(to), "another journal")):
        Path(f"{to}-journal").write_bytes(b"left")
        ran = moved(program, half)
        assert (ran.code, says in ran.err, "Nothing was moved" in ran.err) == (6, True, True)
    assert not to.exists()
    assert not Path(f"{to}.moving").exists()


def test_a_folder_that_is_not_there_is_not_made(program: Program) -> None:
    program("happened", "saw", "knocked")
    ran = moved(program, str(program.folder / "none" / "new.sqlite3"))
    assert ran.code == 6
    assert "There is no folder" in ran.err
    assert not (program.folder / "none").exists()


def test_a_server_that_goes_away_keeps_what_was_carried_and_it_is_said(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(opened(program.journal)) as journal:
        for _ in range(3):
            journal.append([check() for _ in range(1_000)])
    sealed = SqliteJournal.sealed
    with database("template0") as name:
        to = the_server().url(name, OWNER)

        def cut(self: SqliteJournal, after: int, upto: int) -> list[tuple[Any, ...]]:
            if after == 1_000:
                the_server().sql(
                    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                    f" WHERE datname = '{name}' AND pid <> pg_backend_pid()",
                    "postgres",
                )
            return sealed(self, after, upto)

        with monkeypatch.context() as at_first:
            at_first.setattr(SqliteJournal, "sealed", cut)
            ran = moved(program, to)
        assert ran.code
        assert "Nothing was recorded" not in ran.err
        assert "What was carried before that stays there." in ran.err
        assert _held(to) == 1_000
        assert "has the first 1000 entries of it" in moved(program, to).err
        is_all_there(program, to)
