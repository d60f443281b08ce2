"""What is asked of a journal, the same of a file and of a server; what differs stands below it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any, TypeVar

from shopboard.journal import kinds, queries
from shopboard.journal.acts import taking_back
from shopboard.journal.chain import rows_between
from shopboard.journal.compared import Compared, Fits, Told, at_place, on_machine, rows_of
from shopboard.journal.computer import naming
from shopboard.journal.db import AskedWith, Db
from shopboard.journal.draft import Draft, draft, unfit
from shopboard.journal.entry import Damage, Entry, NewEntry, new_uid
from shopboard.journal.errors import JournalDamaged, JournalDiffers, JournalError
from shopboard.journal.faults import damage_fault
from shopboard.journal.held_open import HeldOpen
from shopboard.journal.look import STRETCH, LookedTo, look
from shopboard.journal.store import KeptJournal, Store

T = TypeVar("T")


class AskedJournal(KeptJournal):
    """The questions of a `Store`; see there for what each call promises."""

    _stretch = STRETCH
    """Asks for the rows of a look."""

    def __init__(
        self,
        held: HeldOpen,
        now: Callable[[], datetime],
        computer: Callable[[], str] | None = None,
        told: Told | None = None,
        who: Callable[[], str] | None = None,
    ) -> None:
        self._held = held
        self._compared = Compared(told)
        self._now = now
        self._computer = computer
        self._who = who
        self._mark = 0
        self.has_recorded = False
        """Whether anything was recorded since it was opened."""
        self._seen = (0, 0, 0)
        self._met = -1
        self._due: LookedTo | None = None

    def _read(self, ask: Callable[[Db], T]) -> T | None:
        """Ask; None where it was asked with a character that no recorded text can hold."""
        raise NotImplementedError

    def _recorded(self, drafts: Sequence[Draft], after: int | None) -> list[Entry]:
        """Record, and find out what became of it where that failed."""
        raise NotImplementedError

    @property
    def writable(self) -> bool:
        """Whether entries can be recorded, as far as is known."""
        return self.refusal is None

    @property
    def refusal(self) -> JournalError | None:
        """Why nothing can be recorded, or None while the journal is writable."""
        return self._held.refusal or self._held.differs

    @property
    def differs(self) -> JournalDiffers | None:
        """How the file differs from the journal that was last open at its path, if it does."""
        return self._held.differs

    @property
    def made_up(self) -> bool:
        """Whether it says of itself that nothing in it ever happened."""
        return self._held.made_up

    @property
    def owned(self) -> str:
        """Says that this role may switch off what keeps it append-only; empty: it may not."""
        return self._held.owned

    def save_memory(self) -> None:
        """Write down, outside of the journal, how it was last seen; closing it does so, too."""
        self._held.save()

    def take_as_it_is(self) -> None:
        """From now on the file that is there is the journal: a person said that it is right.

        Raises:
            JournalError: when it cannot be read.
        """
        self._held.take_as_it_is()
        self._mark += 1

    @property
    def damage(self) -> Damage | None:
        """The newest place at which it was found not to be what was recorded; None: none yet."""
        return self._compared.damage

    @property
    def by(self) -> str:
        """The name of the bench that records in it; empty: it has none."""
        return self._who() if self._who else ""

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
        """Record all of the entries or none; return only when they are on the disk."""
        if not entries:
            return []
        by = self.by
        drafts = [draft(entry, by) for entry in entries]
        own = naming(self, self._computer()) if self._computer else []
        drafts = [*(draft(entry, by) for entry in own), *drafts]
        try:
            recorded = self._recorded(drafts, after)
        except (TypeError, ValueError) as error:  # what is read before recording is no entry
            raise damage_fault(self.path, "an entry is not what was recorded") from error
        self._mark += 1
        self.has_recorded = True
        self._computer = None  # it is on record now
        return recorded[len(own) :]

    def void(self, uid: str, reason: str, name: str = "") -> Entry:
        """Withdraw the entry `uid` by a further entry; give that one."""
        before = self._compared.found
        target = self.get(uid)
        if target is None and self._compared.found != before and self.damage is not None:
            raise damage_fault(self.path, self.damage.what)
        if target is None:
            raise unfit(f"there is no entry {uid} to withdraw")
        return self.append([taking_back(target, reason, name or new_uid())])[0]

    def get(self, uid: str) -> Entry | None:
        """Give the entry of that uid, or None."""
        return next(iter(self._entries(queries.GET, (uid,), lambda one: one.uid == uid)), None)

    def latest(self, kind: str) -> dict[tuple[str, str], Entry]:
        """Give the newest entry that stands of each (machine, point)."""
        return self._newest(queries.LATEST, {"kind": kind})

    def recent(
        self, kind: str, machine: str, point: str, limit: int = 200, include_void: bool = True
    ) -> list[Entry]:
        """Give the entries of one point, newest first."""
        query = queries.RECENT if include_void else queries.RECENT_STANDING
        return self._entries(query, (kind, machine, point, limit), at_place(kind, machine, point))

    def machine_entries(self, kind: str, machine: str, limit: int = 200) -> list[Entry]:
        """Give the entries of one machine, whatever their point, newest first."""
        asked = {"kind": kind, "machine": machine, "limit": limit}
        return self._entries(queries.OF_MACHINE, asked, on_machine(kind, machine))

    def newest(self, kinds: Sequence[str], upto: int, window: int, limit: int) -> list[Entry]:
        """Give the entries of some kinds among the last so many up to a number, newest first."""
        asked = {"kinds": f" {' '.join(kinds)} ", "upto": upto, "window": window, "limit": limit}
        return self._entries(queries.NEWEST, asked, lambda one: one.kind in kinds)

    def thread(self, uid: str) -> list[Entry]:
        """Give the entries that refer to `uid`, oldest first."""
        return self._entries(queries.THREAD, (uid,), lambda one: one.refers == uid)[::-1]

    def open_checks(self, newest: int = 200) -> list[Entry]:
        """Give those of the newest checks that stand and that no "end" refers to, newest first."""
        return self._entries(
            queries.OPEN_CHECKS, (newest,), lambda one: one.kind == kinds.BEGIN.name
        )

    def between(
        self, kind: str, machine: str, point: str, after: int, upto: int, limit: int = 200
    ) -> list[Entry]:
        """Give the entries of one point whose numbers lie between two, newest first."""
        fits = at_place(kind, machine, point)
        return self._entries(queries.BETWEEN, (kind, machine, point, after, upto, limit), fits)

    def seq_at(self, when: datetime) -> int:
        """Give the number of the last entry that was recorded up to a moment; 0 when none was."""
        from shopboard.journal.as_of import seq_at

        return self._read(lambda db: seq_at(db, when, self._now(), self._compared)) or 0

    def as_of(self, seq: int) -> Store:
        """Give the journal as it was when `seq` was its last entry."""
        from shopboard.journal.as_of import AsOf

        return AsOf(self, self._entries, self._newest, seq)

    def last_seq(self) -> int:
        """Give the number of the last entry; 0 when there is none."""
        return int(self._held.read(lambda db: db.execute(queries.LAST_SEQ).fetchone()[0]))

    def seal_of(self, seq: int) -> str:
        """Give the hash of an entry, which seals all before it, too; empty where it is not there.

        Raises:
            JournalError: when the journal cannot be read.
        """
        row = self._held.read(lambda db: db.execute(queries.HASH, (seq,)).fetchone())
        return row[0].hex() if row and isinstance(row[0], bytes) else ""

    def sealed(self, after: int, upto: int) -> list[tuple[Any, ...]]:
        """Give the entries whose numbers lie between, as they are stored, each with its seals."""
        return self._held.read(lambda db: list(rows_between(db, after, upto)))

    def count(self) -> int:
        """Give the number of entries, voided ones and voids among them."""
        return int(self._held.read(lambda db: db.execute(queries.COUNT).fetchone()[0]))

    def change_mark(self) -> int:
        """Give a number that differs from the last one if anyone has recorded since."""
        self._held.settle()
        others = self._held.read(self._others)
        seen = (others, self._held.generation, self._compared.found)
        if seen != self._seen:
            self._seen = seen
            self._held.read(self._held.look)
            self._mark += 1
        return self._mark

    def _others(self, db: Any) -> int:
        """Give a number that differs from the last one if others have recorded since."""
        raise NotImplementedError

    def newest_when(self) -> datetime | None:
        """Give the latest time on any standing entry whose clock was right, or None."""

        def ask(db: Db) -> Entry | None:
            found = (self._compared.entry(db, row) for row in rows_of(db, queries.NEWEST_WHEN, ()))
            return next((one for one in found if one is not None), None)

        newest = self._read(ask)
        return newest.when if newest is not None else None

    def look(self, place: LookedTo | None, count: int) -> LookedTo:
        """Look at a stretch of the journal, from the newest entry to the oldest."""
        if place is None and self.damage is not None:
            self._held.drop()  # what is kept of the file in memory is read anew
        compared = self._compared
        in_turn = place is not None and place == self._due  # all after it was looked at

        def looked(db: Db) -> LookedTo:
            db.execute("BEGIN")  # what is recorded meanwhile is no damage
            try:
                if place is None:
                    self._met = compared.met
                    return self._newest_place(db)
                note = compared.locate if in_turn else compared.note
                return look(db, place, count, note, self._stretch)
            finally:
                if db.in_transaction:
                    db.execute("ROLLBACK")

        try:
            found = self._read(looked) or LookedTo(0)
        except JournalDamaged:
            compared.note(Damage(None, "its structure cannot be read"))
            return LookedTo(0)
        if place is None or in_turn:
            self._due = found
        if in_turn and found.seq == 0 and compared.met == self._met:
            compared.forget()  # a good copy was put back
        return found

    def _newest_place(self, db: Db) -> LookedTo:
        """Give where a look begins, after one at the form of what holds the entries."""
        raise NotImplementedError

    def close(self) -> None:
        """Let go of the journal; closing twice is harmless."""
        self._held.close()

    def _entries(self, query: str, values: AskedWith, fits: Fits) -> list[Entry]:
        def ask(db: Db) -> list[Entry]:
            return list(self._compared.entries(db, rows_of(db, query, values), fits))

        return self._read(ask) or []

    def _newest(self, query: str, values: Mapping[str, object]) -> dict[tuple[str, str], Entry]:
        def ask(db: Db) -> dict[tuple[str, str], Entry]:
            rows = rows_of(db, query, values)
            return dict(self._compared.newest(db, str(values["kind"]), rows))

        return self._read(ask) or {}
