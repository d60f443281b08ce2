"""A pause within a prep day: asked for, kept, and left out of its times."""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, SqliteJournal, kinds, new_uid
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import PrepDay, begin_day, end_day
from shopboard.prep.day import Planner
from shopboard.prep.day_said import said_of_days, withdraw
from shopboard.prep.minutes import part_left
from shopboard.prep.pause import away_on, quiet_since, record_pause, was_a_night
from shopboard.prep.plan import DayPlan
from shopboard.prep.plan_words import done_by, quiet_words
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from tests import metric_shop
from tests.builders import Person, make_point
from tests.journal.helpers import Clock
from tests.prep.workshop import SHOP
from tests.two_shops import written


def opened(folder: Path, clock: Clock, shop: str = "") -> OpenShop:
    path = folder / "shop.toml" if not shop else written(shop, folder)
    if not shop:
        path.write_text(SHOP, encoding="utf-8")
    return OpenShop(path, folder / "journal.sqlite3", clock, 0.05)


def planned(open_shop: OpenShop) -> DayPlan:
    open_shop.refresh()
    return Planner(open_shop).plan()


@pytest.mark.parametrize("shop", ["", "metric", "combination"])
def test_after_an_hour_the_plan_goes_on_from_now_until_it_is_said(
    tmp_path: Path, clock: Clock, shop: str
) -> None:
    """Away: all that is left is as long as it was. At it: what is in hand is late by the rest."""
    with closing(opened(tmp_path, clock, shop)) as open_shop:
        before = planned(open_shop)
        begin_day(open_shop.journal, "", before.from_now)
        begun = clock.now
        clock.pass_by(minutes=59)
        assert planned(open_shop).quiet_since is None
        assert quiet_since(open_shop.journal, open_shop.now()) is None
        clock.pass_by(minutes=11)
        assert quiet_since(open_shop.journal, open_shop.now()) == begun
        plan = planned(open_shop)
        assert plan.quiet_since == begun
        assert quiet_words(plan).startswith("Nothing recorded since 8:00")
        assert plan.finish == before.finish + timedelta(minutes=70)
        assert plan.lines[0].late == 0

        record_pause(open_shop.journal, begun, away=True)
        said = planned(open_shop)
        assert (said.quiet_since, said.away, said.later) == (None, 70, 0)
        assert said.finish == plan.finish
        assert done_by(said).endswith("on schedule, not counting 1 h 10 min away")


def test_at_it_all_the_time_the_job_is_late_and_nobody_asks_again(
    tmp_path: Path, clock: Clock
) -> None:
    with closing(opened(tmp_path, clock)) as open_shop:
        begin_day(open_shop.journal, "", planned(open_shop).from_now)
        begun = clock.now
        clock.pass_by(minutes=70)
        record_pause(open_shop.journal, begun, away=False)
        plan = planned(open_shop)
        assert (plan.quiet_since, plan.away) == (None, 0)
        assert plan.lines[0].late == 66  # four minutes were meant for the first two steps
        clock.pass_by(minutes=59)
        assert planned(open_shop).quiet_since is None
        clock.pass_by(minutes=1)
        assert planned(open_shop).quiet_since == begun + timedelta(minutes=70)


def test_a_long_job_that_is_a_little_late_is_no_pause(tmp_path: Path, clock: Clock) -> None:
    """More than an hour is planned: 5 minutes late are none, after half an hour it is asked."""
    path, longer = tmp_path / "shop.toml", metric_shop.SHOP
    for name in ('name = "Clean the slide"\n', 'name = "Hone the gouges"\n'):
        longer = longer.replace(name, f'{name}minutes = "160 min"\n')
    path.write_text(longer, encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock, 0.05)) as open_shop:
        before = planned(open_shop)
        meant = before.lines[0].piece.minutes
        assert meant > 60
        begin_day(open_shop.journal, "", before.from_now)
        clock.pass_by(minutes=meant + 5)
        plan = planned(open_shop)
        assert (plan.quiet_since, plan.lines[0].late) == (None, 5)
        clock.pass_by(minutes=20)
        assert planned(open_shop).quiet_since is None
        clock.pass_by(minutes=6)
        assert planned(open_shop).quiet_since is not None


def test_whoever_records_anything_is_there(tmp_path: Path, clock: Clock) -> None:
    with closing(opened(tmp_path, clock)) as open_shop:
        begin_day(open_shop.journal, "", None)
        clock.pass_by(minutes=50)
        record_happening(open_shop.journal, "saw", "knocked", shop=open_shop.shop)
        clock.pass_by(minutes=50)
        assert quiet_since(open_shop.journal, open_shop.now()) is None
        clock.pass_by(minutes=10)
        assert quiet_since(open_shop.journal, open_shop.now()) is not None


def test_without_a_day_nobody_asks(journal: SqliteJournal, clock: Clock) -> None:
    journal.append([NewEntry("done", "task", "saw", "wax", {"v": 1})])
    clock.pass_by(hours=9)
    assert quiet_since(journal, clock.now) is None


def test_all_pauses_of_the_day_count(journal: SqliteJournal, clock: Clock) -> None:
    """Those of another day do not, nor one in which one was at it, nor one of no beginning."""
    record_pause(journal, clock.now - timedelta(hours=3), away=True)
    day = PrepDay("d", journal.last_seq(), clock.now)
    assert away_on(journal, day)[:2] == (day.when, 0.0)
    clock.pass_by(hours=2)
    record_pause(journal, clock.now - timedelta(minutes=90), away=True)
    clock.pass_by(hours=2)
    record_pause(journal, clock.now - timedelta(minutes=75), away=True)
    back = clock.now
    clock.pass_by(hours=2)
    record_pause(journal, clock.now - timedelta(minutes=99), away=False)
    journal.append([kinds.PAUSE.new(new_uid(), kinds.Pause(away=True, since=None))])
    assert away_on(journal, day)[:2] == (back, 165.0)


@pytest.mark.parametrize(
    ("hours", "is_night"), [(3.9, False), (10, False), (13, True), (17, True), (90, True)]
)
def test_a_pause_into_another_day_is_a_night(clock: Clock, hours: float, *, is_night: bool) -> None:
    """From 20:00 in the first case and 11:00 in the others; the day ends at 24:00."""
    evening = clock.now.astimezone().replace(hour=20 if hours < 4 else 11, minute=30)
    assert was_a_night(evening, evening + timedelta(hours=hours)) is is_night
    midnight = evening.replace(hour=23)
    assert not was_a_night(midnight, midnight + timedelta(hours=2))  # who works late is not away


def test_of_a_check_in_hand_only_what_is_left_is_planned(tmp_path: Path, clock: Clock) -> None:
    """Where no check was finished before, by its minutes; those of a pause are none of them."""
    with closing(opened(tmp_path, clock)) as open_shop:
        begin_day(open_shop.journal, "", None)
        sitting = start(open_shop.journal, open_shop.shop, open_shop.shop.points["saw.blade"])
        person = Person(0.0)
        for _ in range(2):
            clock.pass_by(minutes=1)
            assert sitting.step is not None
            sitting.answer(person.answer(sitting.step, sitting.job))
        line = planned(open_shop).lines[0]
        assert line.piece.id == "check saw.blade"
        assert line.piece.why.startswith("in progress; unproven")
        assert line.piece.minutes == pytest.approx(6 - 2)  # six are told in the shop file
        assert line.start == clock.now
        clock.pass_by(minutes=7)
        line = planned(open_shop).lines[0]
        assert line.late == pytest.approx(3)
        assert line.left == pytest.approx(1.5)
        clock.pass_by(minutes=50)
        assert sitting.step is not None
        sitting.answer(person.answer(sitting.step, sitting.job))
        assert planned(open_shop).lines[0].piece.minutes == pytest.approx(6 - 2)


def test_a_check_is_measured_by_the_answers_of_the_last_ones(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Eight answers each, three times; two are given of the one in hand, one taken back again."""
    point = make_point("saw.blade")

    def entry(name: str, kind: str, refers: str, **body: object) -> NewEntry:
        clock.pass_by(minutes=1)
        return NewEntry(name, kind, "saw", "blade", {"v": 1, "method": "square", **body}, refers)

    for number in range(3):
        name = f"c{number}"
        journal.append([entry(name, "begin", "")])
        for each in range(8):
            journal.append([entry(f"{name}-{each}", "answer", name)])
        journal.append([entry(f"{name}-end", "end", name, why="finished")])
    (begin,) = journal.append([entry("now", "begin", "")])
    assert part_left(journal, point, begin, 12.0) == 1
    journal.append([entry("n0", "answer", "now"), entry("n1", "answer", "now")])
    assert part_left(journal, point, begin, 12.0) == 0.75
    journal.append([entry("n2", "back", "now")])
    assert part_left(journal, point, begin, 12.0) == 7 / 8
    journal.append([entry(f"m{each}", "answer", "now") for each in range(9)])
    assert part_left(journal, point, begin, 12.0) == 1 / 8  # it is not done: one answer at least
    journal.append([entry("set", "moved", "now")])  # all of it is read again
    assert part_left(journal, point, begin, 12.0) == 1
    journal.append([entry("p0", "answer", "now"), entry("p1", "answer", "now")])
    assert part_left(journal, point, begin, 12.0) == 0.75


@pytest.mark.parametrize("shop", ["", "metric", "combination"])
@pytest.mark.parametrize("away", [True, False])
def test_an_answer_that_is_withdrawn_counts_as_the_other_one(
    tmp_path: Path, clock: Clock, shop: str, away: bool
) -> None:
    """There are two; the plan is the one that the other answer would have made."""
    found = []
    for said, back in ((away, True), (not away, False)):
        clock.now = clock.now.replace(hour=8, minute=0)
        folder = tmp_path / f"{said} {back}"
        folder.mkdir()
        with closing(opened(folder, clock, shop)) as open_shop:
            begin_day(open_shop.journal, "", planned(open_shop).from_now)
            begun = clock.now
            clock.pass_by(minutes=70)
            record_pause(open_shop.journal, begun, away=said)
            clock.pass_by(minutes=5)
            if back:
                one = said_of_days(open_shop.journal, open_shop.shop, open_shop.now())[0]
                told = withdraw(open_shop.journal, one, "a slip", open_shop.now())
                what = "counts as work" if away else "does not count"
                assert told == f"Withdrawn: that time {what}."
            plan = planned(open_shop)
            found.append((plan.finish, plan.away, plan.later, plan.lines[0].late))
    assert found[0] == found[1]
    assert found[0][1] == (0 if away else 70)


def test_what_was_said_of_an_earlier_day_stays(tmp_path: Path, clock: Clock) -> None:
    with closing(opened(tmp_path, clock)) as open_shop:
        journal = open_shop.journal
        end_day(journal, begin_day(journal, "chest", None))
        clock.pass_by(minutes=5)
        begin_day(journal, "", None)
        said = said_of_days(journal, open_shop.shop, open_shop.now())
        assert [(one.words, one.why_not) for one in said] == [
            ("day begun, for all due, as the shop's hours go", ""),
            ("day ended", "it was said of an earlier day"),
            (
                "day begun, for Blanket chest, as the shop's hours go",
                "it was said of an earlier day",
            ),
        ]
