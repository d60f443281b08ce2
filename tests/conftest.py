"""Fixtures for every test: folders of its own, a clock that stands, a shop and a journal."""

from __future__ import annotations

import gc
import os
import re
from collections.abc import Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from shopboard.checks.job import CheckContext
from shopboard.journal import SqliteJournal, open_journal
from shopboard.prep.schedule import shortest_day
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from tests.builders import SCREW, make_job, make_point, make_shop
from tests.in_memory import in_memory
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.once import share
from tests.own_folders import MANY_COLOURS, SET_BY_USERS, own_folders
from tests.server import Server, database, the_server

settings.register_profile(
    "whatever the clock says",  # how long an example takes hangs on how busy the computer is
    parent=settings.default,
    deadline=None,
    max_examples=int(os.environ.get("SHOPBOARD_TEST_EXAMPLES", part(40))),  # by hand: 1000, say
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("whatever the clock says")


gc.disable()  # nothing that is imported or collected goes before the end


def pytest_collection_finish() -> None:
    """What was collected stays to the end: nobody looks through it for what may go.

    What the tests leave is looked for seldom: in so large a process each look takes long.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
    gc.enable()


def pytest_configure(config: pytest.Config) -> None:
    """Give all processes of this run a place, and in it one folder for what is made once."""
    for clear in (in_memory(), share()):
        if clear is not None:
            config.add_cleanup(clear)


_FOLDERS = count()
"""Their numbers: pytest finds the next one by looking through all, which takes longer each time."""


def _folder(factory: pytest.TempPathFactory, name: str) -> Path:
    folder = factory.getbasetemp() / f"{name}_{next(_FOLDERS)}"
    folder.mkdir(mode=0o700)
    return folder


@pytest.fixture
def tmp_path(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Path:
    """A folder of the test's own."""
    return _folder(tmp_path_factory, re.sub(r"\W", "_", request.node.name)[:25])


@pytest.fixture(autouse=True)
def _own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep every test away from the user's own shop, journal and settings."""
    home = _folder(tmp_path_factory, "home")
    for name, folder in own_folders(home).items():
        monkeypatch.setenv(name, folder)
    for name in SET_BY_USERS:
        monkeypatch.delenv(name, raising=False)
    for name, value in MANY_COLOURS.items():
        monkeypatch.setenv(name, value)


@pytest.fixture(autouse=True)
def _soon_planned(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Search little for a better order of a day where nothing is said of how good it must be."""
    if "whole_search" not in request.keywords:
        monkeypatch.setattr(shortest_day, "_STEPS", 20_000)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def job() -> CheckContext:
    return make_job()


@pytest.fixture
def point() -> Point:
    """A point near a cutter, with a screw to set it right."""
    return make_point(cutter_near=True, adjuster=SCREW, lock="both bolts")


@pytest.fixture
def shop(point: Point) -> Shop:
    return make_shop(point)


@pytest.fixture
def journal_path(tmp_path: Path) -> Path:
    return tmp_path / "journal.sqlite3"


@pytest.fixture
def journal(journal_path: Path, clock: Clock) -> Iterator[SqliteJournal]:
    with closing(open_journal(journal_path, clock, wait_seconds=0.05)) as journal:
        yield journal


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    """The PostgreSQL server of the tests, there again afterwards; a slow one is waited for."""
    server = the_server()
    monkeypatch.setattr("shopboard.journal.on_server.held_server.PATIENCE", 30.0)
    monkeypatch.setattr("shopboard.journal.on_server.held_server.ANSWERS_WITHIN", 30.0)
    try:
        yield server
    finally:
        server.start_if_stopped()


@pytest.fixture
def name(server: Server) -> Iterator[str]:
    """The name of a database on it with an empty journal."""
    with database() as name:
        yield name
