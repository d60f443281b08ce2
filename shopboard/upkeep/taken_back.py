"""Counts of use that were taken back, whatever was recorded since: what they leave behind.

A running total, and the state of a cutter, are recorded with all that stood by then. A count that
is taken back later is therefore still in each that was recorded between it and that moment, and in
none recorded afterwards: it is left out of those when they are read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from shopboard.journal import VOID, Entry, Store
from shopboard.shop.machine import PROJECT_FINISHED, USES
from shopboard.upkeep.cutters import KIND, MOST_LIVES, UNITS, USED

_READ = 1000
"""Entries of one place that are read."""

_FRESH = ("back", "sharpened", "new", "turned")
"""Acts after which the use of an edge begins anew."""


class Gone(NamedTuple):
    """A count that was taken back."""

    seq: int
    """Number of its entry."""
    until: int
    """Number of the entry that took it back."""
    amount: float


Counts = Mapping[tuple[str, str], Sequence[Gone]]
"""By machine and what is counted."""


def counts_gone(journal: Store) -> Counts:
    """Give every count of use that was taken back.

    Raises:
        JournalError: when the journal cannot be read.
    """
    counted = (*USES, PROJECT_FINISHED)
    places = [place for place in journal.latest(VOID) if place[1] in counted]
    return {place: gone_at(journal, *place) for place in places}


def gone_at(journal: Store, machine: str, what: str) -> list[Gone]:
    """Give the counts of one sort that were taken back on a machine.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return [
        Gone(entry.seq, until, float(amount))
        for entry, until in _taken_back(journal, "happening", machine, what)
        if isinstance(amount := entry.body.get("amount"), int | float)
    ]


def _taken_back(journal: Store, kind: str, machine: str, point: str) -> Iterator[tuple[Entry, int]]:
    """Give what was taken back at a place, each with the number of what took it back."""
    for void in journal.recent(VOID, machine, point, _READ):
        entry = journal.get(void.refers)
        if entry is not None and entry.kind == kind:
            yield entry, void.seq


def still_in(gone: Sequence[Gone], seq: int) -> float:
    """Give how much is in a total that was recorded as number `seq`, and counts no more."""
    return sum(one.amount for one in gone if one.seq < seq < one.until)


def newest_cutters(journal: Store) -> dict[tuple[str, str], Entry]:
    """Give the newest entry of each cutter, without the use that was taken back since.

    Raises:
        JournalError: when the journal cannot be read.
    """
    newest, voids = journal.latest(KIND), journal.latest(VOID)
    for place, entry in newest.items():
        if place[1] and place in voids and voids[place].seq > entry.seq:
            newest[place] = _recounted(journal, entry)
    return newest


def _recounted(journal: Store, newest: Entry) -> Entry:
    place = (newest.machine, newest.point)
    body = dict(newest.body)
    for used, until in _taken_back(journal, KIND, *place):
        if used.body.get("what") == USED and used.seq < newest.seq < until:
            read = journal.between(KIND, *place, used.seq, newest.seq, _READ)
            since = [one for one in reversed(read) if one.void is None]
            _take_out(body, used, since)
    return newest._replace(body=body)


def _take_out(body: dict[str, object], used: Entry, since: Sequence[Entry]) -> None:
    """Take a use out of a cutter's state: out of its edge's use, and out of the life it became.

    Args:
        body: the state, which is changed.
        used: the entry of the use.
        since: the entries that stand since, the one of the state last.
    """
    unit, amount = _what_was_used(used)
    in_use, life, before = True, -1, used
    for one in since:
        if _found_dull(one, before):
            life = 0 if in_use and life < 0 else life + (life >= 0)
        in_use = in_use and one.body.get("what") not in _FRESH
        before = one
    if in_use:
        body[unit] = _less(body.get(unit), amount)
        if isinstance(looked := body.get("looked"), dict) and looked.get(unit):
            body["looked"] = {**looked, unit: _less(looked.get(unit), amount)}
    lives = body.get("lives")
    if isinstance(lives, list) and 0 <= life < len(lives) and isinstance(lives[life], dict):
        known = {**lives[life], unit: _less(lives[life].get(unit), amount)}
        body["lives"] = [*lives[:life], known, *lives[life + 1 :]]


def _found_dull(one: Entry, before: Entry) -> bool:
    """Tell whether a use became a life with an entry; a full list drops its oldest for it."""
    lives, known = one.body.get("lives"), before.body.get("lives")
    if not isinstance(lives, list) or not isinstance(known, list):
        return False
    is_full = len(lives) == len(known) == MOST_LIVES and one.body.get("what") != USED
    return len(lives) > len(known) or (is_full and lives[0] != known[0])


def _what_was_used(used: Entry) -> tuple[str, float]:
    amount, what = used.body.get("amount"), used.body.get("of")
    unit = dict(zip((*USES, PROJECT_FINISHED), UNITS, strict=True)).get(str(what), UNITS[0])
    return unit, float(amount) if isinstance(amount, int | float) else 0.0


def _less(value: object, amount: float) -> object:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    left = value - amount
    return left if left > 1e-6 else 0.0
