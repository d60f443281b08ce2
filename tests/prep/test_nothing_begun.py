"""Nothing is recorded for a while, and nothing was begun: what the plan then says of the time.

The minutes are those of the shop files, added up by hand; that nobody is at a check whose begin is
not on record follows from the journal: the board records it with the first key.
"""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan
from shopboard.prep.plan_words import detail
from shopboard.prep.time_had import TimeHad
from shopboard.sittings.check import start
from tests.journal.helpers import Clock
from tests.two_shops import written

MACHINES = {"saw": "Saw", "planer": "Planer", "jointer": "Jointer", "bandsaw": "Bandsaw"}


def planned(open_shop: OpenShop) -> DayPlan:
    """Plan as a program that is started anew does."""
    open_shop.refresh()
    return Planner(open_shop).plan()


def begun(folder: Path, clock: Clock, shop: str, minutes: float) -> OpenShop:
    open_shop = OpenShop(written(shop, folder), folder / "journal.sqlite3", clock, 0.05)
    had = TimeHad(clock.now + timedelta(minutes=minutes))
    begin_day(open_shop.journal, "", planned(open_shop).from_now, had=had)
    return open_shop


@pytest.mark.parametrize("shop", ["metric", "combination"])
def test_a_job_that_nothing_says_was_begun_is_not_called_longer(
    tmp_path: Path, clock: Clock, shop: str
) -> None:
    """Whatever is first at each start: a check begins now, and no more than the truth is said."""
    with closing(begun(tmp_path, clock, shop, 45)) as open_shop:
        at_first, told = planned(open_shop).lines[0].piece, []
        for minutes in range(4, 45, 4):
            clock.pass_by(minutes=4)
            line = next(iter(planned(open_shop).lines), None)
            if line is None:
                break  # nothing fits any more
            words = detail(line, clock.now, dict.fromkeys(MACHINES, ""))
            assert "longer so far" not in words
            if line.piece.id != at_first.id or line.piece.sort == "check":
                assert line.start == clock.now
                assert line.end == clock.now + timedelta(minutes=line.piece.minutes)
            told.append(f"nothing recorded for {minutes} min" in words)
        assert any(told)


@pytest.mark.parametrize("shop", ["metric", "combination"])
def test_a_check_that_was_begun_is_called_longer(tmp_path: Path, clock: Clock, shop: str) -> None:
    with closing(begun(tmp_path, clock, shop, 120)) as open_shop:
        (check, *_) = [one.piece for one in planned(open_shop).lines if one.piece.sort == "check"]
        start(open_shop.journal, open_shop.shop, open_shop.shop.points[check.target])
        clock.pass_by(minutes=check.minutes + 7)
        line = planned(open_shop).lines[0]
        words = detail(line, clock.now, dict.fromkeys(MACHINES, ""))
        assert line.piece.target == check.target
        assert "7 min longer so far" in words
        assert "nothing recorded" not in words
