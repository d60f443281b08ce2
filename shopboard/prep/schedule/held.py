"""What is held back, so that the wait after it is not left too long: idle on purpose.

Of one order the starts are the longest paths through what must come before what; a wait that must
not be left too long leads back from its end to its begin. What one such wait asks for is taken in
turn until nothing moves (R. Bellman 1958): so all starts are the least that there are.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.network import NOWHERE, Net

Which = Literal["strict", "patient"]
"""Waits that it harms to leave too long, and the others."""


class HeldBack(NamedTuple):
    """What is held back so that no wait is left although it harms."""

    starts: Mapping[int, int]
    """Not before so long from now, by job."""
    harm: int = 0
    """Waits for which that does not help."""


NOT_HELD = HeldBack({})


def times(net: Net, order: Sequence[int], held: Mapping[int, int]) -> list[int]:
    """Give the start of each job of an order, each as soon as it can but for what is held back."""
    now, found = 0, []
    soonest, modes = list(net.ready), list(net.modes)
    for at in order:
        body, mode = net.body[at], net.mode[at]
        if body != NOWHERE and modes[body] != mode:
            if modes[body] != NOWHERE:
                now += net.change[at]
            modes[body] = mode
        start = max(now, soonest[at], held.get(at, 0))
        found.append(start)
        now = start + net.work[at]
        for follower, lag in net.afters[at]:
            soonest[follower] = max(soonest[follower], now + lag)
    return found


def held_back(net: Net, order: Sequence[int]) -> HeldBack:
    """Hold back what begins waits that it harms to leave too long, as little as is needed.

    Args:
        net: the day.
        order: the jobs, or those that come first.
    """
    if not net.strict:
        return NOT_HELD
    mine = [at for at, (job, _, _) in enumerate(net.strict) if job in order]
    harm = 0
    while True:
        held, lost = _all_kept(net, order, mine)
        if lost is None:
            return HeldBack(held, harm)
        mine.remove(lost)
        harm += 1


def _all_kept(
    net: Net, order: Sequence[int], waits: Sequence[int]
) -> tuple[Mapping[int, int], int | None]:
    """Give what is held back for some waits, and one for which that does not help."""
    held: Mapping[int, int] = {}
    for _ in range(len(waits) + 1):
        before = held
        for wait in waits:
            found = kept(net, order, wait, "strict", held)
            if found is None:
                return held, wait
            held = found
        if held == before:
            return held, None
    return held, waits[-1]  # each pushes the other on


def kept(
    net: Net, order: Sequence[int], wait: int, which: Which, held: Mapping[int, int]
) -> Mapping[int, int] | None:
    """Hold back what begins a wait until the wait is not left too long; None: that does not help.

    Args:
        net: the day.
        order: the jobs, or those that come first.
        wait: the wait, by its place among those of its sort.
        which: the sort.
        held: what is held back already.
    """
    over, last = _overrun(net, order, wait, which, held)
    while over > 0:
        if last == NOWHERE:
            return None
        start = dict(zip(order, times(net, order, held), strict=True))[last]
        held = {**held, last: start + over}
        left, last = _overrun(net, order, wait, which, held)
        if left >= over:  # all in between is done without a pause
            return None
        over = left
    return held


def overruns(
    net: Net, order: Sequence[int], held: Mapping[int, int], which: Which
) -> dict[int, int]:
    """Give from the end of its waits to its start, by each job whose waits are left too long."""
    found = {}
    for wait, (job, patience, _) in enumerate(net.strict if which == "strict" else net.patient):
        over, _ = _overrun(net, order, wait, which, held)
        if over > 0:
            found[job] = over + patience
    return found


def _overrun(
    net: Net, order: Sequence[int], wait: int, which: Which, held: Mapping[int, int]
) -> tuple[int, int]:
    """Give how much longer a wait is left than it may be, and the job that began it last."""
    job, patience, begun_by = (net.strict if which == "strict" else net.patient)[wait]
    begins = net.strict_begins if which == "strict" else net.begins
    starts = dict(zip(order, times(net, order, held), strict=True))
    over, last = net.ready[job], NOWHERE
    for at, start in starts.items():
        if begun_by >> at & 1:
            end = start + net.work[at] + max(lag for one, lag in begins[at] if one == wait)
            if end >= over:
                over, last = end, at
    return starts[job] - over - patience, last
