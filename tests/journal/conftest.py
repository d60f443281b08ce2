"""Fixtures of the journal's tests."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import SqliteJournal, open_journal
from tests.journal.helpers import Clock


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
