"""How long a check takes: told, learnt from the journal, or usual."""

from __future__ import annotations

from datetime import timedelta

import pytest

from shopboard.checks import registry
from shopboard.journal import NewEntry, SqliteJournal
from shopboard.prep.minutes import (
    CHANGE_MINUTES,
    OTHER_CHECK,
    PLAIN_TASK,
    STEP_MINUTES,
    check_minutes,
    learnt_minutes,
    method_minutes,
    task_minutes,
    usual_minutes,
    whole_minutes,
)
from shopboard.shop.machine import Task, TaskStep
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from tests.builders import make_point, make_shop
from tests.journal.helpers import Clock

POINT = make_point("saw.blade")
SHOP = make_shop(POINT)


def sitting(
    journal: SqliteJournal, clock: Clock, name: str, *minutes: float, why: str = "finished"
) -> None:
    """A check: begun, an answer after each of these minutes but the last, then its end."""
    journal.append([NewEntry(name, "begin", "saw", "blade", {"v": 1, "method": "square"})])
    for number, each in enumerate(minutes):
        clock.pass_by(minutes=each)
        kind, body = ("end", {"why": why}) if number == len(minutes) - 1 else ("answer", {})
        journal.append([NewEntry(f"{name}-{number}", kind, "saw", "blade", {**body}, name)])
    clock.pass_by(hours=1)


def walk_through(done: CheckSitting) -> None:
    """Answer a check to its end: no light, no leaf goes."""
    while done.step is not None:
        said = {"light": "none", "both": "neither"}.get(done.step.key, "")
        done.answer(said)


def test_what_the_shop_file_says_comes_first(journal: SqliteJournal, clock: Clock) -> None:
    told = make_shop(POINT._replace(minutes=4.5))
    for name in "abc":
        sitting(journal, clock, name, 10, 10)
    assert check_minutes(journal, told, "saw.blade") == 4.5


def test_three_finished_checks_teach_their_middle(journal: SqliteJournal, clock: Clock) -> None:
    sitting(journal, clock, "a", 4, 5)
    sitting(journal, clock, "b", 10, 10, 10)
    assert check_minutes(journal, SHOP, "saw.blade") == method_minutes("square")
    sitting(journal, clock, "c", 6, 5)
    assert check_minutes(journal, SHOP, "saw.blade") == 11


def test_the_last_five_count(journal: SqliteJournal, clock: Clock) -> None:
    for number, minutes in enumerate((10, 10, 10, 10, 8, 7, 6, 5, 4)):
        sitting(journal, clock, f"v{number}", minutes)
    assert check_minutes(journal, SHOP, "saw.blade") == 6


@pytest.mark.parametrize(("left", "learnt"), [(9, True), (10, False)])
def test_what_was_finished_among_the_last_twelve_counts(
    journal: SqliteJournal, clock: Clock, left: int, *, learnt: bool
) -> None:
    """Of three finished ones the oldest comes twelfth or thirteenth; the others were left."""
    for name in "abc":
        sitting(journal, clock, name, 4, 5)
    for number in range(left):
        sitting(journal, clock, f"left{number}", 1, why="given up")
    assert learnt_minutes(journal, POINT) == (9 if learnt else None)


@pytest.mark.parametrize(("minutes", "why"), [((3, 11, 2), "finished"), ((3, 2), "begun anew")])
def test_a_pause_and_a_check_that_was_left_teach_nothing(
    journal: SqliteJournal, clock: Clock, minutes: tuple[float, ...], why: str
) -> None:
    sitting(journal, clock, "a", 5, 5)
    sitting(journal, clock, "b", 5, 5)
    sitting(journal, clock, "c", *minutes, why=why)
    assert check_minutes(journal, SHOP, "saw.blade") == method_minutes("square")


def test_a_long_cut_is_no_pause_where_the_check_takes_long(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Cutting a board for five cuts may take a quarter of an hour; a square is never that long."""
    long = make_shop(POINT._replace(checks=("five-cut",)))
    for name in "abc":
        journal.append([NewEntry(name, "begin", "saw", "blade", {"method": "five-cut"})])
        clock.pass_by(minutes=18)
        journal.append([NewEntry(f"{name}-1", "end", "saw", "blade", {"why": "finished"}, name)])
    assert check_minutes(journal, long, "saw.blade") == 18


def test_answers_from_a_file_teach_nothing(journal: SqliteJournal, clock: Clock) -> None:
    """Nobody stood at the machine; nor did, before that was on record, who answered in no time."""
    for _ in range(3):
        done = start(journal, SHOP, POINT, from_file=True)
        clock.pass_by(minutes=3)
        walk_through(done)
    assert check_minutes(journal, SHOP, "saw.blade") == method_minutes("square")
    for name in "abc":  # as an earlier version wrote a file's answers, all in one moment
        sitting(journal, clock, name, *[0.001] * 8)
    assert check_minutes(journal, SHOP, "saw.blade") == method_minutes("square")


@pytest.mark.parametrize(("left_for", "learnt"), [(1, True), (5, False)])
def test_a_check_that_was_left_for_a_while_teaches_nothing(
    journal: SqliteJournal, clock: Clock, left_for: float, learnt: bool
) -> None:
    """Left with Esc and gone on with: five minutes elsewhere are no part of it."""
    for _ in range(3):
        begun = start(journal, SHOP, POINT)
        begun.answer("")
        clock.pass_by(minutes=left_for)
        (waiting,) = (one for one in journal.recent("begin", "saw", "blade", 1))
        again = resume(journal, SHOP, POINT, waiting, clock.now)
        assert again is not None
        clock.pass_by(minutes=3)
        walk_through(again)
    minutes = check_minutes(journal, SHOP, "saw.blade")
    assert (minutes == method_minutes("square")) is not learnt


def test_ten_readings_for_the_hand_teach_nothing_of_a_check(
    journal: SqliteJournal, clock: Clock
) -> None:
    """A study takes longer than a check ever does."""
    for name in "abc":
        body = {"method": "square", "study": True}
        journal.append([NewEntry(name, "begin", "saw", "blade", body)])
        clock.pass_by(minutes=9)
        journal.append([NewEntry(f"{name}-1", "end", "saw", "blade", {"why": "finished"}, name)])
    assert check_minutes(journal, SHOP, "saw.blade") == method_minutes("square")


def test_a_clock_that_went_back_teaches_nothing(journal: SqliteJournal, clock: Clock) -> None:
    sitting(journal, clock, "a", 5, 5)
    sitting(journal, clock, "b", 5, 5)
    journal.append([NewEntry("c", "begin", "saw", "blade", {"v": 1})])
    clock.now -= timedelta(minutes=10)
    journal.append([NewEntry("c-end", "end", "saw", "blade", {"why": "finished"}, "c")])
    assert check_minutes(journal, SHOP, "saw.blade") == method_minutes("square")


def test_every_method_says_its_usual_minutes() -> None:
    assert all(
        method_minutes(name) == registry.method(name).minutes > 0 for name in registry.names()
    )
    assert method_minutes("of another day") == OTHER_CHECK


def test_a_point_that_is_not_there(journal: SqliteJournal) -> None:
    with pytest.raises(KeyError):
        check_minutes(journal, SHOP, "saw.wings")


def test_minutes_of_a_task() -> None:
    steps = (TaskStep("Wax on", 10), TaskStep("Buff"))
    assert (STEP_MINUTES, PLAIN_TASK) == (3, 10)  # common practice, no source
    assert task_minutes(Task("wax", "Wax", steps=steps)) == 2 * STEP_MINUTES
    assert task_minutes(Task("wax", "Wax", steps=steps, minutes=15)) == 15
    assert task_minutes(Task("drum", "Empty the drum")) == PLAIN_TASK


USUAL = {
    2: "note",
    3: "timed go-no-go",
    5: "leaf-gap runout",
    6: "square",
    8: "straightness sweep tram blade-tension wind",
    10: "centres thickness snipe seating square-flip",
    12: "flatness coplanar flip drift-angle drilled-angle",
    15: "edge-pair carry taper",
    20: "diagonals three-squares three-straightedges",
    25: "five-cut",
    30: "frame",
}
"""Minutes for somebody who does each a few times a year (common practice, no source)."""


@pytest.mark.parametrize("minutes", USUAL)
def test_what_a_check_usually_takes_with_its_correction(minutes: int) -> None:
    for name in USUAL[minutes].split():
        assert usual_minutes(POINT._replace(checks=(name, "square"))) == minutes


def test_what_a_change_of_cutter_takes() -> None:
    """A bit in a collet, a blade on an arbor, a band with its tension, knives set one by one.

    Common practice, no source.
    """
    assert CHANGE_MINUTES == {"bit": 2, "blade": 6, "band": 12, "knives": 30, "hand tool": 2}


def test_the_last_digits_of_a_float_are_no_minute() -> None:
    """Of knives that take 30 minutes, a third done, 20 are left; two thirds, 10; of 2.5, 3."""
    assert [30 * (1 - done / 3) for done in (1, 2)] != [20, 10]
    assert [whole_minutes(30 * (1 - done / 3)) for done in (1, 2)] == [20, 10]
    assert [whole_minutes(one) for one in (0, 0.4, 2.5, 6, 8.3 * 60)] == [0, 1, 3, 6, 498]


def test_another_way_than_the_first_takes_what_is_usual_for_it(
    journal: SqliteJournal, clock: Clock
) -> None:
    """What was learnt is of the first."""
    two = make_shop(POINT._replace(checks=("square", "five-cut")))
    for name in "abc":
        sitting(journal, clock, name, 4, 5)
    assert check_minutes(journal, two, "saw.blade") == 9
    assert check_minutes(journal, two, "saw.blade", "square") == 9
    assert check_minutes(journal, two, "saw.blade", "five-cut") == 25
    assert check_minutes(journal, two, "saw.blade", "by some later way") == 10
    assert usual_minutes(POINT._replace(checks=())) == 10


@pytest.mark.parametrize(("seconds", "learnt"), [(0.9, None), (1.0, 0.5), (29, 0.5), (60, 1.0)])
def test_the_quickest_check_that_teaches_has_a_second_for_each_answer(
    journal: SqliteJournal, clock: Clock, seconds: float, learnt: float | None
) -> None:
    """And counts as half a minute at the least (common practice, no source)."""
    for name in "abc":
        sitting(journal, clock, name, seconds / 60, 0.0)
    assert learnt_minutes(journal, POINT) == learnt


@pytest.mark.parametrize(("minutes", "learnt"), [(10.0, 10.0), (10.1, None)])
def test_no_step_takes_longer_than_ten_minutes(
    journal: SqliteJournal, clock: Clock, minutes: float, learnt: float | None
) -> None:
    for name in "abc":
        sitting(journal, clock, name, minutes)
    assert learnt_minutes(journal, POINT) == learnt


@pytest.mark.parametrize(("left", "learnt"), [(9, 4), (10, None)])
def test_the_last_twelve_that_were_begun_are_looked_at(
    journal: SqliteJournal, clock: Clock, left: int, learnt: float | None
) -> None:
    for name in "abc":
        sitting(journal, clock, name, 4)
    for number in range(left):
        sitting(journal, clock, f"left {number}", 4, why="begun anew")
    assert learnt_minutes(journal, POINT) == learnt
