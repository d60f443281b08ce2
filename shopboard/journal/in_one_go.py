"""A journal that is made in one go, of entries with times of their own: all of it, or none.

For records that are made up. Nothing waits for the disk before `keep`, so that thousands of entries
take no longer than a few; and each has the time that it is given, however long ago.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from shopboard.journal import kinds
from shopboard.journal.commit import add_as_told
from shopboard.journal.draft import draft
from shopboard.journal.entry import Entry, NewEntry
from shopboard.journal.held import Held, TimeLimit
from shopboard.journal.kinds import MadeUp
from shopboard.journal.opening import Terms
from shopboard.journal.schema import MIGRATIONS
from shopboard.journal.sqlite import SqliteJournal

_FOREVER = 3600.0


class MadeUpJournal(SqliteJournal):
    """A journal in which what is recorded is kept by `keep` alone; it begins by saying what it is.

    Nobody else may have the file: it is one that is given its name when it is finished.
    """

    def __init__(self, path: Path, now: Callable[[], datetime], made: MadeUp) -> None:
        """Make it, where there is none; else go on with it.

        Args:
            path: of the file.
            now: gives the time of each entry.
            made: what its first entry says.
        """
        terms = Terms(path, True, False, 5.0, MIGRATIONS)
        super().__init__(Held(terms, TimeLimit(_FOREVER, lambda: 0.0)), now)
        self._by_uid: dict[str, Entry] = {}
        db = self._held.writable_db()
        db.execute("BEGIN IMMEDIATE")
        if not self.last_seq():
            self.append([kinds.MADE_UP.new(f"made-up-{made.seed}", made)])

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:  # noqa: ARG002 - nobody else records
        """Add the entries; they are on the disk once `keep` was called."""
        found = add_as_told(self._held.writable_db(), [draft(one) for one in entries], self._now())
        self._mark += 1
        self._by_uid.update((one.uid, one) for one in found)
        for one in found:
            if one.kind == kinds.VOID.name:
                self._by_uid.pop(one.refers, None)
        return found

    def get(self, uid: str) -> Entry | None:
        """Give the entry of that uid, or None."""
        return self._by_uid.get(uid) or super().get(uid)

    def keep(self) -> None:
        """Bring all that was recorded to the disk, and let go of the file."""
        self._held.writable_db().execute("COMMIT")
        self.close()
