"""What is held back, so that the wait after it is not left too long: idle on purpose.

Of one order the starts are the longest paths through what must come before what; a wait that must
not be left too long leads back from its end to its begin. What one such wait asks for is taken in
turn until nothing moves (R. Bellman 1958): so all starts are the least that there are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.precedence import bits

Which = Literal["strict", "patient"]
"""Waits that it harms to leave too long, and the others."""


_AT_ONCE = 4
"""Times that all is held back at once before each wait is looked at by itself."""

_ROUNDS = 12
"""Times that each is looked at; what moves even then is pushed on by another, and pushes it."""


class Clocked(NamedTuple):
    """An order of jobs, or those that come first, with the times of each."""

    starts: Mapping[int, int]
    """By job, in the order done."""
    held: Mapping[int, int]
    """What is held back: not before so long from now, by job."""
    spent: Mapping[int, int]
    """Time spent on work and on changes before it, by job."""


class HeldBack(NamedTuple):
    """An order in which no wait is left although it harms, as far as holding back helps."""

    timed: Clocked
    harm: int = 0
    """Waits for which that does not help."""


def times(net: Net, order: Iterable[int]) -> Clocked:
    """Give the start of each job of an order, each as soon as it can."""
    return _timed(net, [*order], Clocked({}, {}, {}), 0)


def _later(net: Net, timed: Clocked, late: Mapping[int, int]) -> Clocked:
    """Hold back some jobs of an order, each for so long from now."""
    order = [*timed.starts]
    held = timed._replace(held={**timed.held, **late})
    return _timed(net, order, held, min(map(order.index, late)))


def _timed(net: Net, order: Sequence[int], known: Clocked, first: int) -> Clocked:
    """Give the times of an order, of which those before the job at a place are known."""
    found, spent, held = {**known.starts}, {**known.spent}, known.held
    now = busy = 0
    modes = list(net.modes)
    bodies, mode, work, lags, ready = net.body, net.mode, net.work, net.lags, net.ready
    if first:
        last = order[first - 1]
        now, busy = found[last] + work[last], spent[last] + work[last]
        for at in order[:first] if modes else ():
            if bodies[at] != NOWHERE:
                modes[bodies[at]] = mode[at]
    for at in order[first:]:
        body = bodies[at]
        if body != NOWHERE and modes[body] != mode[at]:
            if modes[body] != NOWHERE:
                now += net.change[at]
                busy += net.change[at]
            modes[body] = mode[at]
        if now < ready[at]:
            now = ready[at]
        for one, lag in lags[at]:
            if now < found[one] + work[one] + lag:
                now = found[one] + work[one] + lag
        if at in held and now < held[at]:
            now = held[at]
        found[at], spent[at] = now, busy
        now += work[at]
        busy += work[at]
    return Clocked(found, held, spent)


def held_back(net: Net, order: Sequence[int]) -> HeldBack:
    """Hold back what begins waits that it harms to leave too long, as little as is needed.

    Args:
        net: the day.
        order: the jobs, or those that come first.
    """
    begin = times(net, order)
    here = [at for at, (job, _, _) in enumerate(net.strict) if job in begin.starts]
    mine = [wait for wait in here if not _left_anyway(net, begin, wait)]
    harm = len(here) - len(mine)
    while True:
        together = _together(net, begin, mine)
        if together is not None:
            return HeldBack(together, harm)
        timed, lost = _all_kept(net, begin, mine)
        if not lost:
            return HeldBack(timed, harm)
        mine = [wait for wait in mine if wait not in lost]
        harm += len(lost)


def _left_anyway(net: Net, timed: Clocked, wait: int) -> bool:
    """Tell whether a wait is left too long in this order whatever is held back.

    So it is where it began before the day, and where what is done in it takes longer than it may.
    """
    job, patience, begun_by = net.strict[wait]
    if not begun_by:
        return timed.starts[job] > net.ready[job] + patience
    spent, work = timed.spent, net.work
    ready = spent[job] > net.ready[job] + patience
    return ready and all(
        spent[job] - spent[at] - work[at] > lag + patience
        for at in bits(begun_by)
        if at in spent
        for one, lag in net.strict_begins[at]
        if one == wait
    )


def _together(net: Net, timed: Clocked, waits: Sequence[int]) -> Clocked | None:
    """Hold back for all waits at once, a few times; None: that does not do.

    What is held back for one moves the others later at the most: none is held back in vain.
    """
    for _ in range(_AT_ONCE):
        late: dict[int, int] = {}
        for wait in waits:
            over, last = _overrun(net, timed.starts, wait, "strict")
            if over > 0:
                if last == NOWHERE:
                    return None
                late[last] = max(late.get(last, 0), timed.starts[last] + over)
        if not late:
            return timed
        timed = _later(net, timed, late)
    return None


def _all_kept(net: Net, timed: Clocked, waits: Sequence[int]) -> tuple[Clocked, list[int]]:
    """Hold back for some waits; give also those for which that does not help."""
    moved: list[int] = []
    for _ in range(min(len(waits) + 1, _ROUNDS)):
        moved, lost = [], []
        for wait in waits:
            found = kept(net, timed, wait, "strict")
            if found is None:
                lost.append(wait)
            elif found is not timed:
                timed = found
                moved.append(wait)
        if lost or not moved:
            return timed, lost
    return timed, moved[:1]  # each pushes the other on


def kept(net: Net, timed: Clocked, wait: int, which: Which) -> Clocked | None:
    """Hold back what begins a wait until the wait is not left too long; None: that does not help.

    Args:
        net: the day.
        timed: the order, with what is held back already.
        wait: the wait, by its place among those of its sort.
        which: the sort.
    """
    job = (net.strict if which == "strict" else net.patient)[wait][0]
    over, last = _overrun(net, timed.starts, wait, which)
    while over > 0:
        if last == NOWHERE or not _pauses(timed, last, job):  # it would be as much later
            return None
        timed = _later(net, timed, {last: timed.starts[last] + over})
        left, last = _overrun(net, timed.starts, wait, which)
        if left >= over:  # all in between is done without a pause
            return None
        over = left
    return timed


def _pauses(timed: Clocked, one: int, other: int) -> bool:
    """Tell whether there is any pause between the end of one job and the start of a later one."""
    starts, spent = timed.starts, timed.spent
    return starts[other] - starts[one] > spent[other] - spent[one]


def overruns(net: Net, timed: Clocked, which: Which) -> dict[int, int]:
    """Give from the end of its waits to its start, by each job whose waits are left too long."""
    found = {}
    for wait, (job, patience, _) in enumerate(net.strict if which == "strict" else net.patient):
        over = _overrun(net, timed.starts, wait, which)[0] if job in timed.starts else 0
        if over > 0:
            found[job] = over + patience
    return found


def harm_of(net: Net, timed: Clocked) -> int:
    """Add up by how much waits are left too long although it harms."""
    over = (
        _overrun(net, timed.starts, wait, "strict")[0]
        for wait, (job, _, _) in enumerate(net.strict)
        if job in timed.starts
    )
    return sum(one for one in over if one > 0)


def _overrun(net: Net, starts: Mapping[int, int], wait: int, which: Which) -> tuple[int, int]:
    """Give how much longer a wait is left than it may be, and the job that began it last."""
    job, patience, _ = (net.strict if which == "strict" else net.patient)[wait]
    over, last = net.ready[job], NOWHERE
    for at, lag in net.lags[job]:
        if at in starts:
            end = starts[at] + net.work[at] + lag
            if end >= over:
                over, last = end, at
    return starts[job] - over - patience, last
