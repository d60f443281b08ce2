"""The shortest day for one person: in which order jobs are done while others soak, dry or wait.

One worker with minimum time lags, delivery tails and release dates, changes of mode and stretches
that must not overlap. No wait is left too long where that harms; then the least finish; among those
the fewest waits that are left too long;
among those the fewest walks between places; among those the jobs that are wanted early. Nothing
here knows of shops or reads a clock: the work done is counted, so that the same day gives the
same plan on every computer.
"""

from __future__ import annotations

from shopboard.prep.schedule.bounds import least_finish
from shopboard.prep.schedule.exact import among_soonest, soonest
from shopboard.prep.schedule.held import overruns
from shopboard.prep.schedule.job import Schedule, Workday
from shopboard.prep.schedule.network import UNIT, Net, network
from shopboard.prep.schedule.search import by_rule_alone, search, search_waits, search_walks
from shopboard.prep.schedule.stretches import stretches_of
from shopboard.prep.schedule.timetable import Ordering, idle, starts_of, worth

_NODES = 25_000
"""Partial plans of 12 jobs that the exact search looks at in a second of a small computer,
roughly."""

_STEPS = 380_000
"""Jobs that the search by trial puts in their place in a second of one, roughly."""

_SMALL, _SURE = 20, 12
"""Jobs up to which the exact search is worth its time; up to which it comes to its end."""

_FEW, _USUAL, _LONG = 30, 80, 250
"""Jobs up to which there is time for more steps; up to which one takes no longer; from which on a
rule orders them, and only the first of them are searched."""

_FIRST, _SHARE = 60, 5
"""So many of very many jobs are searched: what can be done in ten hours, all else is planned anew
before it comes; and for this part of the allowance."""

_MORE = 1.4
"""So much more are taken of few jobs."""


def schedule(day: Workday, seconds: float = 0.8) -> Schedule:
    """Plan a day: least finish, fewest waits left too long, fewest walks, wanted jobs early.

    Every job is done as soon as it can be, one after the other, but for what begins a wait that
    would be left too long: that is held back as far as it helps. Up to 12 jobs the finish is the
    least possible, and as a rule all the rest, too, and that of more jobs; the search stops when
    its allowance is used up, and `bound` says what is proven of the finish.

    Args:
        day: what is to be done.
        seconds: how long to look for a better plan, in seconds of a small computer; it is an
            allowance of work, not a clock.

    Raises:
        ValueError: Minutes that are no number of 0 or more, an id twice or unknown, jobs that
            wait for each other in a circle, or machines that cannot but be open at once.
    """
    net = network(day)
    least = least_finish(net)
    if len(day.jobs) > _LONG:
        plan = by_rule_alone(net, least)
        plan = min(plan, _first_searched(day, net, plan, seconds / _SHARE))
        proven = plan.finish <= least
    else:
        plan, proven = _searched(net, least, seconds)
    return timed_plan(day, net, plan, None if proven else least)


def _first_searched(day: Workday, net: Net, plan: Ordering, seconds: float) -> Ordering:
    """Search for a better order of the first jobs of a plan, and leave the others as they are.

    They are done before all others, so that no stretch may begin in one part and end in the other.
    """
    place = {at: count for count, at in enumerate(plan.order)}
    ends = ((one.begin, one.end) for one in stretches_of(day))
    spans = [
        (-1 if one is None else place[one], len(place) if other is None else place[other])
        for one, other in ends
    ]
    size = _FIRST
    while size and any(begin < size <= end for begin, end in spans):
        size -= 1
    some = sorted(plan.order[:size])
    names = {net.ids[at] for at in some}
    jobs = (day.jobs[at] for at in some)
    first = day._replace(
        jobs=tuple(
            job._replace(tail=0, after=tuple(one for one in job.after if one[0] in names))
            for job in jobs
        )
    )
    part = network(first)
    found, _ = _searched(part, least_finish(part), seconds)
    return worth(net, (*(some[at] for at in found.order), *plan.order[size:]))


def timed_plan(day: Workday, net: Net, plan: Ordering, least: int | None) -> Schedule:
    """Give an order its times.

    Args:
        day: what is to be done.
        net: the same in whole numbers.
        plan: its order.
        least: a finish that no plan can beat; None: this one is proven to be the least.
    """
    plan, timed = idle(net, plan)
    held = {day.jobs[at].id: start / UNIT for at, start in timed.held.items()}
    late = overruns(net, timed, "strict") | overruns(net, timed, "patient")
    starts = starts_of(day, plan.order, held)
    finish = max((starts[job.id] + job.minutes + job.tail for job in day.jobs), default=0.0)
    bound = finish if least is None else min(finish, least / UNIT)
    return Schedule(
        starts,
        tuple(net.ids[at] for at in plan.order),
        finish,
        bound,
        plan.walks,
        plan.left,
        {net.ids[at]: late[at] / UNIT for at in plan.order if at in late},
        held,
    )


def _searched(net: Net, least: int, seconds: float) -> tuple[Ordering, bool]:
    """Search for the best plan; tell also whether none can finish sooner."""
    count = len(net.ids)
    small = count <= _SMALL
    nodes = int(seconds * _NODES * _SURE / max(_SURE, count))
    steps = int(seconds * _STEPS * min(1.0, _USUAL / max(count, 1)))
    if not small and count <= _FEW:
        steps = int(_MORE * steps)
    few = steps
    if small:  # the exact search follows, and needs but a good plan to hold its own against
        few //= 4 if count > _SURE else 20
    plan = search(net, least, few)
    proven = plan.finish <= least and not plan.harm
    if small and not proven:
        plan, proven, used = soonest(net, plan, least, nodes)
        nodes -= used
        if not proven:  # it came to no end
            plan = min(plan, search(net, least, steps // 2))
        steps = few
    # what counts less is looked for last, among plans that are as good in all that counts more
    plan = search_waits(net, plan, steps // 4)
    plan = search_walks(net, plan, steps // 2)
    if small and proven:
        plan = among_soonest(net, plan, nodes // 2)
    return plan, proven
