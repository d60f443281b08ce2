"""When a task is due. Local days are held against the tz database by way of `zoneinfo`."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopboard.base.dates import days_after, morning_after
from shopboard.shop.machine import HAPPENINGS, Task
from shopboard.upkeep.tasks import Done, Happened, TaskStanding, Totals, task_standing

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
DAY = timedelta(days=1)
ZONES = ("America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "UTC")

pytestmark = pytest.mark.skipif(not hasattr(time, "tzset"), reason="no tzset on this system")


@pytest.fixture(autouse=True)
def _greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let local time be UTC until a test says otherwise."""
    yield from local(monkeypatch, "UTC")


def local(monkeypatch: pytest.MonkeyPatch, zone: str) -> Iterator[None]:
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def stand(
    task: Task,
    done: Done | None = None,
    totals: Totals = Totals(),  # noqa: B008 - a plain tuple
    now: datetime = NOW,
    happened: Mapping[str, Happened] | None = None,
) -> TaskStanding:
    return task_standing(task, done, totals, happened or {}, now)


def test_a_task_with_a_rule_is_due_until_it_is_first_done() -> None:
    """Nobody knows when it was done before."""
    found = stand(Task("wax", "Wax", every_days=28, every="4 weeks"))
    assert (found.due, found.reason, found.due_on) == (True, "never recorded", None)


def test_a_task_without_a_rule_is_done_when_needed() -> None:
    """It is never due by itself."""
    task = Task("turn", "Turn the knives")
    assert (stand(task).due, stand(task).reason) == (False, "when needed")
    done = stand(task, Done(1, NOW - 12 * DAY))
    assert (done.due, done.reason) == (False, "done 12 days ago")


@pytest.mark.parametrize(
    ("now", "due"),
    [
        (datetime(2026, 6, 28, 23, 59, 59, tzinfo=UTC), False),
        (datetime(2026, 6, 29, 0, 0, 0, tzinfo=UTC), True),
        (datetime(2027, 1, 1, tzinfo=UTC), True),
    ],
)
def test_by_the_calendar_it_is_due_from_the_start_of_its_day(now: datetime, due: bool) -> None:
    """Who comes in the morning sees what is due that day."""
    task = Task("wax", "Wax", every_days=28, every="4 weeks")
    found = stand(task, Done(1, NOW), now=now)
    assert found.due is due
    assert found.due_on == datetime(2026, 6, 29, tzinfo=UTC)
    if due:
        assert found.reason.endswith("every 4 weeks")
    else:
        assert found.reason.endswith("due Mon 29 Jun 2026")


@pytest.mark.parametrize(
    ("ran", "due", "reason"),
    [
        (0, False, "done just now; due in 40 h of use"),
        (38.5, False, "done just now; due in 1.5 h of use"),
        (39.99, False, "done just now; due in 1 min of use"),
        (40, True, "40 h run since, every 40 hours"),
        (90, True, "90 h run since, every 40 hours"),
    ],
)
def test_by_hours_run_since_it_was_done(ran: float, due: bool, reason: str) -> None:
    """Not by the hours before."""
    task = Task("grease", "Grease", every_minutes=40 * 60.0, every="40 hours")
    found = stand(task, Done(1, NOW, minutes=1000.0), Totals(1000.0 + ran * 60))
    assert (found.due, found.reason) == (due, reason)


def test_forty_single_hours_are_forty_hours() -> None:
    """In spite of rounding: 0.1 h six hundred times is no whole number in binary."""
    task = Task("grease", "Grease", every_minutes=40 * 60.0, every="40 hours")
    ran = 1000.1
    for _ in range(400):
        ran += 0.1 * 60
    assert stand(task, Done(1, NOW, minutes=1000.1), Totals(ran)).due


@pytest.mark.parametrize(("made", "due"), [(0, False), (1, False), (2, True)])
def test_by_projects_finished(made: int, due: bool) -> None:
    """Those since it was done."""
    task = Task("hone", "Hone", every_projects=2, every="2 projects")
    found = stand(task, Done(1, NOW, projects=7), Totals(projects=7 + made))
    assert found.due is due
    words = {0: "in 2 projects", 1: "in 1 project", 2: "used in 2 projects since, every 2 projects"}
    assert found.reason.endswith(words[made])


def test_whichever_rule_comes_first() -> None:
    """Each alone is enough; none is not."""
    task = Task("hone", "Hone", 28, 20 * 60.0, 3, "4 weeks or 20 hours or 3 projects")
    done = Done(1, NOW)
    assert not stand(task, done, Totals(19 * 60.0, 2), NOW + 27 * DAY).due
    assert stand(task, done, Totals(), NOW + 28 * DAY).due
    assert stand(task, done, Totals(20 * 60.0)).due
    assert stand(task, done, Totals(0, 3)).due
    waiting = stand(task, done, Totals(60.0, 1)).reason
    assert waiting.endswith("due Mon 29 Jun 2026 or in 19 h of use or in 2 projects")


@pytest.mark.parametrize("what", HAPPENINGS)
def test_after_a_happening_since_it_was_done(what: str) -> None:
    """By the order of recording, whatever the clock said; and not by other happenings."""
    task = Task("t", "T", after=(what,))
    now, early = {what: Happened(5, NOW)}, {what: Happened(5, NOW - 9 * DAY)}
    assert stand(task).reason == f"due after {what}"
    assert stand(task, happened=now).due
    late = stand(task, Done(4, NOW), happened=early)
    assert (late.due, late.reason) == (True, f"{what} on Sat 23 May 2026")
    assert not stand(task, Done(6, NOW - 9 * DAY), happened=now).due
    assert not stand(Task("t", "T"), happened=now).due


def test_a_task_says_after_what_it_is_due_again() -> None:
    """Beside its other rules; one that was done, too."""
    task = Task("t", "T", 28, every="4 weeks", after=("knocked", "belt changed"))
    reason = stand(task, Done(1, NOW)).reason
    assert reason == "done just now; due Mon 29 Jun 2026 or after knocked or belt changed"


def test_of_several_happenings_the_first_one_since_is_named() -> None:
    """That is the one that made it due."""
    task = Task("t", "T", after=("knocked", "blade changed"))
    both = {"knocked": Happened(9, NOW), "blade changed": Happened(7, NOW)}
    assert stand(task, Done(6, NOW), happened=both).reason.startswith("blade changed")
    assert stand(task, Done(8, NOW), happened=both).reason.startswith("knocked")


def test_a_clock_that_was_wrong_makes_nothing_younger() -> None:
    """A mark from the future is not older than now, and is not younger than it says."""
    task = Task("wax", "Wax", every_days=28, every="4 weeks")
    found = stand(task, Done(1, NOW + 100 * DAY))
    assert (found.due, found.reason.startswith("done just now")) == (False, True)


MARKS = st.integers(0, 10 * 365 * 24 * 60).map(
    lambda minutes: datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
)


@pytest.mark.parametrize("zone", ZONES)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(when=MARKS, days=st.integers(1, 400))
def test_so_many_local_days_later_whatever_the_clocks_do(
    zone: str, monkeypatch: pytest.MonkeyPatch, when: datetime, days: int
) -> None:
    """The date is that of the wall calendar: `zoneinfo` gives the day, `date` adds to it."""
    for _ in local(monkeypatch, zone):
        there = ZoneInfo(zone)
        wanted = when.astimezone(there).date() + timedelta(days=days)
        for found in (morning_after(when, days), days_after(when, days)):
            assert found.astimezone(there).date() == wanted
        morning = morning_after(when, days)
        before = (morning - timedelta(microseconds=1)).astimezone(there)
        assert before.date() == wanted - timedelta(days=1)


CHANGES = [
    # zone, done (UTC), due day: clocks of 2026 go forward on 8 March in New York and 29 March in
    # Berlin, back on 1 November and 25 October (tz database)
    ("America/New_York", datetime(2026, 10, 30, 4, 10, tzinfo=UTC), "Fri 6 Nov 2026"),
    ("America/New_York", datetime(2026, 3, 7, 4, 30, tzinfo=UTC), "Fri 13 Mar 2026"),
    ("Europe/Berlin", datetime(2026, 10, 23, 22, 15, tzinfo=UTC), "Sat 31 Oct 2026"),
    ("Europe/Berlin", datetime(2026, 3, 27, 22, 45, tzinfo=UTC), "Fri 3 Apr 2026"),
]
"""Done ten minutes after midnight in autumn, or half an hour before it in spring."""


@pytest.mark.parametrize(("zone", "when", "due"), CHANGES)
def test_a_change_of_the_clocks_shifts_no_task_to_another_day(
    zone: str, when: datetime, due: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """168 hours would end on the day before, or on the day after."""
    for _ in local(monkeypatch, zone):
        task = Task("wax", "Wax", every_days=7, every="1 week")
        found = stand(task, Done(1, when), now=when + DAY)
        assert found.reason.endswith(f"due {due}")
        there = ZoneInfo(zone)
        day = datetime.strptime(due, "%a %d %b %Y").replace(tzinfo=there)
        assert not stand(task, Done(1, when), now=day - timedelta(minutes=1)).due
        assert stand(task, Done(1, when), now=day).due


def test_a_task_done_by_a_wrong_clock_is_due_and_of_no_age() -> None:
    """It was called kept, done just now; on which day it was, nobody knows."""
    done = Done(1, NOW, clock_ok=False)
    one = task_standing(Task("wax", "Wax", every="28 days", every_days=28), done, Totals(), {}, NOW)
    assert one.due
    assert one.reason == "done while the clock was wrong: how old that is cannot be told"
    by_hours = Task("oil", "Oil", every="8 hours", every_minutes=480.0)
    one = task_standing(by_hours, done, Totals(), {}, NOW)
    assert not one.due
    assert one.reason.startswith("done, age unknown; due in")
