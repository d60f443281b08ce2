"""A prep day of a made shop, lived through: the first job is done, sooner or later than planned.

What was really done is held against the rules of own_rules.py, which know nothing of the plans that
were made on the way.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from random import Random

from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.cutter_changes import change, mounted_like
from shopboard.upkeep.cutter_journal import record_act, record_change, standings_now
from tests.builders import do_steps
from tests.journal.helpers import Clock
from tests.prep.keeps import faults
from tests.prep.own_rules import Day
from tests.prep.random_shop import Made
from tests.prep.shop_oracle import left_ids, opened
from tests.prep.test_whole_joints import add

_PACE = (0.3, 0.6, 0.9, 1.0, 1.0, 1.3, 2.0)
"""How long a job may take, in times of what was planned."""

Done = dict[str, tuple[float, float]]
"""By the id of a job, minutes of the day at which it was begun and over."""


def wrong_as_lived(made: Made, folder: Path, chance: Random) -> str | None:
    """Live through a day of a made shop; say what was wrong with it, or nothing."""
    clock, done = Clock(), Done()
    with opened(made, folder, clock) as shop:
        zero, planner, jobs = clock.now, Planner(shop), Day(made).jobs
        plan = planner.plan()
        begin_day(shop.journal, "", plan.from_now, order=plan.order)
        while plan.lines and len(done) < 2 * len(jobs):  # of two dirty blades each is cleaned
            line, begin = plan.lines[0], max(plan.lines[0].start, clock.now)
            clock.now = begin
            if line.piece.id in done:
                return f"{line.piece.id} is planned a second time, after {[*done]}"
            do_piece(shop, line.piece, line.piece.minutes * chance.choice(_PACE), clock)
            done[line.piece.id] = _minutes(begin - zero), _minutes(clock.now - zero)
            shop.refresh()
            plan = planner.plan()
    return _wrong(made, done, plan)


def _minutes(span: timedelta) -> float:
    return span.total_seconds() / 60


def do_piece(shop: OpenShop, piece: Piece, minutes: float, clock: Clock) -> None:
    """Do a piece: a task step by step, what else there is in one go."""
    if piece.sort != "task":
        clock.pass_by(minutes=minutes)
        if piece.sort == "check":
            add(shop, piece.target)
        else:
            _see_to_cutter(shop, piece, clock)
        return
    standing = shop.standing.of_machine(piece.machine)
    assert standing is not None
    (one,) = (each for each in standing.tasks if each.task.id == piece.target)
    sitting = TaskSitting(shop.journal, piece.machine, one.task, one.begun)
    first, last = piece.steps
    steps = last - first + 1  # none, where the end of its last wait alone is left
    if sitting.waits:
        clock.pass_by(minutes=0 if steps else minutes)
        do_steps(sitting)
    for _ in range(steps):
        clock.pass_by(minutes=minutes / steps)
        do_steps(sitting)


def _see_to_cutter(shop: OpenShop, piece: Piece, clock: Clock) -> None:
    machine = piece.id.split(" ")[1].partition(".")[0]
    here = standings_now(shop.shop, machine, shop.journal)
    one = next(each for each in here if each.id == piece.target)
    if piece.act == "cleaned":
        record_act(one, piece.act, clock.now, shop.journal)
    else:
        off = mounted_like(one, here)
        record_change(change(one, piece.act, (off or one).state, here), shop.journal)


def _wrong(made: Made, done: Done, plan: DayPlan) -> str | None:
    """Say which rule was broken by what was done, or what was not done at all."""
    day = Day(_cleaned_first(made, done))
    if plan.lines:
        return f"after {len(done)} jobs there is still {[line.piece.id for line in plan.lines]}"
    left = left_ids(plan, day.jobs)
    to_do = day.jobs.keys() - day.still_true(left)
    if done.keys() | left != to_do:
        return f"not what was to be done: {(done.keys() | left) ^ to_do}"
    if left and not made.hours:
        return f"left although there is time without an end: {left}"
    as_done = day.workday()
    jobs = tuple(
        job._replace(
            minutes=done[job.id][1] - done[job.id][0],
            after=tuple(one for one in job.after if one[0] in done),
        )
        for job in as_done.jobs
        if job.id in done
    )
    starts = {name: begin for name, (begin, _) in done.items()}
    found = faults(as_done._replace(jobs=jobs), [*done], starts)
    # a job that takes longer may let a wait run over, whatever was planned
    return "; ".join(one for one in found if "is left too long" not in one) or None


def _cleaned_first(made: Made, done: Done) -> Made:
    """Give the shop as it is planned once a dirty spare is clean: that goes on, the other waits.

    Both dirty, neither is said to be first by any rule.
    """
    places = []
    for place in made.places:
        edge = place.edge
        both = edge is not None and edge.state == edge.spare == "dirty"
        spare_first = f"clean {place.id}.spare" in done and f"cutter {place.id}.on" not in done
        if edge is not None and both and spare_first:
            places.append(replace(place, edge=replace(edge, spare="sharp")))
            done.pop(f"clean {place.id}.spare")
        else:
            places.append(place)
    return replace(made, places=tuple(places))
