"""What entries that were lost leave unproven: nobody knows whether they would have undone it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from shopboard.journal import CLOCK, COMPUTER, NewEntry, new_uid
from shopboard.journal.kinds import Lost
from shopboard.journal.salvage import Whose

_OF_A_POINT = ("begin", "answer", "back", "moved", "check", "end", "void")
_UNDO_NOTHING = (
    *("remark", "task", "task-begin", "task-step", "task-end", "round", "tag", "prep"),
    *("glue-up", CLOCK, COMPUTER),
)


def left_unproven(lost: Iterable[Lost], checked: Mapping[Whose, int]) -> list[Whose]:
    """Give the points whose newest result may have been undone by an entry that is lost.

    Args:
        lost: the entries that are lost.
        checked: the number of the newest result of each point.
    """
    found = {place for one in lost for place in _touched(one, checked)}
    return sorted(found)


def _touched(one: Lost, checked: Mapping[Whose, int]) -> Iterator[Whose]:
    if one.certain and one.kind in _UNDO_NOTHING:
        return
    for machine, point in checked:
        before = checked[machine, point] < one.last
        here = not one.certain or one.machine in ("", machine)
        if one.certain and one.kind in _OF_A_POINT:
            here = (one.machine, one.point) == (machine, point)
        if before and here:
            yield machine, point


def unproven_entries(lost: Sequence[Lost], checked: Mapping[Whose, int]) -> list[NewEntry]:
    """Give the entries that keep such points from counting as proven until they are checked."""
    return [
        NewEntry(new_uid(), "moved", machine, point, {"v": 1, "salvaged": True})
        for machine, point in left_unproven(lost, checked)
    ]
