"""The journal read under today's names: what changed its id keeps its records.

Nothing is changed in the journal. Whoever asks it through this gets the entries
of every old name together with those of the new one, and each entry under the
name of today; what is recorded gets the name of today.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from itertools import islice

from shopboard.journal import Damage, Entry, JournalError, LookedTo, NewEntry, Store, kinds
from shopboard.journal.kinds.check import measured_on
from shopboard.journal.kinds.upkeep import renamed
from shopboard.shop.renames import Renames


class Renamed:
    """A `Store` whose machines and points have the ids of today."""

    def __init__(self, journal: Store, renames: Renames) -> None:
        """Read a journal under today's names.

        Args:
            journal: the journal, as it was recorded.
            renames: old ids with what they became.
        """
        self._journal = journal
        self._renames = renames

    @property
    def writable(self) -> bool:
        """Whether entries can be recorded, as far as is known."""
        return self._journal.writable

    @property
    def refusal(self) -> JournalError | None:
        """Why nothing can be recorded, or None while the journal is writable."""
        return self._journal.refusal

    @property
    def damage(self) -> Damage | None:
        """The newest place at which it was found not to be what was recorded."""
        return self._journal.damage

    @property
    def by(self) -> str:
        """The name of the bench that records in it; empty: it has none."""
        return self._journal.by

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
        """Record all of the entries or none."""
        recorded = [self._as_recorded(entry) for entry in entries]
        return self._all(self._journal.append(recorded, after))

    def _as_recorded(self, entry: NewEntry) -> NewEntry:
        """Let an entry that is there already under its old name count as the same."""
        known = self._journal.get(entry.uid)
        if known is None or self._today(known)[4:6] != (entry.machine, entry.point):
            return entry
        return entry._replace(machine=known.machine, point=known.point)

    def void(self, uid: str, reason: str, name: str = "") -> Entry:
        """Withdraw the entry `uid` by a further entry; give that one."""
        return self._today(self._journal.void(uid, reason, name))

    def get(self, uid: str) -> Entry | None:
        """Give the entry of that uid, or None."""
        entry = self._journal.get(uid)
        return None if entry is None else self._today(entry)

    def latest(self, kind: str) -> dict[tuple[str, str], Entry]:
        """Give the newest entry that stands of each (machine, point)."""
        found: dict[tuple[str, str], Entry] = {}
        for entry in self._all(self._journal.latest(kind).values()):
            before = found.get((entry.machine, entry.point))
            if before is None or before.seq < entry.seq:
                found[entry.machine, entry.point] = entry
        return found

    def recent(
        self, kind: str, machine: str, point: str, limit: int = 200, include_void: bool = True
    ) -> list[Entry]:
        """Give the entries of one point by any of its names, newest first."""
        return self._newest(
            [
                self._journal.recent(kind, *place, limit, include_void)
                for place in self._places(kind, machine, point)
            ],
            limit,
        )

    def between(
        self, kind: str, machine: str, point: str, after: int, upto: int, limit: int = 200
    ) -> list[Entry]:
        """Give the entries of one point by any of its names between two numbers, newest first."""
        return self._newest(
            [
                self._journal.between(kind, *place, after, upto, limit)
                for place in self._places(kind, machine, point)
            ],
            limit,
        )

    def machine_entries(self, kind: str, machine: str, limit: int = 200) -> list[Entry]:
        """Give the entries of one machine by any of its names, newest first."""
        machine = self._renames.machines.get(machine, machine)
        names = self._renames.machine_names(machine)
        found = [self._of_machine(kind, name, machine, limit) for name in names]
        if kinds.point_of(kind) in (
            "point",
            "any of them",
        ):  # points that came from another machine
            for old, new in self._renames.points.items():
                if new[0] == machine != old[0]:
                    places = [(name, old[1]) for name in self._renames.machine_names(old[0])]
                    found += [self._journal.recent(kind, *place, limit) for place in places]
        return self._newest(found, limit)

    def _of_machine(self, kind: str, name: str, machine: str, limit: int) -> list[Entry]:
        """Give the newest entries under one name of a machine, without points that left it."""
        asked = limit
        while True:
            found = self._journal.machine_entries(kind, name, asked)
            here = [entry for entry in found if self._today(entry).machine == machine]
            if len(here) >= limit or len(found) < asked:
                return here[:limit]
            asked *= 4

    def newest(self, kinds: Sequence[str], upto: int, window: int, limit: int) -> list[Entry]:
        """Give the entries of some kinds among the last so many up to a number, newest first."""
        return self._all(self._journal.newest(kinds, upto, window, limit))

    def thread(self, uid: str) -> list[Entry]:
        """Give the entries that refer to `uid`, oldest first."""
        return self._all(self._journal.thread(uid))

    def open_checks(self, newest: int = 200) -> list[Entry]:
        """Give the newest checks that stand and have no end, newest first."""
        return self._all(self._journal.open_checks(newest))

    def seq_at(self, when: datetime) -> int:
        """Give the number of the last entry that was recorded up to a moment."""
        return self._journal.seq_at(when)

    def as_of(self, seq: int) -> Store:
        """Give the journal as it was, under the names of today."""
        return Renamed(self._journal.as_of(seq), self._renames)

    def last_seq(self) -> int:
        """Give the number of the last entry; 0 when there is none."""
        return self._journal.last_seq()

    def count(self) -> int:
        """Give the number of entries."""
        return self._journal.count()

    def change_mark(self) -> int:
        """Give a number that differs from the last one if anyone has recorded since."""
        return self._journal.change_mark()

    def newest_when(self) -> datetime | None:
        """Give the latest time on any standing entry whose clock was right, or None."""
        return self._journal.newest_when()

    def verify(
        self, newest: int | None = None, said: Callable[[int, int], object] | None = None
    ) -> Damage | None:
        """Compare the entries with their hashes."""
        return self._journal.verify(newest, said)

    def look(self, place: LookedTo | None, count: int) -> LookedTo:
        """Look at a stretch of the whole journal."""
        return self._journal.look(place, count)

    def look_beneath(self, place: LookedTo) -> bool:
        """Compare the whole file's structure, and each index with the table."""
        return self._journal.look_beneath(place)

    def close(self) -> None:
        """Let go of the journal."""
        self._journal.close()

    def _places(self, kind: str, machine: str, point: str) -> list[tuple[str, str]]:
        means = kinds.point_of(kind)
        return self._renames.names(means, *self._renames.place(means, machine, point))

    def _newest(self, found: Sequence[list[Entry]], limit: int) -> list[Entry]:
        merged = heapq.merge(*found, key=lambda entry: -entry.seq)
        return self._all(islice(merged, limit))

    def _all(self, entries: Iterable[Entry]) -> list[Entry]:
        return [self._today(entry) for entry in entries]

    def _today(self, entry: Entry) -> Entry:
        means = kinds.point_of(entry.kind)
        machine, point = self._renames.place(means, entry.machine, entry.point)
        then = self._renames.machines.get(entry.machine, entry.machine)
        if (
            entry.kind == kinds.CHECK.name and then != machine
        ):  # what happened there since undoes it
            entry = measured_on(entry, then)
        if entry.kind == kinds.HAPPENING.name:
            entry = renamed(entry, self._renames.machines)
        return entry._replace(machine=machine, point=point)
