"""A point that has gone to another machine in the shop file: what happened before stays true."""

from __future__ import annotations

from tests.cli.program import FENCE_TRUE, Program
from tests.shop_head import metric_head

SHOP = (
    metric_head("The smokehouse")
    + """\

[[machine]]
id = "combi"
name = "Surfacing"
kind = "jointer"
{here}
[[machine]]
id = "{other}"
name = "Thicknessing"
kind = "planer"
{there}
[[project]]
id = "box"
name = "Box"

[[project.joint]]
id = "leaves"
name = "Leaves"
kind = "veneer"
height = "100 mm"
width = "100 mm"
[project.joint.fit]
thickness = "1 mm"
[project.joint.made_on]
resaw = "{on}.bed"
thickness = "{on}.bed"
"""
)
BED = """
[[machine.point]]
id = "bed"
{was}
name = "Bed"
check = "square"
datum = "table"
face = "face"
lever = "90 mm"
tolerance = "1 mm/m"
undone_by = ["knives turned"]
shows_in = ["thickness", "resaw"]
"""


def test_what_undid_it_on_the_machine_it_was_on_still_does(program: Program) -> None:
    """One machine is written as two from now on; its knives were turned before."""
    before = SHOP.format(here=BED.format(was=""), there="", other="thick", on="combi")
    moved = BED.format(was='was = "combi.bed"')
    after = SHOP.format(here="", there=moved, other="thick", on="thick")
    program.write("shop.toml", before)
    program.check("combi.bed", FENCE_TRUE)
    assert program("glueup", "box", "leaves").code == 0
    program.write("shop.toml", after)
    assert program("glueup", "box", "leaves").code == 0
    program.write("shop.toml", before)
    program("happened", "combi", "knives turned")
    assert program("glueup", "box", "leaves").code == 1
    program.write("shop.toml", after)
    held = program("glueup", "box", "leaves")
    assert held.code == 1
    assert "Bed is due: knives turned" in held.out
    program.check("thick.bed", FENCE_TRUE)
    assert program("glueup", "box", "leaves").code == 0
    program("happened", "combi", "knives turned")  # another machine by now
    assert program("glueup", "box", "leaves").code == 0
    program("happened", "thick", "knives turned")
    assert program("glueup", "box", "leaves").code == 1
