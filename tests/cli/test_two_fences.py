"""Mitres cut on two fences: only a whole frame tells how square these are to each other."""

from __future__ import annotations

from tests.cli.program import Program
from tests.shop_head import metric_head

SHOP = (
    metric_head("The net store", "0.04, 0.05, 0.06, 0.08, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5")
    + """\

[[machine]]
id = "saw"
name = "Saw"
kind = "table saw"

[[machine.point]]
id = "fences"
name = "Fences of the mitre sled"
check = "flip"
tolerance = "1 mm/m"
shows_in = "mitre"
[machine.point.sizes]
width = "60 mm"
length = "100 mm"

[[machine.point]]
id = "blade"
name = "Blade upright"
check = "square"
datum = "table"
face = "plate"
lever = "70 mm"
tolerance = "1.5 mm/m"
shows_in = ["end tilt", "length"]

[[project]]
id = "glass"
name = "Looking glass"

[[project.joint]]
id = "frame"
name = "Frame"
kind = "frame"
two_fences = true
width = "60 mm"
length = "600 mm"
thickness = "18 mm"
[project.joint.fit]
gap = "0.5 mm"
"""
)
ONE_FENCE = 'care = "understood"\nuse = "mitre"\nopen = "none"\ngap.refused = "0.04 mm"\n'
WHOLE = 'care = "understood"\nopen = "none"\ngap.refused = "0.04 mm"\n'


def test_a_fence_proven_by_itself_says_nothing_of_the_other(program: Program) -> None:
    """Neither at the time nor once the shop file asks for the whole frame.

    Two mitres of one fence at 45 make a right angle whatever the other fence is at: it may be off
    by 1 degree, which opens each corner of 60 mm stock by 1.5 mm.
    """
    program.write("shop.toml", SHOP)
    program.check("saw.blade", 'light = "none"\nboth = "neither"\n')
    done = program.check("saw.fences", ONE_FENCE)
    assert done.code == 0, done.err
    held = program("glueup", "glass", "frame")
    assert held.code == 1
    assert 'write check = "frame" at a point of those fences' in held.out
    program.write("shop.toml", SHOP.replace('check = "flip"', 'check = "frame"'))
    held = program("glueup", "glass", "frame")
    assert held.code == 1
    assert "measured on one fence; a whole frame tells how square the two are" in held.out
    assert "shopboard check saw.fences --for glass.frame" in held.out
    done = program.check("saw.fences", WHOLE, "--for", "glass.frame")
    assert done.code == 0, done.err
    assert program("glueup", "glass", "frame").code == 0


def test_mitres_of_one_fence_go_by_either(program: Program) -> None:
    program.write("shop.toml", SHOP.replace("two_fences = true\n", ""))
    program.check("saw.blade", 'light = "none"\nboth = "neither"\n')
    program.check("saw.fences", ONE_FENCE)
    assert program("glueup", "glass", "frame").code == 0
    text = SHOP.replace("two_fences = true\n", "").replace('check = "flip"', 'check = "frame"')
    program.write("shop.toml", text)
    assert program("glueup", "glass", "frame").code == 0
