"""Several points of one machine in one go: unplugged once, measured all, cleared once."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks import registry
from shopboard.checks.correction_steps import UNPLUGGED
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import NotPossibleError
from shopboard.checks.steps import Caution, Choice, Step
from shopboard.checks.walk import walk
from shopboard.journal import JournalError, Store
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.point_job import job_for
from shopboard.standing.model import ShopStanding
from shopboard.standing.next_checks import worst_first
from shopboard.upkeep.plug import plug_is_doubtful

if TYPE_CHECKING:
    from shopboard.checks.need import Need


class NextAfter(NamedTuple):
    """What a plan leads on to after a point."""

    names: tuple[str, ...]
    """Full names of the points, in the order of the plan."""
    need_of: Callable[[str], Need | None]
    """Gives what the work asks of one of them as things stand by then."""


def next_points(
    standing: ShopStanding, shop: Shop, full_name: str, planned: Sequence[str] | None = None
) -> list[Point]:
    """Give the points to check after one, in the order to check them, the nearest first.

    The nearest are those of its own machine, then those of other modes of the same body. What
    rests on a point that is not true waits for that, and is left out.

    Args:
        standing: how all stands now.
        shop: the shop.
        full_name: of the point that was checked.
        planned: full names of those that a plan puts next, in its order; None: all to be checked.
    """
    found = worst_first(standing) if planned is None else map(standing.of_point, planned)
    points = [
        one.point
        for one in found
        if one is not None and not one.first and one.point.full_name != full_name
    ]
    if planned is not None:
        return points
    machine = full_name.partition(".")[0]
    modes = [one.id for one in shop.modes_beside(machine)]
    return sorted(points, key=lambda one: (one.machine != machine, one.machine not in modes))


def next_here(
    sitting: CheckSitting,
    points: Sequence[Point],
    shop: Shop,
    standing: ShopStanding,
    journal: Store,
) -> Point | None:
    """Give the next point that can be checked before the machine is cleared; None: none can.

    One that needs a test cut, and what rests on it, is left for when the machine is plugged in.
    """
    later: set[str] = set()
    for point in points:
        if later.isdisjoint(point.rests_on) and may_go_on(sitting, point, shop, standing):
            with contextlib.suppress(NotPossibleError, JournalError):
                walk(registry.method(point.checks[0]), job_for(shop, point, journal), {})
                return point
        later.add(point.full_name)
    return None


def may_go_on(sitting: CheckSitting, point: Point, shop: Shop, standing: ShopStanding) -> bool:
    """Tell whether a point can be checked right after, with plug and tools as they are.

    Not where it needs a test cut, which needs the plug, or where less would be put back at its end.
    The modes of a combination machine share one plug.
    """
    before, after = sitting.method, registry.method(point.checks[0])
    if not isinstance(before, GuidedCheck) or not isinstance(after, GuidedCheck):
        return False
    clears = after.hands_near and (after.clears or point.cutter_near)
    all_off = before.above_all in ("", after.above_all)
    guards_back = point.cutter_near or not sitting.point.cutter_near
    here = point.machine == sitting.point.machine or _changes_over(sitting, point, shop, standing)
    return here and clears and all_off and guards_back


def _changes_over(sitting: CheckSitting, point: Point, shop: Shop, standing: ShopStanding) -> bool:
    """Tell whether the machine can be changed over to a point's mode: no cutter of it is out.

    Nor with what must come off before all else still on it.
    """
    modes = shop.modes_beside(sitting.point.machine)
    stand = (standing.of_machine(one.id) for one in modes)
    shut = not any(
        one.changing is not None
        or any(task.begun is not None and task.task.cutter_near for task in one.tasks)
        for one in stand
        if one is not None
    )
    above_all = isinstance(sitting.method, GuidedCheck) and sitting.method.above_all
    return shut and not above_all and point.machine in [one.id for one in modes]


def carry(
    sitting: CheckSitting, before: CheckSitting, last: datetime | None, now: datetime
) -> None:
    """Take over what was made ready for the point before: the plug is out, the tools are taken.

    Args:
        sitting: the check that begins.
        before: the check that went on to it.
        last: when something was recorded in that before it was gone on from.
        now: the time; after a pause the plug is asked again.

    Raises:
        JournalError: when it cannot be recorded.
    """
    known = {step.key: (step, text) for step, text in before.walk.answered}
    out = before.plug_is_out and last is not None and not plug_is_doubtful(last, now)
    while sitting.step is not None and sitting.step.key in known:
        step, (same, text) = sitting.step, known[sitting.step.key]
        if isinstance(step, Caution):
            lies_ready = step.key == UNPLUGGED and out
        else:
            lies_ready = sitting.prepares(step) and _takes(step, same, text)
        if not lies_ready:
            return
        sitting.answer(text)
        sitting.carried = True
        sitting.carried_tools |= isinstance(step, Choice) and not isinstance(step, Caution)


def _takes(step: Step, same: Step, text: str) -> bool:
    """Tell whether a choice of tools offers first what lies at hand from the point before."""
    if not isinstance(step, Choice) or not isinstance(same, Choice) or step.title != same.title:
        return False
    return text == (step.default if step.default is not None else step.options[0].value)
