"""What a day and a year cost and brought, held against days whose minutes were added up by hand.

The rules that are added up by (an hour without a record is no work unless somebody said so, a wait
is none) are those of the prep day, our own choice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, kinds, new_uid
from shopboard.journal.kinds import PrepAct
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day, day_under_way, end_day
from shopboard.prep.cost import Cost
from shopboard.prep.cost_words import taken_words, use_lines
from shopboard.prep.day import Planner
from shopboard.prep.pause import record_pause
from shopboard.prep.year_cost import use_of
from shopboard.sittings.check import start
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.task_marks import record_task
from tests.builders import Person
from tests.journal.helpers import Clock
from tests.prep.workshop import SHOP
from tests.two_shops import METRIC


@pytest.fixture
def open_shop(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP, encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as opened:
        yield opened


def check(open_shop: OpenShop, clock: Clock, name: str, minutes: float, *errors: float) -> int:
    """Check a point, so many minutes before each answer; give how many there were."""
    first, *then = errors or (0.0,)
    point = open_shop.shop.points[name]
    sitting, person = start(open_shop.journal, open_shop.shop, point), Person(first)
    person.then = (*then,)
    answers = 0
    while sitting.step is not None:
        clock.pass_by(minutes=minutes)
        sitting.answer(person.answer(sitting.step, sitting.job))
        answers += 1
    return answers


def wax(open_shop: OpenShop, clock: Clock, *minutes: float) -> None:
    """Do steps of the waxing, each so long after the one before."""
    open_shop.refresh()
    machine = open_shop.standing.of_machine("saw")
    assert machine is not None
    one = next(one for one in machine.tasks if one.task.id == "wax")
    run = TaskSitting(open_shop.journal, "saw", one.task, one.begun)
    for each in minutes:
        clock.pass_by(minutes=each)
        assert run.step is not None
        run.answer("done" if "done" in str(run.step) else "1")


def of_day(open_shop: OpenShop) -> Cost:
    open_shop.refresh()
    day = use_of(open_shop).day
    assert day is not None
    return day


def minutes(cost: Cost) -> dict[str, int]:
    return {one.machine: one.minutes for one in cost.rows}


def test_within_a_day_all_that_lies_between_two_records_is_work(
    open_shop: OpenShop, clock: Clock
) -> None:
    """By hand: 12 to the dust, 25 to the honing, then a break of 70 in which one was away."""
    begin_day(open_shop.journal, "", None, planned=(("jointer", 7.4), ("edges", 12.0)))
    clock.pass_by(minutes=12)
    record_task(open_shop.journal, "jointer", "dust")
    clock.pass_by(minutes=25)
    record_task(open_shop.journal, "edges", "hone")
    found = of_day(open_shop)
    assert minutes(found) == {"jointer": 12, "edges": 25}
    assert {one.machine: one.planned for one in found.rows} == {"jointer": 7, "edges": 12}
    assert (found.minutes, found.planned) == (37, 19)
    since = clock.now
    clock.pass_by(minutes=70)
    record_pause(open_shop.journal, since, away=True)
    clock.pass_by(minutes=5)
    record_task(open_shop.journal, "jointer", "dust")
    assert minutes(of_day(open_shop)) == {"jointer": 17, "edges": 25}


@pytest.mark.parametrize(("at_work", "counts"), [(True, 95), (False, 0)])
def test_an_hour_without_a_record_is_work_only_where_one_said_so(
    open_shop: OpenShop, clock: Clock, *, at_work: bool, counts: int
) -> None:
    begin_day(open_shop.journal, "", None)
    since = clock.now
    clock.pass_by(minutes=95)
    if at_work:
        record_pause(open_shop.journal, since, away=False)
    record_task(open_shop.journal, "jointer", "dust")
    assert minutes(of_day(open_shop)).get("jointer", 0) == counts


@pytest.mark.parametrize(
    ("left", "back", "counts"),
    [
        ((11, 55), (13, 10), (15, 15)),  # five before the pause, ten after it
        ((12, 7), (13, 3), (3, 3)),  # he stayed on until seven past
        ((12, 10), (12, 40), (30, 30)),  # he worked in his pause
        ((9, 0), (10, 1), (0, 61)),  # an hour of the shop
        ((11, 0), (14, 30), (0, 150)),  # 150 minutes beside the pause
    ],
)
@pytest.mark.parametrize("was_work", [False, True])
def test_the_pause_of_the_shop_is_no_work(
    tmp_path: Path,
    clock: Clock,
    left: tuple[int, int],
    back: tuple[int, int],
    counts: tuple[int, int],
    *,
    was_work: bool,
) -> None:
    """Hours 8 to 12 and 13 to 17, minutes by hand; what one said was work is, but for the pause."""
    path = tmp_path / "shop.toml"
    hours = 'unit = "mm"\nhours = "8:00 to 12:00 and 13:00 to 17:00"'
    path.write_text(METRIC.replace('unit = "mm"', hours, 1), encoding="utf-8")
    midnight = clock.now.astimezone().replace(hour=0, minute=0, second=0, microsecond=0)
    begun, ended = (midnight + timedelta(hours=h, minutes=m) for h, m in (left, back))
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as kiln:
        clock.now = begun
        begin_day(kiln.journal, "", None)
        clock.now = ended
        if was_work:
            record_pause(kiln.journal, begun, away=False)
        record_task(kiln.journal, "tools", "hone")
        assert minutes(of_day(kiln)).get("tools", 0) == counts[was_work]


@pytest.mark.parametrize("back", [(8, 5), (11, 50)])
@pytest.mark.parametrize("late", [0, 45])
def test_a_night_is_no_work_though_one_takes_back_that_one_was_away(
    tmp_path: Path, clock: Clock, late: int, back: tuple[int, int]
) -> None:
    """Hours 8 to 17, by hand: 48 minutes to closing, what is on record after it, the morning."""
    path = tmp_path / "shop.toml"
    hours = 'unit = "mm"\nhours = "8:00 to 17:00"'
    path.write_text(METRIC.replace('unit = "mm"', hours, 1), encoding="utf-8")
    midnight = clock.now.astimezone().replace(hour=0, minute=0, second=0, microsecond=0)
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as kiln:
        clock.now = midnight + timedelta(hours=16, minutes=12)
        begin_day(kiln.journal, "", None)
        if late:
            clock.now = midnight + timedelta(hours=17, minutes=late)
            record_pause(kiln.journal, midnight + timedelta(hours=16, minutes=12), away=False)
            record_task(kiln.journal, "saw", "wax")
        since = clock.now
        clock.now = midnight + timedelta(days=1, hours=back[0], minutes=back[1])
        record_pause(kiln.journal, since, away=True, uid="away")
        kiln.journal.void("away", "was there")
        record_task(kiln.journal, "tools", "hone")
        morning = (back[0] - 8) * 60 + back[1]
        told = minutes(of_day(kiln))
        assert told.get("saw", 0) == (48 + late if late else 0)
        assert told["tools"] == morning + (0 if late else 48)


def test_a_wait_is_no_work_and_what_is_done_meanwhile_is(open_shop: OpenShop, clock: Clock) -> None:
    """By hand: wipe 3, wax 4; of the ten of its wait 6 at the jointer; buffed 5 after its end."""
    begin_day(open_shop.journal, "", None)
    wax(open_shop, clock, 3, 4)
    clock.pass_by(minutes=6)
    record_task(open_shop.journal, "jointer", "dust")
    clock.pass_by(minutes=4)
    wax(open_shop, clock, 5)
    assert minutes(of_day(open_shop)) == {"saw": 12, "jointer": 6}


def test_beside_a_day_only_what_lies_within_a_check_or_a_task_is_known(
    open_shop: OpenShop, clock: Clock
) -> None:
    """Half a day lies between; a task of which only its end is on record takes its own minutes."""
    answers = check(open_shop, clock, "saw.blade", 0.5)
    clock.pass_by(hours=5)
    record_task(open_shop.journal, "edges", "hone")
    open_shop.refresh()
    use = use_of(open_shop)
    assert use.day is None
    hone = next(one for one in open_shop.shop.machines if one.id == "edges").tasks[0]
    assert minutes(use.year) == {"saw": round(0.5 * answers), "edges": round(hone.minutes or 0)}


def test_what_was_found_is_counted_as_it_was_found_and_left(
    open_shop: OpenShop, clock: Clock
) -> None:
    """The blade out and set right, the fence true: 0.1 deg are 1.745 mrad."""
    begin_day(open_shop.journal, "", None)
    check(open_shop, clock, "saw.blade", 0.2, 4e-3, 0.0)
    check(open_shop, clock, "saw.fence", 0.2, 0.0)
    check(open_shop, clock, "jointer.fence", 0.2, 1.7e-3)
    found = {one.machine: one for one in of_day(open_shop).rows}
    saw, jointer = found["saw"], found["jointer"]
    assert (saw.checks, saw.out, saw.near, saw.set_right) == (2, 1, 0, 1)
    assert (jointer.checks, jointer.out, jointer.near, jointer.set_right) == (1, 0, 1, 0)
    newest = open_shop.journal.latest("check")["jointer", "fence"]
    open_shop.journal.void(newest.uid, "slipped")
    assert sum(one.checks for one in of_day(open_shop).rows) == 2


def test_use_alone_and_what_is_said_later_is_no_work(open_shop: OpenShop, clock: Clock) -> None:
    begin_day(open_shop.journal, "", None)
    clock.pass_by(minutes=30)
    record_happening(open_shop.journal, "saw", "hours run", 30.0, shop=open_shop.shop)
    record_task(open_shop.journal, "jointer", "dust", on=clock.now)
    assert minutes(of_day(open_shop)) == {}


def test_a_day_that_is_over_is_told_until_the_next_one_begins(
    open_shop: OpenShop, clock: Clock
) -> None:
    """What comes after its end is no part of it."""
    begin_day(open_shop.journal, "", None)
    clock.pass_by(minutes=9)
    record_task(open_shop.journal, "jointer", "dust")
    day = day_under_way(open_shop.journal)
    assert day is not None
    end_day(open_shop.journal, day)
    clock.pass_by(minutes=30)
    record_task(open_shop.journal, "edges", "hone")
    open_shop.refresh()
    use = use_of(open_shop)
    assert not use.in_progress
    assert use.day is not None
    assert minutes(use.day) == {"jointer": 9}
    assert minutes(use.year)["jointer"] == 9
    begin_day(open_shop.journal, "", None)
    assert minutes(of_day(open_shop)) == {}


def test_what_was_planned_is_what_the_plan_said_when_it_began(open_shop: OpenShop) -> None:
    plan = Planner(open_shop).plan()
    assert sum(each for _, each in plan.by_machine) == pytest.approx(plan.hands_on)
    begin_day(open_shop.journal, "", plan.from_now, planned=plan.by_machine)
    found = {one.machine: one.planned for one in of_day(open_shop).rows}
    assert found == {name: round(each) for name, each in plan.by_machine}


def test_an_older_day_tells_no_plan_and_a_later_program_may_tell_it_otherwise(
    open_shop: OpenShop,
) -> None:
    for planned in (None, 7, [["saw"], "x", ["saw", "y"]]):
        body = {"v": 1, "what": "begun", "project": "", "allow_open": False, "finish": None}
        body |= {} if planned is None else {"planned": planned}
        open_shop.journal.append([NewEntry(new_uid(), kinds.PREP.name, body=body)])
        day = of_day(open_shop)
        assert not day.planned
    assert PrepAct("begun").planned == ()


def test_every_sum_is_that_of_what_is_shown(open_shop: OpenShop, clock: Clock) -> None:
    """Thirds of a minute at each machine: what is shown adds up all the same."""
    begin_day(open_shop.journal, "", None, planned=(("jointer", 6.4), ("edges", 6.4)))
    clock.pass_by(minutes=5.4)
    record_task(open_shop.journal, "jointer", "dust")
    clock.pass_by(minutes=5.4)
    record_task(open_shop.journal, "edges", "hone")
    open_shop.refresh()
    use = use_of(open_shop)
    assert use.day is not None
    assert taken_words(use.day) == "took 10 min, 12 min planned; nothing checked"
    lines = [*use_lines(use, 0.05)]
    assert lines[0].endswith("took 10 min, 12 min planned; nothing checked.")
    rows = [one for one in lines[1:] if one.startswith("  ")]
    told = [int(one.split(" min")[0].split()[-1]) for one in rows]
    assert sum(told[:2]) == 10


def test_a_withdrawn_pause_counts_and_a_withdrawn_end_ends_nothing(
    open_shop: OpenShop, clock: Clock
) -> None:
    """By hand: 70 minutes said to be away and withdrawn, ten more, then nine after such an end."""
    journal = open_shop.journal
    day = begin_day(journal, "", None)
    begun = clock.now
    clock.pass_by(minutes=70)
    record_pause(journal, begun, away=True, uid="away")
    clock.pass_by(minutes=10)
    record_task(journal, "jointer", "dust")
    assert minutes(of_day(open_shop)) == {"jointer": 10}
    journal.void("away", "was at it")
    open_shop.refresh()
    assert minutes(of_day(open_shop)) == {"jointer": 80}
    end_day(journal, day)
    journal.void(journal.recent("prep", "", "")[0].uid, "a slip")
    clock.pass_by(minutes=9)
    record_task(journal, "edges", "hone")
    assert minutes(of_day(open_shop)) == {"jointer": 80, "edges": 9}
