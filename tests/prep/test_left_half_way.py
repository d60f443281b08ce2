"""A check that was left half-way is gone on with first, whatever was found by it so far."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.sittings.check import start
from tests.builders import Person
from tests.journal.helpers import Clock
from tests.two_shops import COMBINATION, METRIC

SHOPS = {
    "metric": METRIC,
    "combination": COMBINATION.replace('body = "five in one"\nchange = "3 min"\n', "", 1),
}
"""In each the first point of the saw is checked with square and leaves; of no joint's needs."""


@pytest.mark.parametrize("project", [True, False])
@pytest.mark.parametrize("name", SHOPS)
@pytest.mark.parametrize("error", [0.0, 0.0014, 0.02])
def test_it_is_first_at_every_step_of_it(
    tmp_path: Path, clock: Clock, name: str, error: float, *, project: bool
) -> None:
    """True, near or out as found: it is not done before it is closed."""
    path = tmp_path / "shop.toml"
    path.write_text(SHOPS[name], encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock, 0.05)) as open_shop:
        one = open_shop.shop.projects[0].id if project else ""
        begin_day(open_shop.journal, one, None)
        sitting = start(open_shop.journal, open_shop.shop, open_shop.shop.points["saw.blade"])
        person = Person(error)
        while sitting.step is not None:
            clock.pass_by(seconds=20)
            open_shop.refresh()
            (first, *rest) = Planner(open_shop).plan().lines
            assert first.piece.id == "check saw.blade", sitting.step.key
            assert first.piece.why.startswith("in progress")
            assert all(line.start >= first.end for line in rest)
            sitting.answer(person.answer(sitting.step, sitting.job))
        open_shop.refresh()
        assert not any(line.piece.begun for line in Planner(open_shop).plan().lines)
