"""What a left out task leaves undone behind it is named, not counted."""

from __future__ import annotations

from tests.cli.program import Program
from tests.shop_head import metric_head

SHOP = f"""\
{metric_head("The cooper's loft")}
[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "600 mm"
within = "0.02 mm"

[[machine]]
id = "bandsaw"
name = "Bandsaw"
kind = "bandsaw"

[[machine.point]]
id = "guides"

[[machine.point]]
id = "table-side"

[[machine.task]]
id = "tyres"
"""


def test_checks_that_are_made_without_a_task_are_named(program: Program) -> None:
    """One was counted, and what depends on it was not even that."""
    program.write("shop.toml", SHOP)
    told = " ".join(program("prep", "--for", "12 min").out.split())
    assert "check Guides to the band" in told
    assert "check Table to blade, side to side" in told
    left = told.partition("Not in your time")[2]
    named = "checked without it: Guides to the band, Table to blade, side to side)"
    assert named in left
