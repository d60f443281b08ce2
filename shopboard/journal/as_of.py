"""Looking back: the journal as it was when an entry was its last one, and which one that was.

Order is by number. A moment is turned into a number first, because a clock may
have been wrong for a while; everything else follows from the number.
"""

# ruff: noqa: S608  the statements are put together from constants alone
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from shopboard.journal import queries
from shopboard.journal.commit import EARLIEST
from shopboard.journal.compared import Compared, Fits, at_place, on_machine, rows_of
from shopboard.journal.db import Db
from shopboard.journal.entry import Damage, Entry, NewEntry
from shopboard.journal.errors import JournalCannotWrite, JournalError
from shopboard.journal.kinds import BEGIN
from shopboard.journal.look import LookedTo
from shopboard.journal.queries import (
    BELIEVED,
    ENTRY,
    NUMBERS_FROM,
    SEALED,
    THEIR_ENTRIES,
    TOO_LATE,
    VOIDED,
)
from shopboard.journal.store import Store

_VOIDED_BY_THEN = f"{VOIDED} AND v.seq <= :upto"


def by_then(query: str) -> str:
    """Give a question for what stands, as one for what stood at the end of a look back."""
    return query.replace(
        f"AND NOT EXISTS ({VOIDED})", f"AND e.seq <= :upto AND NOT EXISTS ({_VOIDED_BY_THEN})"
    )


LATEST = by_then(queries.LATEST)

RECENT_STANDING = f"""
{ENTRY} WHERE e.kind = +:kind AND e.machine = :machine AND e.point = :point AND e.seq <= :upto
   AND NOT EXISTS ({_VOIDED_BY_THEN})
ORDER BY e.seq DESC LIMIT :limit
"""

OF_MACHINE = f"""
{NUMBERS_FROM} (SELECT seq FROM entries WHERE kind = +:kind AND machine = :machine
                    AND seq <= :upto ORDER BY seq DESC LIMIT :limit) {THEIR_ENTRIES}
"""

OPEN_CHECKS = f"""
{NUMBERS_FROM} (
    SELECT e.seq FROM (SELECT seq, uid FROM entries INDEXED BY entries_begin
                        WHERE kind = 'begin' AND seq <= :upto ORDER BY seq DESC LIMIT :limit) e
     WHERE NOT EXISTS (SELECT 1 FROM entries x WHERE x.kind = 'end' AND x.refers = e.uid
                          AND x.seq <= :upto)
       AND NOT EXISTS ({_VOIDED_BY_THEN})) {THEIR_ENTRIES}
"""

# The last times up to then that are believed.
_ANCHORS = f"""
{ENTRY} INDEXED BY entries_clock
 WHERE {BELIEVED} AND e.recorded_utc <= :when ORDER BY e.recorded_utc DESC, e.seq DESC LIMIT 3
"""

# From there to the next entry that was certainly recorded later; it is near.
_WALK = f"""
SELECT {SEALED}, CASE WHEN e.recorded_utc > :when AND e.recorded_utc <= :now THEN {BELIEVED} END
  FROM entries e NOT INDEXED WHERE e.seq > :after ORDER BY e.seq LIMIT :few
"""

_NEWEST = f"""
{ENTRY} INDEXED BY entries_clock
 WHERE e.clock_ok = 1 AND e.recorded_utc < '{TOO_LATE}' AND e.seq <= :upto
   AND NOT EXISTS ({_VOIDED_BY_THEN}) AND NOT EXISTS (
       SELECT 1 FROM entries c WHERE c.kind = 'clock' AND c.seq > e.seq AND c.seq <= :upto
          AND c.recorded_utc < e.recorded_utc)
 ORDER BY e.recorded_utc DESC LIMIT 1
"""


def seq_at(db: Db, when: datetime, now: datetime, compared: Compared) -> int:
    """Give the number of the last entry that was recorded up to a moment; 0 when none was.

    Args:
        db: an open journal.
        when: the moment.
        now: the computer's clock; where it can be right, a recorded time after it is wrong.
        compared: holds each entry that is gone by against its seal. One that is damaged counts
            as recorded by then: what was recorded before it is not sure.
    """
    newest = max(when, now) if now >= EARLIEST else datetime.max.replace(tzinfo=UTC)
    anchors = rows_of(db, _ANCHORS, {"when": queries.as_text(when)})
    last = next((one.seq for row in anchors if (one := compared.entry(db, row))), 0)
    asked = {"when": queries.as_text(when), "now": queries.as_text(newest)}
    for row in _rows_after(db, last, asked):
        whole = compared.is_whole(db, row)
        if whole and row[-1]:
            break  # the next that was certainly recorded later
        if not whole or row[2] <= asked["when"]:
            last = row[0]
    return last


def _rows_after(db: Db, seq: int, asked: Mapping[str, str]) -> Iterator[Sequence[Any]]:
    """Walk over the table; the last field of a row tells whether its time was surely later."""
    few = 10
    while rows := rows_of(db, _WALK, {**asked, "after": seq, "few": few}):
        yield from rows
        seq, few = rows[-1][0], 1000


Ask = Callable[[str, Mapping[str, object] | Sequence[object], Fits], list[Entry]]
AskNewest = Callable[[str, Mapping[str, object]], dict[tuple[str, str], Entry]]


class AsOf:
    """A `Store` that ends at one entry, whatever was recorded later; it cannot be added to.

    What was voided later stands; its `void` says why it was.
    """

    def __init__(self, journal: Store, ask: Ask, ask_newest: AskNewest, upto: int) -> None:
        """Look back.

        Args:
            journal: the whole journal, which stays open for as long as this is used.
            ask: asks it a question in SQL.
            ask_newest: asks it for the newest of each place.
            upto: number of the last entry that counts.
        """
        self._journal = journal
        self._ask = ask
        self._ask_newest = ask_newest
        self.upto = upto

    @property
    def writable(self) -> bool:
        """Never."""
        return False

    @property
    def by(self) -> str:
        """The name of the bench that looks."""
        return self._journal.by

    @property
    def refusal(self) -> JournalError:
        """Why nothing can be recorded."""
        return JournalCannotWrite(
            "This is the journal as it was then: nothing is added to the past.",
            "Go back to the present to record.",
        )

    @property
    def damage(self) -> Damage | None:
        """The newest damage in the whole journal, where that may lie before the end of this one."""
        damage = self._journal.damage
        return damage if damage and (damage.seq is None or damage.seq <= self.upto) else None

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:  # noqa: ARG002
        """Refuse."""
        raise self.refusal

    def void(self, uid: str, reason: str, name: str = "") -> Entry:  # noqa: ARG002
        """Refuse."""
        raise self.refusal

    def get(self, uid: str) -> Entry | None:
        """Give the entry of that uid, if it was there."""
        entry = self._journal.get(uid)
        return entry if entry is not None and entry.seq <= self.upto else None

    def latest(self, kind: str) -> dict[tuple[str, str], Entry]:
        """Give the newest entry that stood of each (machine, point)."""
        return self._ask_newest(LATEST, {"kind": kind, "upto": self.upto})

    def recent(
        self, kind: str, machine: str, point: str, limit: int = 200, include_void: bool = True
    ) -> list[Entry]:
        """Give the entries of one point, newest first."""
        if include_void:
            return self.between(kind, machine, point, 0, self.upto, limit)
        place = {"kind": kind, "machine": machine, "point": point}
        fits = at_place(kind, machine, point)
        return self._ask(RECENT_STANDING, {**place, "upto": self.upto, "limit": limit}, fits)

    def machine_entries(self, kind: str, machine: str, limit: int = 200) -> list[Entry]:
        """Give the entries of one machine, whatever their point, newest first."""
        asked = {"kind": kind, "machine": machine, "upto": self.upto, "limit": limit}
        return self._ask(OF_MACHINE, asked, on_machine(kind, machine))

    def newest(self, kinds: Sequence[str], upto: int, window: int, limit: int) -> list[Entry]:
        """Give the entries of some kinds among the last so many up to a number, newest first."""
        return self._journal.newest(kinds, min(upto, self.upto), window, limit)

    def thread(self, uid: str) -> list[Entry]:
        """Give the entries that referred to `uid`, oldest first."""
        return [entry for entry in self._journal.thread(uid) if entry.seq <= self.upto]

    def open_checks(self, newest: int = 200) -> list[Entry]:
        """Give the checks that were open, newest first."""
        asked = {"upto": self.upto, "limit": newest}
        return self._ask(OPEN_CHECKS, asked, lambda one: one.kind == BEGIN.name)

    def between(
        self, kind: str, machine: str, point: str, after: int, upto: int, limit: int = 200
    ) -> list[Entry]:
        """Give the entries of one point whose numbers lie between two, newest first."""
        upto = min(upto, self.upto)
        return self._journal.between(kind, machine, point, after, upto, limit)

    def seq_at(self, when: datetime) -> int:
        """Give the number of the last entry that was recorded up to a moment."""
        return min(self._journal.seq_at(when), self.upto)

    def as_of(self, seq: int) -> Store:
        """Look further back."""
        return AsOf(self._journal, self._ask, self._ask_newest, min(seq, self.upto))

    def last_seq(self) -> int:
        """Give the number of the last entry that counts."""
        return self.upto

    def count(self) -> int:
        """Give the number of entries."""
        return min(self._journal.count(), self.upto)

    def change_mark(self) -> int:
        """Give the mark of the whole journal."""
        return self._journal.change_mark()

    def newest_when(self) -> datetime | None:
        """Give the latest time on any standing entry whose clock was right, or None."""
        entries = self._ask(_NEWEST, {"upto": self.upto}, lambda one: one.clock_ok)
        return entries[0].when if entries else None

    def verify(
        self, newest: int | None = None, said: Callable[[int, int], object] | None = None
    ) -> Damage | None:
        """Verify the whole journal."""
        return self._journal.verify(newest, said)

    def look(self, place: LookedTo | None, count: int) -> LookedTo:
        """Look at a stretch of the whole journal."""
        return self._journal.look(place, count)

    def look_beneath(self, place: LookedTo) -> bool:
        """Compare the whole file's structure, and each index with the table."""
        return self._journal.look_beneath(place)

    def close(self) -> None:
        """Do nothing: the journal is its owner's to close."""
