"""What no plan can beat: heads, tails and the bound of one worker who may be interrupted.

With heads and tails the least finish of one worker who may be interrupted is found by always
doing the available job of the longest tail (J. R. Jackson 1955; J. Carlier, "The one-machine
sequencing problem", European Journal of Operational Research 11 (1982) 42-47).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from heapq import heappop, heappush

from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.precedence import bits


def tails(net: Net) -> list[int]:
    """Give the least time from the end of each job to the finish: waits, jobs and tails after it.

    All jobs after a job are done by the same person: a job's tail is also no less than what they
    take together.
    """
    found = list(net.tail)
    later = [0] * len(net.ids)
    for at in reversed(net.topological):
        for follower, lag in net.afters[at]:
            found[at] = max(found[at], lag + net.work[follower] + found[follower])
            later[at] |= 1 << follower | later[follower]
        after = [(0, net.work[one], found[one]) for one in bits(later[at])]
        found[at] = max(found[at], interrupted(after))
    return found


def heads(net: Net) -> list[int]:
    """Give the earliest start of each job: its own, and what the jobs before it take."""
    found = list(net.ready)
    before = [0] * len(net.ids)
    for at in net.topological:
        earlier = [(found[one], net.work[one], 0) for one in bits(before[at])]
        found[at] = max(found[at], interrupted(earlier))
        for follower, lag in net.afters[at]:
            found[follower] = max(found[follower], found[at] + net.work[at] + lag)
            before[follower] |= 1 << at | before[at]
    return found


def interrupted(jobs: Iterable[tuple[int, int, int]]) -> int:
    """Give the least finish of (head, work, tail) for one worker who may be interrupted."""
    waiting = sorted(jobs)
    open_jobs: list[tuple[int, int]] = []
    now = finish = at = 0
    while at < len(waiting) or open_jobs:
        if not open_jobs:
            now = max(now, waiting[at][0])
        while at < len(waiting) and waiting[at][0] <= now:
            _, work, tail = waiting[at]
            heappush(open_jobs, (-tail, work))
            at += 1
        tail, work = heappop(open_jobs)
        until = waiting[at][0] if at < len(waiting) else now + work
        done = min(work, until - now)
        now += done
        if done < work:
            heappush(open_jobs, (tail, work - done))
        else:
            finish = max(finish, now - tail)
    return finish


def least_finish(net: Net) -> int:
    """Give a finish that no plan can beat."""
    head, tail = heads(net), tails(net)
    jobs = [(head[at], net.work[at], tail[at]) for at in range(len(net.ids))]
    # no job can end before its own chain is over: where much waits, that is more than the work
    least = max((sum(job) for job in jobs), default=0)
    least = max(least, interrupted([*jobs, *_changes(net, tail)]))
    # open machines exclude each other while they wait, too, when the person is free: another sum
    return max((least, *map(interrupted, _open_times(net, head, tail))))


def _changes(net: Net, tail: Sequence[int]) -> list[tuple[int, int, int]]:
    """Give the changes of mode that cannot be spared, as jobs: each mode needed but not there.

    The first change into a mode comes before all that is done in it: the longest of that is its
    tail. Of a body whose mode is not known one mode is free: the dearest is left out, and the
    others are given the shortest tail of them all.
    """
    groups: dict[tuple[int, int], tuple[int, int]] = {}
    for at, body in enumerate(net.body):
        if body != NOWHERE and net.modes[body] != net.mode[at]:
            after = net.work[at] + tail[at]
            _, known = groups.get((body, net.mode[at]), (0, after))
            groups[body, net.mode[at]] = (net.change[at], max(known, after))
    jobs: list[tuple[int, int, int]] = []
    for body, mode in enumerate(net.modes):
        mine = [group for key, group in groups.items() if key[0] == body]
        if mode == NOWHERE and mine:
            shortest = min(after for _, after in mine)
            mine = [(cost, shortest) for cost, _ in sorted(mine)[:-1]]
        jobs += [(0, cost, after) for cost, after in mine]
        short = least_changes(net, body) - sum(cost for cost, _ in mine)
        if short > 0:
            used = (net.work[at] + tail[at] for at, one in enumerate(net.body) if one == body)
            jobs.append((0, short, min(used)))
    return jobs


_STATES = 1000
"""Ways through the modes of a body that are followed."""


def least_changes(net: Net, body: int) -> int:
    """Give the least time for changes of mode of one body that the order of jobs allows.

    Times apart, whatever can be done in the mode that is there is done before it is changed. The
    cheapest way through the modes is followed first (E. W. Dijkstra 1959); given up, what the next
    would cost is still no more than what must be.
    """
    before = _before_in(net, body)
    cost_of = {net.mode[at]: net.change[at] for at in before}
    full = sum(1 << at for at in before)
    begin = net.modes[body]
    ways = [(0, _done_in(net, before, begin, 0), begin)]
    seen: set[tuple[int, int]] = set()
    while True:
        cost, done, mode = heappop(ways)
        if done == full or len(seen) > _STATES:
            return cost
        if (done, mode) in seen:
            continue
        seen.add((done, mode))
        for other, dear in cost_of.items():
            if other != mode:
                paid = 0 if mode == NOWHERE else dear
                heappush(ways, (cost + paid, _done_in(net, before, other, done), other))


def _before_in(net: Net, body: int) -> dict[int, int]:
    """Give the jobs in any mode of a body, and by each those of them that come before, as bits.

    What else there is can always be done as soon as what is before it is done.
    """
    ahead, found = [0] * len(net.ids), dict[int, int]()
    for at in net.topological:
        if net.body[at] == body:
            found[at] = ahead[at]
        onward = ahead[at] | (1 << at if at in found else 0)
        for after, _ in net.afters[at] if onward else ():
            ahead[after] |= onward
    return found


def _done_in(net: Net, before: Mapping[int, int], mode: int, done: int) -> int:
    """Give all that is done once nothing more can be done in a mode, as bits."""
    for at, need in before.items():
        if net.mode[at] == mode and not need & ~done:
            done |= 1 << at
    return done


def _open_times(
    net: Net, head: Sequence[int], tail: Sequence[int]
) -> Iterator[Sequence[tuple[int, int, int]]]:
    """Give the stretches in which a machine is open as jobs that exclude each other.

    Those of one machine may overlap: the longest stands for them all. Work in other modes of the
    machine is excluded, too, even where two machines may be open.
    """
    longest: dict[int, tuple[tuple[int, int, int], int]] = {}
    for begin, end, machine in net.stretches:
        if begin == NOWHERE or end == NOWHERE:
            continue
        job = (head[begin], _length(net, begin, end), tail[end])
        if machine not in longest or job[1] > longest[machine][0][1]:
            longest[machine] = job, begin
    if net.alone:
        yield [job for job, _ in longest.values()]
    for job, begin in longest.values():
        body, mode = net.body[begin], net.mode[begin]
        yield [
            job,
            *(
                (head[at], net.work[at], tail[at])
                for at, other in enumerate(net.body)
                if other == body != NOWHERE and net.mode[at] != mode
            ),
        ]


def _length(net: Net, begin: int, end: int) -> int:
    """Give the least time from the start of one job to the end of a later one."""
    ends = [-1] * len(net.ids)
    ends[begin] = net.work[begin]
    for at in net.topological:
        if ends[at] >= 0:
            for follower, lag in net.afters[at]:
                ends[follower] = max(ends[follower], ends[at] + lag + net.work[follower])
    return ends[end]
