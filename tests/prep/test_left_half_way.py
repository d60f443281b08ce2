"""A check that was left half-way is gone on with first, whatever was found by it so far."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.sittings.check import start
from shopboard.sittings.task import TaskSitting
from tests.builders import Person, do_steps
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


def test_of_what_has_dried_on_the_step_before_is_counted_once_more(
    tmp_path: Path, clock: Clock
) -> None:
    """Wax for ten minutes, 25 at the most; stones in a tub are no worse for a night."""
    wax = '{ do = "Wax on", wait = "10 min", at_most = "25 min"BESIDE }'
    for beside, again in (("", True), (", off_machine = true", False)):
        path = tmp_path / f"shop{again}.toml"
        steps = f'steps = ["Wipe clean", {wax.replace("BESIDE", beside)}, "Buff"]'
        text = METRIC.replace('steps = ["Wipe clean", "Wax on, wait 10 min", "Buff"]', steps, 1)
        assert text != METRIC
        path.write_text(text, encoding="utf-8")
        with closing(OpenShop(path, tmp_path / f"{again}.sqlite3", clock, 0.05)) as open_shop:
            task = next(one for one in open_shop.shop.machines[0].tasks if one.id == "wax")
            sitting = TaskSitting(open_shop.journal, "saw", task, None)
            do_steps(sitting, 2)
            found = []
            for minutes in (24, 2, 15 * 60):
                clock.pass_by(minutes=minutes)
                open_shop.refresh()
                lines = Planner(open_shop).plan().lines
                found.append(next(one.piece.minutes for one in lines if one.piece.words == "Buff"))
            each = found[0]
            assert found == [each, *([2 * each] * 2 if again else [each] * 2)]
