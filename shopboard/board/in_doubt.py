"""What the board was asked to record and could not: the same asked again is the same act.

A write may fail when its entries are on the disk already. Whoever presses the key again, at once
or on coming back, means what was asked before, until something else is recorded; it gets the same
uid, and nothing is recorded twice.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar

from shopboard.journal import Entry, Store, act_on_record, new_uid

T = TypeVar("T")

ON_RECORD_ALREADY = "It was on record already, nothing was recorded twice."


class InDoubt:
    """The last act that met an error."""

    def __init__(self) -> None:
        self._asked: Hashable = None
        self._uid = ""
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
            self._asked, self._uid = asked, new_uid()
        done = record(self._uid)
        self._asked = None
        return done

    def once(self, journal: Store, asked: Hashable, record: Callable[[str], T]) -> T | Entry:
        """Record an act; where an earlier try of the same had done it, give its first entry.

        Args:
            journal: the journal.
            asked: what the person asked for, with all that they told.
            record: records it under a uid.

        Raises:
            JournalError: when it cannot be recorded.
        """
        known = act_on_record(journal, self._uid) if self.holds(asked) else None
        if known is None:
            done = self.under_one_name(asked, record)
            self.words = ""
            return done
        self._asked, self.words = None, ON_RECORD_ALREADY
        return known
