"""A day goes on in the order in which it was begun, as long as that is as good as any.

Who works from a list does it from top to bottom (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

import pytest

from shopboard.journal import SqliteJournal, kinds
from shopboard.open_shop import OpenShop
from shopboard.prep.as_begun import as_begun
from shopboard.prep.begun_day import begin_day, day_under_way
from shopboard.prep.day import Planner
from shopboard.prep.fill_window import Stint
from shopboard.prep.kept_plans import KeptPlans
from shopboard.prep.plan import DayPlan
from tests.journal.helpers import Clock
from tests.prep import shop_oracle
from tests.prep.days import SHAPES, day_of, harmful, patient
from tests.prep.keeps import faults
from tests.prep.lived import do_piece
from tests.prep.random_shop import some_shop
from tests.two_shops import COMBINATION, METRIC

SHOPS = {"metric": METRIC, "combination": COMBINATION}
HOURS = "8:00 to 9:30 and 10:00 to 18:00"


def opened(folder: Path, clock: Clock, name: str) -> OpenShop:
    path = folder / "shop.toml"
    path.write_text(SHOPS[name].replace("[shop]\n", f'[shop]\nhours = "{HOURS}"\n', 1), "utf-8")
    clock.now = clock.now.astimezone().replace(hour=8, minute=0, second=0, microsecond=0)
    return OpenShop(path, folder / "journal.sqlite3", clock, 0.05)


def today(plan: DayPlan, day: datetime) -> list[str]:
    """Give what is planned for the day that was begun."""
    return [one.piece.id for one in plan.lines if one.start.date() == day.date()]


def lived(open_shop: OpenShop, clock: Clock, paces: Sequence[float]) -> tuple[list[str], int]:
    """Begin a day and live it through; give what was told at first, and how often not the next."""
    planner, chance = Planner(open_shop), Random(3)
    plan = planner.plan()
    begin_day(open_shop.journal, "", plan.from_now, order=plan.order)
    open_shop.refresh()
    told, other, next_one = today(plan, clock.now), 0, plan.order[0]
    while (line := planner.plan().lines[:1]) and today(planner.plan(), clock.now):
        other += line[0].piece.id != next_one
        next_one = planner.plan().order[1] if len(planner.plan().order) > 1 else ""
        clock.now = max(clock.now, line[0].start)
        do_piece(open_shop, line[0].piece, line[0].piece.minutes * chance.choice(paces), clock)
        open_shop.refresh()
    return told, other


@pytest.mark.parametrize("name", SHOPS)
def test_on_time_what_was_told_is_done_from_top_to_bottom(
    tmp_path: Path, clock: Clock, name: str
) -> None:
    with closing(opened(tmp_path, clock, name)) as open_shop:
        told, other = lived(open_shop, clock, (1.0,))
    assert len(told) > 6
    assert other == 0


@pytest.mark.whole_search
@pytest.mark.parametrize("seed", [0, 7])
def test_so_it_is_in_shops_made_by_chance(tmp_path: Path, clock: Clock, seed: int) -> None:
    """Planned anew each time without regard to what was told, the next was another one 4 times."""
    with shop_oracle.opened(some_shop(Random(seed), 6, hours=True), tmp_path, clock) as open_shop:
        told, other = lived(open_shop, clock, (1.0,))
    assert len(told) > 12
    assert other == 0


@pytest.mark.whole_search
@pytest.mark.parametrize("seed", [0, 7])
def test_sooner_or_later_than_told_the_next_is_seldom_another_one(
    tmp_path: Path, clock: Clock, seed: int
) -> None:
    with shop_oracle.opened(some_shop(Random(seed), 6, hours=True), tmp_path, clock) as open_shop:
        _, other = lived(open_shop, clock, (0.7, 1.0, 1.0, 1.4))
    assert other <= 2


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("seed", range(4))
def test_nothing_is_lost_by_it(shape: str, seed: int) -> None:
    """Whatever was told: the rules are kept, it ends no later, and no more waits are left."""
    day = harmful(patient(day_of(shape, 14, seed)))
    found = KeptPlans().searched(day, 0.05)
    assert found is not None
    told = [job.id for job in day.jobs]
    Random(seed).shuffle(told)
    told = told[:9]
    kept = as_begun(Stint(0, day, found), told, told[:1]).found
    assert faults(day, kept.order, kept.starts) == faults(day, found.order, found.starts)
    assert (kept.finish, kept.left) <= (found.finish, found.left)
    assert kept.bound == found.bound
    again = as_begun(Stint(0, day, found), found.order).found
    assert again == found


def test_the_order_is_on_record_and_older_records_have_none(
    journal: SqliteJournal, clock: Clock
) -> None:
    begin_day(journal, "", clock.now, order=("task saw.wax 1", "check saw.blade"))
    day = day_under_way(journal)
    assert day is not None
    assert day.order == ("task saw.wax 1", "check saw.blade")
    before = {"v": 1, "what": "begun", "project": "", "allow_open": False, "finish": None}
    assert kinds.PREP.of_body(before).order == ()
    assert kinds.PREP.of_body({**before, "order": {"wax": 1}}).order == ()


def test_of_very_many_pieces_the_first_are_on_record(journal: SqliteJournal, clock: Clock) -> None:
    order = tuple(f"task saw.{number} 0" for number in range(1800))
    begin_day(journal, "", clock.now + timedelta(days=9), order=order)
    day = day_under_way(journal)
    assert day is not None
    assert order[: len(day.order)] == day.order
    assert 200 < len(day.order) < 500
