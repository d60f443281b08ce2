"""A good order soon: list scheduling by a few rules, made better by moving jobs about.

Simulated annealing (S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, "Optimization by simulated
annealing", Science 220 (1983) 671-680) with a fixed seed and a fixed allowance of work.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from random import Random

from shopboard.prep.schedule.bounds import tails
from shopboard.prep.schedule.list_rules import by_rules, in_turn
from shopboard.prep.schedule.network import NOWHERE, UNIT, Net
from shopboard.prep.schedule.precedence import all_before
from shopboard.prep.schedule.timetable import Ordering, idle, worth
from shopboard.prep.schedule.trial import Aim, Trial

_ROUNDS = 8
"""The last goes on from the best plan, the others from different rules. Of as much work many short
rounds come nearer than few long ones: eight lay within 0.3 % of the best known of 13 days by chance
with 21 to 60 jobs, three within 3.3 % (tests/campaigns/prep_days.py, seeds 8, 9, 20, 21)."""

_HOT, _COLD = 60 * UNIT, 1 * UNIT
"""How much dearer an order may be taken at first and at last, in minutes of lateness."""

_WALK = 1_000_000 * UNIT
"""More than the starts of wanted jobs can differ by."""

_STEPS_A_TURN = 8000
"""One order of opening is tried for so many steps: a tenth of the time or less."""

_LEFT = 100 * _WALK
"""More than the walks of a day can differ by."""

_LATE_WAIT = 30 * UNIT
"""A wait left too long, beside the time that it is left, while nothing else is looked at."""

_TOGETHER, _ALONE, _RUN = 0.2, 0.6, 0.8
"""Shares of the moves, added up: a whole stretch or mode, one job, a run of jobs; the rest are
swaps."""


def search(net: Net, least: int, steps: int) -> Ordering:
    """Find a plan that finishes soon.

    Args:
        net: the day.
        least: a finish that no plan can beat.
        steps: how many jobs may be put in their place, over all orders that are tried.
    """
    tail = tails(net)
    plans = sorted(worth(net, order) for order in by_rules(net, tail))
    different = sorted(set(plans))
    # moves of single jobs hardly change in which turn machines are opened: that is looked for apart
    if len(net.stretches) > 1 and not _is_least(plans[0], least):
        different[1:1] = _turns(net, tail, least, steps)
    best = min(different)
    rng = Random(0)  # noqa: S311 (the same day gives the same plan)
    for turn in range(_ROUNDS):
        if _is_least(best, least):
            break
        begin = best if turn == _ROUNDS - 1 else different[turn % len(different)]
        trial = Trial(net, Aim(tail, least), begin.order)
        best = min(best, _anneal(trial, rng, steps // _ROUNDS, _HOT, _COLD))
    return best


def _is_least(plan: Ordering, least: int) -> bool:
    """Tell whether no plan can finish sooner, nor with less harm."""
    return not plan.harm and plan.finish <= least


def by_rules_alone(net: Net) -> Iterator[Ordering]:
    """Give plans of so many jobs that they cannot be moved about, one by each of a few rules."""
    return (worth(net, order) for order in by_rules(net, tails(net), long=True))


def by_rule_alone(net: Net, least: int) -> Ordering:
    """Find the best of them.

    Args:
        net: the day.
        least: a finish that no plan can beat.
    """
    fewest = len({*net.place} - {NOWHERE, net.here}) - (net.here == NOWHERE)
    found: list[Ordering] = []
    for plan in by_rules_alone(net):
        if plan[:4] <= (0, least, 0, fewest):
            return plan
        found.append(plan)
    return min(found)


def _turns(net: Net, tail: Sequence[int], least: int, steps: int) -> list[Ordering]:
    """Look for a good order in which to open the machines: swap two, keep what is no worse."""
    rng = Random(1)  # noqa: S311
    turns = list(range(len(net.stretches)))
    found: list[Ordering] = []
    for _ in range(steps // _STEPS_A_TURN):
        changed = turns[:]
        one, other = rng.randrange(len(turns)), rng.randrange(len(turns))
        changed.insert(other, changed.pop(one))
        plan = min(worth(net, order) for order in in_turn(net, tail, changed))
        if not found or plan[:2] <= found[-1][:2]:
            found.append(plan)
            turns = changed
        if _is_least(plan, least):
            break
    return found[-1:]


def search_waits(net: Net, best: Ordering, steps: int) -> Ordering:
    """Look for fewer waits left too long, in a plan that finishes as soon."""
    if not best.left:
        return best
    aim = Aim(tails(net), 0, best.finish, left=_LATE_WAIT)
    rng = Random(0)  # noqa: S311
    found = _anneal(Trial(net, aim, best.order), rng, steps, _HOT, _COLD)
    return min(best, found, key=lambda one: idle(net, one)[0])


def search_walks(net: Net, best: Ordering, steps: int) -> Ordering:
    """Look for fewer walks, then the wanted jobs earlier, in a plan as good but for these."""
    aim = Aim(tails(net), 0, best.finish, _WALK, _LEFT if net.patient else 0, 100 * _LEFT)
    rng = Random(0)  # noqa: S311
    found = _anneal(Trial(net, aim, best.order), rng, steps, 2 * _WALK, _WALK / 100)
    return min(best, found)


def _anneal(trial: Trial, rng: Random, steps: int, hot: float, cold: float) -> Ordering:
    """Move jobs about; take what is cheaper, and what is a little dearer the less the later."""
    net = trial.net
    if len(net.ids) < 2:  # there is nothing to move
        return worth(net, trial.order)
    together = [*_stretches(net), *_modes(net)]
    best, order = trial.cost, trial.order
    trial.used = 0
    while trial.used < steps and best > 0:
        heat = hot * (cold / hot) ** (trial.used / steps)
        changed, at = _moved(trial.order, rng, together)
        # the usual chance to take what is dearer, drawn beforehand: a trial past it is cut short
        tried = trial.tried(changed, at, trial.cost - heat * math.log(1 - rng.random()))
        if tried is not None:
            trial.accept(at, tried)
            if trial.cost < best:
                best, order = trial.cost, trial.order
    return worth(net, order)


def _stretches(net: Net) -> list[int]:
    """Give the jobs on the way from the opening of a machine to its closing, as bits."""
    found = []
    for begin, end, _ in net.stretches:
        if NOWHERE not in (begin, end) and begin != end:
            after = 1 << begin
            for at in net.topological:
                if net.need[at] & after:
                    after |= 1 << at
            found.append(after & (all_before(net.need, end) | 1 << end))
    return found


def _modes(net: Net) -> list[int]:
    """Give what is done in each mode of a combination machine, as bits.

    One of these jobs moved alone costs changes of mode, which hides what moving all would save.
    """
    found: defaultdict[tuple[int, int], int] = defaultdict(int)
    for at, body in enumerate(net.body):
        if body != NOWHERE:
            found[body, net.mode[at]] |= 1 << at
    return [*found.values()]


def _moved(order: Sequence[int], rng: Random, together: Sequence[int]) -> tuple[list[int], int]:
    """Change an order at random; gives also the first place where it differs."""
    kind, size = rng.random(), len(order)
    changed = list(order)
    one, other = rng.randrange(size), rng.randrange(size)
    # these go as a whole: one job of a stretch alone cannot pass another open machine
    if kind < _TOGETHER and together:
        return _moved_together(changed, rng, rng.choice(together))
    if kind < _ALONE:
        changed.insert(other, changed.pop(one))
    elif kind < _RUN:
        run = changed[one : one + rng.randint(2, 8)]
        del changed[one : one + len(run)]
        other = rng.randint(0, len(changed))
        changed[other:other] = run
    else:
        changed[one], changed[other] = changed[other], changed[one]
    return changed, min(one, other)


def _moved_together(order: list[int], rng: Random, jobs: int) -> tuple[list[int], int]:
    """Gather some jobs, some places before or after where the first of them is."""
    begin = next(at for at, job in enumerate(order) if jobs >> job & 1)
    to = min(len(order) - 1, max(0, begin + rng.randint(-15, 15)))
    if to < begin:
        kept = [job for job in order[to:] if not jobs >> job & 1]
        return [*order[:to], *(job for job in order[to:] if jobs >> job & 1), *kept], to
    passed = [job for job in order[begin : to + 1] if not jobs >> job & 1]
    mine = [job for job in order[begin : to + 1] if jobs >> job & 1]
    return [*order[:begin], *passed, *mine, *order[to + 1 :]], begin
