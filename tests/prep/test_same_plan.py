"""At one moment every window and every command says the same plan, whoever looked before.

And no plan goes on through a pause or past closing, but for what one is at.
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
from shopboard.prep.past_closing import INTO_PAUSE
from shopboard.prep.pause import quiet_since, record_pause
from shopboard.prep.plan import DayPlan
from shopboard.prep.time_had import TimeHad
from shopboard.upkeep.task_marks import record_task
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.two_shops import COMBINATION, METRIC

HOURS = "8:00 to 9:00 and 9:20 to 10:00"
SHOPS = {"metric": METRIC, "combination": COMBINATION}


def opened(folder: Path, clock: Clock, name: str, hours: str = HOURS) -> OpenShop:
    path = folder / "shop.toml"
    text = SHOPS[name].replace("[shop]\n", f'[shop]\nhours = "{hours}"\n', 1)
    path.write_text(text, encoding="utf-8")
    clock.now = clock.now.astimezone().replace(hour=8)
    return OpenShop(path, folder / "journal.sqlite3", clock, 0.05)


def told(plan: DayPlan) -> object:
    lines = [(one.piece.id, one.start, one.end, one.late) for one in plan.lines]
    return lines, plan.finish, [one.piece.id for one in plan.left], plan.quiet_since, plan.window


def something(open_shop: OpenShop, planner: Planner, chance: Random) -> None:
    """Do a task that is planned, or say that one was at it."""
    tasks = [one.piece for one in planner.plan().lines if one.piece.sort == "task"]
    since = quiet_since(open_shop.journal, open_shop.now())
    if since is not None and chance.random() < 0.7:
        record_pause(open_shop.journal, since, away=chance.random() < 0.3)
    elif tasks:
        one = chance.choice(tasks)
        record_task(open_shop.journal, one.machine, one.target)
    open_shop.refresh()


@pytest.mark.parametrize("seed", range(part(24)))
def test_who_watched_all_the_time_sees_what_is_asked_for_now(
    tmp_path: Path, clock: Clock, seed: int
) -> None:
    chance = Random(seed)
    with closing(opened(tmp_path, clock, chance.choice([*SHOPS]))) as open_shop:
        had = TimeHad(until=clock.now.replace(hour=10)) if chance.random() < 0.4 else TimeHad()
        begin_day(open_shop.journal, "", None, had=had)
        open_shop.refresh()
        watching = Planner(open_shop)
        for _ in range(6):
            for _ in range(chance.choice((1, 3, 12))):
                clock.pass_by(minutes=chance.choice((0.5, 1, 3, 7)))
                watching.plan()
            assert told(watching.plan()) == told(Planner(open_shop).plan())
            if chance.random() < 0.5:
                something(open_shop, watching, chance)
                assert told(watching.plan()) == told(Planner(open_shop).plan())


@pytest.mark.parametrize("name", SHOPS)
@pytest.mark.parametrize("at", [70, 90, 100, 110, 119])
def test_what_nobody_is_at_is_planned_into_no_pause(
    tmp_path: Path, clock: Clock, name: str, at: int
) -> None:
    """Nothing is on record for an hour and more: what is left is begun now only where it fits."""
    with closing(opened(tmp_path, clock, name, "7:00 to 10:00 and 10:45 to 17:00")) as open_shop:
        begin_day(open_shop.journal, "", None)
        noon = clock.now.replace(hour=10)
        clock.pass_by(minutes=at)
        plan = Planner(open_shop).plan()
        for one in plan.lines:
            if one.start < noon:
                assert one.end <= noon + timedelta(minutes=INTO_PAUSE), one
            else:
                assert one.start >= noon + timedelta(minutes=45), one
