"""The look through the whole journal, a stretch at a time, from the newest entry to the oldest.

A command looks at the newest entries itself and has SQLite hold every index against
the table, unless nobody wrote to the file since that was last done. The board
looks at every entry, between the keys. Where damage was found is remembered
outside of the journal, and looked at first.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.journal.look import LookedTo
from shopboard.journal.remembered import LastSeen, recall, remember

if TYPE_CHECKING:
    from shopboard.journal.store import KeptJournal

AT_ONCE = 2_000
"""Entries that a command always looks at before it answers: some hundredths of a second."""

_STEP = 50
"""Entries between two looks at the clock."""

_ANEW = timedelta(days=1)
"""After so long, a file to which nobody wrote is compared again: disks forget."""

_AT_REST = 3.0
"""Seconds after which a further writing shows in the time of a file, on whatever disk."""


class Looking:
    """How far the look through one journal has come."""

    def __init__(
        self,
        journal: KeptJournal,
        path: JournalPlace,
        clock: Callable[[], datetime],
        monotonic: Callable[[], float],
    ) -> None:
        """Begin at the newest entry.

        Args:
            journal: the journal, open.
            path: where it is; what is remembered goes by that.
            clock: gives the time.
            monotonic: gives seconds.
        """
        self._journal = journal
        self._path = path
        self._clock = clock
        self._monotonic = monotonic
        self._place: LookedTo | None = None
        self._known: LastSeen | None = None
        self._top = LookedTo(0)
        self._sound_file = ""

    @property
    def is_through(self) -> bool:
        """Whether all was looked at."""
        return self._place is not None and self._place.seq == 0

    def at_once(self) -> None:
        """Look at the newest entries, at those found damaged before, and beneath all others.

        Raises:
            JournalError: when the journal cannot be read.
        """
        self._begin()
        self._step(AT_ONCE)
        file, known = _state_of(self._path), self._known
        if not file or known is None or known.sound_file != file or not self._was_lately(known):
            sound = self._journal.look_beneath(self._place or LookedTo(0))
            if sound and self._journal.damage is None and file == _state_of(self._path):
                self._sound_file = file
        self._keep()

    def on(self, seconds: float) -> bool:
        """Look on for so long; give whether all was looked at.

        Raises:
            JournalError: when the journal cannot be read.
        """
        if self.is_through:
            return True
        until = self._monotonic() + seconds
        if self._place is None:
            self._begin()
        while not self.is_through and self._monotonic() < until:
            self._step(_STEP)
        if self.is_through:
            self._keep()
        return self.is_through

    def _begin(self) -> None:
        self._known = recall(self._path)
        if self._known is not None and self._known.damaged > 0:
            self._journal.look(LookedTo(self._known.damaged), 1)

    def _step(self, count: int) -> None:
        if self._place is None:
            self._place = self._top = self._journal.look(None, 0)
        self._place = self._journal.look(self._place, count)

    def _was_lately(self, known: LastSeen) -> bool:
        """Tell whether the file was compared not long ago."""
        try:
            when = datetime.fromisoformat(known.sound_when)
        except ValueError:
            return False
        when = when if when.tzinfo is not None else when.replace(tzinfo=UTC)
        return timedelta(0) <= self._clock() - when < _ANEW

    def _keep(self) -> None:
        """Remember what was found, of the journal that is remembered and no other."""
        known, damage = recall(self._path), self._journal.damage
        if known is None or self._journal.differs is not None:
            return
        now = known._replace(damaged=0 if damage is None else damage.seq or 0)
        if damage is not None:
            now = now._replace(sound_file="")
        elif self._sound_file:
            when = self._clock().isoformat(timespec="seconds")
            now = now._replace(sound_file=self._sound_file, sound_when=when)
        if damage is None and self.is_through and self._top.sealed is not None:
            now = now._replace(whole_upto=self._top.seq, whole_hash=self._top.sealed.hex())
        if now != known:
            remember(self._path, now)


def _state_of(path: JournalPlace) -> str:
    """Tell a file from what it is after any writing; empty where that cannot be told.

    Of a server's tables nothing tells it: they are looked at anew when it was long ago.
    """
    if isinstance(path, ServerPlace):
        return "on a server"
    try:
        stat = path.stat()
    except OSError:
        return ""
    if time.time() - stat.st_mtime < _AT_REST:
        return ""
    return f"{stat.st_ino} {stat.st_size} {stat.st_mtime_ns} {stat.st_ctime_ns}"
