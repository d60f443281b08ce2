"""The server's disk is full: one clear error, nothing told is lost, and on when there is room.

What fails then is PostgreSQL's documentation: a tablespace that is full refuses what needs more
(appendix A, 53100); a full disk beneath its log takes the whole server down (28.5).
"""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from shopboard.journal import JournalCannotRead, JournalCannotWrite, JournalError, KeptJournal
from shopboard.journal.on_server import held_server
from tests.journal.disk import small_disk
from tests.journal.helpers import check, opened
from tests.server import Server, own_folder, owned, the_server

_FILLER = 3 << 20
"""Bytes that somebody else has on that disk, and takes away."""

_FILLER_OF_ALL = 16 << 20
"""The same where the server's log is there, too: to start again it writes whole parts of it."""


@pytest.fixture(autouse=True)
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Try again at once after a vain try."""
    monkeypatch.setattr(held_server, "AGAIN_AFTER", 0.0)


@contextmanager
def full_disk(kilobytes: int, filler: int = _FILLER) -> Iterator[Path]:
    """Give a folder of the server's on a small disk, on which somebody else has something, too."""
    the_server()
    folder = own_folder()
    try:
        with small_disk(folder, kilobytes) as disk:
            (disk / "filler").write_bytes(bytes(filler))
            yield owned(disk / "server")
    finally:
        shutil.rmtree(folder)


def until_full(journal: KeptJournal) -> tuple[list[str], JournalError]:
    """Record until it is refused; give what was told as recorded, and how it was refused."""
    told: list[str] = []
    for number in range(400):
        try:
            told += [one.uid for one in journal.append([check(n=number, text=noise())])]
        except JournalError as error:
            return told, error
    raise AssertionError("it never became full")


def noise() -> str:
    """Give text that the server cannot make smaller."""
    return os.urandom(60_000).hex()


def test_a_full_tablespace_is_told_and_recording_goes_on_when_there_is_room() -> None:
    server = the_server()
    with full_disk(16 << 10) as folder:
        server.sql(f"CREATE TABLESPACE small LOCATION '{folder}'", "postgres")
        name = server.new_database(more="TABLESPACE small")
        try:
            with closing(opened(server.place(name))) as journal:
                told, error = until_full(journal)
                assert isinstance(error, JournalCannotWrite)
                assert "the server's disk is full" in error.title
                assert "Nothing was recorded. Make room on it" in error.advice
                assert len(told) > 5
                assert journal.last_seq() == len(told)  # it is read all the same
                answer = check(text=noise())
                with pytest.raises(JournalCannotWrite, match="disk is full"):
                    journal.append([answer])
                (folder.parent / "filler").unlink()
                assert journal.append([answer])[0].seq == len(told) + 1
                assert all(journal.get(uid) is not None for uid in told)
                assert journal.verify() is None
        finally:
            server.drop(name)
            server.sql("DROP TABLESPACE small", "postgres")


def test_a_server_that_a_full_disk_took_down_has_all_that_was_told() -> None:
    with full_disk(80 << 10, _FILLER_OF_ALL) as folder:
        server = Server(folder)
        try:
            name = server.new_database()
            with closing(opened(server.place(name))) as journal:
                told, error = until_full(journal)
                assert isinstance(error, JournalCannotWrite | JournalCannotRead)
                answer = check(text=noise())
                with pytest.raises(JournalError):
                    journal.append([answer])
                (folder.parent / "filler").unlink()
                server.kill()  # in whatever it does to help itself
                server.start()
                # the one that was refused last may have come to the disk all the same
                assert journal.append([answer])[0].seq in (len(told) + 1, len(told) + 2)
                assert all(journal.get(uid) is not None for uid in told)
                assert journal.verify() is None
        finally:
            server.stop(signal.SIGQUIT)
