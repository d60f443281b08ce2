"""Whether the file at the path is the journal that was last open there.

Every state of one journal begins with the same entry, and the hash of an entry
seals all that stand before it. So what is remembered of the end tells a journal
that was added to from an older copy, from a copy that went another way, and from
another journal. How the hashes before it begin tells where a copy left the way.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from shopboard.base.dates import day, told_time
from shopboard.base.server_place import JournalPlace
from shopboard.base.text import counted
from shopboard.journal.chain import seal
from shopboard.journal.db import Db
from shopboard.journal.errors import JournalDiffers
from shopboard.journal.faults import named
from shopboard.journal.kinds import MADE_UP
from shopboard.journal.remembered import LastSeen, recall, remember

_END = """
SELECT (SELECT uid FROM entries ORDER BY seq LIMIT 1), seq, hash
  FROM entries ORDER BY seq DESC LIMIT 1
"""
_ROW = """
SELECT seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app, prev, hash
  FROM entries WHERE seq = ?
"""
_OF_KIND = "SELECT 1 FROM entries WHERE kind = +? LIMIT 1"
_BEGINNINGS = "SELECT hash FROM entries WHERE seq > ? AND seq <= ? ORDER BY seq"

_DIGITS = 4
"""Of each hash in the trail; two differ in them but for once in 65,536."""

_TRAIL = 256
"""Entries whose hashes are remembered so."""

_SEEN_LATELY = timedelta(minutes=10)
"""So exactly is remembered when an unchanged journal was last seen."""


class JournalWatch:
    """Holds the journal at a path against what is remembered of it.

    What it sees is written down by `save`, outside of any recording: to put a new file in the
    place of the old memory can take a disk longer than the recording itself.
    """

    def __init__(self, path: JournalPlace, now: Callable[[], datetime]) -> None:
        self._path = path
        self._now = now
        self._known: LastSeen | None = None
        self._unsaved = False
        self.differs: JournalDiffers | None = None
        """How the file differs from the journal that was last open there, as last looked at."""
        self.made_up = False
        """Whether nothing in the file ever happened: then it is not remembered."""

    def look(self, db: Db) -> JournalDiffers | None:
        """Compare the open file; remember how it ends, where it goes on from what is known."""
        written = recall(self._path)
        if not self._is_ahead_of(written):
            self._known, self._unsaved = written, False
        try:
            self.made_up = _is_made_up(db)
            if self.made_up and written is None:
                return None
            end = _end(db)
            self.differs = self._compared(db, self._known, end) if self._known else None
        except (db.Error, UnicodeDecodeError):  # who reads on is told what is the matter
            return self.differs
        if self.differs is None:
            self._remember(db, end)
        return self.differs

    def is_stale(self) -> bool:
        """Tell whether something else is remembered than what the file was compared with."""
        if self.differs is None:
            return False
        written = recall(self._path)
        return not self._is_ahead_of(written) and written != self._known

    def accept(self, db: Db) -> None:
        """Remember the file as it is: a person said that it is the right one."""
        self._known, self.differs = None, None
        self._remember(db, _end(db))
        self._unsaved = False
        if self._known is not None:
            remember(self._path, self._known)

    def save(self) -> None:
        """Write down what was seen last, unless another program did so since."""
        if not self._unsaved:
            return
        written = recall(self._path)
        if self._known is not None and self._is_ahead_of(written):
            if written is not None and written.first_uid in ("", self._known.first_uid):
                self._known = self._known.looked_at_as(written)  # meanwhile, or elsewhere
            remember(self._path, self._known)
        self._unsaved = False

    def _is_ahead_of(self, written: LastSeen | None) -> bool:
        """Tell whether the file was seen here later than what is written down was."""
        if self._known is None or written is None:
            return self._known is not None
        ran_ahead = written.when > self._time()  # of the clock that it was written by
        return self._unsaved and (ran_ahead or self._known.when >= written.when)

    def _remember(self, db: Db, end: LastSeen) -> None:
        known = self._known or LastSeen()
        seen = end._replace(when=self._time(), trail=_trail(db, known, end)).looked_at_as(known)
        if seen._replace(when=known.when) != known or not self._seen_lately(known):
            self._known, self._unsaved = seen, True

    def _seen_lately(self, known: LastSeen) -> bool:
        when = told_time(known.when)
        return when is not None and abs(self._now() - when) < _SEEN_LATELY

    def _time(self) -> str:
        return self._now().astimezone(UTC).isoformat(timespec="microseconds")

    def _compared(self, db: Db, known: LastSeen, end: LastSeen) -> JournalDiffers | None:
        how = _how(db, known, end)
        if how is None:
            return None
        seen = last_seen(known)
        after = _parted(db, known, end) if how == "fork" else None
        own = "" if after is None else entries(end.last - after)
        what = {
            "empty": f"is empty; the one that was open there {seen} held {entries(known.last)}",
            "other": f"is not the one that was open there {seen}: it begins with another entry",
            "older": f"lacks the last {entries(known.last - end.last)} of the one that was open"
            f" there {seen}",
            "fork": f"differs after entry {after} from the one that was open there {seen}: it has"
            f" {own} of its own and lacks the last {entries(known.last - (after or 0))} of that one"
            if after is not None
            else f"differs since long before its end from the one that was open there {seen}",
        }[how]
        return JournalDiffers(named(self._path), how, what)


def last_seen(known: LastSeen) -> str:
    """Say when a journal was last open: ``on Tue 3 Nov 2026, 14:02``."""
    when = told_time(known.when)
    return "before" if when is None else f"on {day(when)}, {when.astimezone():%H:%M}"


def _how(db: Db, known: LastSeen, end: LastSeen) -> str | None:
    if not known.last:
        return None
    if not end.last:
        return "empty"
    if end.first_uid != known.first_uid:
        return "other"
    marks = ((known.last, known.last_hash), (known.whole_upto, known.whole_hash))
    if any(0 < at <= end.last and not _agrees(db, at, stood) for at, stood in marks):
        return "fork"
    if end.last >= known.last:
        return None
    return "fork" if _leaves_trail(db, known, end) else "older"


def _leaves_trail(db: Db, known: LastSeen, end: LastSeen) -> bool:
    """Tell whether a journal that ends before what is known says something else at its end.

    One that ends before the trail begins is judged by the time of its last entry.
    """
    first, beginnings = _beginnings(known)
    if end.last >= first:
        return not _agrees(db, end.last, beginnings[end.last - first])
    row = db.execute(_ROW, (end.last,)).fetchone()
    recorded, seen = told_time(row[2]), told_time(known.when)
    return recorded is not None and seen is not None and recorded > seen


def _parted(db: Db, known: LastSeen, end: LastSeen) -> int | None:
    """Give the number of the last entry that both have; None: it lies before what is known."""
    first, beginnings = _beginnings(known)
    for at in range(min(end.last, known.last), first - 1, -1):
        if _agrees(db, at, beginnings[at - first]):
            return at
    return 0 if first == 1 else None


def _beginnings(known: LastSeen) -> tuple[int, list[str]]:
    """Give the number of the first entry of the trail, and how the hashes from it on begin."""
    found = [known.trail[at : at + _DIGITS] for at in range(0, len(known.trail), _DIGITS)]
    return known.last - len(found) + 1, found


def _trail(db: Db, known: LastSeen, end: LastSeen) -> str:
    """Give the trail that ends where the journal does, of what is known and of what is new."""
    new = end.last - known.last
    had = known.trail if end.first_uid == known.first_uid and 0 <= new < _TRAIL else ""
    start = known.last if had else max(end.last - _TRAIL, 0)
    try:
        rows = db.execute(_BEGINNINGS, (start, end.last)).fetchall() if start < end.last else []
    except (db.Error, UnicodeDecodeError):
        return ""
    if len(rows) != end.last - start:  # some are missing: it is damaged
        return ""
    return (had + "".join(_hex(one)[:_DIGITS] for (one,) in rows))[-_TRAIL * _DIGITS :]


def _is_made_up(db: Db) -> bool:
    return db.execute(_OF_KIND, (MADE_UP.name,)).fetchone() is not None


def _end(db: Db) -> LastSeen:
    first, last, stood = db.execute(_END).fetchone() or ("", 0, b"")
    return LastSeen(str(first), int(last), _hex(stood))


def _agrees(db: Db, seq: int, stood: str) -> bool:
    """Tell whether the hash of an entry begins as it stood.

    An entry that is lost says nothing else, and a hash that is not the seal of its own entry was
    damaged: then the seal is what counts.
    """
    row = db.execute(_ROW, (seq,)).fetchone()
    if row is None or not isinstance(row[10], bytes):
        return True
    if _hex(row[11]).startswith(stood):
        return True
    try:
        return seal(row[10], row[:10]).hex().startswith(stood)
    except (TypeError, ValueError):
        return False


def _hex(stored: object) -> str:
    return stored.hex() if isinstance(stored, bytes) else ""  # of another type: it is damaged


def entries(number: int) -> str:
    """Write a number of entries."""
    return counted(number, "entry", "entries")
