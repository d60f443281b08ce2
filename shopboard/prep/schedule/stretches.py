"""Stretches in which a machine stands open with its cutter out, and what they force."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
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
    """Empty: it is a job that opens nothing."""
    begin: int | None
    end: int | None
    body: str = ""
    mode: str = ""

    @property
    def is_job(self) -> bool:
        """Whether a single job is meant, which opens no machine for others to go by."""
        return self.begin is not None and self.begin == self.end


Apart = tuple[Stretch, Stretch]
"""Two that must not overlap."""


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
    return tuple(_with_mode(day, one) for one in found)


def _with_mode(day: Workday, one: Stretch) -> Stretch:
    """Tell the mode that a combination machine is in while it stands open."""
    ends = (day.jobs[at] for at in (one.begin, one.end) if at is not None)
    found = next(((job.body, job.mode) for job in ends if job.body and job.mode), ("", ""))
    return one._replace(body=found[0], mode=found[1])


def kept_apart(day: Workday, stretches: Sequence[Stretch]) -> list[Apart]:
    """Give what must not overlap: two machines that stand open, unless both may.

    And in any case a machine that stands open, and what is done in other modes of it.
    """
    modes: dict[str, list[Stretch]] = defaultdict(list)
    for at, job in enumerate(day.jobs):
        if job.body and job.mode:
            modes[job.body].append(Stretch("", at, at, job.body, job.mode))
    found: list[Apart] = []
    for number, one in enumerate(stretches):
        if not day.allow_open:
            found += [
                (one, other) for other in stretches[number + 1 :] if one.machine != other.machine
            ]
        if not one.is_job:
            found += [(one, job) for job in modes[one.body] if job.mode != one.mode]
    return found


def exclude(
    ids: Sequence[str],
    afters: Sequence[dict[int, int]],
    apart: Sequence[Apart],
    *,
    both_open: bool,
) -> tuple[tuple[int, ...], list[Apart]]:
    """Add the orders that the jobs before and after them force on what is kept apart.

    One that must begin before another ends has to end before that one begins. Repeated until
    nothing is added, no plan made job by job can run into a dead end: what is left free can be put
    in any order that keeps the forced ones.

    Returns:
        The jobs in an order that keeps all, and what can be kept apart: work in another mode that
        has to be done while the machine stands open is done then.

    Raises:
        ValueError: Two machines cannot but be open at once.
    """
    later = reach(afters, topological(ids, afters))
    ends = {(one.machine, one.end) for one, _ in apart if one.end is not None and both_open}
    # what is open already is closed before anything is opened for it: that is settled first
    apart = sorted(apart, key=lambda pair: None not in (pair[0].begin, pair[1].begin))
    added = True
    while added:
        added, kept = False, []
        for one, other in apart:
            if other.machine and _are_free(one, other, later):
                kept.append((one, other))
                continue
            ways = _ways(ids, one, other, later)
            if len(ways) > 1:
                continue
            kept.append((one, other))
            if not ways and not other.machine and _leads_to_another(one, other, ends, later):
                ways = [(one, other)]
            for sooner, after in ways:
                if sooner.end is not None and after.begin is not None:
                    added |= _put_after(afters, later, sooner.end, after.begin)
        apart = kept
    return topological(ids, afters), kept


def _are_free(one: Stretch, other: Stretch, later: Sequence[int]) -> bool:
    """Tell whether two stretches within the day may come in either order: as most of many do."""
    _, begin, end, _, _ = one
    _, first, last, _, _ = other
    return not (
        begin is None
        or end is None
        or first is None
        or last is None
        or begin == last
        or first == end
        or later[begin] >> last & 1
        or later[first] >> end & 1
    )


def _ways(ids: Sequence[str], one: Stretch, other: Stretch, later: Sequence[int]) -> list[Apart]:
    """Give which of two must come before the other; both: they cannot be kept apart.

    Raises:
        ValueError: That would have two machines open at once, which are not open already.
    """
    ways = [(one, other)] if _must_begin(one, other, later) else []
    if _must_begin(other, one, later):
        ways.append((other, one))
    if len(ways) > 1 and other.machine and not (one.begin is None and other.begin is None):
        raise ValueError(_both_open(ids, one, other))
    return ways


def _leads_to_another(
    one: Stretch, job: Stretch, ends: Collection[tuple[str, int]], later: Sequence[int]
) -> bool:
    """Tell whether a job that is kept out of a machine leads to the closing of another.

    Where both are open, with such a job each, nothing could go on.
    """
    return job.begin is not None and any(
        machine != one.machine and later[job.begin] >> end & 1 for machine, end in ends
    )


def _put_after(afters: Sequence[dict[int, int]], later: list[int], end: int, begin: int) -> bool:
    """Let a job come after another, unless it does already; tell whether that is new."""
    if later[end] >> begin & 1:
        return False
    afters[end][begin] = 0
    for at, behind in enumerate(later):
        if at == end or behind >> end & 1:
            later[at] |= 1 << begin | later[begin]
    return True


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
