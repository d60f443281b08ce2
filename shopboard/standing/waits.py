"""What is left alone within the tasks that are under way, and which of these goes on first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.wait_watch import WaitWatch, left_words


class Wait(NamedTuple):
    """Something that is left alone within a task: to soak, to dry, to haze."""

    machine: str
    """Id of the task's machine."""
    standing: TaskStanding
    seconds: float
    """How long still; 0 or less when time is up."""
    words: str
    """The same in words: ``Soak: 6 min left``."""
    mark: tuple[str, datetime | None, float]
    """Tells this wait from every other one, and from itself when it is set anew."""
    latest: datetime | None = None
    """When it has to be gone on with at the latest; None: nothing is said of that."""


def waits_of(standing: ShopStanding, watch: WaitWatch) -> list[Wait]:
    """Give what is left alone within tasks, that which is over or ends first at the front."""
    found: list[Wait] = []
    for machine in standing.machines:
        for one in machine.tasks:
            seconds = watch.left(one.begun) if one.begun is not None else None
            if one.begun is not None and one.begun.same and seconds is not None:
                step = one.task.steps[one.begun.steps - 1]
                words = left_words(step.words, seconds, one.begun.wait, step.at_most_minutes)
                mark = (one.begun.uid, one.begun.since, one.begun.wait)
                latest = latest_end(one.begun, step.at_most_minutes)
                found.append(Wait(machine.machine.id, one, seconds, words, mark, latest))
    return sorted(found, key=lambda wait: wait.seconds)


def latest_end(begun: Begun, at_most: float | None) -> datetime | None:
    """Give when a wait that runs has to be gone on with at the latest; None: nothing is said of it.

    Args:
        begun: the task, with its wait.
        at_most: minutes that the wait may last at the longest; None: nothing is said of that.
    """
    if at_most is None or begun.since is None:
        return None
    return begun.since + timedelta(minutes=max(begun.wait, at_most))


def goes_on_first(standing: ShopStanding, waits: Sequence[Wait]) -> tuple[str, TaskStanding] | None:
    """Give the task to go on with, and its machine's id: that whose wait ends first.

    Args:
        standing: how the shop stands.
        waits: of it.
    """
    if waits:
        return waits[0].machine, waits[0].standing
    begun = [
        (one.begun.last or one.begun.when, machine.machine.id, one)
        for machine in standing.machines
        for one in machine.tasks
        if one.begun is not None
    ]
    newest = max(begun, key=lambda found: found[0], default=None)
    return newest[1:] if newest is not None else None
