"""What was begun in the shop and is not done: changes of cutter, checks, tasks. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.dates import ago
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.who import with_bench

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop
    from shopboard.upkeep.tasks import TaskStanding


class UnderWay(NamedTuple):
    """One thing that was begun."""

    name: str
    """Of the check or task; ``Blade change``."""
    machine: str
    """Its id."""
    where: str
    """Its name."""
    words: str
    """``begun 5 min ago``, ``Soak: 6 min left``; may be empty."""
    point: str = ""
    """Full name of the point that is being checked."""
    task: TaskStanding | None = None
    """With no point and no task it is a change of cutter."""
    begun: datetime | None = None
    """When, of a check or a task."""
    by: str = ""
    """The bench that began a check."""


def all_under_way(open_shop: OpenShop) -> list[UnderWay]:
    """Give what is under way: where a cutter may be loose first, then checks, then tasks."""
    return [*_changes(open_shop), *_checks(open_shop), *_tasks(open_shop)]


def _changes(open_shop: OpenShop) -> Iterator[UnderWay]:
    """Give each change once, though it shows at every mode that the cutter serves."""
    under_way = (one.changing for one in open_shop.standing.machines)
    for one in dict.fromkeys(filter(None, under_way)):
        where = open_shop.shop.machines_by_id[one.machine].name
        yield UnderWay(f"{one.what[0].upper()}{one.what[1:]}", one.machine, where, "")


def _checks(open_shop: OpenShop) -> Iterator[UnderWay]:
    for name, entry in open_shop.waiting.items():
        point, begun = open_shop.shop.points[name], f"begun {ago(entry.when, open_shop.now())}"
        words = with_bench(begun, entry.by)
        where = open_shop.shop.machines_by_id[point.machine].name
        yield UnderWay(
            *(point.name, point.machine, where, words), point=name, begun=entry.when, by=entry.by
        )


def _tasks(open_shop: OpenShop) -> Iterator[UnderWay]:
    """Give tasks, that which is to be gone on with first at the front."""
    waits = {(one.machine, one.standing.task.id): one.words for one in reversed(open_shop.waits())}
    begun = [
        (machine.machine, one)
        for machine in open_shop.standing.machines
        for one in machine.tasks
        if one.begun is not None
    ]
    first = open_shop.task_under_way()
    for machine, one in sorted(begun, key=lambda each: (each[0].id, each[1]) != first):
        words = waits.get((machine.id, one.task.id), "")
        when = one.begun.when if one.begun is not None else None
        yield UnderWay(one.task.name, machine.id, machine.name, words, task=one, begun=when)


def said_of(one: UnderWay) -> str:
    """Say what is in progress in a few words: ``Wax the table: Haze: 8 min left``."""
    return f"{one.name}: {one.words}" if one.words else one.name
