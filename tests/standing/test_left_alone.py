"""What is left alone within tasks under way, and with which of them to go on: by the clock."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.shop.machine import Machine, Task, TaskStep
from shopboard.standing.model import MachineStanding, ShopStanding
from shopboard.standing.waits import goes_on_first, waits_of
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.wait_watch import WaitWatch
from tests.standing.test_judge import NOW

STEPS = (TaskStep("Wax on"), TaskStep("Leave it", 30), TaskStep("Buff off"))


def task(name: str, begun: Begun | None) -> TaskStanding:
    return TaskStanding(Task(name, name, 28, steps=STEPS, every="4 weeks"), True, "", begun=begun)


def begun(uid: str, minutes_ago: float, wait: float, *, same: bool = True) -> Begun:
    since = NOW - timedelta(minutes=minutes_ago)
    return Begun(uid, since - timedelta(minutes=5), 2, since, wait, since, same=same)


def shop(**tasks: list[TaskStanding]) -> ShopStanding:
    return ShopStanding(
        tuple(MachineStanding(Machine(name, name), "due", (), tuple(tasks[name])) for name in tasks)
    )


def watch(now: datetime = NOW) -> WaitWatch:
    return WaitWatch(lambda: now, lambda: 0.0)


def test_what_ends_first_is_at_the_front_with_what_is_left_of_it() -> None:
    """30 minutes, 10 and 24 of them ago, and one that is over since 5; the fourth needs no wait."""
    standing = shop(
        saw=[task("wax", begun("a", 10, 30)), task("oil", None)],
        planer=[task("wax", begun("b", 24, 30)), task("oil", begun("c", 1, 0))],
        lathe=[task("wax", begun("d", 35, 30)), task("old", begun("e", 1, 30, same=False))],
    )
    found = waits_of(standing, watch())
    assert [(one.machine, one.seconds, one.words) for one in found] == [
        ("lathe", -300, "Leave it: time is up"),
        ("planer", 360, "Leave it: 6 min left"),
        ("saw", 1200, "Leave it: 20 min left"),
    ]
    assert [one.mark[0] for one in found] == ["d", "b", "a"]
    assert found[0].mark == ("d", NOW - timedelta(minutes=35), 30)
    assert goes_on_first(standing, found) == ("lathe", standing.machines[2].tasks[0])


def test_without_a_wait_the_one_touched_last_goes_on() -> None:
    """By its newest entry; where it has none beside its beginning, by that."""
    older = begun("a", 50, 0)
    newer = Begun("b", NOW - timedelta(minutes=20))
    standing = shop(saw=[task("wax", older)], planer=[task("wax", newer), task("oil", None)])
    assert waits_of(standing, watch()) == []
    assert goes_on_first(standing, []) == ("planer", standing.machines[1].tasks[0])
    touched = older._replace(last=NOW - timedelta(minutes=10))
    standing = shop(saw=[task("wax", touched)], planer=[task("wax", newer)])
    assert goes_on_first(standing, []) == ("saw", standing.machines[0].tasks[0])
    assert goes_on_first(shop(saw=[task("wax", None)]), []) is None
