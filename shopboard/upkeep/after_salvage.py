"""What entries that were lost leave unproven: nobody knows whether they would have undone it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from shopboard.journal import NewEntry, kinds, new_uid
from shopboard.journal.kinds import Lost, PointMoved
from shopboard.journal.salvage import Whose


def left_unproven(lost: Iterable[Lost], checked: Mapping[Whose, int]) -> list[Whose]:
    """Give the points whose newest result may have been undone by an entry that is lost.

    Args:
        lost: the entries that are lost.
        checked: the number of the newest result of each point.
    """
    found = {place for one in lost for place in _touched(one, checked)}
    return sorted(found)


def _touched(one: Lost, checked: Mapping[Whose, int]) -> Iterator[Whose]:
    row = kinds.NAMED.get(one.kind) if one.certain else None
    undone = row.lost if row is not None else "its machine"
    if undone == "nothing":
        return
    for machine, point in checked:
        before = checked[machine, point] < one.last
        here = not one.certain or one.machine in ("", machine)
        if undone == "its point":
            here = (one.machine, one.point) == (machine, point)
        if before and here:
            yield machine, point


def unproven_entries(lost: Sequence[Lost], checked: Mapping[Whose, int]) -> list[NewEntry]:
    """Give the entries that keep such points from counting as proven until they are checked."""
    return [
        kinds.MOVED.new(new_uid(), PointMoved(by_salvage=True), machine, point)
        for machine, point in left_unproven(lost, checked)
    ]
