"""Whether the file at the path is the journal that was last open there.

Every state of one journal begins with the same entry, and the hash of an entry
seals all that stand before it. So what is remembered of the end tells a journal
that was added to from an older copy, from a copy that went its own way, and from
another journal.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from shopboard.dates import day, told_time
from shopboard.journal.errors import JournalDiffers
from shopboard.journal.faults import READ_FAULTS, named
from shopboard.journal.remembered import Known, recall, remember

_END = """
SELECT (SELECT uid FROM entries ORDER BY seq LIMIT 1), seq, hash
  FROM entries ORDER BY seq DESC LIMIT 1
"""
_HASH = "SELECT hash FROM entries WHERE seq = ?"

_SEEN_LATELY = timedelta(minutes=10)
"""So exactly is remembered when an unchanged journal was last seen."""


class Watch:
    """Holds the journal at a path against what is remembered of it.

    What it sees is written down by `save`, outside of any recording: to put a new file in the
    place of the old memory can take a disk longer than the recording itself.
    """

    def __init__(self, path: Path, now: Callable[[], datetime]) -> None:
        self._path = path
        self._now = now
        self._known: Known | None = None
        self._unsaved = False
        self.differs: JournalDiffers | None = None
        """How the file differs from the journal that was last open there, as last looked at."""

    def look(self, db: sqlite3.Connection) -> JournalDiffers | None:
        """Compare the open file; remember how it ends, where it goes on from what is known."""
        written = recall(self._path)
        if not self._is_ahead_of(written):
            self._known, self._unsaved = written, False
        try:
            end = _end(db)
            self.differs = self._compared(db, self._known, end) if self._known else None
        except READ_FAULTS:  # who reads on is told what is the matter
            return self.differs
        if self.differs is None:
            self._remember(end)
        return self.differs

    def is_stale(self) -> bool:
        """Tell whether something else is remembered than what the file was compared with."""
        written = recall(self._path)
        return (
            self.differs is not None and not self._is_ahead_of(written) and written != self._known
        )

    def accept(self, db: sqlite3.Connection) -> None:
        """Remember the file as it is: a person said that it is the right one."""
        self._known, self.differs = None, None
        self._remember(_end(db))
        self._unsaved = False
        if self._known is not None:
            remember(self._path, self._known)

    def save(self) -> None:
        """Write down what was seen last, unless another program did so since."""
        if self._unsaved and self._known is not None and self._is_ahead_of(recall(self._path)):
            remember(self._path, self._known)
        self._unsaved = False

    def _is_ahead_of(self, written: Known | None) -> bool:
        """Tell whether the file was seen here later than what is written down was."""
        if self._known is None or written is None:
            return self._known is not None
        return self._unsaved and self._known.when >= written.when

    def _remember(self, end: Known) -> None:
        known = self._known or Known()
        seen = end._replace(
            when=self._time(),
            whole_upto=known.whole_upto,
            whole_hash=known.whole_hash,
            whole_when=known.whole_when,
            damaged=known.damaged,
        )
        if seen._replace(when=known.when) != known or not self._seen_lately(known):
            self._known, self._unsaved = seen, True

    def _seen_lately(self, known: Known) -> bool:
        when = told_time(known.when)
        return when is not None and abs(self._now() - when) < _SEEN_LATELY

    def _time(self) -> str:
        return self._now().astimezone(UTC).isoformat(timespec="microseconds")

    def _compared(self, db: sqlite3.Connection, known: Known, end: Known) -> JournalDiffers | None:
        how = _how(db, known, end)
        if how is None:
            return None
        seen = last_seen(known)
        what = {
            "empty": f"is empty; the one that was open there {seen} held {entries(known.last)}",
            "other": f"is another one than was open there {seen}: it begins with another entry",
            "older": f"ends {entries(known.last - end.last)} before the one that was open there"
            f" {seen}",
            "fork": f"is a copy that went its own way: it says something else than the one that was"
            f" open there {seen}",
        }[how]
        return JournalDiffers(named(self._path), how, what)


def last_seen(known: Known) -> str:
    """Say when a journal was last open: ``on Tue 3 Nov 2026, 14:02``."""
    when = told_time(known.when)
    return "before" if when is None else f"on {day(when)}, {when.astimezone():%H:%M}"


def _how(db: sqlite3.Connection, known: Known, end: Known) -> str | None:
    if not known.last:
        return None
    if not end.last:
        return "empty"
    if end.first_uid != known.first_uid:
        return "other"
    marks = ((known.last, known.last_hash), (known.whole_upto, known.whole_hash))
    if any(0 < at <= end.last and hash_at(db, at) != stood for at, stood in marks):
        return "fork"
    return "older" if end.last < known.last else None


def _end(db: sqlite3.Connection) -> Known:
    first, last, stood = db.execute(_END).fetchone() or ("", 0, b"")
    return Known(str(first), int(last), _hex(stood))


def hash_at(db: sqlite3.Connection, seq: int) -> str:
    """Give the hash of an entry in hexadecimal; empty where there is none."""
    row = db.execute(_HASH, (seq,)).fetchone()
    return _hex(row[0]) if row else ""


def _hex(stored: object) -> str:
    return stored.hex() if isinstance(stored, bytes) else ""  # of another type: it is damaged


def entries(number: int) -> str:
    """Write a number of entries."""
    return "1 entry" if number == 1 else f"{number} entries"
