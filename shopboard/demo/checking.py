"""A check that is done and recorded, by the steps of the program, as somebody answers them."""

from __future__ import annotations

import copy
import random

from shopboard.checks import registry
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.need import Need, need_kept
from shopboard.checks.possible import need_the_tools
from shopboard.checks.steps import AnswerError, Finding
from shopboard.checks.walk import walk
from shopboard.demo.person import CAN, Doing
from shopboard.demo.world import World
from shopboard.journal import Entry, new_uid
from shopboard.journal.kinds import CheckBegun, KeptResult
from shopboard.metrology.quantity import Unit
from shopboard.results.record import CheckRecord, kept_result, read_check
from shopboard.results.references import proven_drawer
from shopboard.shop.machine import Point
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.point_job import fingerprint, job_for, learnt_advance, was_moved
from shopboard.wander.ahead import WanderAhead

_MOST_STEPS = 150
"""Steps of a check after which it is left: nobody goes on for so long."""


class _LongAgo(WanderAhead):
    """Works out nothing for a result of long ago: nobody goes by what that holds any more."""

    def seen(self, step: Finding, last: Entry | None) -> None:
        """Give nothing."""

    def kept(self, step: Finding, last: Entry | None, unit: Unit) -> KeptResult:  # noqa: ARG002
        """Give the result alone."""
        return kept_result(step.outcome, step.run)


class _Sitting(CheckSitting):
    """A check whose newest result counts, or is of long ago."""

    def counts_no_more(self) -> None:
        """Say that it is of long ago."""
        self._wander = _LongAgo(self._journal, self.point, 0.05, {})


def method_of(world: World, point: Point) -> str:
    """Give the method by which a point is checked here; empty: by none that can be done."""
    if point.full_name not in world.methods:
        job = job_for(world.shop, point, None)
        possible = (one for one in point.checks if one in CAN and _can_be_done(one, job))
        world.methods[point.full_name] = next(possible, "")
    return world.methods[point.full_name]


def _can_be_done(name: str, job: CheckContext) -> bool:
    method = registry.method(name)
    try:
        need_the_tools(method, job)
    except NotPossibleError:
        return False
    return method.kind == job.tolerance.kind


def check(
    world: World,
    point: Point,
    *,
    corrects: bool | None = None,
    need: Need | None = None,
    misread: float = 0.0,
    long_ago: bool = False,
) -> CheckRecord | None:
    """Check a point and record it; give the last result, None where it cannot be checked."""
    name = method_of(world, point)
    if not name:
        return None
    method, job = registry.method(name), _job(world, point, need)
    sitting = _Sitting(
        *(world.journal, job, point, method, new_uid()),
        world.shop.accepted_risk,
        world.shop.reached.get(point.machine),
    )
    if long_ago:
        sitting.counts_no_more()
    told = need_kept(need, method.kind) if need else None
    sitting.begin(CheckBegun(name, fingerprint(job), point.name, need=told))
    doing = Doing(
        *(name, job, world.truths[point.full_name], world.tools, world.rng),
        corrects=corrects,
        misread=misread,
    )
    each = method.minutes / 14
    for _ in range(_MOST_STEPS):
        step = sitting.step
        if step is None:
            break
        said = doing.answer(step)
        world.takes(min(each, 1.5))
        try:
            sitting.answer(said)
        except AnswerError:
            sitting.discard("left")
    else:
        sitting.discard("left")
    results = [*sitting.recorded.values()]
    world.told |= {one.uid: error for one, error in zip(results, doing.errors, strict=False)}
    return read_check(results[-1]) if results else None


def would_be(world: World, point: Point, share: float) -> str:
    """Give the verdict on a point that stands at a share of its half-width; nothing is recorded.

    The check that is done next, if it is left there, comes to the same.
    """
    name = method_of(world, point)
    if not name:
        return ""
    truth, rng = copy.copy(world.truths[point.full_name]), random.Random()  # noqa: S311 - no secret
    rng.setstate(world.rng.getstate())
    truth.at_share(share)
    job, method = _job(world, point, None), registry.method(name)
    doing = Doing(name, job, truth, world.tools, rng, corrects=False)
    answers: dict[str, str] = {}
    stands = walk(method, job, answers)
    try:
        while stands.step is not None and len(answers) < _MOST_STEPS:
            answers[stands.step.key] = doing.answer(stands.step)
            rng.uniform(0.7, 1.3)  # as `World.takes`
            stands = walk(method, job, answers, after=stands)
    except AnswerError:
        return ""
    return (stands.findings[-1].outcome.verdict or "") if stands.findings else ""


def _job(world: World, point: Point, need: Need | None) -> CheckContext:
    """Tell what is known of the point; what the hand repeats to is not asked of every check."""
    shop, journal = world.shop, world.journal
    return job_for(shop, point, None, need=need)._replace(
        drawer=proven_drawer(shop, journal, None),
        was_moved=was_moved(journal, point, None),
        mm_per_turn=learnt_advance(journal, point, None),
    )
