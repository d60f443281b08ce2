"""SQLite's own look at its pages, and at each index against the table, beside other work.

It takes seconds for a large journal, all of them in SQLite: so it is done on a connection of its
own in a thread, and ended at once when whoever waits for it gives up. Whoever wants to record
meanwhile need not wait: it is broken off, and begun anew once that is on the disk.
"""

from __future__ import annotations

import re
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from threading import Event, Thread

from shopboard.journal.entry import Damage
from shopboard.journal.faults import is_busy

_GIVE_WAY = 20.0
"""Seconds in which it is begun anew; then whoever records waits for it, some seconds at the most.
"""

_STEPS = 100_000
"""Steps of SQLite between two looks whether somebody waits: some hundredths of a second."""

_BUSY_MS = 5000
"""How long it waits for another program that is recording."""

_WAIT, _LOOK_IN = 1.0, 0.005
"""Seconds in which somebody who waits has recorded, and between two looks whether he has."""

_NOT_GIVEN = re.compile(r"unable to get the page\. error code=(\d+)")

_LAST = "SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1"


@contextmanager
def structure_beside(db: sqlite3.Connection) -> Iterator[Callable[[], Damage | None]]:
    """Begin the look; give what waits for its end and tells what it found.

    Args:
        db: an open journal inside a transaction that has read from it, so that nobody changes
            the file before it has begun.

    Raises (when asked):
        sqlite3.Error: the file cannot be read.
    """
    other = _beside(db)
    if other is None:
        yield lambda: structure_of(db)
        return
    found: list[Damage | sqlite3.Error | None] = []
    given_up = Event()

    def look() -> None:
        try:
            found.append(_giving_way(other, given_up))
        except sqlite3.Error as error:
            found.append(error)

    def told() -> Damage | None:
        thread.join()
        (one,) = found
        if isinstance(one, sqlite3.Error):
            raise one
        return one

    with closing(other):
        thread = Thread(target=look, daemon=True)
        thread.start()
        try:
            yield told
        finally:
            given_up.set()
            other.interrupt()  # of no effect once it has ended
            thread.join()


def _giving_way(db: sqlite3.Connection, given_up: Event) -> Damage | None:
    """Look; give way to those who record, as often as a person does, not to a stream of them."""
    rollback = Path(f"{db.execute('PRAGMA database_list').fetchone()[2]}-journal")

    def somebody_waits() -> bool:
        """Who is about to record has written down what was there before, and waits."""
        with suppress(OSError):
            return rollback.stat().st_size > 0
        return False

    db.execute(f"PRAGMA busy_timeout = {_BUSY_MS}")  # the other connection lets go meanwhile
    until = time.monotonic() + _GIVE_WAY
    while time.monotonic() < until:
        # an interrupt that comes between two looks is of no effect: so each asks, too
        db.set_progress_handler(lambda: given_up.is_set() or somebody_waits(), _STEPS)
        try:
            return structure_of(db)
        except sqlite3.OperationalError as error:
            if given_up.is_set() or not (is_busy(error) or somebody_waits()):
                raise  # it was ended from outside, or cannot be read
        waited = time.monotonic() + _WAIT
        while somebody_waits() and time.monotonic() < waited and not given_up.wait(_LOOK_IN):
            pass
    db.set_progress_handler(given_up.is_set, _STEPS)
    return structure_of(db)


def _beside(db: sqlite3.Connection) -> sqlite3.Connection | None:
    """Open the same file once more; None where that is not certain to be had at once."""
    with suppress(sqlite3.Error):  # such as a path that is no text
        path = db.execute("PRAGMA database_list").fetchone()[2]
        if not path:
            return None
        # no wait: who waits to write would wait for `db`, and this for him
        other = sqlite3.connect(
            f"{Path(path).as_uri()}?mode=ro", uri=True, timeout=0, check_same_thread=False
        )
        with suppress(sqlite3.Error):
            if other.execute(_LAST).fetchone() == db.execute(_LAST).fetchone():
                return other
        other.close()
    return None


def structure_of(db: sqlite3.Connection) -> Damage | None:
    """Let SQLite compare its pages, and each index with the table, and wait for it.

    Raises:
        sqlite3.Error: the disk did not give a page, which may be whole.
    """
    # quick_check would leave out the indexes, and an index that lost a key
    # hides an entry from the board.
    (told,) = db.execute("PRAGMA integrity_check(1)").fetchone()
    if (code := _NOT_GIVEN.search(told)) and int(code[1]) & 0xFF == sqlite3.SQLITE_IOERR:
        error = sqlite3.OperationalError("disk I/O error")
        error.sqlite_errorcode = sqlite3.SQLITE_IOERR
        raise error
    words = " ".join(told.replace("*** in database main ***", "").split())
    return None if told == "ok" else Damage(None, f"the file's structure is damaged ({words})")
