"""Looking back: how everything stood at a past moment, and what changed since.

Only what was recorded up to then counts, held against the shop file of today.
What was withdrawn later is shown as it was known then, with its mark.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from shopboard.base.dates import day, told_on
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.base.text import counted
from shopboard.base.who import with_bench
from shopboard.journal import Entry, Store, kinds
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.results.record import read_all
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.standing.gather import Anew, gather
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import PointStanding, ShopStanding

MOST = 60
"""Entries of one sort that are told of a point."""


class ThenStanding(NamedTuple):
    """How everything stood at a moment."""

    when: datetime
    upto: int
    """Number of the last entry that was recorded by then."""
    standing: ShopStanding


class StandingChange(NamedTuple):
    """A point that stands differently, or by another result."""

    before: PointStanding
    after: PointStanding


class PastEvent(NamedTuple):
    """Something that happened to a point between two moments."""

    when: datetime
    words: str
    taken_back: str | None = None
    """Why it was withdrawn later; None while it stands."""

    @property
    def marked(self) -> str:
        """What it was, with the mark of what was withdrawn."""
        return (
            self.words if self.taken_back is None else f"{self.words}  WITHDRAWN: {self.taken_back}"
        )


def stood(
    journal: Store, shop: Shop, when: datetime, now: datetime, anew: Anew | None = None
) -> ThenStanding:
    """Work out how everything stood at a moment, by the shop file of today.

    Args:
        journal: the whole journal.
        shop: the shop.
        when: the moment; up to then counts.
        now: the time; from then on everything counts that is on record.
        anew: as `gather` takes it.

    Raises:
        JournalError: when the journal cannot be read.
    """
    upto = journal.seq_at(when) if when < now else journal.last_seq()
    past = gather(journal.as_of(upto), anew)
    return ThenStanding(when, upto, shop_standing(shop, past, when))


def changes(before: ShopStanding, after: ShopStanding) -> list[StandingChange]:
    """Give the points that stand differently, or by another result, in the shop file's order."""
    old = {one.point.full_name: one for machine in before.machines for one in machine.points}
    pairs = (
        StandingChange(old[one.point.full_name], one)
        for machine in after.machines
        for one in machine.points
        if one.point.full_name in old
    )
    return [pair for pair in pairs if _differ(*pair)]


def _differ(before: PointStanding, after: PointStanding) -> bool:
    uids = (before.record.uid if before.record else "", after.record.uid if after.record else "")
    return before.state != after.state or uids[0] != uids[1]


def taken_back_since(standing: PointStanding) -> str | None:
    """Say why the result that a point stood by was withdrawn later; None when it was not."""
    return None if standing.record is None else standing.record.void


def events(
    journal: Store, shop: Shop, change: StandingChange, after: int, upto: int, until: datetime
) -> list[PastEvent]:
    """Tell what happened to a point between two entries, in the order of recording.

    Args:
        journal: the whole journal.
        shop: the shop.
        change: how the point stood before and after.
        after: number of the last entry before.
        upto: number of the last entry that is told.
        until: the time at that entry, or now.
    """
    point = change.before.point
    told = sorted(_recorded(journal, shop, point, after, upto), key=lambda one: one[0])
    found = [event for _, event in told]
    due = change.before.due_on
    if due is not None and due <= until and change.after.record == change.before.record:
        found.append(PastEvent(due, _why_due(change.before)))
    return found


def _why_due(before: PointStanding) -> str:
    """Say why a result became too old: by the shop file, or sooner by how its point wanders."""
    point, record = before.point, before.record
    held = record.holds.days if record is not None and record.holds is not None else None
    if held is not None and (point.every_days is None or held < point.every_days):
        return f"due by how it moves: that result was good for {counted(held, 'day')}"
    return f"due by the calendar: a check is good for {point.every}"


def _recorded(
    journal: Store, shop: Shop, point: Point, after: int, upto: int
) -> Iterator[tuple[int, PastEvent]]:
    """Give what was recorded of a point, and of what it rests on, with the number of each."""

    def between(kind: str, machine: str, place: str) -> list[Entry]:
        return journal.between(kind, machine, place, after, upto, MOST)

    here = (point.machine, point.id)
    for record in read_all(between(kinds.CHECK.name, *here)):
        value = record.words(shop.unit)
        judged = value if record.kind in YES_NO_WORDS else f"{state_word(record.verdict)}, {value}"
        words = with_bench(f"checked, {record.run}: {judged}", record.by)
        yield record.seq, PastEvent(record.when, words, record.void)
    for entry in between(kinds.MOVED.name, *here):
        yield entry.seq, PastEvent(entry.when, with_bench("re-set", entry.by), entry.void)
    for other in filter(None, map(shop.points.get, point.rests_on)):
        for entry in between(kinds.MOVED.name, other.machine, other.id):
            words = with_bench(f"{other.name} re-set", entry.by)
            yield entry.seq, PastEvent(entry.when, words, entry.void)
    beside = shop.reached.get(point.machine, {})
    undoing = [
        (machine, what)
        for what in point.undone_by
        for machine in (point.machine, "", *beside.get(what, ()))
    ]
    for machine, what in undoing:
        for entry in between(kinds.HAPPENING.name, machine, what):
            on = _told_on(entry)
            words = what if on is None else f"{what}, of {day(on)}"
            yield entry.seq, PastEvent(entry.when, with_bench(words, entry.by), entry.void)
    for place in (here, *undoing):
        for entry in between(kinds.VOID.name, *place):
            target = journal.get(entry.refers)
            if target is not None and target.kind in _TOLD:
                words = f"{_of(target)} withdrawn: {kinds.VOID.read(entry).reason}"
                yield entry.seq, PastEvent(entry.when, with_bench(words, entry.by))


def _told_on(happened: Entry) -> datetime | None:
    return told_on(kinds.HAPPENING.read(happened).on, happened.when)


def _of(entry: Entry) -> str:
    """Name an entry by its day: of what happened, by what that was and when."""
    if entry.kind == kinds.HAPPENING.name:
        return f"{entry.point}, of {day(_told_on(entry) or entry.when)},"
    return f"{_TOLD[entry.kind]} of {day(entry.when)}"


_TOLD = {one.name: one.look_back for one in kinds.ALL if one.look_back}
