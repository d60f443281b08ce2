"""A day begun within the minute in which it was looked at is that day: nothing added or shed.

Shops by chance with hours, and times so long that they are filled to the last minute.
"""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan
from shopboard.prep.time_had import TimeHad
from tests.in_turn import few
from tests.journal.helpers import Clock
from tests.prep.random_shop import shop_file, some_shop

SEEDS = [*range(60)]


def now_and_left(plan: DayPlan) -> tuple[set[str], set[str]]:
    """Give what is done before the end of the time, and what is put off."""
    end = plan.window.end if plan.window is not None else None
    done = {line.piece.id for line in plan.lines if end is None or line.start < end}
    return done, {one.piece.id for one in plan.left}


@pytest.mark.parametrize("seed", few(SEEDS, 9))
def test_what_was_looked_at_is_what_is_begun(tmp_path: Path, clock: Clock, seed: int) -> None:
    """Up to 59 seconds later, by the hours of the shop as well as by a time that was said."""
    chance = Random(seed)
    made = some_shop(chance, chance.randint(2, 4), hours=bool(seed % 2))
    clock.now = clock.now.astimezone().replace(hour=8, minute=0, second=0, microsecond=0)
    path = tmp_path / "shop.toml"
    path.write_text(shop_file(made), encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock, 0.05)) as shop:
        planner = Planner(shop)
        planner.choose(had=TimeHad(any_hours=True))
        work = sum(line.piece.minutes for line in planner.plan().lines)
        had = TimeHad(clock.now + timedelta(minutes=chance.randint(5, 5 + int(work))))
        if seed % 2:  # it closes so many minutes later
            least = chance.randint(5, 60)
            clock.now = clock.now.replace(hour=made.hours[0][1] // 60, minute=made.hours[0][1] % 60)
            clock.pass_by(minutes=-least)
            had = TimeHad()
        planner.choose(had=had)
        looked_at = planner.plan()
        clock.pass_by(minutes=chance.randint(1, 59) / 60)
        begin_day(shop.journal, "", looked_at.from_now, had=had)
        planner.choose()
        shop.refresh()
        assert now_and_left(planner.plan()) == now_and_left(looked_at)
