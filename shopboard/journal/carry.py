"""Carrying a whole journal to another place: every entry as it is, with its seal, in its order.

What is there already, such as the beginning that a move cut short left, is never carried twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.chain import GENESIS, walk
from shopboard.journal.errors import JournalDamaged, JournalError
from shopboard.journal.faults import damage_fault, named

if TYPE_CHECKING:
    from shopboard.base.server_place import JournalPlace
    from shopboard.journal.store import KeptJournal

_BATCH = 1_000
"""Entries that are on the disk before the next are read."""

CarrySaid = Callable[[int, int], object]
"""Is told how many entries are looked through or carried, of how many."""


class Carried(NamedTuple):
    """What came of it."""

    entries: int
    """How many both journals hold."""
    before: int
    """How many were there already."""
    seal: str
    """The last seal, which is the same in both."""


def whole(source: KeptJournal, said: CarrySaid) -> None:
    """Look through all of a journal that is to be carried.

    Raises:
        JournalDamaged: it is not as it was recorded.
    """
    if (damage := source.verify(said=said)) is not None:
        raise JournalDamaged(
            f"The journal {named(source.path)} is damaged: {damage.what.rstrip('.')}.",
            "Nothing was moved. `shopboard salvage FROM TO` makes a journal of what can be read;"
            " move that.",
        )


def begun_with(source: KeptJournal, target: KeptJournal, said: CarrySaid) -> int:
    """Give how many entries of `source` are in `target` already.

    Raises:
        JournalError: it holds anything else.
    """
    held, last = target.last_seq(), source.last_seq()
    if held == 0:
        return 0
    there = named(target.path)
    common = min(held, last)
    if common == 0 or target.seal_of(common) != source.seal_of(common):
        raise JournalError(
            f"{there} holds entries that {named(source.path)} does not have.",
            "Nothing was moved. A journal is moved to where none is, or the beginning of it.",
        )
    if held > last:
        raise JournalError(
            holds_all(source.path, target.path, last, held - last), "There is nothing to move."
        )
    if (damage := target.verify(said=said)) is not None:
        raise JournalDamaged(
            f"{there} is damaged: {damage.what.rstrip('.')}.", "Nothing was moved."
        )
    return held


def holds_all(source: JournalPlace, target: JournalPlace, entries: int, more: int = 0) -> str:
    """Say that nothing is left to be moved."""
    also = f", and {more} more" if more else ""
    return f"{named(target)} holds all {entries} entries of {named(source)}{also}."


def carry(
    source: KeptJournal,
    target: KeptJournal,
    before: int,
    said: CarrySaid,
    *,
    at_once: bool = False,
) -> Carried:
    """Carry all entries that follow the first `before`; hold both journals against each other.

    Args:
        source: from there.
        target: to there.
        before: how many it holds already.
        said: is told how far it is.
        at_once: all of them or none, in one transaction; else so many at a time.

    Raises:
        JournalError: it was cut short, or does not come back as it was written.
    """
    upto = [before]
    stretches = _stretches(source, upto, said)
    for rows in stretches:
        target.take_over(rows, stretches if at_once else ())
    (start,) = upto
    damage = target.verify(said=said)
    same = (target.last_seq(), target.seal_of(start)) == (start, source.seal_of(start))
    if damage is not None or not same:
        raise JournalDamaged(
            f"{named(target.path)} does not give back what was written to it"
            f" ({damage.what if damage is not None else 'somebody recorded there meanwhile'}).",
            f"{named(source.path)} is as it was; go on with that.",
        )
    return Carried(start, before, target.seal_of(start))


def _stretches(
    source: KeptJournal, upto: list[int], said: CarrySaid
) -> Iterator[Sequence[tuple[Any, ...]]]:
    """Give what follows, so many at a time, held against its seals; put into `upto` how far it is.

    What is recorded meanwhile follows, too.
    """
    (start,) = upto
    prev = bytes.fromhex(source.seal_of(start)) if start else GENESIS
    while start < (last := source.last_seq()):
        rows = source.sealed(start, min(start + _BATCH, last))
        if not rows or walk(iter(rows), start, prev) is not None:
            raise damage_fault(source.path, f"what follows entry {start} is not what was recorded")
        yield rows
        start, prev = rows[-1][0], rows[-1][11]
        upto[0] = start
        said(start, last)
