"""A prep day as it is lived: late, over a pause, over a night, with something loose.

Times are added up by hand from what the shop files say and common practice gives to each piece.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import datetime, timedelta
from math import ceil
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.closed import closed_until
from shopboard.prep.day import Planner
from shopboard.prep.day_so_far import so_far
from shopboard.prep.pause import record_pause
from shopboard.prep.plan import DayPlan
from shopboard.prep.plan_words import clock as clock_words
from shopboard.prep.plan_words import done_by
from shopboard.prep.time_had import TimeHad
from shopboard.sittings.cutter_change import begin
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.happenings import record_happening
from tests import builders
from tests.journal.helpers import Clock
from tests.prep.test_whole_joints import add
from tests.two_shops import COMBINATION, METRIC

_KNIVES = """
[[machine.cutter]]
id = "knives"
name = "Four knives"
kind = "knives"
where = "on the machine"
state = "dull"
edges = 2
pieces = 4
lasts = "40 h"

[[machine.point]]
id = "{point}"
"""

SHOPS = {
    "metric": (METRIC, "planer", "bed"),
    "combination": (COMBINATION, "jointer", "seated"),
}


def with_knives(name: str, hours: str = "") -> str:
    """Give a shop whose head has four dull knives that can be turned."""
    text, _, point = SHOPS[name]
    text = text.replace(f'\n[[machine.point]]\nid = "{point}"\n', _KNIVES.format(point=point))
    return text.replace("\n[[drawer", f"\n{hours}\n\n[[drawer", 1) if hours else text


def opened(folder: Path, clock: Clock, text: str) -> OpenShop:
    (folder / "shop.toml").write_text(text, encoding="utf-8")
    return OpenShop(folder / "shop.toml", folder / "journal.sqlite3", clock, 0.05)


def planned(open_shop: OpenShop, had: TimeHad | None = None, project: str = "") -> DayPlan:
    open_shop.refresh()
    planner = Planner(open_shop)
    planner.choose(project, had=had)
    return planner.plan()


@pytest.fixture(params=[*SHOPS])
def turning(request: pytest.FixtureRequest, tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    """A shop in which the turning of its knives was begun: plug and hands are answered."""
    name = request.param
    with closing(opened(tmp_path, clock, with_knives(name))) as open_shop:
        standing = open_shop.standing.of_machine(SHOPS[name][1])
        assert standing is not None
        (one,) = [each for each in standing.cutters if each.id == "knives"]
        change = begin(open_shop.journal, open_shop.shop, one, "turn")
        change.answer("plug out")
        change.answer("done")
        open_shop.turning = change  # type: ignore[attr-defined]
        yield open_shop


def test_what_is_loose_comes_before_all_that_is_not_begun(turning: OpenShop) -> None:
    """Nobody waxes a saw while a head with loose knives lies open (common practice, no source)."""
    first = planned(turning).lines[0].piece
    assert (first.sort, first.act) == ("cutter", "")


def test_a_soak_that_is_over_is_seen_to_between_two_knives(tmp_path: Path, clock: Clock) -> None:
    with closing(opened(tmp_path, clock, with_knives("metric"))) as open_shop:
        saw, planer = (open_shop.standing.of_machine(name) for name in ("saw", "planer"))
        assert saw is not None
        assert planer is not None
        builders.do_steps(TaskSitting(open_shop.journal, "saw", saw.tasks[0].task, None), 2)
        (one,) = [each for each in planer.cutters if each.id == "knives"]
        change = begin(open_shop.journal, open_shop.shop, one, "turn")
        change.answer("plug out")
        change.answer("done")
        clock.pass_by(minutes=11)
        names = [line.piece.words for line in planned(open_shop).lines[:2]]
        assert names == ["Buff", "Go on with the knife change"]


@pytest.mark.parametrize(
    ("knives", "minutes", "why"),
    [
        (0, ceil(30 * 6 / 8), "it is in progress"),
        (2, 30 * 4 / 8, "2 of 4 done"),
        (4, ceil(30 * 2 / 8), "4 of 4 done"),
    ],
)
def test_a_knife_change_takes_what_is_left_of_it(
    turning: OpenShop, knives: int, minutes: float, why: str
) -> None:
    """Plug, hands, four knives, tighten, clear: eight steps of half an hour, in whole minutes."""
    for _ in range(knives):
        turning.turning.answer("done")  # type: ignore[attr-defined]
    piece = planned(turning).lines[0].piece
    assert (piece.minutes, piece.why) == (minutes, why)


def test_a_knife_in_hand_is_late_and_the_others_are_still_to_come(
    turning: OpenShop, clock: Clock
) -> None:
    """Four steps left after two knives, 15 minutes.

    Silent for 16, a knife, the screws and the clearing, 3.75 each, are to do at least, and of the
    third knife no more than it takes.
    """
    change = turning.turning  # type: ignore[attr-defined]
    for _ in range(2):
        change.answer("done")
    step, since = 30 / 8, planned(turning).lines[0].start
    begin_day(turning.journal, "", None)
    clock.pass_by(minutes=16)
    line = planned(turning).lines[0]
    assert line.end - clock.now == timedelta(minutes=4 * step)
    assert line.start == since
    for _ in range(2):
        change.answer("done")
    clock.pass_by(minutes=1)
    line = planned(turning).lines[0]
    assert line.end - clock.now == timedelta(minutes=ceil(2 * step) - 1)


def test_the_head_is_marked_at_the_first_knife_alone(turning: OpenShop) -> None:
    change, marked = turning.turning, []  # type: ignore[attr-defined]
    for _ in range(4):
        assert change.step is not None
        marked.append("Chalk a mark where you begin." in change.step.lines)
        change.answer("done")
    assert marked == [True, False, False, False]


def day_at(day: datetime, hour: int, minute: int = 0) -> datetime:
    return day.replace(hour=hour, minute=minute, second=0)


HOURS = 'hours = ["8:00 to 9:00 and 9:45 to 11:00"]'


@pytest.mark.parametrize("name", [*SHOPS])
def test_late_before_a_pause_the_rest_comes_after_it(
    tmp_path: Path, clock: Clock, name: str
) -> None:
    """The plan that is made in one go, as a command makes it: nothing lies in the pause."""
    with closing(opened(tmp_path, clock, with_knives(name, HOURS))) as open_shop:
        day = clock.now.astimezone().replace(hour=8)
        clock.now = day
        begin_day(open_shop.journal, "", planned(open_shop).from_now)
        for minutes in (40, 52, 59):
            clock.now = day + timedelta(minutes=minutes)
            record_happening(open_shop.journal, "saw", "knocked", shop=open_shop.shop)
            clock.pass_by(minutes=59.5 - minutes)
            lines = planned(open_shop).lines[1:]
            assert lines
            inside = [(line.start, line.end) for line in lines if line.start < day_at(day, 11)]
            assert all(
                start >= day_at(day, 9, 45) or end <= day_at(day, 9) for start, end in inside
            )


def test_what_is_done_after_a_pause_is_not_moved_by_seconds(tmp_path: Path, clock: Clock) -> None:
    """Begun half a minute after the minute, nothing is said to be sooner than planned."""
    with closing(
        opened(tmp_path, clock, with_knives("metric", HOURS.replace("9:00", "9:02")))
    ) as open_shop:
        clock.now = clock.now.astimezone().replace(hour=8, second=31)
        plan = planned(open_shop)
        assert plan.finish > day_at(clock.now, 9, 45)
        assert plan.from_now == plan.finish
        begin_day(open_shop.journal, "", plan.from_now)
        assert done_by(planned(open_shop)).endswith("on schedule")


def test_done_on_another_day_says_for_when_it_was_planned(tmp_path: Path, clock: Clock) -> None:
    """Twenty hours later is no measure of being late: a night lies between."""
    with closing(opened(tmp_path, clock, with_knives("metric", HOURS))) as open_shop:
        clock.now = clock.now.astimezone().replace(hour=8)
        plan = planned(open_shop)
        begin_day(open_shop.journal, "", plan.from_now)
        clock.pass_by(hours=2, minutes=40)
        record_happening(open_shop.journal, "saw", "machine moved", shop=open_shop.shop)
        late = planned(open_shop)
        assert late.finish - plan.finish > timedelta(hours=12)
        words = f", planned for {clock_words(plan.finish, late.now)} today"
        assert done_by(late) == f"done by {clock_words(late.finish, late.now)}{words}"


@pytest.mark.parametrize(
    ("minutes", "holds"),
    [
        (60, ()),
        (20, ("HOLD for Seat of four boards: 40 min of checks more.",)),
    ],
)
def test_a_joint_whose_checks_do_not_fit_stays_on_hold(
    tmp_path: Path, clock: Clock, minutes: float, holds: tuple[str, ...]
) -> None:
    """Seated 10 minutes, fence 15, tables 12, knives 15; 20 are for the tables alone."""
    text = COMBINATION.replace(
        'tolerance = "4 thou/ft"\nevery = "1 year"',
        'tolerance = "4 thou/ft"\nevery = "1 year"\nshows_in = "edge line"',
    )
    text += '\n[project.joint.fit]\ngap = "1/16 in"\n'
    with closing(opened(tmp_path, clock, text)) as open_shop:
        had = TimeHad(until=clock.now + timedelta(minutes=minutes), any_hours=True)
        plan = planned(open_shop, had, "stool")
        assert plan.holds == holds


def test_what_is_recorded_while_a_plan_is_made_is_in_the_next_one(turning: OpenShop) -> None:
    """The journal is ahead of how all stands for a moment: a plan made then is no plan of after."""
    turning.refresh()
    planner = Planner(turning)
    piece = planner.plan().lines[0].piece
    assert piece.why == "it is in progress"
    assert piece.target in [one.id for one in turning.shop.machines_by_id[piece.machine].cutters]
    turning.turning.answer("done")  # type: ignore[attr-defined]
    planner.plan()
    turning.refresh()
    assert planner.plan().lines[0].piece.why == "1 of 4 done"


def test_where_no_mode_is_on_record_the_plan_says_what_it_counts_on(
    tmp_path: Path, clock: Clock
) -> None:
    with closing(opened(tmp_path, clock, COMBINATION)) as open_shop:
        plan = planned(open_shop)
        first = next(one.piece.machine for one in plan.lines if not one.piece.beside)
        machine = open_shop.shop.machines_by_id[first]
        (note,) = (one for one in plan.left_out if "which mode it is in is not on record" in one)
        assert f"{machine.name}, {machine.change_minutes:.0f} min more" in note
        add(open_shop, "jointer.fence")
        open_shop.refresh()
        assert not any("not on record" in one for one in planned(open_shop).left_out)


def test_joints_with_commas_in_their_names_stay_apart(tmp_path: Path, clock: Clock) -> None:
    text = COMBINATION.replace('name = "Seat of four boards"', 'name = "Seat, four boards"')
    text += text[text.rindex("[[project.joint]]") :].replace('id = "seat"', 'id = "back"')
    with closing(opened(tmp_path, clock, text)) as open_shop:
        had = TimeHad(until=clock.now + timedelta(minutes=1), any_hours=True)
        (words,) = planned(open_shop, had, "stool").holds
        assert words.startswith("HOLD for Seat, four boards; Seat, four boards: ")


@pytest.mark.parametrize("name", [*SHOPS])
@pytest.mark.parametrize("away", [0, 60])
def test_a_pause_of_the_shop_is_no_minute_later(
    tmp_path: Path, clock: Clock, name: str, away: int
) -> None:
    """Twenty minutes later by the clock of who is there; the 45 of the pause and a night are not.

    Of an hour away that lies across the pause, 15 were work that was not done.
    """
    with closing(opened(tmp_path, clock, with_knives(name, HOURS))) as open_shop:
        start = clock.now.astimezone().replace(hour=8, minute=0, second=0, microsecond=0)
        clock.now = start
        begin_day(open_shop.journal, "", start + timedelta(minutes=50))
        if away:
            clock.now = start + timedelta(minutes=110)
            record_pause(open_shop.journal, start + timedelta(minutes=50), away=True)
        plan = planned(open_shop)
        for finish, later in (
            (start + timedelta(minutes=115), 20),  # 10 until 9:00, 10 from 9:45 on
            (start + timedelta(days=1, minutes=5), 10 + 75 + 5),
            (start + timedelta(minutes=40), -10),
        ):
            hours = open_shop.shop.hours
            closed = closed_until(so_far(open_shop), TimeHad(), hours, finish)
            told = plan._replace(finish=finish, closed=closed)
            assert told.later == later - (15 if away else 0)
        assert plan.closed == closed_until(so_far(open_shop), TimeHad(), hours, plan.finish)
