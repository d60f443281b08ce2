"""A task that cleans the blade says so: the blade is clean then, and is not cleaned a second time.

That a blade out of its bath of washing soda has no pitch on it is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.upkeep.cutter_journal import record_act, standings_now
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.task_marks import record_task, take_back_task
from tests.journal.helpers import Clock
from tests.prep.workshop import SHOP

CLEANS = SHOP.replace("cutter_near = true\nsteps", "cutter_near = true\ncleans = true\nsteps")


@pytest.fixture(params=[SHOP, CLEANS], ids=["not said", "said"])
def open_shop(request: pytest.FixtureRequest, tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    path = tmp_path / "shop.toml"
    path.write_text(request.param, encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as opened:
        yield opened


def says_it(open_shop: OpenShop) -> bool:
    return any(task.cleans for one in open_shop.shop.machines for task in one.tasks)


def dirty(open_shop: OpenShop, which: int = 0) -> None:
    one = standings_now(open_shop.shop, "saw", open_shop.journal)[which]
    record_act(one, "dirty", open_shop.now(), open_shop.journal)
    open_shop.refresh()


def washed(open_shop: OpenShop) -> None:
    record_task(open_shop.journal, "saw", "pitch")
    open_shop.refresh()


def states(open_shop: OpenShop) -> list[str]:
    """How the blades stand, by both ways to ask: as on the board, and as before an act."""
    machine = open_shop.standing.of_machine("saw")
    assert machine is not None
    found = [one.state for one in machine.cutters]
    assert found == [one.state for one in standings_now(open_shop.shop, "saw", open_shop.journal)]
    return [*found]


def pieces(open_shop: OpenShop) -> list[str]:
    lines = Planner(open_shop).plan().lines
    found = {one.piece.id.rpartition(" ")[0] or one.piece.id for one in lines}
    return sorted(one for one in found if "pitch" in one or one.startswith(("cutter", "clean")))


def test_what_is_due_to_be_washed_is_not_cleaned_beside_that(open_shop: OpenShop) -> None:
    dirty(open_shop)
    planned = pieces(open_shop)
    assert "task saw.pitch" in planned
    assert (planned == ["task saw.pitch"]) == says_it(open_shop)


def test_once_it_is_washed_it_is_clean(open_shop: OpenShop) -> None:
    """And stays so, whatever use is recorded since, until somebody finds it dirty again."""
    dirty(open_shop)
    washed(open_shop)
    clean = "sharp" if says_it(open_shop) else "dirty"
    assert states(open_shop) == [clean, "sharp"]
    assert (pieces(open_shop) == []) == says_it(open_shop)
    record_happening(open_shop.journal, "saw", "hours run", 30.0, shop=open_shop.shop)
    open_shop.refresh()
    assert states(open_shop)[0] == clean
    if says_it(open_shop):
        dirty(open_shop)
    assert states(open_shop)[0] == "dirty"


def test_what_was_recorded_by_mistake_leaves_it_dirty(open_shop: OpenShop) -> None:
    dirty(open_shop)
    washed(open_shop)
    take_back_task(open_shop.journal, "saw", "pitch", "the other saw")
    open_shop.refresh()
    assert states(open_shop)[0] == "dirty"


def test_one_on_the_shelf_or_dull_stays_as_it_is(open_shop: OpenShop) -> None:
    dirty(open_shop, 1)
    rip = standings_now(open_shop.shop, "saw", open_shop.journal)[0]
    record_act(rip, "dull", open_shop.now(), open_shop.journal)
    washed(open_shop)
    assert states(open_shop) == ["dull", "dirty"]
