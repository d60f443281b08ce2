"""The look through the whole journal, a stretch at a time, from the newest entry to the oldest.

What was found whole is remembered outside of the journal, with the day: a look
goes down to there, and further only when that was long ago. Where damage was
found is remembered, too, and looked at first.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from shopboard.journal.look import Place
from shopboard.journal.remembered import Known, recall, remember
from shopboard.journal.store import Store

AT_ONCE = 2_000
"""Entries that a command always looks at before it answers: some hundredths of a second."""

_STEP = 50
"""Entries between two looks at the clock."""

_ANEW = timedelta(days=7)
"""After so long, what was found whole is looked at again."""

_FEW = 20_000
"""So many the board always looks at, and a command where the last look was long ago."""


class Looking:
    """How far the look through one journal has come."""

    def __init__(
        self,
        journal: Store,
        path: Path,
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
        self._place: Place | None = None
        self._known: Known | None = None
        self._top = Place(0)

    @property
    def is_through(self) -> bool:
        """Whether all was looked at."""
        return self._place is not None and self._place.seq == 0

    def at_once(self) -> None:
        """Look at the newest entries, at all of a few, and where damage was found before.

        Raises:
            JournalError: when the journal cannot be read.
        """
        self._begin()
        self._step(AT_ONCE)
        lately = self._known is not None and self._was_lately(self._known)
        most = AT_ONCE if lately or self._top.seq > _FEW else _FEW
        while not self.is_through and self._top.seq - self._reached < most:
            self._step(most)
        self._keep()

    @property
    def _reached(self) -> int:
        return self._place.seq if self._place is not None else self._top.seq

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
            self._journal.look(Place(self._known.damaged), 1)

    def _step(self, count: int) -> None:
        """Look at a stretch, which ends where the last full look began."""
        known, place = self._known, self._place
        if place is None:
            place = self._top = self._journal.look(None, 0)
        upto = known.whole_upto if known is not None else 0
        if upto < place.seq:
            count = min(count, place.seq - upto)
        self._place = self._journal.look(place, count)
        if known is not None and self._place.seq == upto > 0 and self._need_not_go_on(known):
            self._place = Place(0)

    def _need_not_go_on(self, known: Known) -> bool:
        """Tell whether all that is left was found whole not long ago, and is the same still."""
        place = self._place or Place(0)
        same = place.sealed is not None and place.sealed.hex() == known.whole_hash
        return self._top.seq > _FEW and same and self._was_lately(known)

    def _was_lately(self, known: Known) -> bool:
        """Tell whether the last look at all was not long ago."""
        try:
            when = datetime.fromisoformat(known.whole_when)
        except ValueError:
            return False
        when = when if when.tzinfo is not None else when.replace(tzinfo=UTC)
        return timedelta(0) <= self._clock() - when < _ANEW

    def _keep(self) -> None:
        """Remember what was found, of a journal that is remembered at all."""
        known, damage = recall(self._path), self._journal.damage
        if known is None:
            return
        now = known._replace(damaged=0 if damage is None else damage.seq or 0)
        if damage is None and self.is_through and self._top.sealed is not None:
            when = self._clock().isoformat(timespec="seconds")
            now = now._replace(
                whole_upto=self._top.seq, whole_hash=self._top.sealed.hex(), whole_when=when
            )
        if now != known:
            remember(self._path, now)
