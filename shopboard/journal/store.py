"""The narrow interface of a journal, behind which another store can stand.

All calls come from one thread. Every failure is a `JournalError`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import Any, Protocol

from shopboard.base.server_place import JournalPlace
from shopboard.journal.entry import Damage, Entry, NewEntry
from shopboard.journal.errors import JournalDiffers, JournalError
from shopboard.journal.look import LookedTo


class Store(Protocol):
    """A journal that is open."""

    @property
    def writable(self) -> bool:
        """Whether entries can be recorded, as far as is known."""

    @property
    def refusal(self) -> JournalError | None:
        """Why nothing can be recorded, or None while the journal is writable."""

    @property
    def damage(self) -> Damage | None:
        """The newest place at which it was found not to be what was recorded; None: none yet.

        Every entry is compared with its seal when it is read; one that does not match is left
        out of every answer. What it was is not known: a result, a move, a void. So whatever was
        recorded before it may no longer hold. A place that lies nowhere is newer than all.
        """

    @property
    def by(self) -> str:
        """The name of the bench that records in it; empty: it has none."""

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
        """Record all of the entries or none; return only when they are on the disk.

        An entry that is already recorded, with the same uid and content, counts
        as recorded now. The same uid with other content is refused.

        Args:
            entries: what is recorded.
            after: number of the last entry when it was read what these rest on, as running
                totals do; None: they rest on nothing.

        Raises:
            JournalMovedOn: another program has recorded after that number.
        """

    def void(self, uid: str, reason: str, name: str = "") -> Entry:
        """Withdraw the entry `uid` by a further entry, named so if a name is given; give that."""

    def get(self, uid: str) -> Entry | None:
        """Give the entry of that uid, or None."""

    def latest(self, kind: str) -> dict[tuple[str, str], Entry]:
        """Give the newest entry that stands of each (machine, point)."""

    def recent(
        self, kind: str, machine: str, point: str, limit: int = 200, include_void: bool = True
    ) -> list[Entry]:
        """Give the entries of one point, newest first."""

    def machine_entries(self, kind: str, machine: str, limit: int = 200) -> list[Entry]:
        """Give the entries of one machine, whatever their point, newest first."""

    def newest(self, kinds: Sequence[str], upto: int, window: int, limit: int) -> list[Entry]:
        """Give the entries of some kinds, whatever their place, newest first, voided ones too.

        Args:
            kinds: the kinds.
            upto: number of the last entry that counts.
            window: so many entries before it are looked through, whatever their kind.
            limit: so many are given at the most.
        """

    def thread(self, uid: str) -> list[Entry]:
        """Give the entries that refer to `uid`, oldest first."""

    def open_checks(self, newest: int = 200) -> list[Entry]:
        """Give the standing entries of kind "begin" that no "end" refers to, newest first.

        Only the newest so many checks are looked at.
        """

    def between(
        self, kind: str, machine: str, point: str, after: int, upto: int, limit: int = 200
    ) -> list[Entry]:
        """Give the entries of one point whose numbers lie above `after` and up to `upto`.

        Newest first; voided ones are among them.
        """

    def seq_at(self, when: datetime) -> int:
        """Give the number of the last entry that was recorded up to a moment; 0 when none was.

        Entries whose clock was wrong have their place by the order of recording.
        """

    def as_of(self, seq: int) -> Store:
        """Give the journal as it was when `seq` was its last entry; nothing can be recorded there.

        What was voided later stands there, and its `Entry.void` says why it was.
        """

    def last_seq(self) -> int:
        """Give the number of the last entry; 0 when there is none."""

    def count(self) -> int:
        """Give the number of entries, voided ones and voids among them."""

    def change_mark(self) -> int:
        """Give a number that differs from the last one if anyone has recorded since."""

    def newest_when(self) -> datetime | None:
        """Give the latest time on any standing entry whose clock was right, or None."""

    def verify(
        self, newest: int | None = None, said: Callable[[int, int], object] | None = None
    ) -> Damage | None:
        """Compare the `newest` entries, or the whole file, with their hashes.

        Args:
            newest: how many; None: all.
            said: is told from time to time how many are looked through, of how many.
        """

    def look(self, place: LookedTo | None, count: int) -> LookedTo:
        """Look at a stretch of the journal, from the newest entry to the oldest.

        Each is compared with its seal and with the one before it, and sought in every index.
        What is wrong is found in `damage`.

        Args:
            place: where to go on; None: find where to begin, and look at the file's form alone.
            count: of entries to look at.
        """

    def look_beneath(self, place: LookedTo) -> bool:
        """Compare the whole file's structure, and each index with the table; tell if all is well.

        Where it is not, it is looked on until the newest entry that is damaged is found.

        Args:
            place: how far a look has come.
        """

    def close(self) -> None:
        """Let go of the journal; closing twice is harmless."""


class KeptJournal(Store, Protocol):
    """A journal at its place, which this computer remembers: more than a look back has."""

    @property
    def path(self) -> JournalPlace:
        """Where it is."""

    @property
    def differs(self) -> JournalDiffers | None:
        """How it differs from the journal that was last open at its place, if it does."""

    @property
    def made_up(self) -> bool:
        """Whether it says of itself that nothing in it ever happened."""

    @property
    def owned(self) -> str:
        """Says that this role may switch off what keeps it append-only; empty: it may not."""

    has_recorded: bool
    """Whether anything was recorded since it was opened."""

    def save_memory(self) -> None:
        """Write down, outside of the journal, how it was last seen; closing it does so, too."""

    def take_as_it_is(self) -> None:
        """From now on what is there is the journal: a person said that it is right.

        Raises:
            JournalError: when it cannot be read.
        """

    def seal_of(self, seq: int) -> str:
        """Give the hash of an entry, which seals all before it, too; empty where it is not there.

        Raises:
            JournalError: when the journal cannot be read.
        """

    def sealed(self, after: int, upto: int) -> list[tuple[Any, ...]]:
        """Give the entries whose numbers lie between, as they are stored, each with its seals.

        Raises:
            JournalError: when the journal cannot be read.
        """

    def begin_move(self) -> None:
        """Say, at its place, that what is carried into it from now on is not all yet.

        Raises:
            JournalError: when that cannot be said.
        """

    def end_move(self) -> bool:
        """Say, at its place, that all is carried over; tell whether it said there that it was not.

        Raises:
            JournalError: when that cannot be said.
        """

    def take_over(
        self, rows: Sequence[tuple[Any, ...]], more: Iterable[Sequence[tuple[Any, ...]]] = ()
    ) -> None:
        """Add entries of another journal as they are, behind the last one: all of them or none.

        Args:
            rows: the first of them.
            more: those that follow, as many at a time.

        Raises:
            JournalError: when they do not follow it, or cannot be written.
        """
