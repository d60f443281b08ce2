"""Stretches in which a machine stands open with its cutter out, and what they force."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.precedence import reach, topological

if TYPE_CHECKING:
    from shopboard.prep.schedule.job import Workday


_BOTH_OPEN = "two machines would be open at once with their cutters out"
_ALLOW = "allow both open, or change what comes after what"


class Stretch(NamedTuple):
    """A machine stands open; None: since before the day, or to its end."""

    machine: str
    begin: int | None
    end: int | None


def stretches_of(day: Workday) -> tuple[Stretch, ...]:
    """Pair the jobs that open a machine with those that close it, in the order given."""
    found: list[Stretch] = []
    opening: dict[str, list[int]] = defaultdict(list)
    closing: dict[str, list[int]] = defaultdict(list)
    for at, job in enumerate(day.jobs):
        if job.opens and job.opens == job.closes:
            found.append(Stretch(job.opens, at, at))
            continue
        if job.opens:
            opening[job.opens].append(at)
        if job.closes:
            closing[job.closes].append(at)
    for machine in dict.fromkeys((*opening, *closing, *filter(None, (day.open_now,)))):
        begins: list[int | None] = list(opening[machine])
        ends: list[int | None] = list(closing[machine])
        if machine == day.open_now and len(ends) <= len(begins):
            found.append(Stretch(machine, None, ends[0] if ends else None))
        begins = [*[None] * (len(ends) - len(begins)), *begins]
        ends += [None] * (len(begins) - len(ends))
        found += [Stretch(machine, begin, end) for begin, end in zip(begins, ends, strict=True)]
    return tuple(found)


def exclude(
    ids: Sequence[str],
    afters: Sequence[dict[int, int]],
    stretches: Sequence[Stretch],
    order: tuple[int, ...],
) -> tuple[int, ...]:
    """Add the orders of stretches that the jobs before and after them force.

    One that must begin before another ends has to end before that one begins. Repeated until
    nothing is added, no plan made job by job can run into a dead end: the stretches left free can
    be put in any order that keeps the forced ones.

    Raises:
        ValueError: Two machines cannot but be open at once.
    """
    while True:
        later = reach(afters, order)
        added = False
        for one in stretches:
            for other in stretches:
                if one.machine == other.machine or not _must_begin(one, other, later):
                    continue
                if _must_begin(other, one, later):
                    if one.begin is None and other.begin is None:
                        continue  # both are open already: that is so, whatever is planned
                    raise ValueError(_both_open(ids, one, other))
                begin, end = other.begin, one.end
                if begin is not None and end is not None and not later[end] >> begin & 1:
                    afters[end].setdefault(begin, 0)
                    added = True
        if not added:
            return order
        try:
            order = topological(ids, afters)
        except ValueError as circle:
            raise ValueError(f"{_BOTH_OPEN}, or {circle}; {_ALLOW}") from None


def _must_begin(one: Stretch, other: Stretch, later: Sequence[int]) -> bool:
    """Tell whether one stretch must begin before another ends."""
    if one.begin is None or other.end is None:
        return True
    return one.begin == other.end or bool(later[one.begin] >> other.end & 1)


def _both_open(ids: Sequence[str], one: Stretch, other: Stretch) -> str:
    """Say that two machines cannot but be open at once."""

    def told(stretch: Stretch) -> str:
        begin = "now" if stretch.begin is None else repr(ids[stretch.begin])
        end = "the end of the day" if stretch.end is None else repr(ids[stretch.end])
        return f"{stretch.machine!r} from {begin} to {end}"

    return f"{_BOTH_OPEN}: {told(one)} and {told(other)}; {_ALLOW}"
