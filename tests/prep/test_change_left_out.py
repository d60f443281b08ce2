"""What a change of cutter that does not fit would have undone counts by itself. By hand."""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path

from shopboard.journal import NewEntry, new_uid
from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.time_had import TimeHad
from tests.journal.helpers import Clock
from tests.prep.results import result
from tests.shop_head import head


def point(ident: str, minutes: int, undone_by: str = "") -> str:
    return f"""
[[machine.point]]
id = "{ident}"
name = "{ident}"
check = "square"
datum = "table"
face = "fence"
lever = "4 in"
tolerance = "0.1 deg"
every = "1 month"
minutes = "{minutes} min"
undone_by = [{undone_by}]
"""


SHOP = f"""{head("The loft")}
[[machine]]
id = "saw"
name = "Saw"
kind = "table saw"
{"".join(point(ident, 6, '"blade changed"') for ident in "abcd")}
[[machine.cutter]]
id = "rip"
name = "Rip blade"
kind = "blade"
where = "on the machine"
state = "dull"

[[machine.cutter]]
id = "spare"
name = "Spare blade"
kind = "blade"
where = "on the shelf"
state = "sharp"
spare_for = "rip"

[[machine]]
id = "jointer"
name = "Jointer"
{point("fence", 15)}"""


def test_it_is_not_done_first_for_a_change_that_does_not_fit(tmp_path: Path, clock: Clock) -> None:
    """Of a blade with four checks, and a fence that is out, 22 minutes hold the fence and one."""
    path = tmp_path / "shop.toml"
    path.write_text(SHOP, encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as opened:
        for ident in "abcd":
            opened.journal.append([NewEntry(new_uid(), "check", "saw", ident, result(0.0, 1e-4))])
        clock.pass_by(days=40)
        out = result(5e-3, 1e-4) | {"verdict": "out"}
        opened.journal.append([NewEntry(new_uid(), "check", "jointer", "fence", out)])
        opened.refresh()
        planner = Planner(opened)
        assert planner.plan().lines[0].piece.sort == "cutter"
        planner.choose(had=TimeHad(clock.now + timedelta(minutes=22), any_hours=True))
        told = [line.piece.id for line in planner.plan().lines]
    assert told == ["check jointer.fence", "check saw.a"]
