"""Opening a journal, wherever it is."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, overload

from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.journal.compared import Told
from shopboard.journal.errors import JournalCannotRead
from shopboard.journal.held import Held, TimeLimit
from shopboard.journal.opening import Terms
from shopboard.journal.schema import MIGRATIONS
from shopboard.journal.sqlite import SqliteJournal
from shopboard.journal.store import KeptJournal
from shopboard.journal.watch import JournalWatch

if TYPE_CHECKING:
    from typing import TypedDict, Unpack

    class OpenTerms(TypedDict, total=False):
        """How a journal is to be opened, as `open_journal` tells it."""

        create: bool
        read_only: bool
        wait_seconds: float
        migrations: Sequence[Sequence[str]] | None
        computer: Callable[[], str] | None
        who: Callable[[], str] | None
        watched: bool
        stand_in: bool
        told: Told | None
        read_seconds: float
        monotonic: Callable[[], float]
        moving: bool


@overload
def open_journal(
    path: Path, now: Callable[[], datetime], **terms: Unpack[OpenTerms]
) -> SqliteJournal: ...


@overload
def open_journal(
    path: JournalPlace, now: Callable[[], datetime], **terms: Unpack[OpenTerms]
) -> KeptJournal: ...


def open_journal(
    path: JournalPlace,
    now: Callable[[], datetime],
    *,
    create: bool = True,
    read_only: bool = False,
    wait_seconds: float = 5.0,
    migrations: Sequence[Sequence[str]] | None = None,
    computer: Callable[[], str] | None = None,
    who: Callable[[], str] | None = None,
    watched: bool = False,
    stand_in: bool = False,
    told: Told | None = None,
    read_seconds: float = 5.0,
    monotonic: Callable[[], float] = time.monotonic,
    moving: bool = False,
) -> KeptJournal:
    """Open the journal at `path`, making it and its folder when there is none.

    Args:
        path: the journal file, or the place on a server.
        now: the clock; gives times that know their time zone.
        create: make a journal where nothing, or an empty file, is.
        read_only: record nothing and leave the form of an older journal; only what
            a power cut left half done is undone.
        wait_seconds: how long each call waits for another program.
        migrations: the forms of it; to be given only by tests.
        computer: names this computer; with it, the first recording says so in an entry of
            its own where another one recorded last.
        who: names this bench, in every entry that is recorded here; empty: it has no name.
        watched: hold it against what this computer remembers of the journal at that path, and
            remember it.
        stand_in: where there is none and none is made, give an empty one to be read.
        told: is told of damage that is met on reading, as soon as it is.
        read_seconds: how long a question may take before it is broken off.
        monotonic: the clock for that.
        moving: it is opened by a move, which alone opens what is not all there yet.

    Raises:
        JournalError: there is no journal to be had at that path; its words say why.
    """
    limit, watch = TimeLimit(read_seconds, monotonic), JournalWatch(path, now) if watched else None
    if isinstance(path, ServerPlace):
        try:
            from shopboard.journal.on_server.held_server import HeldServer
            from shopboard.journal.on_server.opening import ServerTerms
            from shopboard.journal.on_server.server_journal import ServerJournal
        except ImportError as error:
            raise JournalCannotRead(
                "A journal on a server needs psycopg, which is not installed.",
                "Install it, in the folder of the program: .venv/bin/pip install '.[benches]'",
            ) from error
        asked = ServerTerms(path, create, read_only, wait_seconds, read_seconds, migrations, moving)
        return ServerJournal(HeldServer(asked, watch), now, computer, told, who)
    terms = Terms(path, create, read_only, wait_seconds, migrations or MIGRATIONS, stand_in, moving)
    return SqliteJournal(Held(terms, limit, watch), now, computer, told, who)
