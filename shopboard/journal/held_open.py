"""What holds a journal open, wherever that is, and knows whether it is the one that was last there.

How it is read, let go of and opened anew is said for a file by `held`, for a server by
`on_server/held_server`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from shopboard.journal.db import Db
from shopboard.journal.errors import JournalDiffers, JournalError
from shopboard.journal.watch import JournalWatch

T = TypeVar("T")


class HeldOpen:
    """A database held on to as long as it can be trusted, and opened anew where it cannot."""

    def __init__(self, watch: JournalWatch | None) -> None:
        """Hold nothing yet.

        Args:
            watch: tells whether it is the journal that was last open at its place; None: whatever
                is there will do.
        """
        self._watch = watch
        self.refusal: JournalError | None = None
        """Why nothing can be recorded, as found at the last opening."""
        self.generation = 0
        """How often it was opened."""
        self.owned = ""
        """Says that it is open for a role that may switch off what keeps it append-only, if so."""

    @property
    def differs(self) -> JournalDiffers | None:
        """How it differs from the journal that was last open at its place, if it does."""
        return self._watch.differs if self._watch is not None else None

    @property
    def made_up(self) -> bool:
        """Whether it says of itself that nothing in it ever happened."""
        return self._watch is not None and self._watch.made_up

    def look(self, db: Db) -> JournalDiffers | None:
        """Hold what is open against what is remembered of the journal, and remember its end."""
        return self._watch.look(db) if self._watch is not None else None

    def save(self) -> None:
        """Write down how the journal was last seen."""
        if self._watch is not None:
            self._watch.save()

    def settle(self) -> None:
        """Open anew where a person said elsewhere which journal is the right one."""
        if self._watch is not None and self._watch.is_stale():
            self.drop()

    def take_as_it_is(self) -> None:
        """From now on what is there is the journal."""
        if self._watch is not None:
            self.read(self._watch.accept)

    def must_record(self, db: Db) -> None:
        """Raise the error that says why nothing can be recorded in what is open, if so."""
        if self.refusal is not None:
            raise type(self.refusal)(self.refusal.title, self.refusal.advice)
        differs = self.look(db)
        if differs is not None:
            raise differs

    def read(self, action: Callable[[Db], T], *, unbounded: bool = False) -> T:
        """Do a reading; `unbounded`: it may take as long as it needs."""
        raise NotImplementedError

    def drop(self) -> None:
        """Close the connection; the next call opens anew."""
        raise NotImplementedError

    def close(self) -> None:
        """Close for good."""
        raise NotImplementedError
