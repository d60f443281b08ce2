"""What is asked of a standing: of a point in each state, of a machine, of the shop.

The tables say what a person does with a point in that state (common practice, no source): what is
true or only noted is left alone, what waits cannot be helped by checking it, what is known to be
out is set rather than checked again.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from shopboard.base.state_words import stands_words
from shopboard.journal.entry import Damage
from shopboard.shop.machine import Cutter, Machine, Sharpness, Task, Where
from shopboard.standing.model import (
    MachineStanding,
    MachineState,
    Past,
    PointStanding,
    ShopStanding,
    State,
)
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.safety_record import RoundStanding
from shopboard.upkeep.tasks import TaskStanding
from tests.builders import make_point
from tests.standing.test_judge import DAY, NOW, record

HELP_IN_VAIN = {"waits", "true", "noted"}


@pytest.mark.parametrize(
    ("state", "stale", "is_open", "stands", "first"),
    [
        ("out", "", True, True, "adjust"),
        ("out", "knocked", True, False, "check"),
        ("near", "", True, True, "check"),
        ("near", "knocked", True, False, "check"),
        ("unproven", "", True, False, "check"),
        ("due", "knocked", True, False, "check"),
        ("waits", "depends on Table", True, False, "check"),
        ("true", "", False, True, "check"),
        ("noted", "", False, False, "check"),
    ],
)
def test_what_is_done_with_a_point_in_each_state(
    state: State, stale: str, is_open: bool, stands: bool, first: str
) -> None:
    found = PointStanding(make_point(), state, "", stale=stale)
    assert found.is_open is is_open
    assert found.to_check is (state not in HELP_IN_VAIN)
    assert found.stands is stands
    assert found.comes_first == first


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("waits", "waits"),
        ("due", "is due"),
        ("out", "is out"),
        ("kept", "has no checks"),
        ("near", "is borderline"),
    ],
)
def test_how_it_stands_is_said_in_a_sentence(state: MachineState, words: str) -> None:
    assert stands_words(state) == words


def machine(name: str, *states: State, tag: str = "") -> MachineStanding:
    """A machine with a point in each of these states; its own state is the first of them."""
    points = tuple(
        PointStanding(make_point(f"{name}.p{number}"), state, "")
        for number, state in enumerate(states)
    )
    there = Machine(name, name.capitalize(), points=tuple(one.point for one in points))
    return MachineStanding(there, states[0], points, tag=tag)


def test_the_worst_point_is_the_one_to_check_first_where_that_is_as_bad() -> None:
    """And not where it is on another machine, or stands better than the machine does."""
    saw = machine("saw", "due", "true", "due", "waits")
    assert saw.worst == saw.points[0]
    assert saw._replace(first=saw.points[2]).worst == saw.points[2]
    assert saw._replace(first=saw.points[3]).worst == saw.points[0]
    elsewhere = machine("planer", "due").points[0]
    assert saw._replace(first=elsewhere).worst == saw.points[0]
    assert saw._replace(state="out").worst is None


def test_the_last_result_of_a_machine_is_the_one_recorded_last() -> None:
    """Not the one with the latest time on it, nor that of the last point in the shop file."""
    saw = machine("saw", "true", "true", "unproven")
    assert saw.last is None
    older = saw.points[0]._replace(record=record("saw.p0", seq=9, when=NOW - DAY))
    newer = saw.points[1]._replace(record=record("saw.p1", seq=4, when=NOW))
    assert saw._replace(points=(older, newer, saw.points[2])).last == older.record


def cutter(name: str, where: Where, state: Sharpness) -> CutterStanding:
    return CutterStanding("saw", Cutter(name, name, where, state), where, state, 1)


def test_what_is_dull_or_due_on_a_machine_is_given_in_the_shop_files_order() -> None:
    saw = machine("saw", "true")
    tasks = tuple(
        TaskStanding(Task(name, name, 28, every="4 weeks"), due, "")
        for name, due in (("wax", True), ("oil", False), ("clean", True))
    )
    cutters = (
        cutter("rip", "on the machine", "dull"),
        cutter("fine", "on the machine", "sharp"),
        cutter("old", "on the shelf", "dull"),
    )
    found = saw._replace(tasks=tasks, cutters=cutters)
    assert [one.task.id for one in found.to_do] == ["wax", "clean"]
    assert [one.id for one in found.blunt] == ["rip"]
    assert (saw.to_do, saw.blunt) == ((), ())


def shop(*machines: MachineStanding) -> ShopStanding:
    return ShopStanding(machines)


def test_the_shop_is_true_when_every_point_is_true_or_noted() -> None:
    assert shop(machine("saw", "true", "noted"), machine("planer", "true")).all_true
    for state in ("out", "unproven", "near", "due", "waits"):
        assert not shop(machine("saw", "true"), machine("planer", "true", state)).all_true


def test_points_are_counted_over_all_machines() -> None:
    found = shop(machine("saw", "due", "true", "due"), machine("planer", "due", "waits"))
    counted = [found.count(state) for state in ("due", "true", "waits", "out")]
    assert counted == [3, 1, 1, 0]


def test_a_tagged_machine_comes_before_those_that_are_worse() -> None:
    """Of two that are tagged the worse comes first, of two alike the first in the shop file."""
    saw, planer = machine("saw", "true"), machine("planer", "out")
    lathe, drill = machine("lathe", "true", tag="belt"), machine("drill", "near", tag="chuck")
    bench = machine("bench", "out")
    found = shop(saw, planer, lathe, drill, bench)
    assert found.worst_first == (drill, lathe, planer, bench, saw)
    assert found.tagged == (lathe, drill)


def test_what_is_asked_for_by_name_is_found_and_else_nothing_is() -> None:
    found = shop(machine("saw", "due", "true"), machine("planer", "near"))
    assert found.of_machine("planer") == found.machines[1]
    assert found.of_point("saw.p1") == found.machines[0].points[1]
    assert found.of_machine("lathe") is None
    assert found.of_point("planer.p1") is None
    assert found.of_point("lathe.p0") is None


def a_round(hours: float, *, finished: bool = False) -> RoundStanding:
    when = NOW - timedelta(hours=hours)
    return RoundStanding("r", 3, 2, when, 4, finished, (), ())


@pytest.mark.parametrize(
    ("hours", "finished", "goes_on"),
    [(1, False, True), (12, False, True), (12.1, False, False), (1, True, False)],
)
def test_a_round_that_was_left_is_named_by_its_machine(
    hours: float, finished: bool, goes_on: bool
) -> None:
    """Within the twelve hours of one day's work; that of the shop itself has no name."""
    left = a_round(hours, finished=finished)
    saw, planer = machine("saw", "true"), machine("planer", "true")._replace(round=left)
    assert shop(saw, planer).round_left(NOW) == ("Planer" if goes_on else None)
    assert shop(saw)._replace(round=left).round_left(NOW) == ("" if goes_on else None)
    assert shop(saw).round_left(NOW) is None


@pytest.mark.parametrize(
    ("cleared", "lost", "says"),
    [
        ({}, {}, ""),
        ({"saw": 7}, {}, ""),
        ({"saw": 7}, {"saw": 7}, ""),
        ({"saw": 7}, {"saw": 8}, "may"),
        ({"saw": 7}, {"": 8}, "may"),
        ({"saw": 7}, {"planer": 8}, ""),
        ({"saw": 9}, {"saw": 8, "": 9}, ""),
        ({}, {"saw": 1}, "may"),
        ({}, {"": 1}, "may"),
    ],
)
def test_a_tag_may_be_lost_where_the_clearing_came_before_what_was_lost(
    cleared: dict[str, int], lost: dict[str, int], says: str
) -> None:
    """One whose number is the lost one's or larger was recorded after it, and stands."""
    tag = Past(cleared=cleared, lost_tags=lost).tag_of("saw")
    assert ("may carry" in tag) == bool(says)
    assert bool(tag) == bool(says)
    on_record = Past(cleared=cleared, lost_tags=lost, tags={"saw": "the guard is off"})
    assert on_record.tag_of("saw") == "the guard is off"


def test_damage_puts_in_doubt_every_clearing_before_it() -> None:
    broken = Damage(5, "entry 5 is not what was recorded")
    for cleared, doubted in (({}, True), ({"saw": 4}, True), ({"saw": 5}, False)):
        found = Past(cleared=cleared, damage=broken)
        assert bool(found.tag_of("saw")) is doubted
        assert bool(found.shaken(cleared.get("saw", 0))) is doubted
    assert Past().shaken(0) == ""
