"""What the journal says of one point that tells how it wanders."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shopboard.journal import Store, kinds
from shopboard.results.record import read_all
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED, Point
from shopboard.upkeep.happenings import Happening, happening_of
from shopboard.upkeep.taken_back import gone_at
from shopboard.wander.changes import PointPast, causes

_CHECKS = 70
"""Results read: two for each of the changes that are looked at, and some more."""

_CAUSES = 50
"""Happenings read of each sort."""

_RUNS = 400
"""Entries of hours run that are read."""


def point_past(
    journal: Store,
    point: Point,
    up_to: int | None = None,
    beside: Mapping[str, Sequence[str]] | None = None,
) -> PointPast:
    """Read what is on record of a point: the newest of it, as much as drift is learnt from.

    Args:
        journal: the journal.
        point: the point.
        up_to: number of an entry; what was recorded after it is left out.
        beside: by what happened, the other modes of its body that reach it.

    Raises:
        JournalError: when it cannot be read.
    """

    def counts(seq: int) -> bool:
        return up_to is None or seq <= up_to

    entries = journal.recent(kinds.CHECK.name, point.machine, point.id, _CHECKS, include_void=False)
    oldest, moves = 0, list[int]()
    for name in (point.full_name, *point.rests_on):
        machine, _, ident = name.partition(".")
        moved = journal.recent(kinds.MOVED.name, machine, ident, _CHECKS, include_void=False)
        moves += [one.seq for one in moved if counts(one.seq)]
        if len(moved) == _CHECKS:  # what was set before that is not known
            oldest = max(oldest, moved[-1].seq)
    happenings = [
        one
        for what in (*causes(point), HOURS_RUN)
        for one in _happened(journal, point, what, (beside or {}).get(what, ()))
        if counts(one.seq)
    ]
    records = read_all([one for one in entries if counts(one.seq) and one.seq > oldest])
    return PointPast(records, moves, happenings)


def _happened(
    journal: Store, point: Point, what: str, beside: Sequence[str]
) -> Iterator[Happening]:
    """Give what happened of one sort to a point's machine, there or in other modes of its body."""
    most = _RUNS if what == HOURS_RUN else _CAUSES
    own = "" if what == PROJECT_FINISHED else point.machine
    for machine in (own, *beside):
        found = journal.recent(kinds.HAPPENING.name, machine, what, most, include_void=False)
        gone = gone_at(journal, machine, what) if what == HOURS_RUN else []
        for one in found:
            yield happening_of(one, gone)._replace(machine=own)
