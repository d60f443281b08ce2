"""What was gathered of the journal, brought up to date by what was recorded since.

To gather it anew costs by the places, in a shop of five hundred machines
longer than a key may take. So it is kept, also from one start of the board to
the next, together with the seal of the last entry that it knew: that seals all
that stands before it. With damage, or something withdrawn, it is gathered anew.
"""

from __future__ import annotations

from shopboard.base import kept
from shopboard.journal import Entry, KeptJournal, Store, kinds
from shopboard.results.record import UnreadableRecordError, read_check
from shopboard.standing.gather import Anew, gather
from shopboard.standing.model import Move, Past
from shopboard.upkeep.happenings import happening_of
from shopboard.upkeep.safety_record import read_round
from shopboard.upkeep.standing_tags import in_one, standing_tags
from shopboard.upkeep.task_marks import done_of

_KINDS = tuple(one.name for one in kinds.ALL if one.gathered == "its place")
"""What changes one place alone."""

_ALL_OVER = tuple(one.name for one in kinds.ALL if one.gathered == "anew")
"""What changes what was recorded before it."""

_MOST = 100
"""Entries that are taken in one by one."""

_SORT = "past"


class Gathered:
    """What is known of one journal, under the names of one shop file."""

    def __init__(self, file: KeptJournal, digest: str, anew: Anew | None = None) -> None:
        """Begin with what was kept at an earlier start, if anything was.

        Args:
            file: the journal.
            digest: checksum of the shop file, whose names count.
            anew: as `gather` takes it.
        """
        self._anew = anew
        self._file = file
        self.digest = digest
        self._seq, self._seal = 0, ""
        self._past: Past | None = None
        self._saved_seq = 0
        self._recalled = False

    def recall(self) -> None:
        """Begin with what was kept at an earlier start, if that still holds."""
        match kept.kept(self._file.path, _SORT):
            case (self.digest, int() as seq, str() as seal, Past() as past):
                self._seq, self._seal, self._past = seq, seal, past
                self._saved_seq, self._recalled = seq, True

    @property
    def is_recalled(self) -> bool:
        """Whether it goes by what was kept at an earlier start."""
        return self._recalled

    def forget(self) -> None:
        """Gather it anew next time, each row compared with its seal as it is in the file now."""
        self._past = None

    def save(self) -> None:
        """Keep it for the next start; with damage that must find it, too."""
        if self._file.damage is not None:
            kept.drop(self._file.path, _SORT)
        elif self._past is not None and self._seq != self._saved_seq:
            value = (self.digest, self._seq, self._seal, self._past)
            kept.keep(self._file.path, _SORT, value)
            self._saved_seq = self._seq

    def now(self, journal: Store) -> Past:
        """Give what `gather` gives.

        Args:
            journal: the same journal, under today's names.

        Raises:
            JournalError: when it cannot be read.
        """
        last = self._file.last_seq()
        past = self._past if self._holds() else None
        new = gathered_on(journal, past, self._seq, last) if past is not None else None
        if new is None:
            self._past, self._recalled = gather(journal, self._anew), False
        else:
            self._past = new
        self._seq, self._seal = last, self._file.seal_of(last)
        return self._past

    def _holds(self) -> bool:
        return self._file.damage is None and self._file.seal_of(self._seq) == self._seal


def gathered_on(journal: Store, past: Past, seq: int, last: int) -> Past | None:
    """Give what is known at one entry from what was known at an earlier one.

    Args:
        journal: the journal.
        past: what was known.
        seq: number of the entry up to which it was.
        last: number of the entry up to which it is to be.

    Returns:
        None where it has to be gathered anew.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if last == seq:
        return past
    if past.unreadable or not seq < last <= seq + _MOST:
        return None
    found = journal.newest((*_KINDS, *_ALL_OVER), last, last - seq, _MOST)
    if journal.damage is not None or any(one.kind in _ALL_OVER for one in found):
        return None
    if not found:
        return past
    taken = _Taken(past, journal)
    return taken.past() if all(map(taken.take, reversed(found))) else None


class _Taken:
    """What is known, brought on by one entry after another."""

    def __init__(self, past: Past, journal: Store) -> None:
        self._past, self._journal = past, journal
        self._latest, self._moves = dict(past.latest), dict(past.moves)
        self._tasks, self._cutters = dict(past.tasks), dict(past.cutters)
        self._tags, self._rounds = dict(past.tags), dict(past.rounds)
        self._cleared = dict(past.cleared)
        self._happenings = {(one.machine, one.what): one for one in past.happenings}

    def take(self, entry: Entry) -> bool:
        """Take an entry in; False where all has to be gathered anew."""
        place = entry.machine, entry.point
        if entry.kind == kinds.CHECK.name:
            return self._take_check(entry)
        if entry.kind == kinds.MOVED.name:
            self._moves[place] = Move(entry.seq, entry.when)
        elif entry.kind == kinds.HAPPENING.name:
            self._happenings[place] = happening_of(entry)
        elif entry.kind == kinds.TASK.name:
            self._tasks[place] = done_of(entry, entry.when, {})
        elif entry.kind == kinds.CUTTER.name:
            self._cutters[place] = entry
        elif entry.kind == kinds.TAG.name:
            self._tags[entry.machine] = in_one(standing_tags(entry.machine, self._journal))
            self._cleared[entry.machine] = entry.seq
        else:
            told = read_round(entry)
            if told is None:
                return False
            self._rounds[entry.machine] = told
        return True

    def _take_check(self, entry: Entry) -> bool:
        """Take a result in, unless it proves a tool or a stand, or the one before it did."""
        place = entry.machine, entry.point
        before = self._latest.get(place)
        try:
            now = self._latest[place] = read_check(entry)
        except UnreadableRecordError:
            return False
        return not any(one is not None and one.readings.get("proves") for one in (before, now))

    def past(self) -> Past:
        """Give what is known now."""
        tags, cleared = self._tags, self._cleared
        return self._past._replace(
            latest=self._latest,
            taken_back=self._past.taken_back - self._latest.keys(),
            moves=self._moves,
            happenings=[*self._happenings.values()],
            tasks=self._tasks,
            cutters=self._cutters,
            tags={machine: words for machine, words in tags.items() if words},
            cleared={machine: seq for machine, seq in cleared.items() if not tags.get(machine)},
            rounds=self._rounds,
        )
