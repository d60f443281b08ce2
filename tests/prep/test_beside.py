"""What is done beside a combination machine is done in whatever mode it is.

Minutes by hand: a change over takes 9, cleaning 10, a check 6; that a blade in a tray asks nothing
of the machine is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan
from tests.journal.helpers import Clock
from tests.prep.test_whole_joints import add
from tests.shop_head import metric_head

_MODE = """
[[machine]]
id = "{id}"
name = "The {id}"
body = "all in one"
change = "9 min"
"""
_POINT = """
[[machine.point]]
id = "{id}"
name = "Point {id}"
check = "square"
datum = "table"
face = "face"
lever = "80 mm"
tolerance = "0.1 deg"
minutes = "6 min"
"""
_SHELF = """
[[machine.cutter]]
id = "rip"
name = "Rip blade"
where = "on the shelf"
state = "dirty"
"""
_TASK = """
[[machine.task]]
id = "tray"
name = "Bits into the tray"
every = "4 weeks"
minutes = "8 min"
steps = [{{ do = "Into the tray", wait = "20 min"{off} }}, {{ do = "Out, dry them"{off} }}]
"""


@contextmanager
def opened(folder: Path, saw: str) -> Iterator[OpenShop]:
    """A machine that stands in its planing mode, where a check is due; sawing has more to do."""
    text = metric_head("The ferry shed") + _MODE.format(id="saw") + saw
    text += _MODE.format(id="planer") + _POINT.format(id="a") + _POINT.format(id="b")
    (folder / "shop.toml").write_text(text, encoding="utf-8")
    with closing(OpenShop(folder / "shop.toml", folder / "journal.sqlite3", Clock())) as made:
        add(made, "planer.a")
        made.refresh()
        yield made


def planned(folder: Path, saw: str) -> DayPlan:
    with opened(folder, saw) as made:
        return Planner(made).plan()


def test_a_cutter_on_the_shelf_is_cleaned_without_a_change_over(tmp_path: Path) -> None:
    plan = planned(tmp_path, _SHELF)
    assert {one.piece.id for one in plan.lines} == {"clean saw.rip", "check planer.b"}
    assert plan.minutes == plan.bound == 10 + 6


@pytest.mark.parametrize(("off", "minutes"), [(", off_machine = true", 28), ("", 41)])
def test_a_bath_in_a_tray_asks_for_no_mode(tmp_path: Path, off: str, minutes: int) -> None:
    """In 4, soak 20 with the check in it, out 4; else over 9, in 4, back 9, check 6, over 9, out 4.

    That is quicker yet than to check first and change over once, 43.
    """
    plan = planned(tmp_path, _TASK.format(off=off))
    assert plan.minutes == plan.bound == minutes
