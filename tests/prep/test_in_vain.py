"""A near point that no check with these tools can prove is not asked for again the same way.

The shop has one square and leaves of a drawer; whoever checks sees no light at either end.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.options import what_settles
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from tests.builders import Person
from tests.journal.helpers import Clock
from tests.shop_head import head

BOARD = """
[[machine]]
id = "board"
name = "Shooting board"

[[machine.point]]
id = "fence"
name = "Fence"
check = {check}
datum = "fence"
face = "bed"
lever = "{lever}"
tolerance = "{tolerance}"
undone_by = ["knocked"]
"""
METRIC = """
[shop]
name = "Hut"
unit = "mm"
[[drawer.square]]
id = "square"
name = "Square"
length = "200 mm"
grade = "0"
[[drawer.feeler]]
id = "leaves"
name = "Leaves"
leaves = ["0.05 mm", "0.10 mm", "0.15 mm", "0.20 mm"]
leaf_tolerance = "0.003 mm"
most_leaves = 2
"""
CALLIPER = """
[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "1 thou"
"""


@contextmanager
def shop_of(text: str) -> Iterator[OpenShop]:
    with TemporaryDirectory() as folder:
        shop = Path(folder, "shop.toml")
        shop.write_text(text, encoding="utf-8")
        with closing(OpenShop(shop, Path(folder, "journal.sqlite3"), Clock())) as open_shop:
            yield open_shop


def no_light(open_shop: OpenShop) -> None:
    """Check the fence by the square: no light at either end."""
    sitting = start(
        open_shop.journal, open_shop.shop, open_shop.shop.points["board.fence"], "square"
    )
    person = Person(0.0)
    while sitting.step is not None:
        sitting.answer(person.answer(sitting.step, sitting.job))
    open_shop.refresh()


def planned(open_shop: OpenShop) -> dict[str, str]:
    """Give why each point is checked."""
    lines = Planner(open_shop).plan().lines
    return {one.piece.target: one.piece.why for one in lines if one.piece.sort == "check"}


INCH = head("Loft") + BOARD.format(check='"square"', lever="4 in", tolerance="3 thou/ft")
MM = METRIC + BOARD.format(check='"square"', lever="100 mm", tolerance="0.25 mm/m")


@pytest.mark.parametrize("text", [INCH, MM])
def test_what_is_near_and_cannot_be_proven_is_not_planned_again(text: str) -> None:
    with shop_of(text) as open_shop:
        assert planned(open_shop) == {"board.fence": "unproven: never checked"}
        no_light(open_shop)
        (one,) = open_shop.standing.machines[0].points
        assert one.state == "near", one.reason
        plan = Planner(open_shop).plan()
        assert not plan.lines
        (said,) = [one for one in plan.stays_open if one.what == "Shooting board, Fence"]
        assert said.why.startswith("borderline; the same check again proves no more")
        found = what_settles(open_shop, "board.fence")
        assert found is not None
        assert not found.at_hand
        assert found.how
        assert found.how == said.remedy


def test_it_is_planned_by_the_method_that_may_settle_it() -> None:
    text = head("Loft") + CALLIPER
    text += BOARD.format(check='["square", "five-cut"]', lever="4 in", tolerance="3 thou/ft")
    with shop_of(text) as open_shop:
        no_light(open_shop)
        why = planned(open_shop)["board.fence"]
        assert why.startswith("borderline")
        assert "check it by five-cut test" in why


def test_once_it_may_have_moved_it_is_asked_for_again() -> None:
    """Then any check tells something: it may be out by now."""
    with shop_of(INCH) as open_shop:
        no_light(open_shop)
        assert not planned(open_shop)
        record_happening(open_shop.journal, "board", "knocked", shop=open_shop.shop)
        open_shop.refresh()
        assert what_settles(open_shop, "board.fence") is None
        assert list(planned(open_shop)) == ["board.fence"]
