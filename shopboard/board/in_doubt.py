"""What the board was asked to record and could not: the same asked again is the same act.

A write may fail when its entries are on the disk already. Whoever presses the key again, at once
or on coming back, means what was asked before, until something else is recorded; it gets the same
uid, and nothing is recorded twice.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar

from shopboard.journal import (
    Entry,
    JournalError,
    JournalMovedOn,
    JournalTaken,
    Store,
    act_on_record,
    new_uid,
)
from shopboard.journal.faults import still_uncertain

T = TypeVar("T")
U = TypeVar("U")

ON_RECORD_ALREADY = "It was on record already, nothing was recorded twice."


class InDoubt:
    """The last act that met an error."""

    def __init__(self) -> None:
        self._asked: Hashable = None
        self._uid = ""
        self._uncertain = False
        """Whether it may be on record by a try of which no answer came."""
        self.is_away = False
        """Whether the server did not answer: once it does, it is found out what became of it."""
        self.settled_at: float | None = None
        """When it was found to be on record after all; None: it was not."""
        self.words = ""
        """To be said with the next words: that the act was on record already; else empty."""

    @property
    def is_open(self) -> bool:
        """Whether an act met an error, and nothing was recorded since."""
        return self._asked is not None

    def holds(self, asked: Hashable) -> bool:
        """Tell whether that was asked for last, and met an error."""
        return self._asked is not None and asked == self._asked

    def under_one_name(self, asked: Hashable, record: Callable[[str], T]) -> T:
        """Record what stays the same at every try: the journal takes it once under one uid.

        Args:
            asked: what the person asked for, with all that they told.
            record: records it under a uid.

        Raises:
            JournalError: when it cannot be recorded.
        """
        if not self.holds(asked):
            self.forget()
            self._asked, self._uid = asked, new_uid()
        done = self._tried(lambda: record(self._uid))
        self.forget()
        return done

    def forget(self) -> None:
        """Hold it no more: whoever asks for the same means another act."""
        self._asked, self._uncertain, self.is_away, self.settled_at = None, False, False, None

    def _tried(self, what: Callable[[], U]) -> U:
        """Try; where that fails, remember what may be on record all the same."""
        try:
            return what()
        except JournalError as error:
            self.is_away = error.is_away
            told = isinstance(error, JournalTaken | JournalMovedOn)  # what is there is known then
            if self._uncertain and not told:
                raise still_uncertain(error) from None
            self._uncertain = error.uncertain
            raise

    def on_record(self, journal: Store) -> Entry | None:
        """Give the first entry of the act, where a try had recorded it after all.

        Raises:
            JournalError: when that cannot be found out now.
        """
        return self._tried(lambda: act_on_record(journal, self._uid))

    def once(self, journal: Store, asked: Hashable, record: Callable[[str], T]) -> T | Entry:
        """Record an act; where an earlier try of the same had done it, give its first entry.

        Args:
            journal: the journal.
            asked: what the person asked for, with all that they told.
            record: records it under a uid.

        Raises:
            JournalError: when it cannot be recorded.
        """
        known = self.on_record(journal) if self.holds(asked) else None
        if known is None:
            done = self.under_one_name(asked, record)
            self.words = ""
            return done
        self.forget()
        self.words = ON_RECORD_ALREADY
        return known
