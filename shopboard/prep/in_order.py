"""In which order a machine's tasks and its change of cutter are done, from what they say. Pure.

What a rule asks for is left out where a stronger one asks for the opposite; what was begun goes on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.due_changes import PlannedChange
from shopboard.prep.job_list import JobList
from shopboard.shop.machine import Task, full_name


class TaskPieces(NamedTuple):
    """What is left of a task."""

    machine: str
    task: Task
    is_begun: bool
    pieces: tuple[str, ...]
    """Ids of its pieces, one after the other."""
    dirt: str = ""
    """The last of them that leaves dirt; empty: none does."""
    coat: str = ""
    """The first of them in which wax or oil goes on; empty: none is left in which it does."""
    is_coated: bool = False
    """Wax or oil is on already: it is still to be buffed, or wiped off."""
    frees: str = ""
    """The piece after which its machine can be checked; empty: it needs no machine."""
    takes_cutter_off: bool = False

    @property
    def before(self) -> frozenset[str]:
        """Full names of what comes after it by the shop's own word."""
        return frozenset(full_name(name, self.machine) for name in self.task.before)

    def is_put_off(self, before: Collection[str]) -> bool:
        """Tell whether it is to come after what says so, and can: what was begun goes on."""
        return not self.is_begun and f"{self.machine}.{self.task.id}" in before


class UpkeepOfOne(NamedTuple):
    """The upkeep of one machine."""

    tasks: Sequence[TaskPieces]
    changes: Sequence[PlannedChange]
    """Of cutters on it."""
    elsewhere: Sequence[PlannedChange]
    """Those that are planned in other modes, of cutters that serve this one, too."""


def put_in_order(jobs: JobList, upkeep: Sequence[UpkeepOfOne]) -> None:
    """Put the pieces of the upkeep in their order, the strongest rules first.

    Args:
        jobs: holds the pieces; takes what must come after what.
        upkeep: of each machine.
    """
    tasks = [one for each in upkeep for one in each.tasks]
    _as_they_say(jobs, tasks, [one for each in upkeep for one in each.changes])
    for each in upkeep:
        _put_in_order(jobs, *each)


def _put_in_order(
    jobs: JobList,
    tasks: Sequence[TaskPieces],
    changes: Sequence[PlannedChange],
    elsewhere: Sequence[PlannedChange],
) -> None:
    """Put the upkeep of a machine in its order; for the words see `UpkeepOfOne`."""
    every = (*changes, *elsewhere)
    _as_it_follows(jobs, tasks, every)
    _clean_under_the_coat(jobs, tasks, every)
    _one_cutter_out(jobs, tasks)
    for change in filter(lambda one: one.piece.act, changes):
        for one in tasks:
            if one.frees:
                jobs.put_after(change.piece.id, one.frees)


def _as_they_say(
    jobs: JobList, tasks: Sequence[TaskPieces], changes: Sequence[PlannedChange]
) -> None:
    """Keep to `before`, which is the shop's own word; it may name what is of another machine.

    Nothing of another machine is put before dirt where a coat is to go on while a cutter is out: it
    could not be opened until that is on again.
    """
    out = {one.machine for one in tasks if one.is_begun and one.takes_cutter_off and one.coat}
    for earlier, name in _said(tasks, changes):
        here, there = (jobs.pieces[one].machine for one in (name, earlier))
        if here == there or here not in out:
            jobs.put_after(name, earlier)


def _said(
    tasks: Sequence[TaskPieces], changes: Sequence[PlannedChange]
) -> Iterator[tuple[str, str]]:
    """Give which piece comes before which by the shop's own word."""
    first = [(one.pieces[-1], one.before) for one in tasks if one.task.before]
    first += [(one.piece.id, frozenset(one.before)) for one in changes if one.before]
    for name, before in first:
        yield from ((name, one.pieces[0]) for one in tasks if one.is_put_off(before))
        acts = (one for one in changes if one.piece.act)
        yield from ((name, one.piece.id) for one in acts if not before.isdisjoint(one.names))


def _as_it_follows(
    jobs: JobList, tasks: Sequence[TaskPieces], changes: Sequence[PlannedChange]
) -> None:
    """Let what a change makes due come after it, and what spoils an edge before what makes it."""
    for one in tasks:
        for planned in changes:
            if planned.happened in one.task.after and not one.is_begun:
                jobs.put_after(one.pieces[0], planned.piece.id)
        for other in tasks:
            if other.task.id in one.task.undoes and not other.is_begun:
                jobs.put_after(other.pieces[0], one.pieces[-1])


def _one_cutter_out(jobs: JobList, tasks: Sequence[TaskPieces]) -> None:
    """Let the second of two that take the cutter off begin when the first is over."""
    opened = [one for one in tasks if one.takes_cutter_off]
    for at, one in enumerate(opened):
        for other in opened[:at] if not one.is_begun else ():
            jobs.put_after(one.pieces[0], other.pieces[-1])


def _clean_under_the_coat(
    jobs: JobList, tasks: Sequence[TaskPieces], changes: Sequence[PlannedChange]
) -> None:
    """Let dirt come before a coat; where that is on already, after it is buffed: never between."""
    dirty = [(one.pieces[0], one.dirt, one.is_begun) for one in tasks if one.dirt]
    dirty += [(one.piece.id, one.piece.id, not one.piece.act) for one in changes if one.makes_dirt]
    for coated in tasks:
        for first, last, is_begun in dirty:
            if last in coated.pieces:
                continue
            if coated.coat and not coated.is_coated:
                jobs.put_after(coated.coat, last)
            elif coated.is_coated and not is_begun:
                jobs.put_after(first, coated.pieces[-1])
