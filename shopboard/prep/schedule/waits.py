"""Waits that must not be left much longer than they say: which of an order's are.

A job with patience has to start soon after its waits are over, else they are left too long: wax
that hazes is buffed off before it is hard. Starting a wait sooner may so be worse than later,
which no other cost of a day knows: two partial plans are compared with care.
"""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.network import Net

_SETTLED = -1
"""Of a job that is done, or left too long whatever comes."""


class Waits(NamedTuple):
    """The waits of a plan as far as it goes."""

    left: int
    """Jobs whose waits are left too long, done or still to come."""
    over: tuple[int, ...]
    """Of each job with patience: when its waits are over, of those begun."""


def none_left(net: Net) -> Waits:
    """Give how the waits stand at the beginning of a day."""
    return Waits(0, tuple(net.ready[job] for job, _, _ in net.patient))


def left_with(net: Net, waits: Waits, at: int, end: int, done: int) -> Waits:
    """Give how the waits stand with a job more.

    Args:
        net: the day.
        waits: how they stood before.
        at: the job.
        end: when it ends.
        done: what is done with it, as bits.
    """
    if not net.patient:
        return waits
    count, overs = waits.left, list(waits.over)
    for place, lag in net.begins[at]:
        if overs[place] != _SETTLED:
            overs[place] = max(overs[place], end + lag)
    for place, (job, patience, begun_by) in enumerate(net.patient):
        over = overs[place]
        if over == _SETTLED:
            continue
        start = end - net.work[at] if job == at else end
        too_long = not begun_by & ~done and start > over + patience
        count += too_long
        if job == at or too_long:
            overs[place] = _SETTLED
    return Waits(count, tuple(overs))


def still_to_begin(net: Net, waits: Waits, done: int) -> bool:
    """Tell whether a wait that must not be left too long is still to be begun."""
    return any(
        over != _SETTLED and begun_by & ~done
        for over, (_, _, begun_by) in zip(waits.over, net.patient, strict=True)
    )


def at_worst(net: Net, one: Waits, other: Waits, done: int, *, same_times: bool) -> int:
    """Give how many waits the first plan can come to leave where the second leaves its count.

    Both have the same jobs done and go on in the same order; the first starts nothing later than
    the second. A wait that is still to be begun may then begin sooner and be left too long, unless
    all times are the same.
    """
    count = one.left
    for mine, its, (_, _, begun_by) in zip(one.over, other.over, net.patient, strict=True):
        if mine != _SETTLED:
            count += its == _SETTLED or mine < its or bool(begun_by & ~done and not same_times)
    return count
