"""A made shop, read and planned as a user's is, and what is wrong with its plan.

The rules are worked out anew from the shop's description (own_rules.py), looked for in the times of
the plan (keeps.py), and told to a constraint solver, Google OR-Tools CP-SAT (cp_model.py): none of
these takes more from the program than the plain data of a work day.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime, timedelta
from pathlib import Path

from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.past_closing import INTO_PAUSE
from shopboard.prep.plan import DayPlan
from shopboard.prep.schedule.job import Workday
from shopboard.sittings.task import TaskSitting
from tests.builders import do_steps
from tests.journal.helpers import Clock
from tests.prep.cp_model import ask, least_left
from tests.prep.keeps import faults, left
from tests.prep.own_rules import Day
from tests.prep.random_shop import Made, shop_file
from tests.prep.test_whole_joints import add

SURE = 12
"""Jobs up to which the least finish is promised; of more than that, to NEAR times as much."""

NEAR = 1.03


@contextmanager
def opened(made: Made, folder: Path, clock: Clock | None = None) -> Iterator[OpenShop]:
    """Open a made shop, with what is on record of it; the folder is empty."""
    path = folder / "shop.toml"
    path.write_text(shop_file(made), encoding="utf-8")
    with closing(OpenShop(path, folder / "journal.sqlite3", clock or Clock())) as shop:
        for spot in made.spots.values():
            if spot.true:
                add(shop, spot.name)
        shop.refresh()
        for place in made.places:
            for one in place.upkeep:
                if one.done:
                    standing = shop.standing.of_machine(place.id)
                    assert standing is not None
                    task = next(each for each in standing.tasks if each.task.id == one.id)
                    waits = sum(bool(step.wait) for step in one.steps[: one.done - 1])
                    do_steps(TaskSitting(shop.journal, place.id, task.task, None), one.done + waits)
        shop.refresh()
        yield shop


def planned(made: Made, folder: Path) -> DayPlan:
    """Give the plan for all that is due in a made shop."""
    with opened(made, folder) as shop:
        return Planner(shop).plan()


def wrong(made: Made, plan: DayPlan, work: float = 5) -> str | None:
    """Say what is wrong with the plan of a made shop without hours; None: nothing.

    Args:
        made: the shop.
        plan: its plan.
        work: how much the solver may take, see `ask`.
    """
    day = Day(made).workday()
    starts = {line.piece.id: (line.start - plan.now).total_seconds() / 60 for line in plan.lines}
    if starts.keys() != {job.id for job in day.jobs}:
        return f"not what is to be done: {starts.keys() ^ {job.id for job in day.jobs}}"
    if not day.jobs:
        return None
    finish = max(starts[job.id] + job.minutes + job.tail for job in day.jobs)
    if abs(finish - plan.minutes) > 1e-6 or plan.bound > finish + 1e-6:
        return f"said to take {plan.minutes}, at the least {plan.bound}; by its times {finish}"
    found = faults(day, [line.piece.id for line in plan.lines], starts)
    harm = [fault for fault in found if "harms" in fault]
    if len(harm) < len(found):
        return "; ".join(found)
    return _too_long(day, plan, starts, work, harm)


def left_ids(plan: DayPlan, jobs: Iterable[str]) -> set[str]:
    """Give the ids of the jobs that do not fit: a task is told once, by the first of its parts."""
    first = {one.piece.id for one in plan.left}
    return {
        name
        for name in jobs
        if name in first
        or any(
            one.rpartition(" ")[0] == name.rpartition(" ")[0] and int(name.split()[-1]) > step
            for one in first
            if one.startswith("task ") and (step := int(one.split()[-1]))
        )
    }


def wrong_in_hours(made: Made, plan: DayPlan) -> str | None:
    """Say which rule the plan of a shop with hours breaks; None: it keeps them all."""
    day, jobs = Day(made), Day(made).jobs
    starts = {line.piece.id: (line.start - plan.now).total_seconds() / 60 for line in plan.lines}
    put_off = left_ids(plan, jobs)
    to_do = jobs.keys() - day.still_true(put_off)
    if starts.keys() | put_off != to_do or starts.keys() & put_off:
        return f"not what is to be done: {(starts.keys() | put_off) ^ to_do}"
    some = tuple(
        job._replace(after=tuple(one for one in job.after if one[0] in starts))
        for job in jobs.values()
        if job.id in starts
    )
    planned_ones = day.workday()._replace(jobs=some)
    found = faults(planned_ones, [line.piece.id for line in plan.lines], starts)
    for line in plan.lines:
        job, begin, end = jobs[line.piece.id], _of_day(line.start), _of_day(line.end)
        same_day = (one for one in plan.lines if one.start.date() == line.start.date())
        later = any(begin < _of_day(one.start) for one in same_day)
        stays = 0 if later else INTO_PAUSE  # with nothing to come back for after the pause
        pauses = {two for one, two in made.hours if two < max(end for _, end in made.hours)}
        if not any(
            one <= begin < two and end <= two + stays * (two in pauses) for one, two in made.hours
        ):
            found.append(f"{job.id} from {begin} to {end}, when nobody is there")
        over = _of_day(line.end + timedelta(minutes=job.tail))
        is_seen = job.id in day.alone or any(one <= over <= two for one, two in made.hours)
        if job.tail and not is_seen:
            found.append(f"the wait after {job.id} is over at {over}, when nobody is there")
        if lacks := day.needs(job.id) & put_off:
            found.append(f"{job.id} without {lacks}")
    return "; ".join(found) or None


def _of_day(when: datetime) -> float:
    """Give minutes from midnight."""
    there = when.astimezone()
    return there.hour * 60 + there.minute + there.second / 60


def _too_long(
    day: Workday, plan: DayPlan, starts: dict[str, float], work: float, harm: list[str]
) -> str | None:
    """Say by how much a plan is longer than need be."""
    small, finish = len(day.jobs) <= SURE, round(plan.minutes)
    known = 0 if small or harm else finish
    best = ask(day, work, known=known, begin={} if harm else starts)
    if harm:
        return "; ".join(harm) if best.finish >= 0 else None
    if best.finish < 0:
        return "there is no plan, says the solver" if small else None
    if plan.bound > best.finish:
        return f"at the least {plan.bound}, says the plan; {best.finish} can be had"
    if small and best.bound < best.finish:
        return "the solver was not done"
    if finish > (1 if small else NEAR) * best.finish:
        return f"{len(day.jobs)} jobs in {finish}, where {best.finish} can be had"
    if small and not plan.is_shortest:
        return f"{finish} is not known to be the least, which it is"
    return _left(day, plan, starts) if small else None


def _left(day: Workday, plan: DayPlan, starts: dict[str, float]) -> str | None:
    """Say whether more waits are left than need be, or not each by name."""
    over = left(day, starts)
    named = sum("longer than its wait" in one for one in plan.left_out)
    if named != len(over):
        return f"{over} are left too long; {named} are named"
    least = least_left(day, round(plan.minutes)) if over else 0
    return f"{over} are left too long, where {least} would do" if least < len(over) else None
