"""Counts of use that were withdrawn, whatever was recorded since: what they leave behind.

A running total, and the state of a cutter, are recorded with all that stood by then. A count that
is withdrawn later is therefore still in each that was recorded between it and that moment, and in
none recorded afterwards: it is left out of those when they are read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store, kinds
from shopboard.journal.kinds import CutterSaid, CutterUse
from shopboard.journal.kinds.cutters import UNITS, UseUnit
from shopboard.shop.machine import PROJECT_FINISHED, USES
from shopboard.upkeep.cutters import MOST_LIVES

_READ = 1000
"""Entries of one place that are read."""

_FRESH = ("back", "sharpened", "new", "turned")
"""Acts after which the use of an edge begins anew."""


class Gone(NamedTuple):
    """A count that was withdrawn."""

    seq: int
    """Number of its entry."""
    until: int
    """Number of the entry that took it back."""
    amount: float
    spared: frozenset[str] = frozenset()
    """Ids of the machines for which it never counted."""


Counts = Mapping[tuple[str, str], Sequence[Gone]]
"""By machine and what is counted."""


def counts_gone(journal: Store) -> Counts:
    """Give every count of use that was withdrawn.

    Raises:
        JournalError: when the journal cannot be read.
    """
    counted = (*USES, PROJECT_FINISHED)
    places = [place for place in journal.latest(kinds.VOID.name) if place[1] in counted]
    return {place: gone_at(journal, *place) for place in places}


def gone_at(journal: Store, machine: str, what: str) -> list[Gone]:
    """Give the counts of one sort that were withdrawn on a machine.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return [
        Gone(entry.seq, until, said.amount, said.spared)
        for entry, until in _taken_back(journal, kinds.HAPPENING.name, machine, what)
        if (said := kinds.HAPPENING.read(entry)).amount is not None
    ]


class ResultsGone(NamedTuple):
    """What the results leave behind that were withdrawn, by (machine, point)."""

    every: AbstractSet[tuple[str, str]]
    """Of which every result was."""
    among: AbstractSet[tuple[str, str]]
    """Of which one was that the newest that stands was judged with."""


def results_gone(journal: Store, newest: Mapping[tuple[str, str], Entry]) -> ResultsGone:
    """Give the points of which results were withdrawn that still say something.

    Args:
        journal: the journal.
        newest: the newest results that stand.

    Raises:
        JournalError: when the journal cannot be read.
    """
    counted = (*USES, PROJECT_FINISHED)  # of these there may be many, and none is a result
    every, among = set[tuple[str, str]](), set[tuple[str, str]]()
    for place, void in journal.latest(kinds.VOID.name).items():
        stands = newest.get(place)
        if place[1] in counted or (stands is not None and void.seq < stands.seq):
            continue
        gone = _taken_back(journal, kinds.CHECK.name, *place)
        if stands is None and any(gone):
            every.add(place)
        elif stands is not None and any(one.seq < stands.seq < until for one, until in gone):
            among.add(place)
    return ResultsGone(every, among)


def _taken_back(journal: Store, kind: str, machine: str, point: str) -> Iterator[tuple[Entry, int]]:
    """Give what was withdrawn at a place, each with the number of what took it back."""
    for void in journal.recent(kinds.VOID.name, machine, point, _READ):
        entry = journal.get(void.refers)
        if entry is not None and entry.kind == kind:
            yield entry, void.seq


def still_in(gone: Sequence[Gone], seq: int, machine: str = "") -> float:
    """Give how much is in a total that was recorded as number `seq`, and counts no more.

    Args:
        gone: what was withdrawn.
        seq: the number.
        machine: of which machine the total is; empty: of all, whatever it ran.
    """
    return sum(
        one.amount for one in gone if one.seq < seq < one.until and machine not in one.spared
    )


def newest_cutters(journal: Store) -> dict[tuple[str, str], Entry]:
    """Give the newest entry of each cutter, without the use that was withdrawn since.

    Raises:
        JournalError: when the journal cannot be read.
    """
    newest, voids = journal.latest(kinds.CUTTER.name), journal.latest(kinds.VOID.name)
    for place, entry in newest.items():
        if place[1] and place in voids and voids[place].seq > entry.seq:
            newest[place] = _recounted(journal, entry)
    return newest


def _recounted(journal: Store, newest: Entry) -> Entry:
    kind, place = kinds.CUTTER.name, (newest.machine, newest.point)
    state = kinds.CUTTER.read(newest)
    for entry, until in _taken_back(journal, kind, *place):
        used = kinds.CUTTER.read(entry)
        if used.is_use and entry.seq < newest.seq < until:
            read = journal.between(kind, *place, entry.seq, newest.seq, _READ)
            since = [kinds.CUTTER.read(one) for one in reversed(read) if one.void is None]
            state = _without(state, used, since)
    return kinds.CUTTER.said_in(newest, state)


def _without(state: CutterSaid, used: CutterSaid, since: Sequence[CutterSaid]) -> CutterSaid:
    """Take a use out of a cutter's state: out of its edge's use, and out of the life it became.

    Args:
        state: the state.
        used: the use.
        since: what stands since, the state last.
    """
    unit, amount = _what_was_used(used)
    in_use, life, before = True, -1, used
    for one in since:
        if _found_dull(one, before):
            life = 0 if in_use and life < 0 else life + (life >= 0)
        in_use = in_use and one.what not in _FRESH
        before = one
    if in_use:
        looked = state.looked
        looked = _less(looked, unit, amount) if looked.of(unit) else looked
        state = state._replace(use=_less(state.use, unit, amount), looked=looked)
    lives = state.lives
    if 0 <= life < len(lives):
        known = _less(lives[life], unit, amount)
        state = state._replace(lives=(*lives[:life], known, *lives[life + 1 :]))
    return state


def _found_dull(one: CutterSaid, before: CutterSaid) -> bool:
    """Tell whether a use became a life with an entry; a full list drops its oldest for it."""
    lives, known = one.lives, before.lives
    is_full = len(lives) == len(known) == MOST_LIVES and not one.is_use
    return len(lives) > len(known) or (is_full and lives[0] != known[0])


def _what_was_used(used: CutterSaid) -> tuple[UseUnit, float]:
    unit = dict(zip((*USES, PROJECT_FINISHED), UNITS, strict=True)).get(used.of, UNITS[0])
    return unit, used.amount or 0.0


def _less(use: CutterUse, unit: UseUnit, amount: float) -> CutterUse:
    left = use.of(unit) - amount
    return use._replace(**{unit: left if left > 1e-6 else 0.0})
