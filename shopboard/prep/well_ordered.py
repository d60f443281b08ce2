"""An order that loses nothing and that its owner would rather follow. Pure.

The optimiser minds minutes, waits and walks: when a cutter is changed that is measured hours later
is all one to it, and so is what comes first in half an hour that may be over sooner. Nothing that
has to do with a wait is moved by a minute.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from shopboard.prep.as_good import as_good
from shopboard.prep.fill_window import Stint
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Schedule, Workday
from shopboard.prep.schedule.network import Net, in_turn, network

_EXACT = 1e-6


def changed_late(stint: Stint, pieces: Mapping[str, Piece], stay: Collection[str] = ()) -> Stint:
    """Put a change of cutter off to when its checks are made, at a later visit of its machine.

    If the day breaks off between them, the machine stands worse than before.

    Args:
        stint: what is done in one window.
        pieces: its pieces, by the ids of the jobs.
        stay: ids of jobs that stay where they are: somebody is at them.
    """
    brought = {change for name in stint.found.order for change in pieces[name].brought_by}
    order = _Order(stint.workday, stint.found)
    for change in reversed(stint.found.order):
        if change in brought and change not in stay:
            order.take(order.visits_after(change))
    return stint._replace(found=order.found)


def worth_first(stint: Stint, worth: Sequence[str], stay: Collection[str] = ()) -> Stint:
    """Let what is worth most be done first, machine by machine: the time may be over sooner.

    Args:
        stint: what is done in one window.
        worth: ids of the jobs, the most valuable first.
        stay: ids of jobs that nothing is put before: somebody is at them.
    """
    rank = {name: at for at, name in enumerate(worth)}
    order = _Order(stint.workday, stint.found)
    at = 1
    while at < len(blocks := order.blocks()):
        before, then = blocks[at - 1], blocks[at]
        sooner = min(rank.get(one, math.inf) for one in then)
        later = min(rank.get(one, math.inf) for one in before)
        swapped = (*blocks[: at - 1], then, before, *blocks[at + 1 :])
        may = sooner < later and not {*before} & {*stay}
        at = max(at - 1, 1) if may and order.take([swapped]) else at + 1
    return stint._replace(found=order.found)


class _Order:
    """The order of a window; takes another one where nothing is lost by it."""

    def __init__(self, day: Workday, found: Schedule) -> None:
        self.found = found
        self._day = day
        self._jobs = {job.id: job for job in day.jobs}
        self._net: Net | None = None
        begins = {name for job in day.jobs for name, lag in job.after if lag > 0}
        self._waits = [
            job.id
            for job in day.jobs
            if job.id in begins or job.tail or job.ready or job.patience < math.inf
        ]

    def blocks(self) -> list[tuple[str, ...]]:
        """Give what is done at one place in one go, in order."""
        each = groupby(self.found.order, lambda name: self._jobs[name].place)
        return [tuple(some) for _, some in each]

    def visits_after(self, name: str) -> Iterator[Sequence[Sequence[str]]]:
        """Give orders in which a job begins a later visit of its place, the latest first."""
        rest = [tuple(one for one in some if one != name) for some in self.blocks()]
        place = self._jobs[name].place
        now = next(at for at, some in enumerate(self.blocks()) if name in some)
        for at in range(len(rest) - 1, now, -1):
            if any(self._jobs[one].place == place for one in rest[at]):
                yield (*rest[:at], (name,), *rest[at:])

    def take(self, orders: Iterable[Sequence[Sequence[str]]]) -> bool:
        """Take the first of some orders by which nothing is lost; tell whether there is one."""
        for blocks in orders:
            found = self._as_good([name for some in blocks for name in some])
            if found is not None:
                self.found = found
                return True
        return False

    def _as_good(self, order: Sequence[str]) -> Schedule | None:
        if self._net is None:
            self._net = network(self._day)
        place = {name: at for at, name in enumerate(self._net.ids)}
        if not in_turn(self._net, [place[name] for name in order]):
            return None
        found = as_good(self._day, self.found, order)
        if found is None or found.walks > self.found.walks:
            return None
        starts = self.found.starts
        moved = any(abs(found.starts[one] - starts[one]) > _EXACT for one in self._waits)
        return None if moved else found
