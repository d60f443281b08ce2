"""Fixtures of the journal's tests."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.base.server_place import JournalPlace
from shopboard.journal import KeptJournal, SqliteJournal, open_journal
from tests.journal.helpers import Clock
from tests.server import database, the_server


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "shop.journal"


@pytest.fixture
def journal(path: Path, clock: Clock) -> Iterator[SqliteJournal]:
    with closing(open_journal(path, clock)) as journal:
        yield journal


@pytest.fixture(params=["file", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[JournalPlace]:
    """A place for a journal: each test is run once for a file and once on a server."""
    if request.param == "file":
        yield tmp_path / "shop.journal"
        return
    with database() as name:
        yield the_server().place(name)


@pytest.fixture
def store(place: JournalPlace, clock: Clock) -> Iterator[KeptJournal]:
    with closing(open_journal(place, clock)) as journal:
        yield journal
